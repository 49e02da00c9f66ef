// Solids made, cut and written by the solid kernel itself, and its own sections: what tests measure ours by. A library of its own, which no
// program of users links.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/solid/kernel/kernel.hpp"

namespace lastwright {

// Points of the section with a plane, from the kernel's own intersection: slow (0.3 s), for second opinions
// only. Chords of the sampled curves stay within `deflection` mm.
Result<std::vector<Vec3>> kernel_section(const KernelShape& shape, const Plane3& plane, double deflection);

// Boxes, cylinders, cones and spheres by the kernel's own constructors. Millimetres.
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
