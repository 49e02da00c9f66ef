#include "geometry/offset/untangle.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/check/close_pairs.hpp"
#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Cut {
  std::size_t piece;
  double t;
  Vec2 at;
};

std::vector<Cut> contacts_of(const std::vector<MovedPiece>& run, bool closed,
                             std::span<const ArcSegment> knives) {
  const double touch = tolerance::kNode.value();
  const std::size_t n = run.size();
  std::vector<Box2> boxes;
  boxes.reserve(n);
  for (const MovedPiece& piece : run) boxes.push_back(loose_bounds(piece.segment).grown(touch));
  for (const ArcSegment& knife : knives) boxes.push_back(loose_bounds(knife).grown(touch));
  std::vector<Cut> cuts;
  const auto note = [&](const Contacts& found, std::size_t one, std::size_t two) {
    for (const Contact& c : found) {
      cuts.push_back({one, c.on_one, c.at});
      cuts.push_back({two, c.on_two, c.at});
    }
  };
  for_overlapping(boxes, [&](std::size_t one, std::size_t two) {
    if (two >= n) {
      if (one >= n) return;
      for (const Contact& c : contacts(run[one].segment, knives[two - n], touch))
        cuts.push_back({one, c.on_one, c.at});
      return;
    }
    const bool next = two == one + 1;
    const bool wraps = closed && one == 0 && two == n - 1 && n > 2;
    if (next) {
      note(neighbour_contacts(run[one].segment, run[two].segment, touch), one, two);
    } else if (wraps) {
      note(neighbour_contacts(run[two].segment, run[one].segment, touch), two, one);
    } else {
      note(contacts(run[one].segment, run[two].segment, touch), one, two);
    }
  });
  std::sort(cuts.begin(), cuts.end(),
            [](const Cut& a, const Cut& b) { return a.piece != b.piece ? a.piece < b.piece : a.t < b.t; });
  return cuts;
}

// A part of a piece of the run. Its ends are moved by up to the reach of a contact; its middle is not.
struct Part {
  MovedPiece piece;
  Vec2 middle;
  Vec2 left;  // unit normal there
};

std::vector<Part> parts_of(const std::vector<MovedPiece>& run, bool closed,
                           std::span<const ArcSegment> knives) {
  const std::vector<Cut> cuts = contacts_of(run, closed, knives);
  const double apart = 2.0 * tolerance::kNode.value();
  std::vector<Part> parts;
  parts.reserve(run.size() + cuts.size());
  auto cut = cuts.begin();
  for (std::size_t i = 0; i < run.size(); ++i) {
    const ArcSegment& whole = run[i].segment;
    const double sweep = whole.sweep();
    double from = 0.0;
    Vec2 at = whole.a;
    const auto part_to = [&](double t, Vec2 b) {
      const double bulge = whole.straight() ? 0.0 : std::tan(0.25 * sweep * (t - from));
      const double middle = 0.5 * (from + t);
      parts.push_back(
          {{{at, b, bulge}, run[i].source}, whole.point_at(middle), left_of(whole.tangent_at(middle))});
      from = t;
      at = b;
    };
    for (; cut != cuts.end() && cut->piece == i; ++cut) {
      if (distance(cut->at, at) > apart && distance(cut->at, whole.b) > apart) part_to(cut->t, cut->at);
    }
    if (distance(at, whole.b) > 0.0) part_to(1.0, whole.b);
  }
  return parts;
}

// Points that differ by rounding are one node. Sorted by x; a node takes what lies within reach of its first
// point.
class Nodes {
 public:
  explicit Nodes(const std::vector<Part>& parts) {
    for (const Part& p : parts) {
      points_.push_back(p.piece.segment.a);
      points_.push_back(p.piece.segment.b);
    }
    std::sort(points_.begin(), points_.end(),
              [](Vec2 a, Vec2 b) { return a.x != b.x ? a.x < b.x : a.y < b.y; });
    std::vector<Vec2> kept;
    for (Vec2 p : points_) {
      bool known = false;
      for (auto k = kept.rbegin(); k != kept.rend() && k->x >= p.x - reach(); ++k) {
        known = known || distance(*k, p) <= reach();
      }
      if (!known) kept.push_back(p);
    }
    points_ = std::move(kept);
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

// The region lies left of the part and not right of it.
bool bounds_region(const ClosedArcPath& run, const Part& part, double widest) {
  // Closer to short pieces: beside their ends other pieces leave at small angles.
  const double least = tolerance::kRoot.value();
  double aside = std::clamp(1e-3 * part.piece.segment.chord(), least, widest);
  while (true) {
    const int inner = winding_number(run, part.middle + aside * part.left);
    const int outer = winding_number(run, part.middle - aside * part.left);
    // Where more than this part lies between the two it runs along another one: seen more closely they may
    // differ.
    if (inner - outer <= 1 || aside <= least) return inner > 0 && outer <= 0;
    aside = std::max(0.1 * aside, least);
  }
}

struct Kept {
  MovedPiece piece;
  std::size_t from;
  std::size_t to;
  bool used = false;
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

// Of the pieces that leave a node the one furthest to the left: contours that touch at a node part there.
Kept* next_of(std::vector<Kept>& kept, const std::vector<std::vector<std::size_t>>& leaving,
              const Kept& last) {
  Kept* best = nullptr;
  double best_turn = -10.0;
  const Vec2 in = last.piece.segment.tangent_at(1.0);
  for (std::size_t i : leaving[last.to]) {
    if (kept[i].used) continue;
    const double turn = angle_between(in, kept[i].piece.segment.tangent_at(0.0));
    if (turn > best_turn) {
      best_turn = turn;
      best = &kept[i];
    }
  }
  return best;
}

}  // namespace

bool same_course(const ArcSegment& a, const ArcSegment& b) {
  return distance(a.a, b.a) < 10.0 * tolerance::kNode.value() &&
         distance(a.b, b.b) < 10.0 * tolerance::kNode.value() &&
         distance(a.point_at(0.5), b.point_at(0.5)) < 10.0 * tolerance::kNode.value();
}

std::vector<MovedPiece> cut_at_contacts(const std::vector<MovedPiece>& run, bool closed,
                                        std::span<const ArcSegment> knives) {
  std::vector<MovedPiece> pieces;
  for (const Part& part : parts_of(run, closed, knives)) pieces.push_back(part.piece);
  return pieces;
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
  ClosedArcPath whole;
  for (const MovedPiece& piece : run) whole.vertices.push_back({piece.segment.a, piece.segment.bulge});
  const std::vector<Part> parts = parts_of(run, true, {});
  const Nodes nodes(parts);
  std::vector<Kept> kept;
  std::vector<std::vector<std::size_t>> leaving(nodes.size());
  for (const Part& part : parts) {
    const ArcSegment& segment = part.piece.segment;
    Kept candidate{part.piece, nodes.of(segment.a), nodes.of(segment.b), false};
    if (candidate.from == candidate.to && segment.length() < 1e-5) continue;
    if (!bounds_region(whole, part, aside.value())) continue;
    const std::vector<std::size_t>& others = leaving[candidate.from];
    const bool twice = std::any_of(others.begin(), others.end(), [&](std::size_t i) {
      return kept[i].to == candidate.to && same_course(kept[i].piece.segment, segment);
    });
    if (twice) continue;
    leaving[candidate.from].push_back(kept.size());
    kept.push_back(candidate);
  }

  std::vector<TracedContour> contours;
  for (std::size_t i = 0; i < kept.size(); ++i) {
    if (kept[i].used) continue;
    TracedContour contour;
    Kept* piece = &kept[i];
    const std::size_t home = piece->from;
    while (true) {
      piece->used = true;
      contour.pieces.push_back(piece->piece);
      if (piece->to == home) break;
      piece = next_of(kept, leaving, *piece);
      if (!piece) {
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
