#include "geometry/check/hausdorff.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/invariant.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// Points this far outside an arc's sector still count as inside; the bound is raised by as much.
constexpr double kSectorSlack = 1e-9;

inline double square(double x) {
  return x * x;
}

// Plain roots instead of hypot, which guards against an overflow that outlines in millimetres cannot meet and
// would cost half of the search.
inline double length_of(Vec2 v) {
  return std::sqrt(dot(v, v));
}
inline double apart(Vec2 a, Vec2 b) {
  return length_of(b - a);
}
inline Vec2 direction_of(Vec2 v) {
  return v / length_of(v);
}

// What follows is asked some hundred times of each pair of outlines: `inline`, so that it is.
// True where p is at least `reach` away from the box.
inline bool out_of_reach(const Box2& box, Vec2 p, double reach) {
  return box.square_gap(p) >= reach * reach;
}

// True where the nearest point of the full line or circle lies on the segment itself. Sectors are at most a
// quarter turn, so two half planes describe them.
inline bool in_sector(const ReadyArc& arc, Vec2 p, double slack) {
  if (arc.turn == 0.0) {
    const Vec2 along = arc.b - arc.a;
    const double reach = slack * arc.length;
    return dot(p - arc.a, along) >= -reach && dot(arc.b - p, along) >= -reach;
  }
  const Vec2 out = p - arc.centre;
  const double reach = slack * arc.radius;
  return arc.turn * cross(arc.a - arc.centre, out) >= -reach &&
         arc.turn * cross(out, arc.b - arc.centre) >= -reach;
}

inline double off_arc(const ReadyArc& arc, Vec2 p) {
  if (in_sector(arc, p, 0.0)) {
    if (arc.turn != 0.0) return std::abs(apart(p, arc.centre) - arc.radius);
    if (arc.length > 0.0) return std::abs(cross(arc.b - arc.a, p - arc.a)) / arc.length;
  }
  return std::min(apart(p, arc.a), apart(p, arc.b));
}

// The parts of an outline that are still to be judged.
inline ReadyArc part(const ReadyArc& arc, bool second) {
  ReadyArc half = arc;
  half.length = 0.5 * arc.length;
  Vec2 middle = lerp(arc.a, arc.b, 0.5);
  if (arc.turn != 0.0) middle = arc.centre + arc.radius * direction_of(middle - arc.centre);
  (second ? half.a : half.b) = middle;
  return half;
}

inline Vec2 middle_of(const ReadyArc& arc) {
  const Vec2 middle = lerp(arc.a, arc.b, 0.5);
  return arc.turn == 0.0 ? middle : arc.centre + arc.radius * direction_of(middle - arc.centre);
}

// Where the tangents at the two ends meet: with the ends it spans a triangle that holds the arc.
inline Vec2 apex_of(const ReadyArc& arc) {
  const Vec2 middle = lerp(arc.a, arc.b, 0.5);
  if (arc.turn == 0.0) return middle;
  const Vec2 out = middle - arc.centre;
  return arc.centre + out * (square(arc.radius) / dot(out, out));
}

// Greatest distance from q to a point of the part.
inline double farthest_from_point(const ReadyArc& part, Vec2 q) {
  double far = std::max(apart(part.a, q), apart(part.b, q));
  if (part.turn == 0.0) return far;
  const Vec2 away = part.centre - q;
  const double d = length_of(away);
  if (d == 0.0) return part.radius;
  if (in_sector(part, part.centre + (part.radius / d) * away, kSectorSlack))
    far = std::max(far, d + part.radius);
  return far;
}

// Greatest distance from the whole line or circle of `to` to a point of the part. Exact.
double farthest_from_carrier(const ReadyArc& part, const ReadyArc& to) {
  if (to.turn == 0.0) {
    const Vec2 normal = left_of(direction_of(to.b - to.a));
    double far = std::max(std::abs(dot(part.a - to.a, normal)), std::abs(dot(part.b - to.a, normal)));
    if (part.turn == 0.0) return far;
    for (const double side : {1.0, -1.0}) {
      const Vec2 p = part.centre + (side * part.radius) * normal;
      if (in_sector(part, p, kSectorSlack)) far = std::max(far, std::abs(dot(p - to.a, normal)));
    }
    return far;
  }
  const double ra = apart(part.a, to.centre);
  const double rb = apart(part.b, to.centre);
  double far = std::max(std::abs(ra - to.radius), std::abs(rb - to.radius));
  if (part.turn == 0.0) {
    if (in_sector(part, to.centre, kSectorSlack)) {
      const double foot = std::abs(cross(direction_of(part.b - part.a), to.centre - part.a));
      far = std::max(far, std::abs(foot - to.radius));
    }
    return far;
  }
  const Vec2 between = part.centre - to.centre;
  const double d = length_of(between);
  if (d == 0.0) return far;  // concentric: constant
  for (const double side : {1.0, -1.0}) {
    const Vec2 p = part.centre + (side * part.radius / d) * between;
    if (in_sector(part, p, kSectorSlack))
      far = std::max(far, std::abs(std::abs(d + side * part.radius) - to.radius));
  }
  return far;
}

// An upper bound of the distance to `to` over the part, from this one segment alone.
double bound_by(const ReadyArc& part, const ReadyArc& to) {
  if (in_sector(to, part.a, kSectorSlack) && in_sector(to, part.b, kSectorSlack) &&
      in_sector(to, apex_of(part), kSectorSlack)) {
    return farthest_from_carrier(part, to) + kSectorSlack;
  }
  return std::min(farthest_from_point(part, to.a), farthest_from_point(part, to.b));
}

class Search {
 public:
  Search(const MeasuredOutline& to, const HausdorffOptions& options, HausdorffResult& result)
      : to_(to), options_(options), result_(result) {}

  // `near` is no nearer than the nearest: whether that could be further away than what is known.
  bool says_more(const ReadyArc& arc, MeasuredOutline::Nearest near) const {
    return near.distance > result_.labels[arc.label].value;
  }
  // Both return false when a limit is exceeded.
  bool note_start(const ReadyArc& arc, std::size_t nearest) {
    return note(arc.label, arc.a, {off_arc(to_.arcs()[nearest], arc.a), nearest});
  }
  bool judge(const ReadyArc& arc, std::size_t hint) {
    // Only what can be nearest to some point of the arc: no
    // farther from its middle than the nearest plus its length.
    candidates_.clear();
    const Vec2 m = middle_of(arc);
    const MeasuredOutline::Nearest guess = to_.nearest_beside(m, hint);
    if (agrees(arc, guess)) return true;
    const double reach = guess.distance + arc.length + kSectorSlack;
    for (std::size_t block = 0; block < to_.blocks().size(); ++block) {
      if (out_of_reach(to_.blocks()[block], m, reach)) continue;
      const std::size_t end = std::min(to_.arcs().size(), (block + 1) * MeasuredOutline::kBlock);
      for (std::size_t i = block * MeasuredOutline::kBlock; i < end; ++i) {
        if (!out_of_reach(to_.arcs()[i].box, m, reach)) candidates_.push_back(static_cast<std::uint32_t>(i));
      }
    }
    return refine(arc, 0, candidates_.size(), guess.arc, 0);
  }

 private:
  bool note(std::uint16_t label, Vec2 p, MeasuredOutline::Nearest near) {
    LabelDistance& best = result_.labels[label];
    if (near.distance > best.value) best = {near.distance, p, foot_on(to_.arcs()[near.arc], p)};
    return options_.limits.empty() || label >= options_.limits.size() || best.value <= options_.limits[label];
  }

  double enough_for(const ReadyArc& arc) const {
    const double floor = arc.label < options_.floors.size() ? options_.floors[arc.label] : 0.0;
    return std::max(floor, result_.labels[arc.label].value) + options_.precision.value();
  }

  // One segment is near the arc over its whole length, as where outlines
  // agree: no other needs to be looked at. `guess` is what that segment says
  // of the arc's middle; the nearest would say no more, and this is known.
  bool agrees(const ReadyArc& arc, MeasuredOutline::Nearest guess) const {
    return !says_more(arc, guess) && bound_by(arc, to_.arcs()[guess.arc]) <= enough_for(arc);
  }

  MeasuredOutline::Nearest nearest_among(Vec2 p, std::size_t first, std::size_t last,
                                         std::size_t hint) const {
    const std::vector<ReadyArc>& arcs = to_.arcs();
    MeasuredOutline::Nearest best{off_arc(arcs[hint], p), hint};
    for (std::size_t k = first; k < last; ++k) {
      const std::size_t i = candidates_[k];
      if (out_of_reach(arcs[i].box, p, best.distance)) continue;
      const double d = off_arc(arcs[i], p);
      if (d < best.distance) best = {d, i};
    }
    return best;
  }

  // Candidates [first, last) hold every segment that can be nearest to any point of the part.
  bool refine(const ReadyArc& arc, std::size_t first, std::size_t last, std::size_t hint, int depth) {
    invariant(depth < 64, "halving an arc ends");
    const Vec2 m = middle_of(arc);
    const MeasuredOutline::Nearest near = nearest_among(m, first, last, hint);
    if (!note(arc.label, m, near)) return false;
    const double half = 0.5 * arc.length;
    const double enough = enough_for(arc);
    if (near.distance + half <= enough || bound_by(arc, to_.arcs()[near.arc]) <= enough) return true;
    const std::size_t kept = candidates_.size();
    const double reach = near.distance + 2.0 * half + kSectorSlack;
    for (std::size_t k = first; k < last; ++k) {
      const std::uint32_t i = candidates_[k];
      if (!out_of_reach(to_.arcs()[i].box, m, reach)) candidates_.push_back(i);
    }
    const std::size_t end = candidates_.size();
    const bool fine = refine(part(arc, false), kept, end, near.arc, depth + 1) &&
                      refine(part(arc, true), kept, end, near.arc, depth + 1);
    candidates_.resize(kept);
    return fine;
  }

  const MeasuredOutline& to_;
  const HausdorffOptions& options_;
  HausdorffResult& result_;
  std::vector<std::uint32_t> candidates_;
};

bool search(const MeasuredOutline& one, const MeasuredOutline& other, const HausdorffOptions& options,
            HausdorffResult& result) {
  Search judge(other, options, result);
  std::vector<std::size_t> hints;
  hints.reserve(one.arcs().size());
  std::size_t hint = 0;
  for (const ReadyArc& arc : one.arcs()) {  // first the joints: a high mark to beat saves most of the halving
    const MeasuredOutline::Nearest guess = other.nearest_beside(arc.a, hint);
    const bool more = judge.says_more(arc, guess);
    hint = more ? other.nearest(arc.a, guess.arc).arc : guess.arc;
    hints.push_back(hint);
    if (more && !judge.note_start(arc, hint)) return false;
  }
  for (std::size_t i = 0; i < hints.size(); ++i) {
    if (!judge.judge(one.arcs()[i], hints[i])) return false;
  }
  return true;
}

HausdorffResult begin(const MeasuredOutline& one, const MeasuredOutline& other,
                      const HausdorffOptions& options) {
  HausdorffResult result;
  result.labels.resize(std::max(one.label_count(), other.label_count()));
  result.precision = options.precision.value();
  return result;
}

void finish(HausdorffResult& result) {
  for (const LabelDistance& label : result.labels) result.value = std::max(result.value, label.value);
}

}  // namespace

double distance_to(const ReadyArc& arc, Vec2 p) {
  return off_arc(arc, p);
}

Vec2 foot_on(const ReadyArc& arc, Vec2 p) {
  if (in_sector(arc, p, 0.0)) {
    if (arc.turn != 0.0) {
      if (p == arc.centre) return arc.a;
      return arc.centre + arc.radius * direction_of(p - arc.centre);
    }
    if (arc.length > 0.0) {
      const Vec2 along = direction_of(arc.b - arc.a);
      return arc.a + dot(p - arc.a, along) * along;
    }
  }
  return apart(p, arc.a) <= apart(p, arc.b) ? arc.a : arc.b;
}

MeasuredOutline::MeasuredOutline(const ClosedArcPath& path, std::span<const std::uint16_t> labels) {
  invariant(labels.empty() || labels.size() == path.size(), "one label per segment");
  arcs_.reserve(path.size());
  for (std::size_t i = 0; i < path.size(); ++i)
    add(path.segment(i), labels.empty() ? std::uint16_t{0} : labels[i]);
  make_blocks();
}

MeasuredOutline::MeasuredOutline(const OpenArcPath& path, std::uint16_t label) {
  arcs_.reserve(path.size());
  for (std::size_t i = 0; i < path.size(); ++i) add(path.segment(i), label);
  make_blocks();
}

void MeasuredOutline::add(const ArcSegment& segment, std::uint16_t label) {
  label_count_ = std::max(label_count_, static_cast<std::uint16_t>(label + 1));
  const double bow = 0.5 * std::abs(segment.bulge) * segment.chord();
  if (segment.chord() == 0.0) return;
  if (bow < tolerance::kFlatBow.value()) {
    ReadyArc straight{segment.a, segment.b, {}, 0.0, 0.0, segment.chord(), {}, label};
    straight.box = ArcSegment{segment.a, segment.b, 0.0}.bounds();
    box_.add(straight.box);
    arcs_.push_back(straight);
    return;
  }
  const int parts =
      std::abs(segment.bulge) < kUnderQuarterTurn
          ? 1
          : std::max(
                1, static_cast<int>(std::ceil(std::abs(segment.sweep()) / (std::numbers::pi / 2.0) - 1e-9)));
  for (int k = 0; k < parts; ++k) {
    const ArcSegment s =
        parts == 1 ? segment
                   : segment.part(static_cast<double>(k) / parts, static_cast<double>(k + 1) / parts);
    arcs_.push_back({s.a, s.b, segment.centre(), segment.radius(), segment.bulge > 0.0 ? 1.0 : -1.0,
                     s.length(), s.bounds(), label});
    box_.add(arcs_.back().box);
  }
}

MeasuredOutline::Nearest MeasuredOutline::nearest(Vec2 p, std::size_t hint) const {
  Nearest best;
  if (arcs_.empty()) return best;
  if (hint < arcs_.size()) best = {off_arc(arcs_[hint], p), hint};
  for (std::size_t block = 0; block < blocks_.size(); ++block) {
    if (out_of_reach(blocks_[block], p, best.distance)) continue;
    const std::size_t end = std::min(arcs_.size(), (block + 1) * kBlock);
    for (std::size_t i = block * kBlock; i < end; ++i) {
      if (out_of_reach(arcs_[i].box, p, best.distance)) continue;
      const double d = off_arc(arcs_[i], p);
      if (d < best.distance) best = {d, i};
    }
  }
  return best;
}

MeasuredOutline::Nearest MeasuredOutline::nearest_beside(Vec2 p, std::size_t arc) const {
  const std::size_t n = arcs_.size();
  Nearest best{off_arc(arcs_[arc], p), arc};
  for (const std::size_t beside : {arc + 1 == n ? 0 : arc + 1, arc == 0 ? n - 1 : arc - 1}) {
    const double d = off_arc(arcs_[beside], p);
    if (d < best.distance) best = {d, beside};
  }
  return best;
}

void MeasuredOutline::make_blocks() {
  blocks_.assign((arcs_.size() + kBlock - 1) / kBlock, {});
  for (std::size_t i = 0; i < arcs_.size(); ++i) blocks_[i / kBlock].add(arcs_[i].box);
}

MeasuredOutline MeasuredOutline::placed(Radians angle, Vec2 shift) const {
  MeasuredOutline moved = *this;
  const double c = std::cos(angle.value());
  const double s = std::sin(angle.value());
  const auto place = [&](Vec2 p) { return Vec2{c * p.x - s * p.y, s * p.x + c * p.y} + shift; };
  moved.box_ = {};
  for (ReadyArc& arc : moved.arcs_) {
    arc.a = place(arc.a);
    arc.b = place(arc.b);
    if (arc.turn != 0.0) arc.centre = place(arc.centre);
    arc.box = {};  // the triangle of an arc's ends and apex: wider than need be, and cheap
    arc.box.add(arc.a);
    arc.box.add(arc.b);
    if (arc.turn != 0.0) arc.box.add(apex_of(arc));
    moved.box_.add(arc.box);
  }
  moved.make_blocks();
  return moved;
}

HausdorffResult directed_hausdorff(const MeasuredOutline& one, const MeasuredOutline& other,
                                   const HausdorffOptions& options) {
  HausdorffResult result = begin(one, other, options);
  if (!one.arcs().empty() && other.arcs().empty()) {
    result.value = std::numeric_limits<double>::infinity();
    return result;
  }
  result.stopped = !search(one, other, options, result);
  finish(result);
  return result;
}

HausdorffResult hausdorff(const MeasuredOutline& one, const MeasuredOutline& other,
                          const HausdorffOptions& options) {
  HausdorffResult result = begin(one, other, options);
  if (one.arcs().empty() != other.arcs().empty()) {
    result.value = std::numeric_limits<double>::infinity();
    return result;
  }
  result.stopped = !search(one, other, options, result) || !search(other, one, options, result);
  finish(result);
  return result;
}

}  // namespace lastwright
