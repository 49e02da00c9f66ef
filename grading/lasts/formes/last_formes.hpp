// The flat formes of one last, base or graded: outside, inside, their mean, and the bottom.
#pragma once

#include <optional>

#include "geometry/curve/arc_path.hpp"
#include "geometry/flatten/flat_lines.hpp"
#include "geometry/flatten/stretch.hpp"
#include "geometry/solid/section.hpp"
#include "grading/lasts/formes/last_skin.hpp"

namespace lastwright {

struct FormePoint {
  std::string name;
  Vec2 at;
};

// A line of a forme beside its length on the last.
struct FormeLine {
  std::string name;
  OpenArcPath path;
  double on_last = 0.0;  // mm
  double flat = 0.0;
  bool kept = false;  // flattening keeps its total
};

// A cut square into an upper forme from its feather, where the flat feather is longer than the last's: laid
// on the last the forme overlaps there by `takes_in`, and lasting takes in as much. Below 0 it opens instead.
struct FormeNick {
  OpenArcPath path;       // from the feather inward
  double along = 0.0;     // mm on the last from the heel along the feather
  double takes_in = 0.0;  // mm
};

struct ZoneFigures {
  std::string name;  // "heel", "waist", "ball", "toe"
  StretchFigures stretch;
};

// Flat, x towards the toe, the heel at the origin. Uppers: y up, toe to the right whichever side; bottoms as
// seen from above.
struct LastForme {
  std::string name;             // "outside", "inside", "mean", "bottom"
  FlatMesh mesh;                // shapes on the last
  std::vector<Vec2> nodes;      // of the mesh, flat
  std::vector<FormeLine> rims;  // one after the other round the forme, counter-clockwise
  std::vector<FormeLine> lines;
  std::vector<FormePoint> points;
  std::vector<FormeNick> nicks;  // of uppers, from heel to toe
  StretchFigures stretch;
  std::vector<ZoneFigures> zones;
  int steps = 0;
  double worst_line = 0.0;  // mm: largest miss of a kept line's total
};

// How far the outside forme lies from the inside one, heel and vamp point laid on each other.
struct SideGap {
  std::string where;
  double most = 0.0;  // mm
};

struct LastFormes {
  LastForme outside, inside, mean, bottom;
  std::vector<SideGap> apart;
  std::vector<std::string> notes;
};

// Where points lie that no landmark tells, as shares of the stick length. Common practice.
struct FormeShares {
  double vamp_point = 0.39;     // along the front line from the toe
  double counter_point = 0.21;  // along the back curve from the heel
};

// Where an upper forme is nicked: each time the flat feather has gained this much on the last's. Common
// practice.
struct FormeNicks {
  double each = 1.5;    // mm
  double depth = 12.0;  // mm: less than a lasting margin
};

struct FormeOptions {
  FormeShares shares;
  FormeNicks nicks;
  bool keep_feather = false;  // the feather's length is kept too; girths and areas give way
  double line_limit = 0.05;   // mm: totals of kept lines farther off are refused
};

// A last as its formes see it.
struct FormedLast {
  const LastSkin* skin = nullptr;
  const SpaceMap* map = nullptr;  // from the skin's points to the last's; null: the base itself
  const Body* body = nullptr;     // the last's own surfaces, on which girths are measured
  const Landmarks* landmarks = nullptr;
  const std::vector<MeasureDefinition>* definitions = nullptr;
  const std::vector<Measured>* values = nullptr;  // in the order of the definitions
  double stick = 0.0;                             // mm
};

// `start`: the formes of the base, whose copies are nearer than the first
// guess; null for the base. Refuses what cannot be flattened and a kept line
// that misses its length by more than the limit, naming forme and line.
Result<LastFormes> make_formes(const FormedLast& last, const LastFormes* start,
                               const FormeOptions& options = {});

}  // namespace lastwright
