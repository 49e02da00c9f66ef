// The featherline of a last whose feather edge is rounded, or whose upper and bottom are one face: where the
// surface, square to the edge, has turned halfway from the bottom to the wall.
#pragma once

#include <optional>

#include "geometry/solid/kernel/kernel.hpp"
#include "grading/lasts/stand.hpp"

namespace lastwright {

// How much of the way round bottom and upper are parted by a sharp edge.
struct FeatherKind {
  double sharp = 0.0;  // mm
  double round = 0.0;  // mm: inside faces
  [[nodiscard]] double round_share() const { return sharp + round > 0.0 ? round / (sharp + round) : 0.0; }
};
// Of a standing body, its roles not needed.
FeatherKind feather_kind(const Body& body);

// Parts the faces of a last along its featherline where the edge is rounded all round, and says so in the
// notes, and `body` becomes that of the shape given back; the shape stays as it is where the edge is sharp,
// where the form does not stand, and where the bottom is named by hand. An edge that is rounded in part stays
// as it is, which the notes of `body` tell. Refuses a rounded edge that no closed line follows, with what can
// be done.
Result<KernelShape> with_featherline(const KernelShape& shape, Body& body, const StandOptions& options);

}  // namespace lastwright
