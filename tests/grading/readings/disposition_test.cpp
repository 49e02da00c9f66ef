#include <algorithm>
#include <catch2/catch.hpp>

#include "grading/readings/disposition.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/synthetic_readings.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

// Whether some explanation that is not decided against makes the last bad, or it is bad on its own account.
bool held_for_cause(const BatchReport& report, const std::string& id) {
  const auto of = [&](const std::string& one) { return one == id; };
  for (const JudgedItem& item : report.items) {
    if (of(item.id) && item.match != Match::kAsStamped) return true;
  }
  for (const JudgedReading& one : report.readings) {
    if (of(one.reading.id) && (beyond(one.verdict) || beyond(one.left) || one.stands_out)) return true;
  }
  for (const JudgedPair& pair : report.pairs) {
    if (of(pair.id) && (beyond(pair.verdict) || beyond(pair.left) || !pair.one_stamp)) return true;
  }
  for (const Explanation& one : report.explained.causes) {
    std::vector<Cause> causes = one.same;
    causes.push_back(one.cause);
    for (const Cause& cause : causes) {
      for (const auto& [row, value] : cause.column) {
        const PlacedReading& reading = report.layout.readings[static_cast<std::size_t>(row)];
        if (of(report.layout.lasts[reading.last].first)) return true;
      }
    }
  }
  return false;
}

}  // namespace

TEST_CASE("what is held is called good nowhere, and what is accepted is not held", "[batch]") {
  static const SmallStyle style;
  std::size_t held = 0;
  std::size_t good = 0;
  std::size_t other_hand = 0;
  std::size_t alone = 0;
  test::holds_for_all(
      "a last that is held is not good",
      [&] {
        ReadingLimits limits;
        limits.value.assign(3, Limit{1.5, 1.5, "test"});
        limits.pair.assign(3, Limit{3.0, 3.0, "test"});
        if (*rc::gen::arbitrary<bool>()) limits.value[2] = std::nullopt;
        BatchPlan plan;
        plan.sizes = {"7", "8", "9"};
        std::vector<Reading> readings =
            make_batch(style, plan, static_cast<std::uint64_t>(*rc::gen::inRange(1, 1000)));
        // Of size 9 one pair alone may be read: the size and its stamp are then not told apart.
        const bool thin = *rc::gen::arbitrary<bool>();
        if (thin)
          std::erase_if(readings, [](const Reading& one) {
            return one.stamped.size.label == "9" && one.id != "P1013";
          });
        const auto of = [&](const Reading& one, int number) {
          return one.id == "P" + std::to_string(number);
        };
        const int slipped = *rc::gen::inRange(1001, 1019);
        const int stamped = thin ? 1013 : *rc::gen::inRange(1001, 1019);
        const double by = *rc::gen::element(0.0, 4.0, 9.0);
        const std::string size = *rc::gen::element<std::string>("7", "8", "9");
        const double of_size = *rc::gen::element(0.0, 0.0, 4.0);
        const bool two_stamps = *rc::gen::arbitrary<bool>();
        const bool other_pair = *rc::gen::arbitrary<bool>();
        for (Reading& one : readings) {
          if (of(one, slipped) && one.foot == Foot::kLeft && one.measure == 2) one.value += by;
          if (one.stamped.size.label == size && one.measure == 1) one.value += of_size;
          if (!of(one, stamped)) continue;
          const SizeWidth other = thin ? style.at("8.5", "E") : style.at("10", "F");
          if (other_pair)
            one.value += style.table.value(one.measure, other) - style.table.value(one.measure, one.stamped);
          if (two_stamps && one.foot == Foot::kRight) {
            one.value += style.table.value(one.measure, other) - style.table.value(one.measure, one.stamped);
            one.stamped = other;
          }
        }
        const BatchReport report = judge_batch(readings, style.table, style.run, limits);
        const Disposition disposed = dispose(report, style.table, limits, 0);
        RC_ASSERT(disposed.line == disposition(report, style.table, limits, 0));
        RC_ASSERT(disposed.held.empty() == (disposed.line.find("hold ") == std::string::npos));
        RC_ASSERT(disposed.held.empty() || !report.all_good());
        alone += disposed.line.starts_with("hold P1013 (1 of ") ? 1 : 0;
        for (const JudgedItem& item : report.items) {
          const bool is_held = disposed.held.count(item.id) > 0;
          const std::string result = item_result(item, disposed);
          held += is_held ? 1 : 0;
          good += result == "good" ? 1 : 0;
          other_hand += result.rfind("held: ", 0) == 0 ? 1 : 0;
          RC_ASSERT(!is_held || result != "good");
          if (item.match == Match::kMisStamped) RC_ASSERT(item.certainty > 0.5);
          RC_ASSERT(!is_held || held_for_cause(report, item.id));
          // A last by itself that the line names is held.
          if (disposed.line.find(item.id + " (") != std::string::npos) RC_ASSERT(is_held);
        }
      },
      6);
  INFO(held << " held, " << good << " good, " << other_hand << " for the other hand");
  CHECK(alone > 0);
  CHECK(held > 10);
  CHECK(good > held);
  CHECK(other_hand > 2);
}
