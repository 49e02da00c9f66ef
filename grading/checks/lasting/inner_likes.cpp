#include "grading/checks/lasting/inner_likes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>

#include "grading/checks/girths/base_edges.hpp"
#include "grading/checks/lasting/margin_check.hpp"
#include "grading/checks/seams/edges_together.hpp"
#include "grading/checks/work_check.hpp"
#include "grading/pieces/piece_words.hpp"

namespace lastwright {

namespace {

constexpr double kMostOnFeather = 0.8;     // of the shorter of the two
constexpr double kShortestInner = 20.0;    // mm
constexpr std::size_t kMostInner = 1'000;  // edges of a style; with more nothing is looked at

const BoundPiece& bound(const StyleGrade& grade, const BaseEdge& edge) {
  return grade.pieces[edge.piece].bound;
}
const EdgeSpec& spec(const StyleGrade& grade, const BaseEdge& edge) {
  return bound(grade, edge).edges[edge.edge].spec;
}
double allowance(const StyleGrade& grade, const BaseEdge& edge) {
  return grade.allowances(edge.piece, grade.base_cell())[edge.edge].value();
}
bool stiff(const StyleGrade& grade, const BaseEdge& edge) {
  return words_of(bound(grade, edge).spec.name).stiff;
}

bool lies_on(const BaseEdge& one, const BaseEdge& other) {
  if (!one.box.overlaps(other.box)) return false;
  const BaseEdge& shorter = one.length < other.length ? one : other;
  const BaseEdge& longer = one.length < other.length ? other : one;
  return length_on(shorter.path, longer.path, kOnFeather) >= kMostOnFeather * shorter.length;
}

void add_inner_margins(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  const std::vector<BaseEdge> edges =
      base_edges(grade, kShortestInner, [](const PieceSpec& piece, const EdgeSpec& edge) {
        return edge.treatment == Treatment::kLasting ||
               (edge.treatment == Treatment::kRaw && words_of(piece.name).stiff);
      });
  if (edges.size() > kMostInner) return;
  const auto lasted = [&](const BaseEdge& edge) {
    return spec(grade, edge).treatment == Treatment::kLasting && allowance(grade, edge) > 0.0;
  };
  const auto like = std::find_if(edges.begin(), edges.end(),
                                 [&](const BaseEdge& edge) { return stiff(grade, edge) && lasted(edge); });
  if (like == edges.end()) return;
  for (const BaseEdge& bare : edges) {
    if (!stiff(grade, bare) || bare.piece == like->piece || allowance(grade, bare) > 0.0) continue;
    const bool has_own = std::any_of(edges.begin(), edges.end(), [&](const BaseEdge& own) {
      return own.piece == bare.piece && lasted(own);
    });
    const auto upper = std::find_if(edges.begin(), edges.end(), [&](const BaseEdge& over) {
      return !stiff(grade, over) && lasted(over) &&
             grade.pieces[over.piece].forme == grade.pieces[bare.piece].forme && lies_on(bare, over);
    });
    if (has_own || upper == edges.end()) continue;
    all.push_back(doubtful_finding(
        "inner margin", fmt::format("{}: {}", bound(grade, bare).spec.name, spec(grade, bare).name),
        allowance(grade, *like), "mm",
        fmt::format("is what {} of {} is lasted with, an inner part as this is; this edge ends at the "
                    "feather without an allowance, under {} of {}, which is lasted: is its allowance left "
                    "out?",
                    spec(grade, *like).name, bound(grade, *like).spec.name, spec(grade, *upper).name,
                    bound(grade, *upper).spec.name)));
  }
}

// Degrees, 0 to 90, that two directions lie apart whichever way they point.
double apart_in_degrees(Vec2 a, Vec2 b) {
  return to_degrees(Radians(std::atan2(std::abs(cross(a, b)), std::abs(dot(a, b)))));
}

void add_turned_grains(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  constexpr double kOneWay = 10.0;  // degrees
  constexpr double kSquare = 75.0;
  std::map<std::pair<std::size_t, std::string>, std::vector<const BoundPiece*>> groups;
  for (const PreparedPiece& piece : grade.pieces) {
    if (piece.bound.grain && !piece.bound.spec.layer.empty())
      groups[{piece.forme, piece.bound.spec.layer}].push_back(&piece.bound);
  }
  const auto way = [](const BoundPiece* piece) { return piece->grain->to - piece->grain->from; };
  for (const auto& [key, pieces] : groups) {
    if (pieces.size() <= kHabit) continue;
    for (const BoundPiece* piece : pieces) {
      const BoundPiece* first = pieces.front() == piece ? pieces[1] : pieces.front();
      const bool alone = std::all_of(pieces.begin(), pieces.end(), [&](const BoundPiece* other) {
        return other == piece || (apart_in_degrees(way(other), way(first)) <= kOneWay &&
                                  apart_in_degrees(way(other), way(piece)) >= kSquare);
      });
      if (!alone) continue;
      all.push_back(doubtful_finding(
          "grain turned", piece->spec.name, apart_in_degrees(way(piece), way(first)), "degrees",
          fmt::format("is how far its grain line is turned from that of {}, and the other {} of the layer {} "
                      "lie as that does: is it drawn in the wrong direction?",
                      first->spec.name, pieces.size() - 2, key.second)));
    }
  }
}

}  // namespace

std::vector<StyleFinding> check_inner_likes(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  add_inner_margins(grade, all);
  add_turned_grains(grade, all);
  return all;
}

}  // namespace lastwright
