#include "geometry/solid/body.hpp"

namespace lastwright {

void move(Body& body, const Motion& motion) {
  for (BodyFace& face : body.faces) {
    for (Vec3& p : face.surface.poles) p = motion(p);
  }
  for (BodyEdge& edge : body.edges) {
    for (Vec3& p : edge.curve.poles) p = motion(p);
  }
  for (Vec3& p : body.vertices) p = motion(p);
  for (MeshNode& n : body.mesh.nodes) n.point = motion(n.point);
}

double volume(const Mesh& mesh) {
  double six = 0.0;
  for (const Triangle& t : mesh.triangles) {
    const Vec3 a = mesh.nodes[t.node[0]].point;
    const Vec3 b = mesh.nodes[t.node[1]].point;
    const Vec3 c = mesh.nodes[t.node[2]].point;
    six += dot(a, cross(b, c));
  }
  return six / 6.0;
}

}  // namespace lastwright
