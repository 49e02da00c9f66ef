// What each face is to a last: bottom, upper, top or a hole; and the featherline between bottom and upper.
#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "geometry/result.hpp"
#include "geometry/solid/body.hpp"

namespace lastwright {

// What a face is to a last, as BodyFace::role holds it.
struct FaceRole {
  enum Value : int { kUpper, kBottom, kTop, kHole };
};

// Which way is up on the bottom of a standing last, by station: it is steep at the shank of a high heel.
class BottomWay {
 public:
  explicit BottomWay(const Body& body);
  [[nodiscard]] Vec3 up(double x) const;  // unit, square to y

 private:
  double from_ = 0.0;
  double step_ = 1.0;
  std::vector<Vec3> ups_;
};

// The faces that are the bottom, by number, as a person names them; everything else is upper, top or hole.
Status name_bottom(Body& body, const std::vector<int>& faces);

// Expects the body standing (stand.hpp). Bottom: mean normal within 40 degrees of the bottom's own way down
// at its station, or named by hand. Top: flat, facing up, in the upper third; where none is flat the
// largest there that is bowed by a few degrees and goes across the middle. Hole: most of the face looks at
// the body itself (thimble and pin holes, hinge cuts), or no edge joins it to the rest of the upper (their
// floors and chamfers): hulls bridge them, landmarks never lie there. The rest is upper. Also notes the kink
// of every edge.
void find_roles(Body& body);

// Edges between a bottom and an upper face, in rising order.
std::vector<int> feather_edges(const Body& body);

// Where the featherline, by its edges in rising order, crosses station x: the points with
// the largest and the smallest y. Empty where it does not.
struct FeatherPair {
  Vec3 left;  // larger y
  Vec3 right;
};
std::optional<FeatherPair> feather_at(const Body& body, const std::vector<int>& edges, double x);

}  // namespace lastwright
