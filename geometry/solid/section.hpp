// Sections of a body, or of its image under a map, with a
// plane: points exact on the surface, from a coarse mesh.
//
// The mesh gives the topology and the first guess. Every crossing of a mesh side is then solved on the
// surface (on the edge's own curve where the side lies on the rim of a face), and each stretch is halved
// until its bow over the chord is small. What comes out does not depend on the mesh (measured: 1e-4 mm
// between meshes of 2 and 0.2 mm).
#pragma once

#include <array>
#include <vector>

#include "geometry/solid/body.hpp"
#include "geometry/solid/space_map.hpp"

namespace lastwright {

// A body as it is, or as a map makes it.
struct Form {
  const Body* body = nullptr;
  const SpaceMap* map = nullptr;  // null: as it is
  // Images of the mesh nodes; filled by make_form.
  std::vector<Vec3> nodes;

  [[nodiscard]] Vec3 image(Vec3 p) const { return map ? (*map)(p) : p; }
  [[nodiscard]] SurfacePoint at(const SurfaceSpot& spot) const;
  [[nodiscard]] Vec3 normal_at(const SurfaceSpot& spot) const;  // outward unit normal of the image
};
Form make_form(const Body& body, const SpaceMap* map = nullptr);

struct SectionPoint {
  Vec3 p;         // on the plane and on the image
  Vec3 material;  // the point of the base that went there
  Vec3 slide;    // the direction p may move in without leaving the image: across the plane, in the surface or
                 // edge
  int face = 0;  // of the stretch that found it first
  double u = 0.0;  // its place in that face (on an edge: near it)
  double v = 0.0;
  bool on_edge = false;
};
// Three points that follow each other on one face: ends and a point near the middle.
struct SectionStretch {
  std::array<std::size_t, 3> point{};
  int face = 0;
};
struct Section {
  Plane3 plane;
  std::vector<SectionPoint> points;
  std::vector<SectionStretch> stretches;
};

struct SectionOptions {
  double bow = 0.01;  // mm: a stretch is halved while its bow over the chord is larger; lengths are then
                      // corrected to fourth order, which leaves about 1e-5 mm over a girth
  int halvings = 12;
  // A caller that looks only at what reaches so far along a direction: what ends before that, by more than
  // itself, is left as its chord.
  Vec3 towards = {};
  double from = -1e300;  // mm
};
Section cut_section(const Form& form, const Plane3& plane, const SectionOptions& options = {});

// Length of the curve along a stretch, to fourth order.
double stretch_length(const Section& section, const SectionStretch& stretch);

}  // namespace lastwright
