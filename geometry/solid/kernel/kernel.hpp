// The seam to the solid kernel (OpenCASCADE): reading STEP and IGES, topology, triangulation, validity. Its headers stay behind this one, its exceptions become Problems here.
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

}  // namespace lastwright
