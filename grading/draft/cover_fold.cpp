#include "grading/draft/cover_fold.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "grading/pieces/mirror_lines.hpp"

namespace lastwright {

namespace {

constexpr double kRunsSquare = 3.0;     // degrees: so near square an edge was meant to be
constexpr double kNearSquare = 6.0;     // degrees: what is farther off makes a corner in the whole
constexpr double kEquallySquare = 1.0;  // degrees: two edges that differ by less are equally square

struct Middle {
  std::size_t edge = 0;
  double off = 0.0;
};

// How far from a turn by a right angle to the left, degrees.
double off_square(Vec2 from, Vec2 to) {
  return std::abs(to_degrees(Radians(angle_between(from, to))) - 90.0);
}

// Nothing of the piece lies beyond the edge, where its image would.
bool on_one_side(const DraftPiece& piece, const DraftEdge& edge) {
  const Vec2 inward = left_of(unit(edge.samples.back() - edge.samples.front()));
  return std::all_of(piece.polygon.begin(), piece.polygon.end(),
                     [&](Vec2 p) { return dot(p - edge.samples.front(), inward) >= -kDraftSame; });
}

}  // namespace

bool covers_heel(const DraftPiece& piece) {
  return has_word(plain_words(piece.name), "heel cover");
}

CoverFold cover_fold(const DraftPiece& piece) {
  std::vector<Middle> fits;
  const std::size_t n = piece.edges.size();
  for (std::size_t e = 0; e < n && n > 1; ++e) {
    const DraftEdge& edge = piece.edges[e];
    if (!edge.straight || !is_straight(edge.curves) || !on_one_side(piece, edge)) continue;
    const Vec2 way = edge.samples.back() - edge.samples.front();
    const Vec2 before = tangent_at(piece.edges[(e + n - 1) % n].curves.back(), 1.0);
    const Vec2 after = tangent_at(piece.edges[(e + 1) % n].curves.front(), 0.0);
    const double off = std::max(off_square(before, way), off_square(way, after));
    if (off <= kNearSquare) fits.push_back({e, off});
  }
  std::sort(fits.begin(), fits.end(), [](const Middle& a, const Middle& b) { return a.off < b.off; });
  CoverFold fold;
  if (fits.empty()) {
    fold.why = "it has no straight edge that the edges beside it meet square";
    return fold;
  }
  fold.off = fits.front().off;
  const auto length_of = [&](const Middle& one) { return piece.edges[one.edge].length; };
  if (fits.size() > 1 && fits[1].off < fits[0].off + kEquallySquare) {
    const double shorter = std::min(length_of(fits[0]), length_of(fits[1]));
    const double longer = std::max(length_of(fits[0]), length_of(fits[1]));
    fold.why = fmt::format(
        "the edges beside two of its straight edges meet these square, one {:.1f} mm and one {:.1f} mm long",
        shorter, longer);
    return fold;
  }
  fold.edge = fits.front().edge;
  if (fits.size() == 1 && fold.off <= kRunsSquare) fold.sure = Sureness::kLikely;
  fold.why = fmt::format(
      "a heel cover is drawn as its half, and the edges beside this straight one meet it "
      "square, {:.1f} degrees off at most",
      fold.off);
  if (fits.size() > 1)
    fold.why += fmt::format("; a straight edge {:.1f} mm long is met within {:.1f} degrees",
                            length_of(fits[1]), fits[1].off);
  return fold;
}

}  // namespace lastwright
