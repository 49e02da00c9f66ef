#include "geometry/offset/untangle.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/curve/intersect.hpp"
#include "geometry/offset/run_parts.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// Points that differ by rounding are one node. Sorted by x;
// a node takes what lies within reach of its first point.
class Nodes {
 public:
  explicit Nodes(std::vector<Vec2> points) : points_(std::move(points)) {
    std::sort(points_.begin(), points_.end(),
              [](Vec2 a, Vec2 b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
    std::size_t kept = 0;
    for (const Vec2 p : points_) {
      bool known = false;
      for (std::size_t k = kept; k-- > 0 && points_[k].x >= p.x - reach();)
        known = known || distance(points_[k], p) <= reach();
      if (!known) points_[kept++] = p;
    }
    points_.resize(kept);
  }

  [[nodiscard]] std::size_t size() const { return points_.size(); }
  [[nodiscard]] std::size_t of(Vec2 p) const {
    auto k = std::lower_bound(points_.begin(), points_.end(), p.x - reach(),
                              [](Vec2 a, double x) { return a.x < x; });
    std::size_t best = 0;
    double nearest = 1e300;
    for (; k != points_.end() && k->x <= p.x + reach(); ++k) {
      if (distance(*k, p) < nearest) {
        nearest = distance(*k, p);
        best = static_cast<std::size_t>(k - points_.begin());
      }
    }
    return best;
  }

 private:
  static double reach() { return 4.0 * tolerance::kNode.value(); }
  std::vector<Vec2> points_;
};

// Winding numbers of a run. Most pieces lie above, below or left of a point and are not looked at.
class Windings {
 public:
  explicit Windings(const std::vector<MovedPiece>& run) : run_(run) {
    const std::size_t n = run.size();
    extents_.reserve(n);
    for (const MovedPiece& piece : run) {
      const Box2 box = loose_bounds(piece.segment).grown(tolerance::kRoot.value());
      extents_.push_back({box.low.y, box.high.y, box.high.x});
    }
  }

  [[nodiscard]] int at(Vec2 p) const {
    int winding = 0;
    for (std::size_t i = 0; i < extents_.size(); ++i) {
      const Extent& e = extents_[i];
      if (p.y >= e.low && p.y <= e.high && p.x <= e.right) winding += winding_of(segment(i), p);
    }
    return winding;
  }

 private:
  struct Extent {
    double low;
    double high;
    double right;
  };
  // Each piece ends exactly where the next one starts, so that no point slips through between them.
  [[nodiscard]] ArcSegment segment(std::size_t i) const {
    const ArcSegment& s = run_[i].segment;
    return {s.a, run_[i + 1 == run_.size() ? 0 : i + 1].segment.a, s.bulge};
  }

  const std::vector<MovedPiece>& run_;
  std::vector<Extent> extents_;
};

// Parts that follow each other without anything else touching them where they meet: beside all of them run
// the same two faces of the plane, so that one is asked for all. (A small disc about such a joint holds
// nothing but the end of one part and the start of the next, and they part it in a left and a right side;
// beside a part no number changes, because it is cut wherever it touches anything.)
struct Stretch {
  std::size_t first;  // parts [first, last)
  std::size_t last;
  std::size_t longest;
};

// Where two parts almost fold back on each other the one
// may lie within reach of what is asked beside the other.
bool turns_back(const ArcSegment& one, const ArcSegment& two) {
  constexpr double kBack = -0.9;  // cosine
  return dot(one.end_tangent(), two.start_tangent()) < kBack;
}

std::vector<Stretch> stretches_of(const std::vector<Part>& parts) {
  std::vector<Stretch> stretches;
  double longest = 0.0;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    const ArcSegment& segment = parts[i].piece.segment;
    const double size = segment.chord();
    if (i == 0 || parts[i].joint || turns_back(parts[i - 1].piece.segment, segment)) {
      stretches.push_back({i, i + 1, i});
      longest = size;
      continue;
    }
    Stretch& stretch = stretches.back();
    stretch.last = i + 1;
    if (size <= longest) continue;
    longest = size;
    stretch.longest = i;
  }
  return stretches;
}

// Winding numbers beside a part.
struct Sides {
  int left;
  int right;
  // The region lies left of the part and not right of it.
  [[nodiscard]] bool bound_region() const { return left > 0 && right <= 0; }
};

Sides sides_of(const Windings& windings, const std::vector<MovedPiece>& run, const Part& part,
               double widest) {
  // The ends of a part are moved by up to the reach of a contact; its middle on the piece is not.
  const ArcSegment& whole = run[part.whole].segment;
  const double t = 0.5 * (part.from + part.to);
  const Vec2 middle = whole.point_at(t);
  const Vec2 left = left_of(whole.tangent_at(t));
  // Closer to short pieces: beside their ends other pieces leave at small angles.
  const double least = tolerance::kRoot.value();
  double aside = std::clamp(1e-3 * part.piece.segment.chord(), least, widest);
  while (true) {
    const Sides sides{windings.at(middle + aside * left), windings.at(middle - aside * left)};
    // Where more than this part lies between the two it runs
    // along another one: seen more closely they may differ.
    if (sides.left - sides.right <= 1 || aside <= least) return sides;
    aside = std::max(0.1 * aside, least);
  }
}

// The numbers beside the stretches in turn. Where the last one ended at a clear crossing they differ by the
// one that was crossed: it winds once more on its left than on its right. Else they are counted.
class SidesAlong {
 public:
  SidesAlong(const std::vector<MovedPiece>& run, const std::vector<Part>& parts, double widest)
      : run_(run), parts_(parts), widest_(widest), windings_(run) {}

  // Whether the numbers are right again where the run ends
  // at its own start; false: some crossing was taken wrong.
  [[nodiscard]] bool come_round() const { return !sure_ || !sure_first_ || now_.left == first_.left; }

  // `matters`: else the answer is not looked at, and nothing is counted for it.
  Sides next(const Stretch& stretch, bool matters) {
    const int crossing = parts_[stretch.first].crossing;
    if (sure_ && crossing != 0) {
      now_ = {now_.left + crossing, now_.right + crossing};
    } else if (!matters) {
      sure_ = false;
    } else {
      const Part& longest = parts_[stretch.longest];
      now_ = sides_of(windings_, run_, longest, widest_);
      sure_ = now_.left - now_.right == 1 && longest.piece.segment.chord() > kLong;
    }
    // Something else may lie across the start.
    if (stretch.first == 0 && !parts_.front().joint) {
      first_ = now_;
      sure_first_ = sure_;
    }
    return now_;
  }

 private:
  static constexpr double kLong = 1e-4;  // mm: beside shorter ones the count may be mistaken

  const std::vector<MovedPiece>& run_;
  const std::vector<Part>& parts_;
  double widest_;
  Windings windings_;
  Sides now_{0, 0};
  Sides first_{0, 0};
  bool sure_ = false;
  bool sure_first_ = false;
};

struct Kept {
  Stretch stretch;
  std::size_t from;
  std::size_t to;
  std::size_t next_from = kNone;  // another that leaves the same node
  bool used = false;
  static constexpr std::size_t kNone = static_cast<std::size_t>(-1);
};

bool same_stretch(const std::vector<Part>& parts, const Stretch& a, const Stretch& b) {
  if (a.last - a.first != b.last - b.first) return false;
  for (std::size_t i = 0; i < a.last - a.first; ++i) {
    if (!same_course(parts[a.first + i].piece.segment, parts[b.first + i].piece.segment)) return false;
  }
  return true;
}

bool shorter_than(const std::vector<Part>& parts, const Stretch& stretch, double limit) {
  double length = 0.0;
  for (std::size_t i = stretch.first; i < stretch.last && length < limit; ++i)
    length += parts[i].piece.segment.length();
  return length < limit;
}

// What bounds the region, with the nodes it leads from and to.
class Boundary {
 public:
  Boundary(const std::vector<MovedPiece>& run, const std::vector<Part>& parts, double widest)
      : parts_(parts) {
    const std::vector<Stretch> stretches = stretches_of(parts);
    std::vector<Vec2> ends;
    ends.reserve(stretches.size());
    for (const Stretch& s : stretches) ends.push_back(parts[s.first].piece.segment.a);
    const Nodes nodes(ends);
    SidesAlong sides(run, parts, widest);
    leaving_.assign(nodes.size(), Kept::kNone);
    std::size_t node = stretches.empty() ? 0 : nodes.of(ends[0]);
    const std::size_t home = node;
    for (std::size_t i = 0; i < stretches.size(); ++i) {
      const std::size_t from = node;
      node = i + 1 == stretches.size() ? home : nodes.of(ends[i + 1]);
      const bool matters = from != node || !shorter_than(parts, stretches[i], kLoop);
      if (sides.next(stretches[i], matters).bound_region() && matters) add({stretches[i], from, node});
    }
    sound_ = sides.come_round();
  }

  [[nodiscard]] bool sound() const { return sound_; }
  [[nodiscard]] std::vector<Kept>& kept() { return kept_; }

  // Of the unused stretches that leave a node the one furthest
  // to the left: contours that touch at a node part there.
  Kept* next_of(const Kept& last) {
    Kept* best = nullptr;
    double best_turn = -10.0;
    for (std::size_t i = leaving_[last.to]; i != Kept::kNone; i = kept_[i].next_from) {
      if (kept_[i].used) continue;
      if (!best) {
        best = &kept_[i];
        continue;
      }
      if (best_turn < -9.0) best_turn = turn_into(last, *best);
      const double turn = turn_into(last, kept_[i]);
      if (turn <= best_turn) continue;
      best_turn = turn;
      best = &kept_[i];
    }
    return best;
  }

 private:
  static constexpr double kLoop = 1e-5;  // mm: shorter ones are rounding

  void add(const Kept& candidate) {
    std::size_t* end = &leaving_[candidate.from];
    while (*end != Kept::kNone) {
      Kept& other = kept_[*end];
      if (other.to == candidate.to && same_stretch(parts_, other.stretch, candidate.stretch)) return;
      end = &other.next_from;
    }
    *end = kept_.size();
    kept_.push_back(candidate);
  }

  [[nodiscard]] double turn_into(const Kept& last, const Kept& next) const {
    return angle_between(parts_[last.stretch.last - 1].piece.segment.end_tangent(),
                         parts_[next.stretch.first].piece.segment.start_tangent());
  }

  const std::vector<Part>& parts_;
  std::vector<Kept> kept_;
  std::vector<std::size_t> leaving_;  // the first that leaves each node
  bool sound_ = true;
};

double area_of(const std::vector<MovedPiece>& pieces) {
  double twice = 0.0;
  double bows = 0.0;
  const Vec2 origin = pieces.front().segment.a;
  for (const MovedPiece& p : pieces) {
    twice += cross(p.segment.a - origin, p.segment.b - origin);
    bows += p.segment.bow_area();
  }
  return 0.5 * twice + bows;
}

}  // namespace

bool same_course(const ArcSegment& a, const ArcSegment& b) {
  const double near = 10.0 * tolerance::kNode.value();
  return std::abs(a.a.x - b.a.x) < near && distance(a.a, b.a) < near && distance(a.b, b.b) < near &&
         distance(a.point_at(0.5), b.point_at(0.5)) < near;
}

std::vector<MovedPiece> merged(const std::vector<MovedPiece>& pieces, bool closed) {
  std::vector<MovedPiece> out;
  const auto joins = [](const MovedPiece& one, const MovedPiece& two) {
    return one.source == two.source && one.segment.straight() == two.segment.straight() &&
           norm(one.segment.end_tangent() - two.segment.start_tangent()) < 1e-6 &&
           (one.segment.straight() || std::abs(one.segment.curvature() - two.segment.curvature()) <
                                          1e-4 * std::abs(one.segment.curvature()));
  };
  const auto join = [](const MovedPiece& one, const MovedPiece& two) {
    const double sweep = one.segment.sweep() + two.segment.sweep();
    return MovedPiece{{one.segment.a, two.segment.b, one.segment.straight() ? 0.0 : std::tan(0.25 * sweep)},
                      one.source};
  };
  for (const MovedPiece& piece : pieces) {
    if (!out.empty() && joins(out.back(), piece)) {
      out.back() = join(out.back(), piece);
    } else {
      out.push_back(piece);
    }
  }
  if (closed && out.size() > 2 && joins(out.back(), out.front())) {
    out.front() = join(out.back(), out.front());
    out.pop_back();
  }
  return out;
}

Result<std::vector<TracedContour>> positive_region(const std::vector<MovedPiece>& run, Millimetres aside) {
  const std::vector<Part> parts = parts_of_closed(run);
  Boundary boundary(run, parts, aside.value());
  if (!boundary.sound()) {
    return Problem{Trouble::kInternal, "the winding numbers of an offset contradict each other", {}, {}, {}};
  }
  std::vector<TracedContour> contours;
  for (Kept& start : boundary.kept()) {
    if (start.used) continue;
    TracedContour contour;
    for (Kept* stretch = &start;;) {
      stretch->used = true;
      for (std::size_t i = stretch->stretch.first; i < stretch->stretch.last; ++i)
        contour.pieces.push_back(parts[i].piece);
      if (stretch->to == start.from) break;
      stretch = boundary.next_of(*stretch);
      if (!stretch) {
        return Problem{Trouble::kInternal, "a contour of an offset does not close", {}, {}, {}};
      }
    }
    contour.area = area_of(contour.pieces);
    contour.pieces = merged(contour.pieces, true);
    contours.push_back(std::move(contour));
  }
  std::sort(contours.begin(), contours.end(),
            [](const TracedContour& a, const TracedContour& b) { return a.area > b.area; });
  return contours;
}

}  // namespace lastwright
