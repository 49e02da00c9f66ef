// The seam to the solid kernel (OpenCASCADE): reading STEP, topology, triangulation, validity and a second
// opinion on sections. Its headers stay behind this one, its exceptions become Problems here.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"

namespace lastwright {

// A solid as the kernel holds it. Cheap to copy; not to be used from two threads at once.
class KernelShape {
 public:
  struct Impl;
  explicit KernelShape(std::shared_ptr<const Impl> impl) : impl_(std::move(impl)) {}
  [[nodiscard]] const Impl& impl() const { return *impl_; }

 private:
  std::shared_ptr<const Impl> impl_;
};

// Reads the one solid of a STEP file (Part 21), millimetres whatever the file's unit. A file of loose faces
// that close is sewn; solids that meet (a last that is sawn through) are joined; small ones (bolts) are left
// out: `notes` says so. Refuses: not a STEP file, parts that stand apart, a pair, no closed solid (how many
// open edges), more than kMaxStepBytes.
Result<KernelShape> read_step(std::string_view bytes);
inline constexpr std::size_t kMaxStepBytes = 256u << 20;
// The same of an IGES file (5.3), whose faces come loose or as a solid.
Result<KernelShape> read_iges(std::string_view bytes);

// The same solid with its faces parted along a closed line on its surface, which `across` (unit vectors, by
// point) stands on: the surface's normals there. A sheet that stands so far (mm) to either side of the
// surface cuts them. `note` goes with those of the shape. Refuses a line along which nothing parts; whether
// the faces part all along it is for the caller to see.
Result<KernelShape> parted_along(const KernelShape& shape, const std::vector<Vec3>& line,
                                 const std::vector<Vec3>& across, double high, std::string note);

const std::vector<std::string>& notes_of(const KernelShape& shape);

// The same solid as plain data, triangulated with chords no further than `deflection` mm from the surface.
// Every surface becomes a (rational) B-spline; periodic ones are cut open along their seam.
Result<Body> to_body(const KernelShape& shape, double deflection);

struct KernelOpinion {
  bool valid = false;   // the kernel's own check; note that it passes folded forms
  bool closed = false;  // no free edges
  double volume = 0.0;  // mm3, exact integration
  double largest_tolerance = 0.0;
};
Result<KernelOpinion> check(const KernelShape& shape);

// Points of the section with a plane, from the kernel's own intersection: slow (0.3 s), for second opinions
// only. Chords of the sampled curves stay within `deflection` mm.
Result<std::vector<Vec3>> kernel_section(const KernelShape& shape, const Plane3& plane, double deflection);

// Boxes, cylinders, cones and spheres for tests, by the kernel's own constructors. Millimetres.
KernelShape kernel_cylinder(double radius, double height);
KernelShape kernel_cone(double bottom_radius, double top_radius, double height);
KernelShape kernel_ellipsoid(double a, double b, double c);
// A shape with a round hole along y through (x, z), with a slot of that width along z at x down to height z,
// and with a V across it: `width` wide at the height `high`, down to a line at (x, low).
Result<KernelShape> kernel_with_hole(const KernelShape& shape, double x, double z, double radius);
Result<KernelShape> kernel_with_slot(const KernelShape& shape, double x, double width, double z);
Result<KernelShape> kernel_with_v_cut(const KernelShape& shape, double x, double width, double low,
                                      double high);
// The same solid with its faces cut in two where the plane at x crosses them.
Result<KernelShape> kernel_in_patches(const KernelShape& shape, double x);
// The edges by number (as in Body::edges) rounded with this radius; the solid cut in two by the plane at x,
// as two solids that touch or lie `gap` apart; and its faces as an IGES file.
Result<KernelShape> kernel_with_fillet(const KernelShape& shape, const std::vector<int>& edges,
                                       double radius);
Result<std::string> kernel_step_in_two(const KernelShape& shape, double x, double gap);
Result<std::string> kernel_iges(const KernelShape& shape);
// Written by the kernel's own writer, in the unit asked for
// ("MM" or "INCH"): files our own reader has not seen yet.
Result<std::string> kernel_step(const KernelShape& shape, const std::string& unit);

}  // namespace lastwright
