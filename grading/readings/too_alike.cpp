#include "grading/readings/too_alike.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>
#include <tuple>

#include "geometry/counted.hpp"

namespace lastwright {
namespace {

constexpr double kByHand = 0.3;       // mm, one reading about its last: common practice
constexpr double kSteadiest = 0.2;    // mm: what scatters less was hardly read by hand
constexpr double kChance = 1e-6;      // of a batch that is called too alike and is not
constexpr double kFinestStep = 0.02;  // mm: of readings that show no step

double normal_below(double z) {
  return 0.5 * std::erfc(-z / std::numbers::sqrt2);
}

// How many of several things came out alike, and how many would by chance.
struct Agreement {
  std::size_t asked = 0;
  std::size_t alike = 0;
  double by_hand = 0.0;    // expected of readings that scatter by kByHand
  double steadiest = 0.0;  // by kSteadiest
  // Chernoff's bound on the chance of as many or more, with the mean of the single chances, which bounds
  // unlike chances too (Hoeffding, Annals of Mathematical Statistics 27 (1956), 713).
  [[nodiscard]] bool too_many() const {
    if (asked == 0) return false;
    const auto n = static_cast<double>(asked);
    const double share = static_cast<double>(alike) / n;
    const double chance = steadiest / n;
    if (share <= chance) return false;
    const double some = share * std::log(share / chance);
    const double none = share < 1.0 ? (1.0 - share) * std::log((1.0 - share) / (1.0 - chance)) : 0.0;
    return n * (some + none) > -std::log(kChance);
  }
};

// With the table's own value, rounded as the reading is.
Agreement with_table(const BatchReport& report) {
  Agreement all;
  for (const JudgedReading& one : report.readings) {
    const double step = std::max(one.reading.step, kFinestStep);
    const double off = std::remainder(one.deviation, step);  // of the step in which the table's value lies
    const auto chance = [&](double spread) {
      return normal_below((off + 0.5 * step) / spread) - normal_below((off - 0.5 * step) / spread);
    };
    ++all.asked;
    // A value half way between two steps is rounded to either.
    all.alike += std::abs(one.deviation) <= 0.5 * step * (1.0 + 1e-9) ? 1 : 0;
    all.by_hand += chance(kByHand);
    all.steadiest += chance(kSteadiest);
  }
  return all;
}

// That two readings with this scatter of their difference are noted as one figure, wherever it lies between
// two steps: the mean of 1 - |difference| / step, at least 0.
double noted_alike(double spread, double step) {
  const double z = step / spread;
  const double within = 2.0 * normal_below(z) - 1.0;
  const double mean =
      2.0 * (spread / step) * (1.0 - std::exp(-0.5 * z * z)) / std::sqrt(2.0 * std::numbers::pi);
  return within - mean;
}

// Left with right, of measures that were read once of either.
Agreement left_with_right(const BatchReport& report) {
  using Hands = std::array<std::vector<const Reading*>, 2>;
  std::map<std::pair<std::string, std::size_t>, Hands> read;
  for (const JudgedReading& one : report.readings)
    read[{one.reading.id, one.reading.measure}][one.reading.foot == Foot::kLeft ? 0 : 1].push_back(
        &one.reading);
  Agreement all;
  for (const auto& [what, hands] : read) {
    if (hands[0].size() != 1 || hands[1].size() != 1) continue;
    const Reading& left = *hands[0].front();
    const Reading& right = *hands[1].front();
    if (left.step != right.step) continue;
    const double step = std::max(left.step, kFinestStep);
    ++all.asked;
    all.alike += std::abs(left.value - right.value) <= 0.5 * step ? 1 : 0;
    all.by_hand += noted_alike(kByHand * std::numbers::sqrt2, step);
    all.steadiest += noted_alike(kSteadiest * std::numbers::sqrt2, step);
  }
  return all;
}

std::string expected(const Agreement& agreement) {
  return fmt::format("{:.0f} of {}", agreement.by_hand, agreement.asked);
}

}  // namespace

std::string too_alike(const BatchReport& report) {
  const Agreement table = with_table(report);
  const Agreement hands = left_with_right(report);
  const bool by_table = table.too_many();
  const bool by_hands = hands.too_many();
  if (!by_table && !by_hands) return "";
  std::vector<std::string> alike;
  std::vector<std::string> usual;
  if (by_table) {
    alike.push_back(fmt::format("{} of {} are the table's own value, rounded as they are noted", table.alike,
                                counted(table.asked, "reading")));
    usual.push_back(expected(table));
  }
  if (by_hands) {
    alike.push_back(fmt::format("left is noted as right in {} of {}", hands.alike,
                                counted(hands.asked, "pair of readings", "pairs of readings")));
    usual.push_back(expected(hands));
  }
  const double scatter = report.explained.fit.noise.reading;
  return fmt::format(
      "{}{}; read by hand, where a reading scatters by {:g} mm (common practice), about {} would be: hands "
      "and "
      "tapes scatter more. Ask whether these were read, or copied",
      fmt::join(alike, ", and "),
      scatter > 0.0 ? fmt::format(", and a reading scatters by {:.2f} mm about its last", scatter) : "",
      kByHand, fmt::join(usual, " and "));
}

std::vector<std::pair<long, long>> duplicate_rows(const std::vector<Reading>& readings) {
  using Row = std::tuple<std::string, Foot, std::size_t, double, bool, std::string, std::vector<std::string>>;
  std::map<Row, long> first;
  std::vector<std::pair<long, long>> twice;
  for (const Reading& one : readings) {
    const auto [at, added] = first.try_emplace(
        Row(one.id, one.foot, one.measure, one.value, one.inches, one.gauge, one.others), one.line);
    if (!added) twice.emplace_back(at->second, one.line);
  }
  return twice;
}

}  // namespace lastwright
