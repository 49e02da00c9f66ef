#include "grading/pieces/place/place_freedom.hpp"

#include <array>
#include <cmath>

namespace lastwright {

namespace {

// A small motion: (x, y) of the centre, and the turn times the size. A fixed place is a row whose product
// with the motion is how far the place would move along its direction.
using Row = std::array<double, 3>;

double product(const Row& a, const Row& b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

}  // namespace

class FreedomFinder {
 public:
  FreedomFinder(const std::vector<FixedPlaces>& fixed, double size) : size_(size) {
    double count = 0.0;
    for (const FixedPlaces& set : fixed) {
      for (const auto& place : set.places_) {
        centre_ += place.at;
        count += 1.0;
      }
    }
    if (count > 0.0) centre_ = (1.0 / count) * centre_;
    for (const FixedPlaces& set : fixed) add(set);
  }

  PlaceFreedom run() {
    constexpr double kHolds = 0.2;  // mm: what moves less is held
    PlaceFreedom out;
    std::array<Row, 3> taken{};
    while (out.held < 3) {
      Row best{};
      for (const Row& row : rows_) {
        if (product(row, row) > product(best, best)) best = row;
      }
      const double whole = std::sqrt(product(best, best));
      if (!(whole > kHolds)) break;
      for (double& value : best) value /= whole;
      taken[static_cast<std::size_t>(out.held++)] = best;
      for (Row& row : rows_) {
        const double share = product(row, best);
        for (std::size_t i = 0; i < 3; ++i) row[i] -= share * best[i];
      }
    }
    if (out.held == 2) tell_motion(taken[0], taken[1], out);
    return out;
  }

 private:
  void add(const FixedPlaces& set) {
    Row mean{};
    const std::size_t first = rows_.size();
    for (const auto& place : set.places_) {
      const Row row{place.direction.x, place.direction.y, cross(place.at - centre_, place.direction) / size_};
      rows_.push_back(row);
      for (std::size_t i = 0; i < 3; ++i) mean[i] += row[i] / static_cast<double>(set.places_.size());
    }
    if (!set.common_) return;
    for (std::size_t k = first; k < rows_.size(); ++k) {
      for (std::size_t i = 0; i < 3; ++i) rows_[k][i] -= mean[i];
    }
  }

  void tell_motion(const Row& a, const Row& b, PlaceFreedom& out) const {
    const Vec2 move{a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2]};
    const double turn = (a[0] * b[1] - a[1] * b[0]) / size_;
    constexpr double kHardly = 0.1;  // of the motion: less is no turn to speak of
    out.turns = std::abs(turn) * size_ > kHardly;
    out.motion = out.turns ? centre_ + Vec2{-move.y / turn, move.x / turn} : unit(move);
    const bool backward = out.motion.x < 0.0 || (out.motion.x == 0.0 && out.motion.y < 0.0);
    if (!out.turns && backward) out.motion = -out.motion;
  }

  double size_;
  Vec2 centre_;
  std::vector<Row> rows_;
};

PlaceFreedom freedom_left(const std::vector<FixedPlaces>& fixed, double size) {
  return FreedomFinder(fixed, size).run();
}

}  // namespace lastwright
