#include "geometry/offset/run_parts.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/check/close_pairs.hpp"
#include "geometry/check/monotone_runs.hpp"
#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Cut {
  std::size_t piece;
  double t;
  Vec2 at;
  int crossing;  // as in Part
};

// Unit tangent of a segment at a point of it.
Vec2 tangent_at(const ArcSegment& s, Vec2 p) {
  const Vec2 n = left_of(s.start_tangent()) - s.curvature() * (p - s.a);
  return {n.y, -n.x};
}

// On which side of `two` `one` goes on where they cross at p: 1 left, -1 right, 0 where the angle is too
// small or an end too near to be sure.
int crossing_at(const ArcSegment& one, const ArcSegment& two, Vec2 p) {
  constexpr double kClear = 1e-2;  // sine of the angle
  for (const Vec2 end : {one.a, one.b, two.a, two.b}) {
    if (distance(end, p) <= tolerance::kSamePoint.value()) return 0;
  }
  const double sine = cross(tangent_at(two, p), tangent_at(one, p));
  return sine > kClear ? 1 : sine < -kClear ? -1 : 0;
}

void sort_along(std::vector<Cut>& cuts) {
  std::sort(cuts.begin(), cuts.end(),
            [](const Cut& a, const Cut& b) { return a.piece != b.piece ? a.piece < b.piece : a.t < b.t; });
}

// Neighbours that have nothing but their joint within `touch` of each other.
bool apart_but_for_joint(const ArcSegment& one, const ArcSegment& two, double touch) {
  return leads_onward(one, two) && std::min(one.chord(), two.chord()) > 2.0 * touch;
}

// Contacts of the pieces `one` < `two` of a run.
void note_contacts(const std::vector<MovedPiece>& run, bool closed, std::size_t one, std::size_t two,
                   std::vector<Cut>& cuts) {
  const double touch = tolerance::kNode.value();
  const auto note = [&](const Contacts& found, std::size_t first, std::size_t second) {
    for (const Contact& c : found) {
      const int crossing = crossing_at(run[first].segment, run[second].segment, c.at);
      cuts.push_back({first, c.on_one, c.at, crossing});
      cuts.push_back({second, c.on_two, c.at, -crossing});
    }
  };
  if (two == one + 1) {
    if (apart_but_for_joint(run[one].segment, run[two].segment, touch)) return;
    note(neighbour_contacts(run[one].segment, run[two].segment, touch), one, two);
  } else if (closed && one == 0 && two + 1 == run.size()) {
    note(neighbour_contacts(run[two].segment, run[one].segment, touch), two, one);
  } else {
    note(contacts(run[one].segment, run[two].segment, touch), one, two);
  }
}

std::vector<Cut> contacts_of(const std::vector<MovedPiece>& run, std::span<const ArcSegment> knives) {
  const double touch = tolerance::kNode.value();
  const std::size_t n = run.size();
  std::vector<Box2> boxes;
  boxes.reserve(n + knives.size());
  for (const MovedPiece& piece : run) boxes.push_back(loose_bounds(piece.segment).grown(touch));
  for (const ArcSegment& knife : knives) boxes.push_back(loose_bounds(knife).grown(touch));
  std::vector<Cut> cuts;
  for_overlapping(boxes, [&](std::size_t one, std::size_t two) {
    if (two < n) return note_contacts(run, false, one, two, cuts);
    if (one >= n) return;
    for (const Contact& c : contacts(run[one].segment, knives[two - n], touch))
      cuts.push_back({one, c.on_one, c.at, 0});
  });
  sort_along(cuts);
  return cuts;
}

std::vector<Cut> contacts_of_closed(const std::vector<MovedPiece>& run) {
  ClosedArcPath path;
  path.vertices.reserve(run.size());
  for (const MovedPiece& piece : run) path.vertices.push_back({piece.segment.a, piece.segment.bulge});
  std::vector<Cut> cuts;
  MonotoneRuns(path, tolerance::kNode.value()).for_near([&](std::size_t one, std::size_t two) {
    note_contacts(run, true, one, two, cuts);
  });
  sort_along(cuts);
  return cuts;
}

// `cuts` in order along the run.
std::vector<Part> parts_of(const std::vector<MovedPiece>& run, const std::vector<Cut>& cuts) {
  const double apart = 2.0 * tolerance::kNode.value();
  std::vector<Part> parts;
  parts.reserve(run.size() + cuts.size());
  auto cut = cuts.begin();
  bool joint = false;
  int crossing = 0;
  for (std::size_t i = 0; i < run.size(); ++i) {
    const ArcSegment& whole = run[i].segment;
    double from = 0.0;
    Vec2 at = whole.a;
    const auto part_to = [&](double t, Vec2 b) {
      const bool uncut = from == 0.0 && t == 1.0;
      const double bulge =
          uncut || whole.straight() ? whole.bulge : std::tan(0.25 * whole.sweep() * (t - from));
      parts.push_back({{{at, b, bulge}, run[i].source}, i, from, t, joint, crossing});
      from = t;
      at = b;
      joint = false;
      crossing = 0;
    };
    bool at_end = false;
    for (; cut != cuts.end() && cut->piece == i; ++cut) {
      const bool near_end = distance(cut->at, whole.b) <= apart;
      at_end = at_end || near_end;
      if (distance(cut->at, at) <= apart) {
        joint = true;
        crossing = 0;
      } else if (!near_end) {
        part_to(cut->t, cut->at);
        joint = true;
        crossing = cut->crossing;
      }
    }
    if (distance(at, whole.b) > 0.0) part_to(1.0, whole.b);
    joint = joint || at_end;
    crossing = 0;
  }
  if (joint && !parts.empty()) parts.front().joint = true;
  return parts;
}

}  // namespace

std::vector<Part> parts_of_closed(const std::vector<MovedPiece>& run) {
  return parts_of(run, contacts_of_closed(run));
}

std::vector<MovedPiece> cut_at_contacts(const std::vector<MovedPiece>& run,
                                        std::span<const ArcSegment> knives) {
  std::vector<MovedPiece> pieces;
  for (const Part& part : parts_of(run, contacts_of(run, knives))) pieces.push_back(part.piece);
  return pieces;
}

}  // namespace lastwright
