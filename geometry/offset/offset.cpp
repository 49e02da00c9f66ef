#include "geometry/offset/offset.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <variant>

#include "geometry/check/simple.hpp"
#include "geometry/offset/moved.hpp"
#include "geometry/offset/opening.hpp"
#include "geometry/offset/untangle.hpp"

namespace lastwright {

namespace {

// Why an offset cannot be built, and where.
struct Refusal {
  std::string reason;
  Vec2 at;
};
using Attempt = std::variant<OffsetOutline, Refusal>;

constexpr double kSliver = 1e-6;  // mm2: contours below this are rounding

std::vector<Millimetres> scaled(std::span<const Millimetres> distances, double factor) {
  std::vector<Millimetres> result;
  result.reserve(distances.size());
  for (Millimetres d : distances) result.emplace_back(factor * d.value());
  return result;
}

// All but those that are 0.
std::vector<Millimetres> nudged(std::span<const Millimetres> distances, double nudge) {
  std::vector<Millimetres> result(distances.begin(), distances.end());
  for (Millimetres& d : result) d = d.value() == 0.0 ? d : Millimetres(d.value() + nudge);
  return result;
}

double largest(std::span<const Millimetres> distances) {
  double reach = 0.0;
  for (Millimetres d : distances) reach = std::max(reach, std::abs(d.value()));
  return reach;
}

OffsetOutline outline_of(const std::vector<MovedPiece>& pieces) {
  OffsetOutline outline;
  outline.path.vertices.reserve(pieces.size());
  outline.source.reserve(pieces.size());
  for (const MovedPiece& piece : pieces) {
    outline.path.vertices.push_back({piece.segment.a, piece.segment.bulge});
    outline.source.push_back(piece.source);
  }
  return outline;
}

// Where neighbours run into each other the end of one may stick out of the other beyond that one's far end.
bool covers_cut_ends(const MovedOutline& moved, const OffsetOutline& outline) {
  const std::size_t n = moved.edges.size();
  const auto covered = [&](const MovedEdge& by, Vec2 end) {
    const Vec2 foot = by.source.point_at(by.source.nearest(end));
    const bool beside = foot != by.source.a && foot != by.source.b;
    if (beside && distance(foot, end) <= std::abs(by.outward) + tolerance::kNode.value()) return true;
    return contains(outline.path, end) == (by.outward > 0.0) ||
           distance_to(outline.path, end) <= tolerance::kNode.value();
  };
  for (std::size_t i = 0; i < n; ++i) {
    const JoinKind kind = moved.joins[i].kind;
    if (kind != JoinKind::kInto && kind != JoinKind::kHollow) continue;
    const MovedEdge& before = moved.edges[i];
    const MovedEdge& after = moved.edges[i + 1 == n ? 0 : i + 1];
    if (!covered(before, after.moved.a) || !covered(after, before.moved.b)) return false;
  }
  return true;
}

// Nothing overlaps and no edge is used up. The trimmed run differs from the run the winding rule would judge
// by loops at corners that wind the wrong way, so when it is simple and counter-clockwise it is the answer.
bool is_answer(const OffsetOutline& outline) {
  return outline.path.size() >= 2 && signed_area(outline.path) > 0.0 &&
         !self_contact(outline.path, tolerance::kNode).has_value();
}

// `moved`: the outline by just these distances.
Attempt by_winding(const ClosedArcPath& path, std::span<const Millimetres> distances,
                   const OffsetOptions& options, const MovedOutline& moved) {
  // Coincidences that rounding cannot decide may be decided closer to the pieces, or go away when the
  // distances change by a thousandth of their budget or less.
  struct Try {
    double nudge;
    Millimetres aside;
  };
  const Millimetres near{3.0 * tolerance::kNode.value()};
  const Millimetres nearest = tolerance::kRoot;
  for (const Try& t : {Try{0.0, near}, Try{0.0, nearest}, Try{2e-7, near}, Try{-4e-7, near}, Try{1e-6, near},
                       Try{1e-6, nearest}, Try{-4e-6, near}, Try{1e-5, near}, Try{1e-5, nearest}}) {
    Result<std::vector<TracedContour>> traced = positive_region(
        closed_run(t.nudge == 0.0 ? moved : moved_outline(path, nudged(distances, t.nudge), options)),
        t.aside);
    if (!traced) continue;
    const auto sliver = [](const TracedContour& c) { return std::abs(c.area) < kSliver; };
    traced->erase(std::remove_if(traced->begin(), traced->end(), sliver), traced->end());
    if (traced->empty() || traced->front().area < 0.0)
      return Refusal{"nothing of the outline is left", path.vertices[0].at};
    if (traced->size() > 1 && (*traced)[1].area > 0.0) {
      return Refusal{"the outline falls apart", (*traced)[1].pieces[0].segment.a};
    }
    if (traced->size() > 1 && !options.fill_pockets) {
      return Refusal{"the allowance closes over an opening", traced->back().pieces[0].segment.a};
    }
    OffsetOutline outline = outline_of(traced->front().pieces);
    for (std::size_t i = 1; i < traced->size(); ++i)
      outline.filled.push_back((*traced)[i].pieces[0].segment.a);
    if (outline.path.size() < 2 || self_contact(outline.path, tolerance::kRoot)) continue;
    return outline;
  }
  return Refusal{"the allowance cannot be built", path.vertices[0].at};
}

Attempt built(const ClosedArcPath& path, std::span<const Millimetres> distances,
              const OffsetOptions& options) {
  const MovedOutline moved = moved_outline(path, distances, options);
  std::optional<OffsetOutline> outline = trimmed_edges(moved);
  if (outline && is_answer(*outline) && covers_cut_ends(moved, *outline)) return *std::move(outline);
  return by_winding(path, distances, options, moved);
}

Attempt attempt(const ClosedArcPath& path, std::span<const Millimetres> distances,
                const OffsetOptions& options) {
  if (largest(distances) > widest_offset(path).value())
    return Refusal{"the allowance is more than ten times as wide as the whole outline", path.vertices[0].at};
  Attempt result = built(path, distances, options);
  OffsetOutline* outline = std::get_if<OffsetOutline>(&result);
  if (!outline) return result;
  if (const std::optional<Vec2> at = closed_opening(path, distances, *outline)) {
    if (!options.fill_pockets) return Refusal{"the allowance closes over an opening", *at};
    if (outline->filled.empty()) outline->filled.push_back(*at);
  }
  return result;
}

// The largest factor, within a thousandth, by which all distances may be multiplied.
double largest_factor(const ClosedArcPath& path, std::span<const Millimetres> distances,
                      const OffsetOptions& options) {
  double fits = 0.0;
  double fails = 1.0;
  while (fails - fits > 1e-3 * fails) {
    if (largest(distances) * fails < tolerance::kSamePoint.value()) return 0.0;
    const double middle = 0.5 * (fits + fails);
    const bool good =
        std::holds_alternative<OffsetOutline>(attempt(path, scaled(distances, middle), options));
    (good ? fits : fails) = middle;
  }
  return fits;
}

}  // namespace

Millimetres widest_offset(const ClosedArcPath& path) {
  constexpr double kTimes = 10.0;  // of the diagonal: what is wider closes over any outline
  const Box2 box = bounds(path);
  return Millimetres(kTimes * distance(box.low, box.high));
}

Result<OffsetOutline> offset(const ClosedArcPath& path, std::span<const Millimetres> distances,
                             const OffsetOptions& options) {
  invariant(distances.size() == path.size(), "an offset needs one distance for each segment");
  invariant(options.corners.empty() || options.corners.size() == path.size(),
            "one corner treatment for each vertex");
  if (path.size() < 2)
    return Problem{Trouble::kGeometry, "an outline without segments has no offset", {}, {}, {}};
  for (Millimetres d : distances) {
    if (std::isfinite(d.value())) continue;
    return Problem{Trouble::kBadValue, "an allowance that is not a finite number", {}, {}, {}};
  }
  Attempt result = attempt(path, distances, options);
  if (OffsetOutline* outline = std::get_if<OffsetOutline>(&result)) return std::move(*outline);
  const Refusal& refusal = std::get<Refusal>(result);
  Problem problem{Trouble::kGeometry,
                  fmt::format("{} at ({:.4f}, {:.4f})", refusal.reason, refusal.at.x, refusal.at.y),
                  {},
                  {},
                  {}};
  problem.value = largest(distances);
  problem.limit = largest(distances) * largest_factor(path, distances, options);
  return problem;
}

bool offset_fits(const ClosedArcPath& path, std::span<const Millimetres> distances,
                 const OffsetOptions& options) {
  return std::holds_alternative<OffsetOutline>(attempt(path, distances, options));
}

Result<OffsetOutline> offset(const ClosedArcPath& path, Millimetres distance, const OffsetOptions& options) {
  return offset(path, std::vector<Millimetres>(path.size(), distance), options);
}

}  // namespace lastwright
