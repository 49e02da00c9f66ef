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
// that close is sewn and `notes` says so; of several solids the largest is taken, which `notes` says too.
// Refuses: not a STEP file, no closed solid (how many open edges), more than kMaxStepBytes.
Result<KernelShape> read_step(std::string_view bytes);
inline constexpr std::size_t kMaxStepBytes = 256u << 20;
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
// A shape with a round hole along y through (x, z), and with a slot of that width along z at x down to height
// z.
Result<KernelShape> kernel_with_hole(const KernelShape& shape, double x, double z, double radius);
Result<KernelShape> kernel_with_slot(const KernelShape& shape, double x, double width, double z);
// The same solid with its faces cut in two where the plane at x crosses them.
Result<KernelShape> kernel_in_patches(const KernelShape& shape, double x);
// Written by the kernel's own writer, in the unit asked for ("MM" or "INCH"): files our own reader has not
// seen yet.
Result<std::string> kernel_step(const KernelShape& shape, const std::string& unit);

}  // namespace lastwright
