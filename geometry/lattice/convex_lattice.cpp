#include "geometry/lattice/convex_lattice.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/lattice/convex_parts.hpp"

namespace lastwright {

namespace {

// A chord from x on edge `from` to x + c on edge `to`.
struct HalfChord {
  std::size_t from = 0;
  std::size_t to = 0;
};

// The chord along c farthest to the left of c that is as long as c. c is shorter than the longest chord.
// `top`: a corner to look from for the one farthest to the left, which it becomes.
HalfChord left_chord(const Polygon& shape, Vec2 c, std::size_t& top) {
  const std::size_t n = shape.size();
  const Vec2 left = left_of(unit(c));
  const Vec2 along = unit(c);
  const auto next = [&](std::size_t i) { return i + 1 == n ? 0 : i + 1; };
  const auto last = [&](std::size_t i) { return i == 0 ? n - 1 : i - 1; };
  // Heights rise to the top on either side.
  while (dot(left, shape[next(top)]) > dot(left, shape[top])) top = next(top);
  while (dot(left, shape[last(top)]) > dot(left, shape[top])) top = last(top);
  // Down both sides from the top: the shape runs counter-clockwise, so the far side in the sense of c lies
  // before the top and the near side behind it.
  std::size_t near = top;
  std::size_t far = top;
  const auto at_height = [&](std::size_t one, std::size_t two, double height) {
    const double h1 = dot(left, shape[one]);
    const double h2 = dot(left, shape[two]);
    const double t = h1 == h2 ? 1.0 : std::clamp((height - h1) / (h2 - h1), 0.0, 1.0);
    return dot(along, lerp(shape[one], shape[two], t));
  };
  for (std::size_t step = 0; step < 2 * n; ++step) {
    const double h_near = dot(left, shape[next(near)]);
    const double h_far = dot(left, shape[last(far)]);
    const double height = std::max(h_near, h_far);
    const double chord = at_height(far, last(far), height) - at_height(near, next(near), height);
    if (chord >= norm(c)) break;
    if (h_near >= h_far) {
      near = next(near);
    } else {
      far = last(far);
    }
  }
  return {near, last(far)};
}

// Where the chord x, x + c of these edges starts: x = p + alpha e, x + c = q + beta f.
struct Started {
  Vec2 x;
  double alpha = 0.0;
  double beta = 0.0;
};
Started start_of(const Polygon& shape, const HalfChord& chord, Vec2 c) {
  const std::size_t n = shape.size();
  const Vec2 p = shape[chord.from];
  const Vec2 e = shape[(chord.from + 1) % n] - p;
  const Vec2 q = shape[chord.to];
  const Vec2 f = shape[(chord.to + 1) % n] - q;
  const Vec2 gap = q - c - p;  // alpha e - beta f
  const double turn = cross(e, f);
  if (turn == 0.0) return {p, 0.0, 0.0};
  const double alpha = cross(gap, f) / turn;
  return {p + alpha * e, alpha, cross(gap, e) / turn};
}

struct Best {
  double area = 1e300;
  Vec2 c;
  Vec2 left;   // start of the chord on the left
  Vec2 right;  // of the one on the right, along c too
};

// The first time after `t` at which a chord that moves from `now` to `then` (at time 1) leaves its edges.
double leaving(const Started& now, const Started& then, double t) {
  double first = 1.0;
  const auto leave = [&](double from, double to) {
    for (const double end : {0.0, 1.0}) {
      const double speed = (to - from) / (1.0 - t);
      if (speed == 0.0) continue;
      const double at = t + (end - from) / speed;
      if (at > t && (end == 1.0) == (speed > 0.0)) first = std::min(first, at);
    }
  };
  leave(now.alpha, then.alpha);
  leave(now.beta, then.beta);
  return first;
}

// The smallest parallelogram of `shape` with chords half as
// long as the longest; `difference` is the shape's with itself.
Best smallest_parallelogram(const Polygon& shape, const Polygon& difference) {
  Best best;
  const std::size_t n = difference.size();
  std::size_t top_left = 0;
  std::size_t top_right = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 from = 0.5 * difference[i];
    const Vec2 to = 0.5 * difference[(i + 1) % n];
    double t = 0.0;
    // Each stretch ends at a corner of the shape; each corner is passed a few times at most.
    for (std::size_t stretch = 0; t < 1.0 && stretch < 8 * n + 8; ++stretch) {
      constexpr double kAhead = 1e-9;  // which edges come next is asked a little later
      const double ask = std::min(1.0, t + kAhead);
      const Vec2 c_ask = lerp(from, to, ask);
      const HalfChord left = left_chord(shape, c_ask, top_left);
      const HalfChord right = left_chord(shape, -c_ask, top_right);
      const auto at = [&](double time) {
        const Vec2 c = lerp(from, to, time);
        const Started l = start_of(shape, left, c);
        const Started r = start_of(shape, right, -c);
        return Best{cross(c, l.x - (r.x - c)), c, l.x, r.x - c};
      };
      double end = 1.0;
      if (ask < 1.0) {
        const Vec2 c_end = to;
        end = std::min(leaving(start_of(shape, left, c_ask), start_of(shape, left, c_end), ask),
                       leaving(start_of(shape, right, -c_ask), start_of(shape, right, -c_end), ask));
      }
      end = std::max(end, ask);
      const double middle = 0.5 * (t + end);
      const double y0 = at(t).area;
      const double y1 = at(middle).area;
      const double y2 = at(end).area;
      const double bend = y0 - 2.0 * y1 + y2;  // half the second difference times 4
      std::vector<double> times{t, end};
      if (bend > 0.0) {
        const double lowest = middle - 0.25 * (end - t) * (y2 - y0) / bend;
        if (lowest > t && lowest < end) times.push_back(lowest);
      }
      for (const double time : times) {
        const Best found = at(time);
        if (found.area > 0.0 && found.area < best.area) best = found;
      }
      t = end;
    }
  }
  return best;
}

}  // namespace

Lattice densest_convex_translates(const Polygon& shape) {
  const Polygon difference = convex_sum(shape, half_turned(shape));
  const Best best = smallest_parallelogram(difference, convex_sum(difference, difference));
  return reduced({best.c, best.left + best.c, {}});
}

Lattice densest_convex_half_turned(const Polygon& shape) {
  const Best best = smallest_parallelogram(shape, convex_sum(shape, half_turned(shape)));
  return reduced({2.0 * best.c, 2.0 * (best.left - best.right), 2.0 * best.left});
}

}  // namespace lastwright
