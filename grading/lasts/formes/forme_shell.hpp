// A forme before it is flat: the shape of its triangles, its rims and lines with their lengths on the last.
#pragma once

#include "grading/lasts/formes/last_formes.hpp"

namespace lastwright {

struct ShellLine {
  std::string name;
  HeldLine line;
  bool kept = true;       // flattening keeps its total
  bool backward = false;  // a rim that is walked against its chain on the way round the forme
};

struct FormeShell {
  std::string name;
  FlatMesh mesh;
  std::vector<ShellLine> rims;  // counter-clockwise round the forme
  std::vector<ShellLine> lines;
  std::vector<Vec2> view;  // where the nodes lie on the last, seen from the side or from above
  std::uint32_t heel = 0;  // nodes at the two ends of the feather
  std::uint32_t toe = 0;
  std::optional<FormeNicks> nicks;  // of an upper, whose first rim is the feather
};

std::vector<Vec3> images(const std::vector<Vec3>& points, const SpaceMap* map);
double length_of(const std::vector<Vec3>& points);
double sum_of(const std::vector<double>& steps);

// Flat, with figures, not yet laid or drawn. `start`: a flat copy to begin with, or null. Refuses what cannot
// be flattened, a kept line that is not as long as on the last, and an outline that crosses itself.
Result<LastForme> flat_forme(const FormeShell& shell, const std::vector<Vec2>* start, double stick,
                             const FormeOptions& options);

// Rims, lines and nicks where the nodes lie now.
void draw_lines(LastForme& forme, const FormeShell& shell);

}  // namespace lastwright
