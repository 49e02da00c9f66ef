#include "grading/pieces/drawing/same_drawn.hpp"

#include <algorithm>
#include <variant>

namespace lastwright {

namespace {

struct SameCurve {
  bool operator()(const Line& a, const Line& b) const { return a.a == b.a && a.b == b.b; }
  bool operator()(const Arc& a, const Arc& b) const { return a.a == b.a && a.b == b.b && a.bulge == b.bulge; }
  bool operator()(const Spline& a, const Spline& b) const {
    return a.degree() == b.degree() && a.knots() == b.knots() && a.poles() == b.poles() &&
           a.weights() == b.weights();
  }
  template <class A, class B>
  bool operator()(const A&, const B&) const {
    return false;
  }
};

template <class T, class Same>
bool all_same(const std::vector<T>& a, const std::vector<T>& b, const Same& same) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), same);
}

bool same_curves(const std::vector<Curve>& a, const std::vector<Curve>& b) {
  return all_same(a, b,
                  [](const Curve& one, const Curve& other) { return std::visit(SameCurve{}, one, other); });
}

bool same_edge(const BoundEdge& a, const BoundEdge& b) {
  return a.spec.straight == b.spec.straight && a.spec.held == b.spec.held &&
         same_curves(a.chain.curves(), b.chain.curves());
}
bool same_line(const BoundLine& a, const BoundLine& b) {
  return a.operation == b.operation && same_curves(a.chain.curves(), b.chain.curves());
}
bool same_loop(const BoundLoop& a, const BoundLoop& b) {
  return a.operation == b.operation && same_curves(a.outline.curves(), b.outline.curves());
}
bool same_cut_out(const BoundCutOut& a, const BoundCutOut& b) {
  return same_curves(a.outline.curves(), b.outline.curves());
}
bool same_hole(const BoundHole& a, const BoundHole& b) {
  return a.centre == b.centre && a.radius == b.radius && a.operation == b.operation;
}
bool same_text(const BoundText& a, const BoundText& b) {
  return a.at == b.at && a.height == b.height && a.angle.value() == b.angle.value() && a.text == b.text;
}
bool same_nick(const BoundNick& a, const BoundNick& b) {
  return a.at == b.at && a.edge == b.edge && a.curve == b.curve && a.t == b.t && a.depth == b.depth;
}
bool same_axis(const std::optional<BoundAxis>& a, const std::optional<BoundAxis>& b) {
  return a.has_value() == b.has_value() && (!a || (a->from == b->from && a->to == b->to));
}

}  // namespace

bool same_drawn(const BoundPiece& a, const BoundPiece& b) {
  return all_same(a.edges, b.edges, same_edge) && all_same(a.lines, b.lines, same_line) &&
         all_same(a.loops, b.loops, same_loop) && all_same(a.cut_outs, b.cut_outs, same_cut_out) &&
         all_same(a.holes, b.holes, same_hole) && all_same(a.nicks, b.nicks, same_nick) &&
         all_same(a.texts, b.texts, same_text) && a.spots == b.spots && same_axis(a.grain, b.grain);
}

}  // namespace lastwright
