#include "grading/checks/allowances/drawn_net.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

#include "geometry/curve/course.hpp"
#include "geometry/curve/path_station.hpp"
#include "grading/checks/girths/base_edges.hpp"
#include "grading/style/seam_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kLeastNet = 20.0;          // mm; shorter edges run alike by chance
constexpr double kLeastOver = 1.0;          // mm; less is how finely two mates are drawn
constexpr double kMostOver = 25.0;          // mm; two allowances
constexpr double kEvenOver = 0.2;           // mm; what is drawn to a tenth varies as much
constexpr double kWithin = 0.5;             // mm; an edge on the rim of the other piece lies over nothing
constexpr std::size_t kMostNetEdges = 600;  // of a style; with more nothing is looked at

class DrawnNet {
 public:
  DrawnNet(const StyleSpec& style, const StyleGrade& grade) : style_(style), grade_(grade) {}

  std::vector<StyleFinding> find() {
    const std::vector<BaseEdge> edges =
        base_edges(grade_, kLeastNet,
                   [](const PieceSpec& piece, const EdgeSpec& edge) { return piece.fold != edge.name; });
    if (edges.size() > kMostNetEdges) return {};
    struct Pair {
      const BaseEdge* one;
      const BaseEdge* other;
      Over over;
    };
    std::map<std::pair<std::size_t, std::size_t>, Pair> longest;  // by the two pieces
    for (std::size_t i = 0; i < edges.size(); ++i) {
      for (std::size_t k = i + 1; k < edges.size(); ++k) {
        if (!may_be_mates(edges[i], edges[k])) continue;
        const std::optional<Over> over = lie_over(edges[i], edges[k]);
        if (!over) continue;
        const Pair here{&edges[i], &edges[k], *over};
        const auto [at, added] = longest.emplace(std::pair(edges[i].piece, edges[k].piece), here);
        if (!added && over->length > at->second.over.length) at->second = here;
      }
    }
    std::vector<StyleFinding> all;
    for (const auto& [pieces, pair] : longest)
      all.push_back(doubtful_finding(
          "drawn net", edge_of_piece(grade_, *pair.one) + " and " + edge_of_piece(grade_, *pair.other),
          pair.over.by, "mm",
          fmt::format(
              "is how far they lie over each other, alike along {:.0f} mm, and no seam joins the two "
              "pieces: they look drawn as cut, with so much allowance there in all, and are stated as "
              "drawn net, so that what is stated as allowance would be cut a second time. State "
              "\"drawn\": \"cut\" on them, the allowances with which they are drawn, \"form\": "
              "\"mitre\" at corners that are drawn so, and the seam",
              pair.over.length)));
    return all;
  }

 private:
  struct Over {
    double by = 0.0;      // mm
    double length = 0.0;  // mm of the shorter edge
  };

  [[nodiscard]] bool may_be_mates(const BaseEdge& one, const BaseEdge& other) const {
    const PieceSpec& here = spec_of(grade_, one);
    const PieceSpec& there = spec_of(grade_, other);
    if (one.piece == other.piece || here.forme != there.forme ||
        role_of(grade_.formes[grade_.pieces[one.piece].forme].map.forme()) == FormeRole::kBottom ||
        (here.drawn == Drawn::kCut && there.drawn == Drawn::kCut) ||
        (!here.layer.empty() && !there.layer.empty() && here.layer != there.layer) ||
        !one.box.grown(kMostOver).overlaps(other.box))
      return false;
    const Vec2 a = one.path.vertices.back().at - one.path.vertices.front().at;
    const Vec2 b = other.path.vertices.back().at - other.path.vertices.front().at;
    return dot(a, b) < 0.0 &&
           std::none_of(style_.seams.begin(), style_.seams.end(),
                        [&](const SeamSpec& seam) { return seam_joins(seam, here.name, there.name); });
  }

  // Inside it, and not on its rim.
  [[nodiscard]] bool well_inside(std::size_t piece, Vec2 p) {
    const auto [net, added] = nets_.try_emplace(piece);
    if (added) net->second = grade_.drawn_piece(piece, grade_.base_cell()).net.path;
    return contains(net->second, p) && distance_to(net->second, p) > kWithin;
  }

  // Between a tenth and nine tenths of the shorter: at its ends the corners go their own ways.
  [[nodiscard]] std::optional<Over> lie_over(const BaseEdge& one, const BaseEdge& other) {
    constexpr int kParts = 20;
    constexpr int kEnds = 2;
    const BaseEdge& shorter = one.length <= other.length ? one : other;
    const BaseEdge& longer = one.length <= other.length ? other : one;
    const Course here(shorter.path);
    double least = kMostOver;
    double most = 0.0;
    for (int i = kEnds; i <= kParts - kEnds; ++i) {
      const double off = distance_to(longer.path, here.at(here.length() * i / kParts).at);
      least = std::min(least, off);
      most = std::max(most, off);
      if (least < kLeastOver || most > kMostOver || most - least > kEvenOver) return std::nullopt;
    }
    const Vec2 middle = here.at(0.5 * here.length()).at;
    const Vec2 nearest = Course(longer.path).at(nearest_station(longer.path, middle).along).at;
    if (!well_inside(longer.piece, middle) || !well_inside(shorter.piece, nearest)) return std::nullopt;
    return Over{0.5 * (least + most), here.length() * (kParts - 2 * kEnds) / kParts};
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  std::map<std::size_t, ClosedArcPath> nets_;
};

}  // namespace

std::vector<StyleFinding> check_drawn_net(const StyleSpec& style, const StyleGrade& grade) {
  return DrawnNet(style, grade).find();
}

}  // namespace lastwright
