#include "grading/draft/point_references.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "geometry/curve/spaced_points.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/drawing/drawn_marks.hpp"

namespace lastwright {
namespace {

constexpr double kOnEdge = 0.04;           // mm: places are judged on chords of the edges
constexpr double kSameMarkedPlace = 1e-3;  // mm
constexpr double kFromEnd = 1.0;           // mm: what lies nearer to an end was meant to be the end

bool is_corner(const std::vector<DraftPiece>& pieces, const DraftForme& forme, const std::string& name) {
  return std::any_of(forme.pieces.begin(), forme.pieces.end(), [&](std::size_t i) {
    return std::any_of(pieces[i].corners.begin(), pieces[i].corners.end(),
                       [&](const DraftCorner& corner) { return corner.named_point && corner.name == name; });
  });
}

std::vector<std::size_t> likeliest_first(const std::vector<DraftPiece>& pieces, const DraftForme& forme) {
  std::vector<std::size_t> order = forme.pieces;
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return naming_rank(pieces[a]) < naming_rank(pieces[b]); });
  return order;
}

struct OnEdge {
  double share = 0.0;
  Vec2 at;
};

// Where the edge passes the place; none where it does not, or only near an end.
std::optional<OnEdge> share_of(const DraftEdge& edge, Vec2 place) {
  constexpr int kSamples = 256;
  constexpr double kGrid = 1e8;
  const auto off = [&](double share) {
    return distance(points_at_shares(edge.curves, {share}).front(), place);
  };
  int best = 0;
  for (int i = 1; i <= kSamples; ++i) {
    if (off(static_cast<double>(i) / kSamples) < off(static_cast<double>(best) / kSamples)) best = i;
  }
  double low = std::max(0.0, (best - 1.0) / kSamples);
  double high = std::min(1.0, (best + 1.0) / kSamples);
  for (int round = 0; round < 60; ++round) {
    const double third = (high - low) / 3.0;
    (off(low + third) < off(high - third) ? high : low) +=
        off(low + third) < off(high - third) ? -third : third;
  }
  const double share = std::round(0.5 * (low + high) * kGrid) / kGrid;
  if (std::min(share, 1.0 - share) * edge.length < kFromEnd || off(share) > kOnEdge) return std::nullopt;
  return OnEdge{share, points_at_shares(edge.curves, {share}).front()};
}

// By the text beside it, where a style finds that mark by it.
std::optional<nlohmann::ordered_json> stated_mark(const std::vector<DraftPiece>& pieces,
                                                  const DraftForme& forme,
                                                  const std::map<std::string, std::vector<NamedMark>>& marks,
                                                  const std::map<std::string, const Drawing*>& drawings,
                                                  const NamedPoint& point) {
  const auto of_forme = marks.find(forme.name);
  if (of_forme == marks.end()) return std::nullopt;
  for (const NamedMark& mark : of_forme->second) {
    if (mark.name != point.name || pieces[*mark.piece].from_drawing) continue;
    const Result<Vec2> there = mark_named(*drawings.at(mark.drawing), mark.written);
    if (!there.ok() || distance(*there, point.at) > kSameMarkedPlace) continue;
    nlohmann::ordered_json said{{"mark", mark.written}};
    const bool one = std::all_of(forme.pieces.begin(), forme.pieces.end(),
                                 [&](std::size_t i) { return pieces[i].drawing == mark.drawing; });
    if (!one) said["drawing"] = mark.drawing;
    return said;
  }
  return std::nullopt;
}

}  // namespace

void state_references(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
                      const std::map<std::string, std::vector<NamedMark>>& marks,
                      const std::map<std::string, const Drawing*>& drawings, StyleSpec& style) {
  for (std::size_t f = 0; f < formes.size(); ++f) {
    for (NamedPoint& point : style.formes[f].points) {
      if (is_corner(pieces, formes[f], point.name)) continue;
      const std::string pointer =
          pointer_to(pointer_to("/formes", style.formes[f].name) + "/points", point.name);
      if (const auto said = stated_mark(pieces, formes[f], marks, drawings, point)) {
        style.references.push_back({pointer, said->dump()});
        continue;
      }
      // The tips of a strap are where they are, whatever corners are put on it or taken off.
      if (formes[f].constant_width && (point.name == "start" || point.name == "end")) continue;
      bool stated = false;
      for (const std::size_t i : likeliest_first(pieces, formes[f])) {
        const DraftPiece& piece = pieces[i];
        if (piece.from_drawing) continue;  // it is found as it is drawn, which is elsewhere
        for (const DraftEdge& edge : piece.edges) {
          if (stated || !on_edge(edge, point.at)) continue;
          const std::optional<OnEdge> there = share_of(edge, point.at);
          if (!there) continue;
          point.at = there->at;
          nlohmann::ordered_json said{{"along", edge.name}, {"of", piece.name}, {"share", there->share}};
          style.references.push_back({pointer, said.dump()});
          stated = true;
        }
      }
    }
  }
}

}  // namespace lastwright
