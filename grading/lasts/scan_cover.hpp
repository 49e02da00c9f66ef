// What of a nominal last a scan shows: where its points lie, and where it has holes.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <vector>

#include "grading/lasts/form_deviation.hpp"
#include "grading/lasts/last_foot.hpp"
#include "grading/lasts/scan_fit.hpp"

namespace lastwright {

// A place of the form is seen where a point of the scan that is not left out has its foot this near: scans
// are filled up to a point for each millimetre of their triangles.
inline constexpr double kSeenWithin = 1.5;  // mm
// Farther than this is not looked for the next point.
inline constexpr double kLooksFor = 12.0;  // mm
// How far out or in the surface may lie at a place so far from what is seen: half of what is beyond. That is
// a bulge as high as a sixth of a hole of 15 mm. A rule, and no proof: a scan says nothing of what it lacks.
double may_lie_off(double away);

// Where points lie, for the nearest of them.
class SeenPoints {
 public:
  explicit SeenPoints(const ScanFit& fit);
  [[nodiscard]] double nearest(Vec3 p) const;  // mm, at most kLooksFor
  // What is left out within that of a place: how far the farthest of it lies out and in.
  struct LeftOut {
    double out = 0.0;
    double in = 0.0;  // not above 0
  };
  [[nodiscard]] LeftOut left_out(Vec3 p) const;

 private:
  using Cell = std::array<int, 3>;
  [[nodiscard]] Cell cell_of(Vec3 p) const;
  [[nodiscard]] std::size_t index(const Cell& cell) const;
  const ScanFit* fit_;
  Vec3 low_;
  Cell count_{0, 0, 0};
  std::vector<std::uint32_t> first_;  // of each cell in feet_, and the end
  std::vector<Vec3> feet_;            // of the points that are seen, by cell
  std::vector<std::size_t> apart_;
};

// A connected part of the surface, or of what is left out.
struct SurfacePatch {
  double share = 0.0;  // of the last's surface, or of the scan's points
  double size = 0.0;   // mm: how long it is where it is longest
  double area = 0.0;   // mm2; of what is left out none
  Vec3 middle;         // a point of it near its middle
  int role = 0;        // of the face there
};
struct ScanCover {
  double unseen = 0.0;                 // share of the surface, inner walls of holes apart
  std::vector<SurfacePatch> holes;     // the largest first
  std::vector<SurfacePatch> left_out;  // likewise, of the scan's points
};
ScanCover cover_of(const ScanFit& fit, const Body& nominal);

// In words, places as shares of this length.
std::string told_holes(const ScanCover& cover, double length, LastFoot foot, std::size_t most = 3);
std::string told_left_out(const ScanCover& cover, double beyond, double left_out, double length,
                          LastFoot foot);
std::string percent_of(double share);  // "1.3 %", "less than 0.1 %"

}  // namespace lastwright
