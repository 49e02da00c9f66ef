// Stray corners of a mesh: one, or a few side by side, that stand well off what the corners around them span.
// A speck of dirt on a scan, a splinter of a repair.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "geometry/solid/body.hpp"

namespace lastwright {

struct MeshPip {
  std::vector<std::uint32_t> nodes;  // of the mesh, side by side; the first stands farthest off
  Vec3 at;                           // the first one
  double off = 0.0;                  // mm from what its neighbours span, outside positive
};

// In the order of the mesh's corners. A corner is a pip where no chord between two of its neighbours comes
// near it, as one does on any smooth surface and along any edge, and where the surface around does not run on
// into it either, as the sides of a sharp corner do; and where the corners beside it lie quite otherwise.
// `rough`: roughness of the mesh (mesh_body.hpp), mm. Below half a millimetre, a quarter of the sides there
// or ten times the roughness none is told.
std::vector<MeshPip> pips_of(const Body& body, double rough);

// The mesh, whose corners are those of the body, with the corners of each pip in the mean of their
// neighbours.
PlainMesh without_pips(const Body& body, const std::vector<MeshPip>& pips);

// Places and heights in words, the highest first, as the file's own axes have them in mm.
std::string told_of(std::vector<MeshPip> pips);

}  // namespace lastwright
