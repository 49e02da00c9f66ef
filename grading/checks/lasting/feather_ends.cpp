#include "grading/checks/lasting/feather_ends.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "grading/checks/girths/base_edges.hpp"
#include "grading/checks/seams/edges_together.hpp"
#include "grading/style/seam_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kMeets = 0.5;                // mm between the ends of two edges
constexpr double kMostFeatherTurn = 30.0;     // degrees that the feather turns at most where two edges meet
constexpr double kShortestFeather = 3.0;      // mm; shorter ones are corners
constexpr double kMostOfFeather = 0.8;        // of the shorter of two edges that lie on each other
constexpr std::size_t kMostFeathers = 4'000;  // edges of a style; with more nothing is looked at

struct FeatherEdge {
  BaseEdge at;
  const FeatherEdge* lasted = nullptr;  // itself, or the lasted edge that it is in line with
};

// Lasted ones, and those that may have been meant to be.
std::vector<FeatherEdge> feather_edges(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<FeatherEdge> all;
  for (BaseEdge& edge : base_edges(grade, kShortestFeather, [](const PieceSpec&piece, const EdgeSpec&one) {
         return piece.fold != one.name;
       })) {
    const Treatment how = edge.spec->treatment;
    const bool lasted = how == Treatment::kLasting && edge.allowance > 0.0;
    const bool bare = edge.allowance == 0.0 && (how == Treatment::kLasting || how == Treatment::kRaw);
    if ((!lasted && !bare) ||
        (bare && seam_names_edge(style, grade.pieces[edge.piece].bound.spec.name, edge.spec->name)))
      continue;
    all.push_back({std::move(edge)});
  }
  for (FeatherEdge& edge : all) {
    if (edge.at.allowance > 0.0) edge.lasted = &edge;
  }
  return all;
}

// The second starts where the first ends, and goes on the same way.
bool runs_on(const OpenArcPath& first, const OpenArcPath& second) {
  if (distance(first.vertices.back().at, second.vertices.front().at) > kMeets) return false;
  const double turn =
      angle_between(first.segment(first.size() - 1).end_tangent(), second.segment(0).start_tangent());
  return std::abs(to_degrees(Radians(turn))) <= kMostFeatherTurn;
}

bool on_lasted(const FeatherEdge& edge, const std::vector<FeatherEdge>& edges, const StyleGrade& grade) {
  return std::any_of(edges.begin(), edges.end(), [&](const FeatherEdge& other) {
    if (other.lasted != &other || other.at.piece == edge.at.piece ||
        grade.pieces[other.at.piece].forme != grade.pieces[edge.at.piece].forme)
      return false;
    const BaseEdge& shorter = other.at.length < edge.at.length ? other.at : edge.at;
    const BaseEdge& longer = other.at.length < edge.at.length ? edge.at : other.at;
    return length_on(shorter.path, longer.path, kOnFeather) >= kMostOfFeather * shorter.length;
  });
}

}  // namespace

void add_feather_ends(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  std::vector<FeatherEdge> edges = feather_edges(style, grade);
  if (edges.size() > kMostFeathers) return;
  // From one edge to the next: a feather may be drawn in several.
  for (bool more = true; more;) {
    more = false;
    for (FeatherEdge& edge : edges) {
      if (edge.lasted != nullptr) continue;
      const auto before = std::find_if(edges.begin(), edges.end(), [&](const FeatherEdge& other) {
        const PreparedPiece& here = grade.pieces[edge.at.piece];
        const PreparedPiece& there = grade.pieces[other.at.piece];
        return other.lasted != nullptr && there.forme == here.forme &&
               there.bound.spec.layer == here.bound.spec.layer &&
               (runs_on(other.at.path, edge.at.path) || runs_on(edge.at.path, other.at.path));
      });
      if (before == edges.end()) continue;
      edge.lasted = before->lasted;
      more = true;
    }
  }
  for (const FeatherEdge& edge : edges) {
    if (edge.lasted == nullptr || edge.lasted == &edge || on_lasted(edge, edges, grade)) continue;
    const auto piece = [&](const FeatherEdge& one) { return grade.pieces[one.at.piece].bound.spec.name; };
    all.push_back(doubtful_finding(
        "lasting margin", piece(edge) + ": " + edge.at.spec->name, edge.lasted->at.allowance, "mm",
        fmt::format("is the allowance of {} of {}, which is lasted and with which this edge is in line; this "
                    "one is {} and has none: is it to be lasted as well? If the piece ends there as it is "
                    "cut, state the edge as \"trim\"",
                    edge.lasted->at.spec->name, piece(*edge.lasted), name_of(edge.at.spec->treatment))));
  }
}

}  // namespace lastwright
