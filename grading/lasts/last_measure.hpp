// Measures of a last: each has a named, versioned definition on landmarks; values of unlike definitions are
// never compared, because they differ by 2 to 6 mm on one and the same last.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/solid/tape.hpp"
#include "grading/lasts/axis_map.hpp"

namespace lastwright {

// Named material points.
using Landmarks = std::map<std::string, SurfaceSpot>;

// A direction that lies in a girth's plane.
struct Between {
  std::string from;
  std::string to;
};
struct NormalAt {
  std::string at;
};
struct Across {};   // the ground's transverse direction, y
struct Upright {};  // z
using PlaneDirection = std::variant<Between, NormalAt, Across, Upright>;

// The plane through a landmark that contains two directions.
struct PlaneRule {
  std::string through;
  PlaneDirection first;
  PlaneDirection second;
};

enum class Method {
  kPlaneHull,      // perimeter of the hull of the plane section: a taut tape that stays in its plane
  kPlaneHullTilt,  // the smallest such perimeter over tilts about the second direction, within 20 degrees
  kTautString,     // a string on the form, free to leave the plane, held at the named points
  kExtent,         // along the axis x, from the heel-most to the toe-most point: two landmarks found as such
  kDistance,       // straight between two landmarks
  kHeight,         // of a landmark over the ground
  kRise,           // height of one landmark over another
};
const char* name_of(Method method);  // "plane-hull", "plane-hull-min-tilt", "taut-string", "extent", ...

struct MeasureDefinition {
  std::string measure;  // "ball girth"
  Method method = Method::kPlaneHull;
  int version = 1;
  PlaneRule plane;                  // the girth methods
  std::vector<std::string> points;  // the others: the landmarks they take; taut string: where it is held
  // "ball girth by plane-hull v1": printed with every value, equal for comparable values only.
  [[nodiscard]] std::string id() const;
};

struct Measured {
  double value = 0.0;
  std::string definition;
  double skin = 0.0;    // girths: length along the surface, hollows included
  double bottom = 0.0;  // girths: the skin's part on the bottom
  std::optional<Plane3> plane;
  double tilt = 0.0;  // kPlaneHullTilt: degrees from the rule's plane
};

// Refuses a landmark that is not named, a plane rule whose
// directions coincide and a plane that misses the form.
Result<Plane3> plane_of(const PlaneRule& rule, const Form& form, const Landmarks& landmarks);
Result<Measured> measure(const MeasureDefinition& definition, const Form& form, const Landmarks& landmarks);

// The value and its derivative by the map's coefficients, in the order bottom width, upper width, height.
// Analytic where it matters: the section by the hull's corners, the plane by its landmarks. Not for taut
// strings and tilts. `map`: the one that makes the form.
struct Gradient {
  double value = 0.0;
  std::vector<double> by;  // 3 * kFieldCoefficients
};
Result<Gradient> measure_gradient(const MeasureDefinition& definition, const Form& form, const AxisMap& map,
                                  const Landmarks& landmarks);

}  // namespace lastwright
