#include "grading/lasts/formes/last_skin.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/flatten/cut_mesh.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

enum class RimKind { kFeather, kTop, kCut };

struct Run {
  RimKind kind = RimKind::kCut;
  std::vector<std::uint32_t> points;  // with both ends
};

// The rim of a half as runs of one kind, in walking order, the first one a feather run where there is one.
std::vector<Run> runs_of(const std::vector<std::uint32_t>& loop, const std::vector<RimKind>& kinds) {
  const auto kind_at = [&](std::size_t i) {  // of the step from point i
    const RimKind a = kinds[loop[i % loop.size()]];
    const RimKind b = kinds[loop[(i + 1) % loop.size()]];
    return a == RimKind::kCut ? b : a;
  };
  std::size_t start = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) {
    if (kind_at(i) == RimKind::kFeather && kind_at(i + loop.size() - 1) != RimKind::kFeather) start = i;
  }
  std::vector<Run> runs;
  for (std::size_t i = start; i < start + loop.size(); ++i) {
    if (runs.empty() || runs.back().kind != kind_at(i)) runs.push_back({kind_at(i), {loop[i % loop.size()]}});
    runs.back().points.push_back(loop[(i + 1) % loop.size()]);
  }
  return runs;
}

double mean_x(const SkinMesh& mesh, const Run& run) {
  double sum = 0.0;
  for (std::uint32_t i : run.points) sum += mesh.points[i].x;
  return sum / static_cast<double>(run.points.size());
}

const char* told(RimKind kind) {
  return kind == RimKind::kFeather ? "feather" : kind == RimKind::kTop ? "top line" : "cut";
}

Result<FourSides> half_of(const UpperSkin& skin, const std::function<double(Vec3)>& sheet, bool left) {
  const CutMesh cut = cut_mesh(skin.mesh, sheet, left);
  std::vector<std::uint32_t> kept;
  FourSides half;
  half.mesh = largest_part(cut.mesh, kept);
  std::vector<RimKind> by_point(cut.mesh.points.size(), RimKind::kCut);
  for (std::uint32_t i : skin.feather) by_point[i] = RimKind::kFeather;
  for (std::uint32_t i : skin.top) by_point[i] = RimKind::kTop;
  std::vector<RimKind> kinds;
  for (std::uint32_t i : kept) kinds.push_back(by_point[i]);
  std::vector<std::vector<std::uint32_t>> loops = boundary_loops(half.mesh.triangles);
  if (loops.size() != 1) {
    return Problem{Trouble::kGeometry,
                   "a side of the upper does not have one rim",
                   {},
                   static_cast<double>(loops.size()),
                   1.0};
  }
  std::vector<Run> runs = runs_of(loops.front(), kinds);
  const bool four = runs.size() == 4 && runs[0].kind == RimKind::kFeather && runs[1].kind == RimKind::kCut &&
                    runs[2].kind == RimKind::kTop && runs[3].kind == RimKind::kCut;
  if (!four) {
    std::string found;
    for (const Run& run : runs) found += (found.empty() ? "" : ", ") + std::string(told(run.kind));
    return Problem{
        Trouble::kGeometry,
        "a side of the upper is not bounded by feather, front line, top line and back curve; its rim is: " +
            found,
        {},
        {},
        {}};
  }
  // Seen with the toe to the right: the other side of the last is looked at from within.
  if (mean_x(half.mesh, runs[1]) < mean_x(half.mesh, runs[3])) {
    for (Corners& t : half.mesh.triangles) std::swap(t[1], t[2]);
    for (Run& run : runs) std::reverse(run.points.begin(), run.points.end());
    std::swap(runs[1], runs[3]);
  }
  std::reverse(runs[2].points.begin(), runs[2].points.end());
  std::reverse(runs[3].points.begin(), runs[3].points.end());
  for (std::size_t s = 0; s < 4; ++s) half.sides[s] = std::move(runs[s].points);
  return half;
}

Status add_bottom(const Body& fine, LastSkin& skin) {
  std::vector<std::uint32_t> kept;
  skin.bottom = largest_part(welded(fine, FaceRole::kBottom), kept);
  // Seen from above: its triangles look down.
  for (Corners& t : skin.bottom.triangles) std::swap(t[1], t[2]);
  std::vector<std::vector<std::uint32_t>> loops = boundary_loops(skin.bottom.triangles);
  if (loops.size() != 1) {
    return Problem{Trouble::kGeometry,
                   "the bottom of the last does not have one rim, its featherline",
                   {},
                   static_cast<double>(loops.size()),
                   1.0};
  }
  skin.feather = std::move(loops.front());
  return Done{};
}

}  // namespace

Result<LastSkin> last_skin(const Body& fine, LastFoot foot, Vec3 toe, const SkinOptions& options) {
  const Result<UpperSkin> upper = upper_skin(fine);
  if (!upper) return upper.problem();
  LastSkin skin;
  skin.notes = upper->notes;
  skin.foot = foot;
  const std::function<double(Vec3)> sheet = middle_sheet(*upper, toe);
  for (const Half half : {kOutside, kInside}) {
    const char* name = half == kOutside ? "outside" : "inside";
    const bool left = (half == kOutside) == (foot == LastFoot::kLeft);
    Result<FourSides> sides = half_of(*upper, sheet, left);
    if (!sides) return sides.problem().in("side", name);
    LastHalf& made = skin.halves[half];
    for (std::size_t s = 0; s < 4; ++s) {
      for (std::uint32_t i : sides->sides[s]) made.rims[s].push_back(sides->mesh.points[i]);
    }
    const Result<SquareMap> map = map_to_square(std::move(*sides));
    if (!map) return map.problem().in("side", name);
    Result<GridPatch> grid = sample_grid(*map, options.columns, options.rows);
    if (!grid) return grid.problem().in("side", name);
    made.grid = std::move(*grid);
  }
  split_alike(skin.halves[kOutside].grid, skin.halves[kInside].grid);
  if (Status bottom = add_bottom(fine, skin); !bottom) return bottom.problem();
  return skin;
}

}  // namespace lastwright
