#include "grading/lasts/formes/forme_shell.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/check/simple.hpp"
#include "geometry/flatten/conformal.hpp"
#include "geometry/flatten/flatten.hpp"
#include "grading/lasts/formes/forme_nicks.hpp"

namespace lastwright {

namespace {

Problem line_missed(const std::string& forme, const std::string& line, double off, double limit) {
  return Problem{Trouble::kCheck, "a line of the flat forme is not as long as on the last", {}, off, limit}
      .in("line", line)
      .in("forme", forme);
}

// The rims make one outline that does not cross itself.
Status check_outline(const LastForme& forme) {
  ClosedArcPath round;
  for (const FormeLine& rim : forme.rims) {
    round.vertices.insert(round.vertices.end(), rim.path.vertices.begin(), rim.path.vertices.end() - 1);
  }
  Status simple = check_simple(round);
  if (!simple) return simple.problem().in("forme", forme.name);
  return Done{};
}

void add_zones(LastForme& forme, const std::vector<Vec2>& view, double stick) {
  const auto from_to = [&](const char* name, double from, double to) {
    std::vector<bool> counts;
    for (const Corners& t : forme.mesh.triangles) {
      const double share = (view[t[0]].x + view[t[1]].x + view[t[2]].x) / (3.0 * stick);
      counts.push_back(share >= from && share < to);
    }
    forme.zones.push_back({name, stretch_figures(forme.mesh, forme.nodes, counts)});
  };
  forme.stretch = stretch_figures(forme.mesh, forme.nodes);
  from_to("heel", -1.0, 0.25);
  from_to("waist", 0.25, 0.55);
  from_to("ball", 0.55, 0.75);
  from_to("toe", 0.75, 2.0);
}

}  // namespace

std::vector<Vec3> images(const std::vector<Vec3>& points, const SpaceMap* map) {
  std::vector<Vec3> result = points;
  if (map) {
    for (Vec3& p : result) p = (*map)(p);
  }
  return result;
}

double length_of(const std::vector<Vec3>& points) {
  double length = 0.0;
  for (std::size_t i = 1; i < points.size(); ++i) length += distance(points[i - 1], points[i]);
  return length;
}

double sum_of(const std::vector<double>& steps) {
  double sum = 0.0;
  for (double s : steps) sum += s;
  return sum;
}

Result<LastForme> flat_forme(const FormeShell& shell, const std::vector<Vec2>* start, double stick,
                             const FormeOptions& options) {
  std::vector<Vec2> first;
  if (start) {
    first = *start;
  } else {
    Result<std::vector<Vec2>> guess = conformal_copy(shell.mesh, shell.view.size(), shell.heel, shell.toe);
    if (!guess) return guess.problem().in("forme", shell.name);
    first = std::move(*guess);
  }
  std::vector<HeldLine> held;
  for (const std::vector<ShellLine>* some : {&shell.rims, &shell.lines}) {
    for (const ShellLine& line : *some) {
      if (line.kept) held.push_back(line.line);
    }
  }
  Result<Flattened> flat = flatten(shell.mesh, std::move(held), std::move(first));
  if (!flat) return flat.problem().in("forme", shell.name);
  LastForme forme;
  forme.name = shell.name;
  forme.mesh = shell.mesh;
  forme.nodes = std::move(flat->points);
  forme.steps = flat->steps;
  add_zones(forme, shell.view, stick);
  draw_lines(forme, shell);
  for (const std::vector<FormeLine>* some : {&forme.rims, &forme.lines}) {
    for (const FormeLine& line : *some) {
      if (!line.kept) continue;
      const double off = std::abs(line.flat - line.on_last);
      forme.worst_line = std::max(forme.worst_line, off);
      if (!(off <= options.line_limit)) return line_missed(forme.name, line.name, off, options.line_limit);
    }
  }
  if (Status simple = check_outline(forme); !simple) return simple.problem();
  return forme;
}

void draw_lines(LastForme& forme, const FormeShell& shell) {
  const auto drawn = [&](const ShellLine& named) {
    FormeLine line{named.name, smooth_copy(named.line, forme.nodes), named.line.length, 0.0, named.kept};
    line.flat = length(line.path);
    if (named.backward) line.path = reversed(line.path);
    return line;
  };
  forme.rims.clear();
  forme.lines.clear();
  for (const ShellLine& rim : shell.rims) forme.rims.push_back(drawn(rim));
  for (const ShellLine& line : shell.lines) forme.lines.push_back(drawn(line));
  forme.nicks.clear();
  if (shell.nicks) forme.nicks = forme_nicks(shell.rims.front().line, forme.nodes, *shell.nicks);
}

}  // namespace lastwright
