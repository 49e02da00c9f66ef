#include "grading/lasts/formes/last_formes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/curve/course.hpp"
#include "grading/lasts/formes/bottom_forme.hpp"
#include "grading/lasts/formes/forme_frame.hpp"
#include "grading/lasts/formes/forme_shell.hpp"
#include "grading/lasts/formes/girth_cut.hpp"

namespace lastwright {

namespace {

constexpr double kGirthStiffness =
    3.0;  // beside front and back lines' 10: a girth crosses the front line and yields to it
constexpr double kShareError = 0.005;  // of a girth: what the grid's chords may lack of the exact section
constexpr std::array<const char*, 4> kRims{"feather", "front line", "top line", "back curve"};

Vec2 along_line(const FormeLine& line, double s) {
  return Course(line.path).at(s).at;
}

void add_points(LastForme& forme, double stick, const FormeShares& shares) {
  const auto start = [&](const FormeLine& line) { return line.path.vertices.front().at; };
  forme.points.clear();
  forme.points.push_back({"heel", start(forme.rims[0])});
  forme.points.push_back({"toe", start(forme.rims[1])});
  forme.points.push_back({"front top", start(forme.rims[2])});
  forme.points.push_back({"back top", start(forme.rims[3])});
  if (shares.vamp_point * stick < forme.rims[1].flat)
    forme.points.push_back({"vamp point", along_line(forme.rims[1], shares.vamp_point * stick)});
  if (shares.counter_point * stick < forme.rims[3].flat) {
    forme.points.push_back(
        {"counter point", along_line(forme.rims[3], forme.rims[3].flat - shares.counter_point * stick)});
  }
  for (const FormeLine& line : forme.lines) {
    const bool ball = line.name == "ball line";
    const std::string girth = line.name.substr(0, line.name.size() - 5);
    forme.points.push_back({ball ? "joint" : girth + " feather", line.path.vertices.front().at});
    forme.points.push_back({girth + " top", line.path.vertices.back().at});
  }
}

// The girths' lines on the three uppers: both sides together
// as long as the exact section, the mean half of it.
Status add_girths(const std::vector<GirthCut>& cuts, const GridPatch& grid,
                  std::array<FormeShell, 3>& shells) {
  const std::vector<std::uint32_t> feather = grid.side(0);
  const std::vector<std::uint32_t> front = grid.side(1);
  for (const GirthCut& cut : cuts) {
    std::array<HeldLine, 3> lines;
    for (std::size_t k = 0; k < 3; ++k) {
      std::vector<double> heights = cut.heights[k < 2 ? k : 0];
      for (std::size_t i = 0; k == 2 && i < heights.size(); ++i)
        heights[i] = 0.5 * (heights[i] + cut.heights[1][i]);
      lines[k] = zero_line(shells[k].mesh, heights, feather);
      const auto on_front = [&](std::uint32_t i) {
        return std::find(front.begin(), front.end(), i) != front.end();
      };
      if (lines[k].places.empty() || !on_front(lines[k].places.back().a) ||
          !on_front(lines[k].places.back().b)) {
        return Problem{
            Trouble::kGeometry,
            fmt::format("the plane of the {} girth does not run from the feather edge to the front line",
                        cut.name),
            {},
            {},
            {}}
            .in("forme", shells[k].name);
      }
    }
    const double drawn = sum_of(lines[0].steps) + sum_of(lines[1].steps);
    if (!(std::abs(drawn / cut.upper - 1.0) < kShareError)) {
      return Problem{
          Trouble::kGeometry,
          fmt::format("the skin of the {} girth is not as long on the two sides of the upper "
                      "together as round the last: {} columns of the grid are too few for it, give more "
                      "(--columns)",
                      cut.name, grid.columns),
          {},
          drawn,
          cut.upper};
    }
    for (std::size_t k = 0; k < 3; ++k) {
      lines[k].length = k < 2 ? sum_of(lines[k].steps) * cut.upper / drawn : 0.5 * cut.upper;
      lines[k].stiffness = kGirthStiffness;
      shells[k].lines.push_back({cut.name + " line", std::move(lines[k]), true, false});
    }
  }
  return Done{};
}

// `rims`: the exact lengths of the four sides.
void add_rims(FormeShell& shell, const GridPatch& grid, const std::array<double, 4>& rims,
              bool keep_feather) {
  for (std::size_t s = 0; s < 4; ++s) {
    HeldLine line = line_along(shell.mesh, grid.side(s));
    line.length = rims[s];
    shell.rims.push_back({kRims[s], std::move(line), s % 2 == 1 || (s == 0 && keep_feather), s > 1});
  }
  shell.heel = grid.node(0, 0);
  shell.toe = grid.node(grid.columns - 1, 0);
}

// The two sides and their mean.
std::array<FormeShell, 3> shells_of(const FormedLast& last, const std::array<std::vector<Vec3>, 2>& points,
                                    bool keep_feather) {
  std::array<FormeShell, 3> shells;
  std::array<double, 4> mean_rims{};
  for (std::size_t k = 0; k < 2; ++k) {
    const LastHalf& half = last.skin->halves[k];
    FormeShell& shell = shells[k];
    shell.name = k == kOutside ? "outside" : "inside";
    shell.mesh = {half.grid.mesh.triangles, flat_corners(points[k], half.grid.mesh.triangles)};
    std::array<double, 4> rims{};
    for (std::size_t s = 0; s < 4; ++s) {
      rims[s] = length_of(images(half.rims[s], last.map));
      mean_rims[s] += 0.5 * rims[s];
    }
    add_rims(shell, half.grid, rims, keep_feather);
    for (Vec3 p : points[k]) shell.view.push_back({p.x, p.z});
  }
  FormeShell& mean = shells[2];
  mean.name = "mean";
  mean.mesh = {shells[0].mesh.triangles, mean_corners(points[0], points[1], shells[0].mesh.triangles)};
  for (std::size_t i = 0; i < points[0].size(); ++i)
    mean.view.push_back(lerp(shells[0].view[i], shells[1].view[i], 0.5));
  add_rims(mean, last.skin->halves[0].grid, mean_rims, keep_feather);
  return shells;
}

Vec2 point_named(const LastForme& forme, const std::string& name) {
  const auto found = std::find_if(forme.points.begin(), forme.points.end(),
                                  [&](const FormePoint& p) { return p.name == name; });
  return found == forme.points.end() ? forme.points[1].at : found->at;  // the toe does for a vamp point
}

std::vector<SideGap> gaps_between(const LastForme& one, const LastForme& other, double stick) {
  const auto farthest_of = [&](std::size_t rim, double from, double to) {
    double most = 0.0;
    for (const ArcVertex& v : one.rims[rim].path.vertices) {
      if (v.at.x < from * stick || v.at.x >= to * stick) continue;
      most = std::max(most, distance_to(other.rims[rim].path, v.at));
    }
    return most;
  };
  return {{"feather, heel", farthest_of(0, -1.0, 0.25)}, {"feather, waist", farthest_of(0, 0.25, 0.55)},
          {"feather, ball", farthest_of(0, 0.55, 0.75)}, {"feather, toe", farthest_of(0, 0.75, 2.0)},
          {"front line", farthest_of(1, -1.0, 2.0)},     {"back curve", farthest_of(3, -1.0, 2.0)},
          {"top line", farthest_of(2, -1.0, 2.0)}};
}

}  // namespace

Result<LastFormes> make_formes(const FormedLast& last, const LastFormes* start, const FormeOptions& options) {
  const std::array<std::vector<Vec3>, 2> points{images(last.skin->halves[0].grid.mesh.points, last.map),
                                                images(last.skin->halves[1].grid.mesh.points, last.map)};
  const std::vector<Vec3> bottom = images(last.skin->bottom.points, last.map);
  const std::vector<GirthCut> cuts = girth_cuts(last, points, bottom);
  std::array<FormeShell, 3> shells = shells_of(last, points, options.keep_feather);
  for (FormeShell& shell : shells) shell.nicks = options.nicks;
  if (Status added = add_girths(cuts, last.skin->halves[0].grid, shells); !added) return added.problem();

  LastFormes formes;
  formes.notes = last.skin->notes;
  const std::array<LastForme*, 3> made{&formes.outside, &formes.inside, &formes.mean};
  const std::array<const LastForme*, 3> before{
      start ? &start->outside : nullptr, start ? &start->inside : nullptr, start ? &start->mean : nullptr};
  std::vector<Vec2> halfway;
  for (std::size_t k = 0; k < 3; ++k) {
    if (k == 2 && !start) {
      halfway = formes.outside.nodes;
      for (std::size_t i = 0; i < halfway.size(); ++i)
        halfway[i] = lerp(halfway[i], formes.inside.nodes[i], 0.5);
    }
    const std::vector<Vec2>* from = before[k] ? &before[k]->nodes : k == 2 ? &halfway : nullptr;
    Result<LastForme> forme = flat_forme(shells[k], from, last.stick, options);
    if (!forme) return forme.problem();
    *made[k] = std::move(*forme);
    // As the last stands, seen from the side, heel at the origin.
    std::vector<Vec2>& nodes = made[k]->nodes;
    lay(nodes, best_turn(nodes, nodes[shells[k].heel], shells[k].view, shells[k].view[shells[k].heel]));
    draw_lines(*made[k], shells[k]);
    add_points(*made[k], last.stick, options.shares);
  }
  for (std::size_t k = 0; k < 2; ++k) {
    lay(made[k]->nodes,
        lay_on({}, point_named(*made[k], "vamp point"), {}, point_named(formes.mean, "vamp point")));
    draw_lines(*made[k], shells[k]);
    add_points(*made[k], last.stick, options.shares);
  }
  formes.apart = gaps_between(formes.outside, formes.inside, last.stick);
  Result<LastForme> flat = flat_bottom(last, bottom, cuts, start ? &start->bottom : nullptr, options);
  if (!flat) return flat.problem();
  formes.bottom = std::move(*flat);
  return formes;
}

}  // namespace lastwright
