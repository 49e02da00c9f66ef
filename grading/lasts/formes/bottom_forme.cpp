#include "grading/lasts/formes/bottom_forme.hpp"

#include <algorithm>

#include "grading/lasts/formes/forme_frame.hpp"
#include "grading/lasts/formes/forme_shell.hpp"

namespace lastwright {

namespace {

struct OnRim {
  std::size_t from = 0;  // index into the loop
  double share = 0.0;    // of the way to its next point
};

OnRim nearest_on(const std::vector<Vec3>& points, const std::vector<std::uint32_t>& loop, Vec3 p) {
  OnRim best;
  double least = 1e300;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Vec3 a = points[loop[i]];
    const Vec3 b = points[loop[(i + 1) % loop.size()]];
    const double whole = dot(b - a, b - a);
    const double t = whole > 0.0 ? std::clamp(dot(p - a, b - a) / whole, 0.0, 1.0) : 0.0;
    const double off = distance(p, lerp(a, b, t));
    if (off < least) {
      least = off;
      best = {i, t};
    }
  }
  return best;
}

// The loop from one of its points on to another, both counted in.
std::vector<std::uint32_t> part_of(const std::vector<std::uint32_t>& loop, std::size_t from, std::size_t to) {
  std::vector<std::uint32_t> part;
  for (std::size_t i = from; i != to; i = (i + 1) % loop.size()) part.push_back(loop[i]);
  part.push_back(loop[to]);
  return part;
}

ShellLine rim_of(const FormeShell& shell, const std::string& name, const std::vector<Vec3>& points,
                 const std::vector<std::uint32_t>& chain, bool kept) {
  HeldLine line = line_along(shell.mesh, chain);
  line.length = length_of(points, chain);
  return {name, std::move(line), kept, false};
}

// Straight lines across between landmarks on the featherline; the marks themselves are points.
void add_marks(LastForme& forme, const FormedLast& last, const std::vector<Vec3>& points) {
  const std::vector<std::uint32_t>& loop = last.skin->feather;
  const auto flat_of = [&](const std::string& landmark) {
    const OnRim at = nearest_on(points, loop, last.body->at(last.landmarks->at(landmark)).p);
    return lerp(forme.nodes[loop[at.from]], forme.nodes[loop[(at.from + 1) % loop.size()]], at.share);
  };
  forme.points = {{"heel", flat_of("heel feather")}, {"toe", flat_of("toe feather")}};
  for (const char* mark : {"tread", "waist", "instep", "seat"}) {
    const std::string name = mark;
    if (!last.landmarks->contains(name + " outside") || !last.landmarks->contains(name + " inside")) continue;
    const Vec2 outside = flat_of(name + " outside");
    const Vec2 inside = flat_of(name + " inside");
    const std::string as = name == "tread" ? "joint" : name;
    forme.points.push_back({"inside " + as, inside});
    forme.points.push_back({"outside " + as, outside});
    const double straight = distance(last.body->at(last.landmarks->at(name + " outside")).p,
                                     last.body->at(last.landmarks->at(name + " inside")).p);
    forme.lines.push_back(
        {name + " width", {{{inside, 0.0}, {outside, 0.0}}}, straight, distance(inside, outside), false});
  }
}

}  // namespace

Result<LastForme> flat_bottom(const FormedLast& last, const std::vector<Vec3>& points,
                              const std::vector<GirthCut>& cuts, const LastForme* start,
                              const FormeOptions& options) {
  const std::vector<std::uint32_t>& loop = last.skin->feather;
  FormeShell shell;
  shell.name = "bottom";
  shell.mesh = {last.skin->bottom.triangles, flat_corners(points, last.skin->bottom.triangles)};
  for (Vec3 p : points) shell.view.push_back({p.x, p.y});
  const auto at_mark = [&](const char* name) {
    return nearest_on(points, loop, last.body->at(last.landmarks->at(name)).p).from;
  };
  const std::size_t heel = at_mark("heel feather");
  const std::size_t toe = at_mark("toe feather");
  shell.heel = loop[heel];
  shell.toe = loop[toe];
  // Counter-clockwise from above the right-hand side comes first.
  const bool left = last.skin->foot == LastFoot::kLeft;
  shell.rims = {rim_of(shell, left ? "inside feather" : "outside feather", points, part_of(loop, heel, toe),
                       options.keep_feather),
                rim_of(shell, left ? "outside feather" : "inside feather", points, part_of(loop, toe, heel),
                       options.keep_feather)};
  for (const GirthCut& cut : cuts) {
    HeldLine line = zero_line(shell.mesh, cut.bottom_heights, part_of(loop, heel, toe));
    if (line.places.empty()) {
      return Problem{
          Trouble::kGeometry, "the plane of a girth does not cross the bottom from side to side", {}, {}, {}}
          .in("girth", cut.name);
    }
    line.length = cut.bottom;
    line.stiffness = 3.0;
    shell.lines.push_back({cut.name + " line", std::move(line), true, false});
  }
  Result<LastForme> forme = flat_forme(shell, start ? &start->nodes : nullptr, last.stick, options);
  if (!forme) return forme;
  add_marks(*forme, last, points);
  lay(forme->nodes, lay_on(forme->points[0].at, forme->points[1].at, {}, {1.0, 0.0}));
  draw_lines(*forme, shell);
  add_marks(*forme, last, points);
  return forme;
}

}  // namespace lastwright
