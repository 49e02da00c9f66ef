#include "grading/checks/seams/parted_lines.hpp"

#include <fmt/format.h>

#include <cmath>

#include "geometry/curve/curve_measure.hpp"

namespace lastwright {

namespace {

constexpr double kGap = 1.0;                // mm: a line that is left off on purpose is left off by more
constexpr double kNoWay = 0.1;              // mm: a gap so small has no direction of its own
constexpr double kTurn = 10.0;              // degrees between what ends and what carries on
constexpr double kAside = 30.0;             // degrees between a line and the gap after it
constexpr std::size_t kMostParted = 400;    // lines of a piece: with more nothing is looked at
constexpr std::size_t kMostPartedTold = 3;  // of a piece

struct LineEnd {
  Vec2 at;
  Vec2 out;  // the direction in which the line would carry on
  std::size_t line = 0;
};

double degrees_between(Vec2 a, Vec2 b) {
  return std::abs(to_degrees(Radians(angle_between(a, b))));
}

bool carries_on(const LineEnd& one, const LineEnd& other) {
  const Vec2 gap = other.at - one.at;
  if (norm(gap) > kGap || degrees_between(one.out, -other.out) > kTurn) return false;
  return norm(gap) <= kNoWay || degrees_between(one.out, gap) <= kAside;
}

}  // namespace

std::vector<StyleFinding> check_parted_lines(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  for (const PreparedPiece& prepared : grade.pieces) {
    const BoundPiece& piece = prepared.bound;
    if (piece.lines.size() > kMostParted) continue;
    std::vector<LineEnd> ends;
    for (std::size_t i = 0; i < piece.lines.size(); ++i) {
      const auto& curves = piece.lines[i].chain.curves();
      ends.push_back({start_of(curves.front()), -tangent_at(curves.front(), 0.0), i});
      ends.push_back({end_of(curves.back()), tangent_at(curves.back(), 1.0), i});
    }
    std::size_t told = 0;
    for (std::size_t a = 0; a < ends.size() && told < kMostPartedTold; ++a) {
      for (std::size_t b = a + 1; b < ends.size() && told < kMostPartedTold; ++b) {
        const DrawnFrom& from = piece.lines[ends[a].line].from;
        if (ends[a].line == ends[b].line || from.layer != piece.lines[ends[b].line].from.layer ||
            !carries_on(ends[a], ends[b]))
          continue;
        ++told;
        const double gap = distance(ends[a].at, ends[b].at);
        all.push_back(doubtful_finding(
            "line parted", fmt::format("{}: line on {}", piece.spec.name, from.layer), gap, "mm",
            fmt::format("is how far the line ends at ({:.3f}, {:.3f}) from another on its layer that carries "
                        "on there, {:.1f} degrees out of its direction: is it one line, drawn in two? Both "
                        "are made and counted; draw it as one, or state \"chain_gap\": {:.4g} for the "
                        "drawing, which joins what lies so near",
                        ends[a].at.x, ends[a].at.y, degrees_between(ends[a].out, -ends[b].out),
                        std::ceil(gap * 100.0 + 1.0) / 100.0)));
      }
    }
  }
  return all;
}

}  // namespace lastwright
