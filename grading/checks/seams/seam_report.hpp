// Seams of a graded style: what is sewn to what, and how well it meets in every size and width.
//
// Everything is measured on net lines: allowances play no part. Edges are taken from their first corner to
// their last as the first piece of the seam runs; the other piece's edge runs the same way or against it,
// whichever brings its ends together in the sample (pieces drawn apart: against it, as edges that are sewn
// side by side do).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/checks/piece_look.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

// Where an edge of a seam stands in a graded style: its piece, and the edge of that piece.
struct SideOfSeam {
  std::size_t piece = 0;
  std::size_t edge = 0;
};
std::optional<SideOfSeam> side_of_seam(const StyleGrade& grade, const SeamSide& side);

// One end of a seam: the inner angles of the two pieces between the seam and the edge that follows.
struct SeamEnd {
  Radians one;
  Radians other;
  // What keeps the edges that follow from running on in one line, or, of pieces that lie on each other, from
  // lying on each other: one + other - 180 degrees, or one - other.
  Radians turn;
};

// A nick of the first piece and the nick of the other that is sewn on it. Which those are is settled in the
// sample: each is the other's nearest within kNickReach; or, where as many are left on either side that are
// sewn on no other nick, the one that is next in order.
struct SeamNick {
  double one = 0.0;    // mm along the seam from its first end
  double other = 0.0;  // the same on the other side, its ease taken out
  [[nodiscard]] double off() const { return other - one; }
};

struct SeamCell {
  double one = 0.0;  // mm, net length
  double other = 0.0;
  double difference = 0.0;  // other - one - ease
  double beyond = 0.0;      // difference less the sample's own
  double apart = 0.0;       // of edges drawn on each other: how far they have come apart
  SeamEnd first;
  SeamEnd last;
  std::vector<SeamNick> nicks;
};
inline constexpr double kNickReach = 3.0;  // mm; marks that are meant to meet are drawn nearer than this

// A nick of one side that is sewn on no other, in this seam or in another one of its edge; it stands in the
// first of them.
struct LoneNick {
  std::string piece;
  std::string edge;
  std::string name;    // of its feature, or "a drawn nick"
  int number = 0;      // NickInSeam::number
  double along = 0.0;  // mm along the seam from its first end, in the sample
  // To the nearest nick of the other side; none where it has no nick.
  std::optional<double> nearest;
};

struct SeamReport {
  std::size_t seam = 0;  // index into the style's seams
  bool side_by_side = true;
  bool against = true;          // the other piece's edge runs the other way
  bool drawn_together = false;  // the edges lie on each other in the sample
  // Of the sample, where both pieces lie on one forme: how far the edges are apart at most, and over how many
  // millimetres of the first one the other lies on it.
  std::optional<double> drawn_apart;
  double together_over = 0.0;
  bool ends_meet = false;       // both ends of one lie on those of the other, whatever lies between
  std::vector<SeamCell> cells;  // one per cell of the grade; last: the sample
  std::vector<LoneNick> lone;
  std::size_t nicks_lost = 0;     // pairs of the sample that are no pair in some size: summed over the run
  std::vector<std::string> tied;  // its pieces that share outlines between sizes
};

// Fails where nothing of a net line belongs to an edge of a seam.
Result<std::vector<SeamReport>> seam_reports(const StyleSpec& style, const StyleGrade& grade,
                                             const StyleLooks& looks, unsigned threads = 0);

// A seam's name with its pieces, unless it begins with them: "back seam (outside quarter to inside quarter)".
std::string seam_subject(const SeamSpec& seam);

}  // namespace lastwright
