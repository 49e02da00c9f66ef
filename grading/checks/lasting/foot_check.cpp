#include "grading/checks/lasting/foot_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>

#include "geometry/curve/course.hpp"
#include "grading/grade/grade.hpp"
#include "grading/pieces/named_side.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

std::optional<Vec2> point_named(const FormeSpec& forme, const char* word) {
  const NamedPoint* point = find_point(forme, word);
  return point == nullptr ? std::nullopt : std::optional(point->at);
}

// What is named inside or outside, by the side of the line from heel to toe that it lies on.
struct Sides {
  Vec2 heel;
  Vec2 along;
  int left = 0;   // that are where a left foot has them
  int right = 0;  // and a right one
  void count(const std::string& name, Vec2 at) {
    constexpr double kBeside = 5.0;  // mm off the line: nearer to it a place is on neither side
    const double aside = cross(along, at - heel);
    const NamedSide side = side_named(name);
    if (side == NamedSide::kNone || std::abs(aside) < kBeside) return;
    ++((side == NamedSide::kInside) == (aside < 0.0) ? left : right);
  }
};

// The foot that the points of a bottom are drawn for: the style's, else that of all its pieces that state
// one.
std::string foot_of_forme(const StyleSpec& style, const StyleGrade& grade, std::size_t forme) {
  if (!style.drawn_foot.empty()) return style.drawn_foot;
  std::string foot;
  for (const PreparedPiece& piece : grade.pieces) {
    const std::string& own = piece.bound.spec.drawn_foot;
    if (piece.forme != forme || !one_foot(own) || own == foot) continue;
    if (!foot.empty()) return "";
    foot = own;
  }
  return foot;
}

void count_edges(const PreparedPiece& piece, Sides& sides) {
  for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
    const OpenArcPath path = shaped_path(piece.shape.edges[e], piece.shape.base);
    if (path.size() == 0) continue;
    const EdgeSpec& edge = piece.bound.edges[e].spec;
    sides.count(edge.from, path.vertices.front().at);
    sides.count(edge.name, Course(path).at(0.5 * length(path)).at);
  }
}

void judge_sides(const Sides& sides, const std::string& stated, const std::string& subject,
                 std::vector<StyleFinding>& all) {
  const int most = std::max(sides.left, sides.right);
  if (most < 2 || std::min(sides.left, sides.right) > 0) return;
  const std::string shown = sides.left > 0 ? "left" : "right";
  if (shown == stated) return;
  all.push_back(doubtful_finding(
      "drawn foot", subject, most, "places",
      fmt::format("that are named inside or outside lie as on a {} foot seen from above, and \"drawn_foot\" "
                  "says {}: the pieces would be marked for the wrong feet; check it, and which way round the "
                  "bottom is drawn",
                  shown, stated)));
}

}  // namespace

std::vector<StyleFinding> check_drawn_foot(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  for (std::size_t f = 0; f < grade.formes.size(); ++f) {
    const FormeSpec& forme = grade.formes[f].map.forme();
    const std::optional<Vec2> heel = point_named(forme, "heel");
    const std::optional<Vec2> toe = point_named(forme, "toe");
    if (role_of(forme) != FormeRole::kBottom || !heel || !toe) continue;
    const std::string foot = foot_of_forme(style, grade, f);
    Sides sides{*heel, unit(*toe - *heel)};
    for (const NamedPoint& point : forme.points) sides.count(point.name, point.at);
    for (const PreparedPiece& piece : grade.pieces) {
      const std::string own = drawn_foot_of(style, piece.bound.spec);
      if (piece.forme != f || own == "both") continue;
      if (own.empty() || own == foot) {
        count_edges(piece, sides);
        continue;
      }
      Sides apart{*heel, unit(*toe - *heel)};
      count_edges(piece, apart);
      judge_sides(apart, own, piece.bound.spec.name, all);
    }
    if (!foot.empty()) judge_sides(sides, foot, forme.name, all);
  }
  return all;
}

}  // namespace lastwright
