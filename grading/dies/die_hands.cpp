#include "grading/dies/die_hands.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

#include "geometry/counted.hpp"
#include "geometry/tolerance.hpp"
#include "grading/dies/owned/die_recognised.hpp"

namespace lastwright {

namespace {

// Outlines that agree vertex by vertex, from some vertex
// on: no less than how far they lie apart. None for others.
//
// A point of an arc is a + (b - a) f, with f given by the bulge and the share of the turn. Up to a half
// circle |f| <= 1 and |df / dbulge| <= 1, so that points of equal share lie apart by at most three times the
// ends, and the chord times the bulges.
std::optional<double> apart_by_vertices(const ClosedArcPath& one, const ClosedArcPath& other) {
  constexpr double kAgrees = 1e-7;  // mm, and of bulges
  const std::size_t n = one.size();
  if (n == 0 || other.size() != n) return std::nullopt;
  const auto same_place = [&](std::size_t i) {
    return distance(one.vertices[0].at, other.vertices[i].at) <= kAgrees;
  };
  std::size_t shift = 0;
  while (shift < n && !same_place(shift)) ++shift;
  if (shift == n) return std::nullopt;
  double apart = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const ArcVertex& a = one.vertices[i];
    const ArcVertex& b = other.vertices[(i + shift) % n];
    const double ends = distance(a.at, b.at);
    const double bulges = std::abs(a.bulge - b.bulge);
    if (!(ends <= kAgrees && bulges <= kAgrees && std::abs(a.bulge) <= 1.0)) return std::nullopt;
    const double next = distance(one.vertices[(i + 1) % n].at, other.vertices[(i + 1 + shift) % n].at);
    apart = std::max(apart, 3.0 * std::max(ends, next) + one.segment(i).chord() * bulges);
  }
  return apart;
}

double lie_apart(const ClosedArcPath& one, const ClosedArcPath& other) {
  if (const std::optional<double> quick = apart_by_vertices(one, other)) return *quick;
  return hausdorff(MeasuredOutline(one), MeasuredOutline(other)).value;
}

// How far two marks lie apart, whichever end each is drawn from: the mouth of a nick runs the other way in
// the mirror image.
double lie_apart(const OpenArcPath& one, const OpenArcPath& other) {
  return hausdorff(MeasuredOutline(one), MeasuredOutline(other)).value;
}

// Farther apart than `best`, as their first ends and how far each reaches from there show.
bool too_far(const OpenArcPath& one, const OpenArcPath& other, double best) {
  const auto reach = [](const OpenArcPath& path) {
    double longest = 0.0;
    for (const ArcVertex& v : path.vertices)
      longest = std::max(longest, distance(v.at, path.vertices.front().at));
    return longest;
  };
  return distance(one.vertices.front().at, other.vertices.front().at) - reach(one) - reach(other) > best;
}

// Holes and marks of a mirrored die lie in another order: each must find a partner.
double marks_deviation(const DieShape& one, const DieShape& other) {
  double worst = 0.0;
  for (const GradedHole& hole : one.holes) {
    double best = std::numeric_limits<double>::infinity();
    for (const GradedHole& partner : other.holes) {
      if (partner.operation != hole.operation || std::abs(partner.radius - hole.radius) > 1e-6) continue;
      best = std::min(best, distance(hole.centre, partner.centre));
    }
    worst = std::max(worst, best);
  }
  for (const GradedLine& mark : one.marks) {
    double best = std::numeric_limits<double>::infinity();
    for (const GradedLine& partner : other.marks) {
      if (partner.operation != mark.operation || mark.path.size() == 0 || partner.path.size() == 0) continue;
      if (!too_far(mark.path, partner.path, best)) best = std::min(best, lie_apart(mark.path, partner.path));
    }
    worst = std::max(worst, best);
  }
  return worst;
}

// Everything but the outline itself.
double rest_deviation(const DieShape& laid, const DieShape& still) {
  double worst = marks_deviation(laid, still);
  for (const ClosedArcPath& cut_out : laid.cut_outs) {
    double best = std::numeric_limits<double>::infinity();
    for (const ClosedArcPath& partner : still.cut_outs) {
      best = std::min(best, lie_apart(cut_out, partner));
      if (best <= tolerance::kSamePoint.value()) break;
    }
    worst = std::max(worst, best);
  }
  return worst;
}

double deviation_between(const DieShape& moving, const DieShape& still) {
  const RigidFit fit = fit_outline(still, moving, 10.0 * kMirrorImage.value());
  if (fit.given_up) return fit.ratio;
  return std::max(fit.ratio, rest_deviation(placed(moving, fit.placement), still));
}

// A nick is part of the rule and can be cut by both its edges; a pin pricks towards one side.
struct MarkCount {
  std::size_t nicks = 0;
  std::size_t pricks = 0;
};
MarkCount count_marks(const DieShape& shape) {
  MarkCount count;
  for (const std::vector<GradedLine>* marks : {&shape.marks, &shape.size_marks}) {
    for (const GradedLine& mark : *marks) ++(mark.operation == Operation::kNick ? count.nicks : count.pricks);
  }
  for (const GradedHole& hole : shape.holes) count.pricks += hole.operation == Operation::kPrick ? 1 : 0;
  return count;
}

// Why marks let a die have two edges, or do not.
std::string marks_why(HandMode mode, const MarkCount& marks, bool nicks_both_edges) {
  if (mode == HandMode::kTwoEdged) {
    if (marks.nicks == 0) return "no nicks or pricks that stand on one side only";
    if (marks.nicks == 1)
      return "both edges cut its nick, as the rules say; the other foot's is its mirror image";
    return fmt::format("both edges cut its {}, as the rules say; the other foot's are their mirror image",
                       counted(marks.nicks, "nick"));
  }
  const std::size_t one_sided = marks.pricks + (nicks_both_edges ? 0 : marks.nicks);
  if (one_sided == 0)
    return "no two-edged die, as nicks or pricks stand on one side of other dies of the piece, though none "
           "of "
           "this one";
  return counted(one_sided, "nick or prick stands", "nicks or pricks stand") +
         " on one side: no two-edged die";
}

}  // namespace

const char* name_of(HandMode mode) {
  switch (mode) {
    case HandMode::kPair:
      return "pair, left and right";
    case HandMode::kSymmetric:
      return "one, symmetric";
    case HandMode::kTurned:
      return "one, material turned over";
    case HandMode::kTwoEdged:
      return "one, two-edged";
  }
  return "";
}

double mirror_deviation(const DieShape& shape) {
  if (shape.cut.path.size() < 2) return std::numeric_limits<double>::infinity();
  const PrincipalAxes axes = principal_axes(shape.cut.path);
  const DieShape image = mirrored(shape);  // in the line x = 0
  const Vec2 image_centre{-axes.centre.x, axes.centre.y};
  double least = std::numeric_limits<double>::infinity();
  for (const double angle : {axes.angle.value(), axes.angle.value() + std::numbers::pi / 2.0}) {
    // A mirror in the line x = 0 and a turn by 2 angle - pi is a mirror in a line of this angle.
    const Radians turn(2.0 * angle - std::numbers::pi);
    const Vec2 shift = axes.centre - placed(image_centre, Placement{turn, {}});
    least = std::min(least, deviation_between(placed(image, Placement{turn, shift}), shape));
  }
  return least;
}

double mirror_deviation(const DieShape& shape, Vec2 from, Vec2 to) {
  const DieShape image = mirrored(shape);  // in the line x = 0
  const Vec2 along = to - from;
  const Radians turn(2.0 * std::atan2(along.y, along.x) - std::numbers::pi);
  const Vec2 shift = from - placed({-from.x, from.y}, Placement{turn, {}});
  const DieShape laid = placed(image, Placement{turn, shift});
  return std::max(lie_apart(laid.cut.path, shape.cut.path), rest_deviation(laid, shape));
}

HandChoice choose_hands(const PieceSpec& piece, const DieShape& shape, double mirror, bool two_edged,
                        bool nicks_both_edges) {
  if (mirror <= kMirrorImage.value()) {
    return {HandMode::kSymmetric, fmt::format("the outline is its own mirror image within {:.2f} mm",
                                              std::ceil(100.0 * mirror) / 100.0)};
  }
  if (piece.hand == Hand::kReversible) {
    return {HandMode::kTurned, "the style says the material has two good sides"};
  }
  const std::string stated =
      piece.hand == Hand::kSymmetric
          ? fmt::format("stated symmetric, but {:.2f} mm from its mirror image; ", mirror)
          : std::string();
  if (two_edged) {
    const MarkCount marks = count_marks(shape);
    const bool both = marks.pricks == 0 && (marks.nicks == 0 || nicks_both_edges);
    HandChoice choice{both ? HandMode::kTwoEdged : HandMode::kPair, "", true, stated};
    return hands_of_die(std::move(choice), shape, nicks_both_edges);
  }
  return {HandMode::kPair, stated + "left and right differ"};
}

HandChoice hands_of_die(HandChoice choice, const DieShape& die, bool nicks_both_edges) {
  if (choice.by_marks) choice.why = choice.ahead + marks_why(choice.mode, count_marks(die), nicks_both_edges);
  return choice;
}

const DieShape& most_marked(const std::vector<const DieShape*>& shapes) {
  return **std::max_element(shapes.begin(), shapes.end(), [](const DieShape* one, const DieShape* other) {
    const MarkCount a = count_marks(*one);
    const MarkCount b = count_marks(*other);
    return std::pair(a.pricks, a.nicks) < std::pair(b.pricks, b.nicks);
  });
}

}  // namespace lastwright
