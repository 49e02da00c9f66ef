#include "grading/lasts/foot_signs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

// Shares of the stick length by which lasts differ in each sign to either side without meaning a foot.
constexpr double kWaistSpread = 0.005;
constexpr double kJointsSpread = 0.006;
constexpr double kSwingSpread = 0.010;
constexpr double kMost = 3.0;      // no sign alone decides
constexpr double kSure = 2.0;      // standard deviations of the three together
constexpr double kContrary = 1.0;  // a sign that speaks for the other foot by more leaves a doubt

constexpr int kOutlineStations = 50;  // to the stick length

// The mean of the middle line around a station; not a number where the outline lacks a part of it.
double middle_around(const std::vector<OutlineStation>& outline, double share, double half) {
  double sum = 0.0;
  int count = 0;
  for (const OutlineStation& s : outline) {
    if (std::abs(s.x - share) > half + 1e-9) continue;
    sum += 0.5 * (s.left + s.right);
    ++count;
  }
  const bool whole = count == 1 + static_cast<int>(std::lround(2.0 * half * kOutlineStations));
  return whole ? sum / count : std::numeric_limits<double>::quiet_NaN();
}

double vote(double value, double spread) {
  return std::isfinite(value) ? std::clamp(value / spread, -kMost, kMost) : 0.0;
}

double together(const FootSigns& s) {
  return (s.waist + s.tread + s.toe) / std::sqrt(3.0);
}

}  // namespace

LastFoot FootSigns::likelier() const {
  return together(*this) >= 0.0 ? LastFoot::kLeft : LastFoot::kRight;
}

bool FootSigns::in_doubt() const {
  const double all = together(*this);
  const double side = all >= 0.0 ? 1.0 : -1.0;
  const double least = std::min({side * waist, side * tread, side * toe});
  return std::abs(all) < kSure || least < -kContrary;
}

FootSigns foot_signs(const std::vector<OutlineStation>& outline) {
  // The middles of seat and joints, shares of the stick length.
  constexpr double kSeat = 0.14;    // before it the outline closes round the heel
  constexpr double kJoints = 0.68;  // halfway between the tread points of either side
  const double seat = middle_around(outline, kSeat, 0.04);
  const double joints = middle_around(outline, kJoints, 0.04);
  // How far the middle line lies left of the way from seat to joints, run on to the toe.
  const auto left_of_way = [&](double share, double half) {
    return middle_around(outline, share, half) -
           (seat + (joints - seat) * (share - kSeat) / (kJoints - kSeat));
  };
  return {vote(left_of_way(0.44, 0.08), kWaistSpread),
          vote(left_of_way(0.60, 0.02) - left_of_way(0.76, 0.02), kJointsSpread),
          vote(-left_of_way(0.90, 0.04), kSwingSpread)};
}

std::vector<OutlineStation> bottom_outline(const Body& body, double length) {
  std::vector<OutlineStation> outline;
  const std::vector<int> feather = feather_edges(body);
  for (int i = kOutlineStations / 10; i <= kOutlineStations * 19 / 20; ++i) {
    const double share = static_cast<double>(i) / kOutlineStations;
    if (const std::optional<FeatherPair> pair = feather_at(body, feather, share * length))
      outline.push_back({share, pair->left.y / length, pair->right.y / length});
  }
  return outline;
}

std::string told_of(const FootSigns& signs) {
  const auto speaks_for = [](double sign) {
    return std::abs(sign) < kContrary ? "neither" : sign > 0.0 ? "a left last" : "a right last";
  };
  return fmt::format("the hollow of its waist speaks for {}, its joints for {}, the swing of its toe for {}",
                     speaks_for(signs.waist), speaks_for(signs.tread), speaks_for(signs.toe));
}

}  // namespace lastwright
