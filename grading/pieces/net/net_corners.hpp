// What of a drawn cut line belongs to its corners and to no edge.
#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/pieces/bound_piece.hpp"
#include "grading/pieces/net/net_ring.hpp"

namespace lastwright {

// At a named corner: so many of the last curves of the edge before it, and of the first of the edge after it,
// are what the form of the corner adds to the cut line. The curves beside these, moved, meet at the corner of
// the net line; `place`: at which of the places where they do, in the order of joint_of.
struct CornerPart {
  std::size_t before = 0;
  std::size_t after = 0;
  std::size_t place = 0;
  bool operator==(const CornerPart&) const = default;
};

class NetCorners {
 public:
  // Refuses a spline that is tighter than its allowance. Keeps references to both arguments.
  static Result<NetCorners> of(const BoundPiece& drawn, std::span<const Millimetres> allowances);

  // One for each edge, of the corner where it starts: as many curves as its form explains by itself, were the
  // edges beside it as long as need be, and no more.
  [[nodiscard]] std::vector<CornerPart> explained() const;

  // All parts that the corner where edge `e` starts may have, as far as a corner reaches; the one without any
  // curve is among them.
  [[nodiscard]] std::vector<CornerPart> possible(std::size_t e) const;

  // The edges of the net line with these parts; fails as joined_ring does.
  [[nodiscard]] Result<std::vector<BoundEdge>> net(const std::vector<CornerPart>& parts) const;

  // The forms of the corners with these parts: mitre for full where a step would be, and none is drawn.
  [[nodiscard]] PieceSpec spec(const std::vector<CornerPart>& parts) const;

  // Curves of the drawn cut line.
  [[nodiscard]] std::size_t size() const { return curves_.size(); }

 private:
  NetCorners(const BoundPiece& piece, std::span<const Millimetres> allowances)
      : piece_(&piece), allowances_(allowances) {}

  // The curves beside a part, and those of it.
  struct Around {
    std::size_t one = 0;
    std::size_t two = 0;
    std::vector<std::size_t> between;
  };
  [[nodiscard]] std::size_t back(std::size_t i) const { return i == 0 ? curves_.size() - 1 : i - 1; }
  [[nodiscard]] std::size_t onward(std::size_t i) const { return i + 1 == curves_.size() ? 0 : i + 1; }
  [[nodiscard]] bool on_fold(std::size_t i) const;
  [[nodiscard]] Around around(std::size_t e, const CornerPart& part) const;
  [[nodiscard]] CornerPart most(std::size_t e) const;
  [[nodiscard]] bool within_reach(const Around& here, std::size_t place) const;
  [[nodiscard]] bool explains(std::size_t e, const CornerPart& part, const std::vector<bool>& taken) const;
  [[nodiscard]] bool drawn_mitred(std::size_t e) const;

  const BoundPiece* piece_;
  std::span<const Millimetres> allowances_;
  std::vector<RingCurve> curves_;
  std::vector<std::size_t> starts_;  // the first curve of each edge
  std::vector<std::size_t> counts_;  // and how many it has
};

}  // namespace lastwright
