#include "geometry/io/paper/sheet_prepare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <tuple>
#include <utility>

#include "geometry/check/simple.hpp"
#include "geometry/io/decimal_text.hpp"
#include "geometry/io/drawable.hpp"

namespace lastwright {
namespace {

constexpr double kDrawingGrid = tolerance::kDrawingGrid.value();
constexpr double kBulgeGrid = 1e-12;  // moves an arc of half a metre by less than the coordinate grid

double on_grid(double value, double grid) {
  const double steps = value / grid;
  constexpr double kWhole = 4503599627370496.0;  // 2^52: from there on every number is whole
  return (std::abs(steps) < kWhole ? static_cast<double>(rounded(steps)) : steps) * grid + 0.0;
}
Vec2 on_grid(Vec2 p) {
  return {on_grid(p.x, kDrawingGrid), on_grid(p.y, kDrawingGrid)};
}

Problem problem_at(std::string message, Operation operation, Vec2 at) {
  Problem problem{Trouble::kGeometry, fmt::format("{} at ({:.3f}, {:.3f})", message, at.x, at.y), {}, {}, {}};
  problem.place.named.emplace_back("layer", layer_name(operation));
  return problem;
}

// The largest distance between two segments with common
// ends against the pair they stand for, sampled both ways.
double distance_between(const ArcSegment& merged, const ArcSegment& first, const ArcSegment& second) {
  constexpr int kSamples = 16;
  double worst = 0.0;
  for (int i = 0; i <= kSamples; ++i) {
    const double t = static_cast<double>(i) / kSamples;
    worst = std::max({worst, merged.distance_to(first.point_at(t)), merged.distance_to(second.point_at(t))});
    const Vec2 p = merged.point_at(t);
    worst = std::max(worst, std::min(first.distance_to(p), second.distance_to(p)));
  }
  return worst;
}

// One segment in the place of two that follow each other, its ends theirs.
struct Merge {
  ArcSegment segment;
  double error = 0.0;
};

Merge best_merge(const ArcSegment& first, const ArcSegment& second) {
  const Vec2 a = first.a;
  const Vec2 b = second.b;
  const Vec2 middle = first.b;
  // Candidates: the turn of both, through the middle vertex, along either end's tangent, straight.
  const double through = 0.5 * angle_between(middle - a, b - middle);
  const double turn = 0.25 * (first.sweep() + second.sweep());
  const ArcSegment candidates[] = {
      {a, b, std::tan(turn)},
      {a, b, std::tan(through)},
      arc_from_tangent(a, first.tangent_at(0.0), b),
      arc_from_tangent(b, -second.tangent_at(1.0), a).reversed(),
      {a, b, 0.0},
  };
  Merge best{{a, b, 0.0}, std::numeric_limits<double>::infinity()};
  for (const ArcSegment& candidate : candidates) {
    if (!(std::abs(candidate.bulge) <= 1.0)) continue;
    const double error = distance_between(candidate, first, second);
    if (error < best.error) best = {candidate, error};
  }
  return best;
}

// Works on the vertices of a path; `closed` is known here only because both kinds are merged alike.
class ShortSegmentMerger {
 public:
  ShortSegmentMerger(std::vector<ArcVertex>& vertices, bool closed, const SheetPrepareOptions& options)
      : vertices_(vertices), closed_(closed), options_(options) {}

  // The first segment that cannot be merged, if there is one; the others are merged all the same.
  std::optional<ArcSegment> run(Millimetres most) {
    most_ = most;
    std::optional<ArcSegment> stuck;
    constexpr std::size_t kLeast = 2;
    for (std::size_t i = 0; i < segments();) {
      const double chord = segment(i).chord();
      if (chord >= options_.shortest.value() || segment(i).length() >= options_.shortest.value()) {
        ++i;
        continue;
      }
      if (chord == 0.0 && vertices_.size() > kLeast) {
        erase_start_of_next(i);  // the same vertex twice
        continue;
      }
      if (vertices_.size() <= kLeast || !(merge(i) || shorten(i))) {
        if (!stuck) stuck = segment(i);
        ++i;
        continue;
      }
      i = i > 0 ? i - 1 : 0;
    }
    return stuck;
  }

 private:
  [[nodiscard]] std::size_t segments() const { return closed_ ? vertices_.size() : vertices_.size() - 1; }
  [[nodiscard]] std::size_t after(std::size_t i) const { return i + 1 == vertices_.size() ? 0 : i + 1; }
  [[nodiscard]] ArcSegment segment(std::size_t i) const {
    return {vertices_[i].at, vertices_[after(i)].at, vertices_[i].bulge};
  }

  // Segment i is empty: its start takes over the segment that follows.
  void erase_start_of_next(std::size_t i) {
    const std::size_t next = after(i);
    vertices_[i].bulge = vertices_[next].bulge;
    vertices_.erase(vertices_.begin() + static_cast<std::ptrdiff_t>(next));
  }

  bool merge(std::size_t i) {
    std::optional<Merge> before;
    std::optional<Merge> behind;
    const std::size_t previous = i > 0 ? i - 1 : vertices_.size() - 1;
    if (closed_ || i > 0) before = best_merge(segment(previous), segment(i));
    if (closed_ || i + 2 < vertices_.size()) behind = best_merge(segment(i), segment(after(i)));
    const bool take_before = before && (!behind || before->error <= behind->error);
    const std::optional<Merge>& best = take_before ? before : behind;
    if (!best || best->error > most_.value()) return false;
    const std::size_t kept = take_before ? previous : i;
    vertices_[kept].bulge = on_grid(best->segment.bulge, kBulgeGrid);
    vertices_.erase(vertices_.begin() + static_cast<std::ptrdiff_t>(after(kept)));
    return true;
  }

  // A short segment at the end of a line is left out.
  bool shorten(std::size_t i) {
    if (closed_ || (i > 0 && i + 1 < segments())) return false;
    vertices_.erase(i == 0 ? vertices_.begin() : vertices_.end() - 1);
    vertices_.back().bulge = 0.0;
    return true;
  }

  std::vector<ArcVertex>& vertices_;
  bool closed_;
  const SheetPrepareOptions& options_;
  Millimetres most_{0.0};  // that merging may move
};

// The largest distance of a place of one outline from the other, of places sixteen to a segment.
double farthest_from(const ClosedArcPath& from, const ClosedArcPath& path) {
  constexpr int kSamples = 16;
  double worst = 0.0;
  for (std::size_t i = 0; i < from.size(); ++i) {
    for (int k = 0; k < kSamples; ++k)
      worst = std::max(worst, distance_to(path, from.segment(i).point_at(static_cast<double>(k) / kSamples)));
  }
  return worst;
}

// Absorbs what is too short of an outline, and says how far that moves it; nothing, and the outline as it
// was, where it would move by more than is allowed or touch itself.
std::optional<double> absorb(std::vector<ArcVertex>& vertices, const SheetPrepareOptions& options) {
  const ClosedArcPath before{vertices};
  ClosedArcPath after = before;
  if (ShortSegmentMerger(after.vertices, true, options).run(options.absorb)) return std::nullopt;
  const double moved = std::max(farthest_from(before, after), farthest_from(after, before));
  if (moved > options.absorb.value() || self_contact(after, tolerance::kSamePoint)) return std::nullopt;
  vertices = std::move(after.vertices);
  return moved;
}

// How far absorbing moved the path.
Result<double> prepare_path(std::vector<ArcVertex>& vertices, bool closed, Operation operation,
                            const SheetPrepareOptions& options) {
  if (vertices.size() < 2) {
    return problem_at("a path of fewer than two vertices", operation,
                      vertices.empty() ? Vec2{} : vertices[0].at);
  }
  for (ArcVertex& vertex : vertices) {
    if (!is_finite(vertex.at) || !std::isfinite(vertex.bulge)) {
      return problem_at("a vertex is not a finite number", operation, {});
    }
    if (!is_drawable(vertex.at) || !is_drawable(vertex.bulge)) {
      return problem_at("a vertex lies beyond a kilometre", operation, vertex.at);
    }
    vertex = {on_grid(vertex.at), on_grid(vertex.bulge, kBulgeGrid)};
  }
  if (!closed) vertices.back().bulge = 0.0;
  const std::vector<ArcVertex> drawn = vertices;
  const Millimetres most = closed ? options.merge_error : options.mark_error;
  if (const auto stuck = ShortSegmentMerger(vertices, closed, options).run(most)) {
    if (closed) {
      vertices = drawn;
      if (const std::optional<double> moved = absorb(vertices, options)) return *moved;
    }
    Problem problem = problem_at(
        fmt::format(
            "a segment too short to cut that cannot be merged into its neighbours within {} mm{}",
            (closed ? options.absorb : options.mark_error).value(),
            closed
                ? " (a step between two allowances changes with the width of either of them; a tip that "
                  "the cut line is cut across, at the end of a sharp corner, is none where that corner has "
                  "the form \"square\" or \"round\")"
                : ""),
        operation, stuck->a);
    problem.value = stuck->length();
    problem.limit = options.shortest.value();
    return problem;
  }
  return 0.0;
}

// Sorted by a short key; items of equal keys are compared whole.
template <class Item, class Key, class Same>
std::optional<Item> duplicate_in(const std::vector<Item>& items, Key key, Same same) {
  std::vector<std::size_t> order(items.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return key(items[a]) < key(items[b]); });
  for (std::size_t i = 0; i < order.size(); ++i) {
    for (std::size_t k = i + 1; k < order.size() && key(items[order[i]]) == key(items[order[k]]); ++k) {
      if (same(items[order[i]], items[order[k]])) return items[order[i]];
    }
  }
  return std::nullopt;
}

template <class Item>
std::optional<Item> duplicate_path(const std::vector<Item>& items) {
  const auto key = [](const Item& item) {
    const std::vector<ArcVertex>& v = item.path.vertices;
    return std::tuple(item.operation, v.size(), v[0].at.x, v[0].at.y, v[1].at.x, v[1].at.y);
  };
  return duplicate_in(items, key,
                      [](const Item& a, const Item& b) { return a.path.vertices == b.path.vertices; });
}

template <class Items>
void sort_by_operation(Items& items) {
  std::stable_sort(items.begin(), items.end(),
                   [](const auto& a, const auto& b) { return a.operation < b.operation; });
}

}  // namespace

Result<Sheet> prepare_sheet(const Sheet& sheet, const SheetPrepareOptions& options) {
  Sheet out = sheet;
  for (SheetOutline& outline : out.outlines) {
    if (const Result<double> s = prepare_path(outline.path.vertices, true, outline.operation, options); !s)
      return s.problem();
  }
  for (SheetLine& line : out.lines) {
    if (const Result<double> s = prepare_path(line.path.vertices, false, line.operation, options); !s)
      return s.problem();
  }
  for (SheetHole& hole : out.holes) {
    const bool fine = is_drawable(hole.centre) && is_drawable(hole.radius);
    hole = {on_grid(hole.centre), on_grid(hole.radius, kDrawingGrid), hole.operation};
    if (!fine || hole.radius <= 0.0)
      return problem_at("a hole without a valid radius or position", hole.operation, hole.centre);
  }
  for (SheetText& text : out.texts) {
    const bool fine = is_drawable(text.at) && is_drawable(text.height) && std::isfinite(text.angle.value());
    text.at = on_grid(text.at);
    text.height = on_grid(text.height, kDrawingGrid);
    if (!fine || text.height <= 0.0)
      return problem_at("a text without a valid height or position", text.operation, text.at);
  }
  sort_by_operation(out.outlines);
  sort_by_operation(out.lines);
  sort_by_operation(out.holes);
  sort_by_operation(out.texts);
  if (const auto twice = duplicate_path(out.outlines)) {
    return problem_at("the same outline twice", twice->operation, twice->path.vertices[0].at);
  }
  if (const auto twice = duplicate_path(out.lines)) {
    return problem_at("the same line twice", twice->operation, twice->path.vertices[0].at);
  }
  const auto hole_key = [](const SheetHole& h) {
    return std::tuple(h.operation, h.centre.x, h.centre.y, h.radius);
  };
  if (const auto twice =
          duplicate_in(out.holes, hole_key, [](const SheetHole&, const SheetHole&) { return true; })) {
    return problem_at("the same hole twice", twice->operation, twice->centre);
  }
  return out;
}

double absorbed_move(const ClosedArcPath& outline, const SheetPrepareOptions& options) {
  const bool any =
      std::any_of(outline.vertices.begin(), outline.vertices.end(), [&](const ArcVertex& vertex) {
        const auto i = static_cast<std::size_t>(&vertex - outline.vertices.data());
        return outline.segment(i).length() < options.shortest.value();
      });
  if (!any) return 0.0;
  std::vector<ArcVertex> vertices = outline.vertices;
  const Result<double> moved = prepare_path(vertices, true, Operation::kCut, options);
  return moved ? *moved : 0.0;
}

}  // namespace lastwright
