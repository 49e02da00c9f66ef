#include "grading/sewn/sewn_points.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "geometry/curve/course.hpp"
#include "geometry/tolerance.hpp"
#include "grading/sewn/sewn_curve.hpp"

namespace lastwright {

namespace {

// A stretch between two corners.
struct SewnSection {
  std::size_t first = 0;
  std::size_t count = 0;
  std::uint16_t label = 0;
};
using Sections = std::vector<SewnSection>;

bool is_corner(const ArcSegment& before, const ArcSegment& after) {
  return std::abs(angle_between(before.end_tangent(), after.start_tangent())) > tolerance::kCorner.value();
}

// Corners: the ends of an open line, a change of label, and, if `kinks`, every bend.
Sections sections_of(const Track& track, bool kinks) {
  const std::size_t n = track.segments.size();
  std::vector<std::size_t> starts;
  for (std::size_t i = 0; i < n; ++i) {
    if (i == 0 && !track.closed) {
      starts.push_back(0);
      continue;
    }
    const std::size_t before = (i + n - 1) % n;
    if (track.labels[i] != track.labels[before] ||
        (kinks && is_corner(track.segments[before], track.segments[i]))) {
      starts.push_back(i);
    }
  }
  if (starts.empty()) starts.push_back(0);
  Sections sections;
  for (std::size_t k = 0; k < starts.size(); ++k) {
    const std::size_t next = k + 1 < starts.size() ? starts[k + 1] : track.closed ? starts[0] + n : n;
    sections.push_back({starts[k], next - starts[k], track.labels[starts[k]]});
  }
  return sections;
}

bool alike(const Sections& a, const Sections& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const SewnSection& x, const SewnSection& y) { return x.label == y.label; });
}

Box2 box_of(const Track& track) {
  Box2 box;
  for (const ArcSegment& segment : track.segments) box.add(segment.bounds());
  return box;
}

// A closed line may begin elsewhere in another size: the same corners in the same order, begun at the one
// that lies where the base begins, as seen in the boxes of the two.
Sections begun_like(const Sections& base, const Track& base_track, Sections sections, const Track& track) {
  if (!track.closed || sections.size() != base.size()) return sections;
  const auto place = [](const Track& t, const Box2& box, const SewnSection& s) {
    const Vec2 p = t.segments[s.first].a - box.low;
    return Vec2{p.x / std::max(box.width(), 1e-9), p.y / std::max(box.height(), 1e-9)};
  };
  const Box2 base_box = box_of(base_track);
  const Box2 box = box_of(track);
  const std::size_t n = sections.size();
  std::size_t best = 0;
  double least = INFINITY;
  for (std::size_t turn = 0; turn < n; ++turn) {
    double off = 0.0;
    bool same = true;
    for (std::size_t i = 0; i < n && same && off < least; ++i) {
      const SewnSection& here = sections[(i + turn) % n];
      same = here.label == base[i].label;
      const Vec2 d = place(track, box, here) - place(base_track, base_box, base[i]);
      off += dot(d, d);
    }
    if (same && off < least) {
      least = off;
      best = turn;
    }
  }
  std::rotate(sections.begin(), sections.begin() + static_cast<std::ptrdiff_t>(best), sections.end());
  return sections;
}

// Whether the section is a closed curve without a corner: it has no end.
bool endless(const Track& track, const Sections& sections) {
  const std::size_t n = track.segments.size();
  const std::size_t first = sections.front().first;
  return track.closed && sections.size() == 1 &&
         !is_corner(track.segments[(first + n - 1) % n], track.segments[first]);
}

Course course_of(const Track& track, const SewnSection& section) {
  OpenArcPath path;
  const std::size_t n = track.segments.size();
  for (std::size_t k = 0; k < section.count; ++k) {
    const ArcSegment& segment = track.segments[(section.first + k) % n];
    if (segment.chord() > 0.0) path.vertices.push_back({segment.a, segment.bulge});
  }
  path.vertices.push_back({track.segments[(section.first + section.count - 1) % n].b, 0.0});
  return Course(std::move(path));
}

// How far nodes and quarters of the curve lie off the chord from its one end to the other.
double off_chord(const OpenArcPath& curve) {
  const ArcSegment chord{curve.vertices.front().at, curve.vertices.back().at, 0.0};
  double off = 0.0;
  for (std::size_t i = 0; i < curve.size(); ++i) {
    for (const double t : {0.0, 0.25, 0.5, 0.75})
      off = std::max(off, chord.distance_to(curve.segment(i).point_at(t)));
  }
  return off;
}

// Places points on one section, the same shares of its length in all sizes.
class Shares {
 public:
  // `loop`: it ends where it begins; `endless`: smoothly.
  Shares(std::vector<Course> sizes, bool loop, bool endless, Millimetres tolerance)
      : sizes_(std::move(sizes)), loop_(loop), endless_(endless), limit_(kCare * tolerance.value()) {}

  // Ascending, from 0 on, without the 1 of the end.
  std::vector<double> run() {
    std::vector<double> shares{0.0};
    const double quarters[] = {0.25, 0.5, 0.75};
    if (loop_) shares.insert(shares.end(), std::begin(quarters), std::end(quarters));
    for (std::size_t i = 0; i < shares.size();) {
      const bool off = chord_off(shares[i], end_of(shares, i)) > limit_;
      if (off && splits(shares, i)) {
        split(shares, i);
      } else {
        holds_ = holds_ && !off;
        ++i;
      }
    }
    constexpr int kRounds = 24;  // each halves what is too long: far below the shortest stretch
    bool stuck = false;
    for (int round = 0; round <= kRounds; ++round) {
      const std::vector<bool> off = spline_off(shares);
      bool again = false;
      for (std::size_t i = shares.size(); i-- > 0;) {
        if (!off[i]) continue;
        if (round == kRounds || !splits(shares, i)) {
          // Points cannot come closer than this; the next round may still mend it from beside.
          stuck = true;
          continue;
        }
        split(shares, i);
        again = true;
      }
      if (!again) {
        holds_ = holds_ && !stuck;
        break;
      }
      stuck = false;
    }
    return shares;
  }
  // Whether what run() gave follows the section in every size. It does not where a bend inside it, or a
  // section that is very short in one size, asks for points closer together than can be told apart.
  [[nodiscard]] bool holds() const { return holds_; }

 private:
  static constexpr double kCare = 0.9;  // what is looked at here in places is proved elsewhere everywhere
  static constexpr int kParts = 8;      // places of the spline in each stretch

  static double end_of(const std::vector<double>& shares, std::size_t i) {
    return i + 1 < shares.size() ? shares[i + 1] : 1.0;
  }
  static void split(std::vector<double>& shares, std::size_t i) {
    shares.insert(shares.begin() + static_cast<std::ptrdiff_t>(i) + 1, 0.5 * (shares[i] + end_of(shares, i)));
  }
  // Too short to be halved again.
  [[nodiscard]] bool splits(const std::vector<double>& shares, std::size_t i) const {
    const double share = end_of(shares, i) - shares[i];
    return std::all_of(sizes_.begin(), sizes_.end(), [&](const Course& course) {
      return share * course.length() > 4.0 * tolerance::kShortestSegment.value();
    });
  }
  [[nodiscard]] double chord_off(double from, double to) const {
    double off = 0.0;
    for (const Course& course : sizes_) {
      off = std::max(off, off_chord(course.part(from * course.length(), to * course.length())));
      if (off > limit_) break;
    }
    return off;
  }
  // Stretches in which the spline through the points leaves the curve in some size.
  [[nodiscard]] std::vector<bool> spline_off(const std::vector<double>& shares) const {
    std::vector<bool> off(shares.size(), false);
    for (const Course& course : sizes_) {
      std::vector<Vec2> points;
      for (const double share : shares) points.push_back(course.at(share * course.length()).at);
      if (!endless_) points.push_back(course.at(course.length()).at);
      if (points.size() < 3) continue;
      const std::vector<Vec2> spline = spline_through(points, endless_, kParts);
      for (std::size_t i = 0; i < shares.size(); ++i) {
        if (off[i]) continue;
        const OpenArcPath part =
            course.part(shares[i] * course.length(), end_of(shares, i) * course.length());
        for (std::size_t k = 1; k < kParts; ++k)
          off[i] = off[i] || distance_to(part, spline[i * kParts + k]) > limit_;
      }
    }
    return off;
  }

  std::vector<Course> sizes_;
  bool loop_;
  bool endless_;
  double limit_;
  bool holds_ = true;
};

std::vector<TrackPoint> points_of(const Track& track, const Sections& sections,
                                  const std::vector<std::vector<double>>& shares) {
  std::vector<TrackPoint> points;
  const bool smooth = endless(track, sections);
  for (std::size_t s = 0; s < sections.size(); ++s) {
    const Course course = course_of(track, sections[s]);
    for (const double share : shares[s]) {
      const bool corner = share == 0.0;
      points.push_back({corner ? track.segments[sections[s].first].a : course.at(share * course.length()).at,
                        corner && !smooth, sections[s].label});
    }
  }
  if (!track.closed) points.push_back({track.segments.back().b, true, track.labels.back()});
  return points;
}

// Shares of each section that serve all the given sizes; `hold`: whether they do.
struct SharedShares {
  std::vector<std::vector<double>> of;
  bool hold = true;
};
SharedShares shares_of(const std::vector<const Track*>& tracks, const std::vector<const Sections*>& sections,
                       Millimetres tolerance) {
  SharedShares shares;
  for (std::size_t s = 0; s < sections.front()->size(); ++s) {
    std::vector<Course> courses;
    for (std::size_t k = 0; k < tracks.size(); ++k)
      courses.push_back(course_of(*tracks[k], (*sections[k])[s]));
    const bool loop = tracks.front()->closed && sections.front()->size() == 1;
    bool smooth = loop;
    for (std::size_t k = 0; k < tracks.size(); ++k) smooth = smooth && endless(*tracks[k], *sections[k]);
    Shares section(std::move(courses), loop, smooth, tolerance);
    shares.of.push_back(section.run());
    shares.hold = shares.hold && section.holds();
  }
  return shares;
}

}  // namespace

Track track_of(const ClosedArcPath& path, const std::vector<std::uint16_t>& labels) {
  Track track{{}, labels, true};
  for (std::size_t i = 0; i < path.size(); ++i) track.segments.push_back(path.segment(i));
  return track;
}
Track track_of(const ClosedArcPath& path) {
  return track_of(path, std::vector<std::uint16_t>(path.size(), 0));
}
Track track_of(const OpenArcPath& path) {
  Track track{{}, std::vector<std::uint16_t>(path.size(), 0), false};
  for (std::size_t i = 0; i < path.size(); ++i) track.segments.push_back(path.segment(i));
  return track;
}

NumberedTracks number_tracks(const std::vector<Track>& sizes, std::size_t base, Millimetres tolerance) {
  NumberedTracks numbered;
  // Bends that come and go with the size are no corners; corners between edges are.
  for (const bool kinks : {true, false}) {
    std::vector<Sections> sections;
    const Sections begun = sections_of(sizes[base], kinks);
    for (const Track& track : sizes)
      sections.push_back(begun_like(begun, sizes[base], sections_of(track, kinks), track));
    if (!std::all_of(sections.begin(), sections.end(),
                     [&](const Sections& s) { return alike(s, sections[base]); }))
      continue;
    std::vector<const Track*> tracks;
    std::vector<const Sections*> all;
    for (std::size_t k = 0; k < sizes.size(); ++k) {
      tracks.push_back(&sizes[k]);
      all.push_back(&sections[k]);
    }
    const SharedShares shared = shares_of(tracks, all, tolerance);
    if (!shared.hold) continue;
    for (std::size_t k = 0; k < sizes.size(); ++k)
      numbered.points.push_back(points_of(sizes[k], sections[k], shared.of));
    return numbered;
  }
  // Each its own, with a point on every bend it has.
  numbered.alike = false;
  for (const Track& track : sizes) {
    const Sections sections = sections_of(track, true);
    numbered.points.push_back(points_of(track, sections, shares_of({&track}, {&sections}, tolerance).of));
  }
  return numbered;
}

}  // namespace lastwright
