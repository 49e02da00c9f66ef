#include "grading/draft/like_edges.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>

namespace lastwright {

namespace {

constexpr double kLeastLikeLength = 20.0;  // mm, of the larger of two: less is a rounding or a notch
constexpr double kLikeWithin = 0.002;      // both lengths, of themselves; every sample, of the edge's chord
constexpr double kOffCircle = 0.02;        // of the length: ten times that
constexpr std::size_t kMostLikeEdges = 2000;

// An edge moved, turned and made smaller, so that it runs from (0, 0) to (1, 0).
struct BentEdge {
  std::size_t piece = 0;
  double length = 0.0;
  std::vector<Vec2> shape;
};

// How far the samples leave the circle, or the straight line, through both ends and the middle.
double off_circle(const std::vector<Vec2>& samples) {
  const Vec2 a = samples.front();
  const Vec2 b = samples[samples.size() / 2] - a;
  const Vec2 c = samples.back() - a;
  const double twice = 2.0 * cross(b, c);
  double most = 0.0;
  if (std::abs(twice) < 1e-6 * dot(c, c)) {
    for (const Vec2 p : samples) most = std::max(most, off_line(a, samples.back(), p));
    return most;
  }
  const Vec2 centre{(c.y * dot(b, b) - b.y * dot(c, c)) / twice, (b.x * dot(c, c) - c.x * dot(b, b)) / twice};
  for (const Vec2 p : samples) most = std::max(most, std::abs(distance(p - a, centre) - norm(centre)));
  return most;
}

std::optional<BentEdge> bent_edge(const DraftEdge& edge, std::size_t piece) {
  const Vec2 from = edge.samples.front();
  const Vec2 way = edge.samples.back() - from;
  const double chord = norm(way);
  if (!(chord > 0.0) || chord < 0.2 * edge.length || off_circle(edge.samples) < kOffCircle * edge.length)
    return std::nullopt;
  BentEdge shown{piece, edge.length, {}};
  for (const Vec2 p : edge.samples)
    shown.shape.push_back(Vec2{dot(p - from, way), cross(way, p - from)} / (chord * chord));
  return shown;
}

// As it runs, against it, turned over, or both.
bool alike(const BentEdge& one, const BentEdge& other) {
  const std::size_t last = one.shape.size() - 1;
  for (const bool against : {true, false}) {
    for (const double over : {1.0, -1.0}) {
      bool all = true;
      for (std::size_t i = 0; all && i <= last; ++i) {
        Vec2 there = other.shape[against ? last - i : i];
        if (against) there = Vec2{1, 0} - there;
        there.y *= over;
        all = distance(one.shape[i], there) <= kLikeWithin;
      }
      if (all) return true;
    }
  }
  return false;
}

// What both are to each other: 1, one of kUnitSteps, or nothing.
std::optional<double> times_as_long(double longer, double shorter) {
  const auto is = [&](double times) { return std::abs(longer / (times * shorter) - 1.0) <= kLikeWithin; };
  if (is(1.0)) return 1.0;
  for (const double times : kUnitSteps) {
    if (is(times)) return times;
  }
  return std::nullopt;
}

}  // namespace

AlikeDrawings alike_drawings(const std::vector<DraftPiece>& pieces) {
  AlikeDrawings found;
  std::vector<BentEdge> edges;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    for (const DraftEdge& edge : pieces[i].edges) {
      if (auto shown = bent_edge(edge, i)) edges.push_back(*std::move(shown));
    }
  }
  if (edges.size() > kMostLikeEdges) return found;
  using Two = std::pair<std::string, std::string>;  // the larger first
  std::map<Two, std::vector<LikeEdges>> steps;
  std::set<Two> same;  // each once, the first by its name first
  for (std::size_t i = 0; i < edges.size(); ++i) {
    for (std::size_t k = i + 1; k < edges.size(); ++k) {
      if (pieces[edges[i].piece].drawing == pieces[edges[k].piece].drawing) continue;
      const bool first = edges[i].length >= edges[k].length;
      const BentEdge& large = edges[first ? i : k];
      const BentEdge& small = edges[first ? k : i];
      if (large.length < kLeastLikeLength) continue;
      const auto times = times_as_long(large.length, small.length);
      if (!times || !alike(large, small)) continue;
      const Two two{pieces[large.piece].drawing, pieces[small.piece].drawing};
      if (*times == 1.0) {
        same.insert(two.first < two.second ? two : Two{two.second, two.first});
        continue;
      }
      std::vector<LikeEdges>& here = steps[two];
      const auto known =
          std::find_if(here.begin(), here.end(), [&](const LikeEdges& one) { return one.times == *times; });
      LikeEdges& one = known == here.end() ? here.emplace_back() : *known;
      ++one.pairs;
      if (large.length <= one.length) continue;
      one.large = large.piece;
      one.small = small.piece;
      one.length = large.length;
      one.small_length = small.length;
      one.times = *times;
    }
  }
  for (const auto& [two, here] : steps) {
    const Two back{two.second, two.first};
    if (here.size() == 1 && !same.contains(two) && !same.contains(back) && !steps.contains(back))
      found.apart.push_back(here.front());
  }
  found.same.assign(same.begin(), same.end());
  return found;
}

}  // namespace lastwright
