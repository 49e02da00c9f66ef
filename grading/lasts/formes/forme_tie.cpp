#include "grading/lasts/formes/forme_tie.hpp"
#include "grading/style/forme_lookup.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

std::optional<Vec2> point_of(const FormeSpec& forme, const std::string& name) {
  for (const NamedPoint& p : forme.points) {
    if (p.name == name) return p.at;
  }
  return std::nullopt;
}

std::optional<Vec2> point_of(const LastForme& forme, const std::string& name) {
  for (const FormePoint& p : forme.points) {
    if (p.name == name) return p.at;
  }
  return std::nullopt;
}

// The last's points at the ends of a girth's line: the lower one first.
std::pair<std::string, std::string> ends_of(const std::string& girth, bool bottom) {
  const std::string mark = girth == "ball" ? "joint" : girth;
  if (bottom) return {"inside " + mark, "outside " + mark};
  return {girth == "ball" ? mark : girth + " feather", girth + " top"};
}

// Points of the style's forme beside those of the last's that are the same.
struct Pairs {
  std::vector<Vec2> style;
  std::vector<Vec2> last;
};

void add_pair(Pairs& pairs, std::optional<Vec2> style, std::optional<Vec2> last) {
  if (!style || !last) return;
  pairs.style.push_back(*style);
  pairs.last.push_back(*last);
}

Pairs pairs_of(const StyleSpec& style, const FormeSpec& forme, const LastForme& last, bool bottom) {
  Pairs pairs;
  const Vec2 along = *point_of(forme, forme.base_line.second) - *point_of(forme, forme.base_line.first);
  for (const GirthSpec& girth : style.girths) {
    for (const GirthPart& part : girth.parts) {
      const MeasureLine* line = part.forme == forme.name ? find_line(forme, part.line) : nullptr;
      const std::size_t word = girth.measure.find(" girth");
      if (!line || word == std::string::npos) continue;
      std::optional<Vec2> low = point_of(forme, line->from);
      std::optional<Vec2> high = point_of(forme, line->to);
      if (cross(along, *high - *low) < 0.0) std::swap(low, high);
      auto [first, second] = ends_of(girth.measure.substr(0, word), bottom);
      // On the bottom of a right last the inside is above.
      if (bottom && point_of(last, first) && point_of(last, second) &&
          point_of(last, first)->y > point_of(last, second)->y)
        std::swap(first, second);
      add_pair(pairs, low, point_of(last, first));
      add_pair(pairs, high, point_of(last, second));
    }
  }
  if (!pairs.style.empty()) add_pair(pairs, point_of(forme, forme.fixed_point), point_of(last, "heel"));
  return pairs;
}

std::array<double, 3> weights_in(const Corners& t, const std::vector<Vec2>& nodes, Vec2 p) {
  const std::array<Vec2, 3> q{nodes[t[0]], nodes[t[1]], nodes[t[2]]};
  const double area = cross(q[1] - q[0], q[2] - q[0]);
  std::array<double, 3> w{};
  for (std::size_t k = 0; k < 3; ++k) w[k] = cross(q[(k + 1) % 3] - p, q[(k + 2) % 3] - p) / area;
  return w;
}

double off_triangle(const Corners& t, const std::vector<Vec2>& nodes, Vec2 p) {
  double least = 1e300;
  for (std::size_t k = 0; k < 3; ++k) {
    const Vec2 a = nodes[t[k]];
    const Vec2 side = nodes[t[(k + 1) % 3]] - a;
    const double s = std::clamp(dot(p - a, side) / square_of(side), 0.0, 1.0);
    least = std::min(least, distance(p, a + s * side));
  }
  return least;
}

// The triangle a point lies in, or the nearest one, from which its place is told on.
TiedPoint tied_point(const NamedPoint& named, const FormeTie& tie, const LastForme& last) {
  TiedPoint point{named.name, named.at, 1e300, false, 0, {}};
  const Vec2 p = tie.to_last(named.at);
  for (std::uint32_t n = 0; n < last.mesh.triangles.size(); ++n) {
    const std::array<double, 3> w = weights_in(last.mesh.triangles[n], last.nodes, p);
    const double off =
        std::min({w[0], w[1], w[2]}) >= 0.0 ? 0.0 : off_triangle(last.mesh.triangles[n], last.nodes, p);
    if (off >= point.outside) continue;
    point.outside = off;
    point.triangle = n;
    point.weights = w;
  }
  point.on_last = point.outside <= kBeyondLast;
  return point;
}

}  // namespace

std::vector<FormeTie> tie_formes(const StyleSpec& style, const LastFormes& base) {
  std::vector<FormeTie> ties;
  for (std::size_t f = 0; f < style.formes.size(); ++f) {
    const FormeSpec& forme = style.formes[f];
    const std::optional<FormeRole> role = role_of(forme);
    if (!role) continue;
    FormeTie tie;
    tie.forme = f;
    tie.bottom = *role == FormeRole::kBottom;
    const LastForme& last = tie.bottom ? base.bottom : base.mean;
    const Pairs pairs = pairs_of(style, forme, last, tie.bottom);
    if (pairs.style.size() < 2) continue;
    tie.to_last = best_motion(pairs.style, pairs.last);
    for (std::size_t i = 0; i < pairs.style.size(); ++i)
      tie.misfit = std::max(tie.misfit, distance(tie.to_last(pairs.style[i]), pairs.last[i]));
    for (const NamedPoint& named : forme.points) tie.points.push_back(tied_point(named, tie, last));
    ties.push_back(std::move(tie));
  }
  return ties;
}

LastPlaces places_by_last(const FormeTie& tie, const FormeSpec& forme, const LastFormes& formes) {
  const LastForme& last = tie.bottom ? formes.bottom : formes.mean;
  std::vector<Vec2> drawn;
  std::vector<Vec2> reached;
  std::size_t fixed = 0;
  for (const TiedPoint& point : tie.points) {
    if (!point.on_last) continue;
    const Corners& t = last.mesh.triangles[point.triangle];
    Vec2 at;
    for (std::size_t k = 0; k < 3; ++k) at += point.weights[k] * last.nodes[t[k]];
    if (point.name == forme.fixed_point) fixed = drawn.size();
    drawn.push_back(point.drawn);
    reached.push_back(at);
  }
  LastPlaces places(tie.points.size());
  if (drawn.empty()) return places;
  FlatMotion back = best_turn(reached, reached[fixed], drawn, drawn[fixed]);
  back.shift += drawn[fixed];
  std::size_t next = 0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (tie.points[i].on_last) places[i] = back(reached[next++]);
  }
  return places;
}

}  // namespace lastwright
