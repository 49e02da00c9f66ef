#include "grading/pieces/drawing/outline_split.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <variant>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

// Nearer than this a corner is where it was read off: to a tenth of a millimetre, in both directions.
constexpr double kReadOff = 0.1;  // mm
// A place this near a line lies on it: chords of a curve, and two decimals, are no farther off.
constexpr double kDrawnOnLine = 0.05;  // mm

double order_of(const CornerPlace& place) {
  return static_cast<double>(place.curve) + place.t;
}

std::size_t nearest_vertex(const std::vector<Curve>& outline, Vec2 wanted) {
  std::size_t best = 0;
  for (std::size_t i = 1; i < outline.size(); ++i) {
    if (distance(start_of(outline[i]), wanted) < distance(start_of(outline[best]), wanted)) best = i;
  }
  return best;
}

// Whether two straight lines meet at a vertex almost straight on, as the chords of a curve do.
bool joins_chords(const std::vector<Curve>& outline, std::size_t vertex) {
  const Curve& before = outline[(vertex + outline.size() - 1) % outline.size()];
  const Curve& after = outline[vertex];
  if (!std::holds_alternative<Line>(before) || !std::holds_alternative<Line>(after)) return false;
  return std::abs(angle_between(tangent_at(before, 1.0), tangent_at(after, 0.0))) <=
         tolerance::kCorner.value();
}

// The nearest place within the ends of a curve.
std::optional<SnappedPlace> nearest_between(const std::vector<Curve>& outline, Vec2 wanted, double limit) {
  std::optional<SnappedPlace> best;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const NearestPoint here = nearest(outline[i], wanted);
    if (here.distance > (best ? best->off : limit) || here.t <= 0.0 || here.t >= 1.0) continue;
    best = SnappedPlace{{i, here.t, here.at}, here.distance};
  }
  return best;
}

Problem split_refused(std::string message) {
  return {Trouble::kGeometry, std::move(message), {}, {}, {}};
}

class Splitter {
 public:
  Splitter(const ClosedOutline& outline, const PieceSpec& spec, const FormeSpec& forme)
      : curves_(outline.curves()), spec_(spec), forme_(forme) {}

  Result<SplitOutline> run() {
    std::vector<CornerPlace> starts;
    for (const EdgeSpec& edge : spec_.edges) {
      const auto corner = std::find_if(spec_.corners.begin(), spec_.corners.end(),
                                       [&](const CornerSpec& one) { return one.name == edge.from; });
      invariant(corner != spec_.corners.end(), "an edge starts at a corner of its piece");
      const Result<CornerPlace> place = find(*corner);
      if (!place) return place.problem().in("corner", corner->name);
      starts.push_back(*place);
    }
    if (const Status status = check_order(starts); !status) return status.problem();
    for (std::size_t i = 0; i < starts.size(); ++i) {
      const Result<OpenChain> chain = stretch_of(curves_, starts[i], starts[(i + 1) % starts.size()]);
      if (!chain) return chain.problem().in("edge", spec_.edges[i].name);
      out_.edges.push_back({spec_.edges[i], *chain});
    }
    return std::move(out_);
  }

 private:
  Result<CornerPlace> find(const CornerSpec& corner) {
    const Vec2 wanted = corner_place(corner, forme_);
    if (const std::optional<SnappedPlace> found = snapped(curves_, wanted)) {
      const Vec2 at = found->place.at;
      if (found->place.t == 0.0) {
        note_snapped(corner, wanted, at, found->off);
      } else if (found->off > kReadOff || !std::holds_alternative<std::string>(corner.at)) {
        // A point of the forme that lies on the outline is meant; coordinates may have been meant for an end.
        out_.notes.push_back(
            fmt::format("the corner {} lies between the ends of a {} of the outline, which is cut there: "
                        "({:.3f}, {:.3f})",
                        corner.name,
                        std::holds_alternative<Line>(curves_[found->place.curve]) ? "straight line" : "curve",
                        at.x, at.y));
      }
      return found->place;
    }
    const Vec2 vertex = start_of(curves_[nearest_vertex(curves_, wanted)]);
    Problem problem = split_refused(fmt::format(
        "the corner at ({:.3f}, {:.3f}) is not on the outline; its nearest vertex is ({:.3f}, {:.3f})",
        wanted.x, wanted.y, vertex.x, vertex.y));
    problem.value = distance(vertex, wanted);
    problem.limit = tolerance::kCornerSnap.value();
    return problem;
  }

  void note_snapped(const CornerSpec& corner, Vec2 wanted, Vec2 vertex, double off) {
    if (off <= kReadOff) return;
    const auto* name = std::get_if<std::string>(&corner.at);
    out_.notes.push_back(fmt::format(
        "the corner {} is stated at ({:.3f}, {:.3f}){}, {:.3f} mm from the corner of the drawing that it is "
        "taken for, ({:.3f}, {:.3f})",
        corner.name, wanted.x, wanted.y, name != nullptr ? ", the point " + *name + " of the forme" : "", off,
        vertex.x, vertex.y));
  }

  // Going round once, the place along the outline falls back exactly once.
  Status check_order(const std::vector<CornerPlace>& starts) const {
    const std::size_t count = starts.size();
    if (count == 1) return Done{};
    std::size_t falls = 0;
    std::size_t rises = 0;
    std::size_t last_fall = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const double here = order_of(starts[i]);
      const double next = order_of(starts[(i + 1) % count]);
      if (here == next) {
        return split_refused(
            fmt::format("the corners {} and {} fall on the same place of the outline, ({:.3f}, {:.3f})",
                        spec_.edges[i].from, spec_.edges[i].to, starts[i].at.x, starts[i].at.y));
      }
      if (next < here) {
        ++falls;
        last_fall = i;
      } else {
        ++rises;
      }
    }
    if (falls == 1) return Done{};
    if (rises == 1) {
      return split_refused(
          "the edges go round the outline clockwise; list them counter-clockwise (seen with x to the right "
          "and y up)");
    }
    return split_refused("the corners do not follow each other along the outline in the order of the edges")
        .in("edge", spec_.edges[last_fall].name);
  }

  const std::vector<Curve>& curves_;
  const PieceSpec& spec_;
  const FormeSpec& forme_;
  SplitOutline out_;
};

}  // namespace

std::optional<SnappedPlace> snapped(const std::vector<Curve>& outline, Vec2 wanted) {
  const double limit = tolerance::kCornerSnap.value();
  const std::size_t vertex = nearest_vertex(outline, wanted);
  const Vec2 at = start_of(outline[vertex]);
  const double off = distance(at, wanted);
  if (off > limit) return nearest_between(outline, wanted, limit);
  // Where a curve is drawn in chords, their ends are wherever they happen to be.
  if (off > kReadOff && joins_chords(outline, vertex)) {
    if (const auto between = nearest_between(outline, wanted, kDrawnOnLine)) return between;
  }
  return SnappedPlace{{vertex, 0.0, at}, off};
}

Result<OpenChain> stretch_of(const std::vector<Curve>& outline, const CornerPlace& from,
                             const CornerPlace& to) {
  RawOutline raw;
  const bool whole_round = order_of(from) == order_of(to);
  if (from.curve == to.curve && from.t < to.t) {
    raw.curves.push_back(with_ends(part_of(outline[from.curve], from.t, to.t), from.at, to.at));
    return make_open_chain(std::move(raw), tolerance::kSamePoint);
  }
  const Curve& first = outline[from.curve];
  raw.curves.push_back(from.t > 0.0 ? with_ends(part_of(first, from.t, 1.0), from.at, end_of(first)) : first);
  std::size_t i = (from.curve + 1) % outline.size();
  while (i != to.curve) {
    raw.curves.push_back(outline[i]);
    i = (i + 1) % outline.size();
  }
  // A single curve that goes right round and starts at its own joint has been taken whole already.
  const bool all_taken = whole_round && from.t == 0.0;
  if (to.t > 0.0 && !all_taken) {
    raw.curves.push_back(
        with_ends(part_of(outline[to.curve], 0.0, to.t), start_of(outline[to.curve]), to.at));
  }
  return make_open_chain(std::move(raw), tolerance::kSamePoint);
}

Vec2 corner_place(const CornerSpec& corner, const FormeSpec& forme) {
  if (const auto* at = std::get_if<Vec2>(&corner.at)) return *at;
  return drawn_place(forme, std::get<std::string>(corner.at));
}

Result<SplitOutline> split_outline(const ClosedOutline& outline, const PieceSpec& spec,
                                   const FormeSpec& forme) {
  return Splitter(outline, spec, forme).run();
}

}  // namespace lastwright
