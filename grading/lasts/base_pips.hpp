// What stray corners of a mesh do to a base: every size would have them.
#pragma once

#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/mesh_pips.hpp"
#include "grading/lasts/base_last.hpp"

namespace lastwright {

inline constexpr double kRoughestBase = 0.03;  // mm, standard deviation of its corners
// mm: the most that noise of a base may lengthen a tape, and so the most that its stray corners may change a
// measure.
inline constexpr double kMostByPips = kTapePerRough * kRoughestBase;

// Measures the base again without the pips, which `mended` lacks: the mesh as it came from its file. Refuses
// a base of which they change a measure by more than kMostByPips, with the places; otherwise the note about
// them.
Result<std::string> told_pips(const BaseLast& base, const std::vector<MeshPip>& pips, const PlainMesh& mended,
                              const LastPoseChoice& pose,
                              const std::map<std::string, LandmarkChoice>& choices);

}  // namespace lastwright
