#include "grading/pieces/piece_edges.hpp"

#include <cmath>
#include <utility>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Walked {
  ArcSegment segment;
  std::uint16_t edge = 0;
  bool drawn_half = true;
};

// Where a segment that passes over the fold is cut by it: by halving, because it is rare.
double crossing(const ArcSegment& segment, const Mirror& fold) {
  double low = 0.0;
  double high = 1.0;
  const bool starts_left = fold.side(segment.a) > 0.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    ((fold.side(segment.point_at(middle)) > 0.0) == starts_left ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

std::vector<Walked> walk(const EdgedOutline& net, const std::optional<Mirror>& fold) {
  const double off = tolerance::kSamePoint.value();
  std::vector<Walked> walked;
  walked.reserve(net.path.size() + 2);
  for (std::size_t i = 0; i < net.path.size(); ++i) {
    const ArcSegment segment = net.path.segment(i);
    if (!fold) {
      walked.push_back({segment, net.edge[i], true});
      continue;
    }
    const double a = fold->side(segment.a);
    const double b = fold->side(segment.b);
    if ((a > off && b < -off) || (a < -off && b > off)) {
      const double t = crossing(segment, *fold);
      walked.push_back({segment.part(0.0, t), net.edge[i], a > 0.0});
      walked.push_back({segment.part(t, 1.0), net.edge[i], b > 0.0});
    } else {
      walked.push_back({segment, net.edge[i], fold->side(segment.point_at(0.5)) > 0.0});
    }
  }
  return walked;
}

}  // namespace

PieceEdges::PieceEdges(const EdgedOutline& net, std::size_t edges, const std::optional<Mirror>& fold)
    : fold_(fold), edges_(edges) {
  const std::vector<Walked> walked = walk(net, fold);
  const std::size_t n = walked.size();
  const auto same_run = [](const Walked& a, const Walked& b) {
    return a.edge == b.edge && a.drawn_half == b.drawn_half;
  };
  std::size_t first = 0;
  for (std::size_t i = 0; i < n; ++i) {
    if (!same_run(walked[i], walked[(i + n - 1) % n])) {
      first = i;
      break;
    }
  }
  for (std::size_t k = 0; k < n; ++k) {
    const Walked& here = walked[(first + k) % n];
    if (!here.drawn_half) continue;
    OpenArcPath& path = edges_[here.edge];
    if (!path.vertices.empty()) path.vertices.pop_back();
    path.vertices.push_back({here.segment.a, here.segment.bulge});
    path.vertices.push_back({here.segment.b, 0.0});
  }
}

OpenArcPath PieceEdges::chain(std::span<const std::uint16_t> edges) const {
  OpenArcPath chain;
  for (const std::uint16_t i : edges) {
    const OpenArcPath& next = edges_[i];
    if (next.size() == 0) return {};
    if (!chain.vertices.empty()) chain.vertices.pop_back();
    chain.vertices.insert(chain.vertices.end(), next.vertices.begin(), next.vertices.end());
  }
  return chain;
}

bool PieceEdges::on_fold(Vec2 p) const {
  return fold_ && std::abs(fold_->side(p)) <= tolerance::kMapped.value();
}

FoldedPath through_fold(OpenArcPath path, const PieceEdges& edges) {
  if (path.size() == 0) return {std::move(path), false, false};
  const bool starts = edges.on_fold(path.vertices.front().at);
  const bool ends = edges.on_fold(path.vertices.back().at);
  if (starts == ends) return {std::move(path), false, false};
  OpenArcPath image = reversed(edges.fold()->image(path));
  OpenArcPath& first = starts ? image : path;
  const OpenArcPath& second = starts ? path : image;
  first.vertices.pop_back();
  first.vertices.insert(first.vertices.end(), second.vertices.begin(), second.vertices.end());
  return {std::move(first), true, ends};
}

}  // namespace lastwright
