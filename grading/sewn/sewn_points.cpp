#include "grading/sewn/sewn_points.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// A stretch between two corners.
struct Section {
  std::size_t first = 0;
  std::size_t count = 0;
  std::uint16_t label = 0;
};
using Sections = std::vector<Section>;

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
                    [](const Section& x, const Section& y) { return x.label == y.label; });
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
  const auto place = [](const Track& t, const Box2& box, const Section& s) {
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
      const Section& here = sections[(i + turn) % n];
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

double turn_of(const Track& track, const Section& section) {
  double turn = 0.0;
  for (std::size_t k = 0; k < section.count; ++k) {
    const std::size_t i = (section.first + k) % track.segments.size();
    turn += std::abs(track.segments[i].sweep());
    if (k > 0) {
      const std::size_t before = (i + track.segments.size() - 1) % track.segments.size();
      turn +=
          std::abs(angle_between(track.segments[before].end_tangent(), track.segments[i].start_tangent()));
    }
  }
  return turn;
}

// Points between the ends of each section.
std::vector<std::size_t> counts_of(const Track& track, const Sections& sections, Radians between) {
  std::vector<std::size_t> counts;
  for (const Section& section : sections) {
    const double turn = turn_of(track, section);
    counts.push_back(turn < 1e-9 ? 0 : static_cast<std::size_t>(std::ceil(turn / between.value())));
  }
  // A closed curve without corners still needs three points to be one.
  if (track.closed && sections.size() == 1) counts[0] = std::max<std::size_t>(counts[0], 3);
  return counts;
}

std::vector<TrackPoint> points_of(const Track& track, const Sections& sections,
                                  const std::vector<std::size_t>& counts) {
  std::vector<TrackPoint> points;
  const std::size_t n = track.segments.size();
  for (std::size_t s = 0; s < sections.size(); ++s) {
    const Section& section = sections[s];
    const bool smooth =
        track.closed && sections.size() == 1 &&
        !is_corner(track.segments[(section.first + n - 1) % n], track.segments[section.first]);
    points.push_back({track.segments[section.first].a, !smooth, section.label});
    double total = 0.0;
    for (std::size_t k = 0; k < section.count; ++k) total += track.segments[(section.first + k) % n].length();
    std::size_t k = 0;
    double passed = 0.0;
    for (std::size_t p = 1; p <= counts[s]; ++p) {
      const double wanted = total * static_cast<double>(p) / static_cast<double>(counts[s] + 1);
      while (k + 1 < section.count && passed + track.segments[(section.first + k) % n].length() < wanted) {
        passed += track.segments[(section.first + k++) % n].length();
      }
      const ArcSegment& here = track.segments[(section.first + k) % n];
      points.push_back(
          {here.point_at(std::clamp((wanted - passed) / here.length(), 0.0, 1.0)), false, section.label});
    }
  }
  if (!track.closed) points.push_back({track.segments.back().b, true, track.labels.back()});
  return points;
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

NumberedTracks number_tracks(const std::vector<Track>& sizes, std::size_t base, Radians between) {
  NumberedTracks numbered;
  for (const bool kinks : {true, false}) {
    std::vector<Sections> sections;
    const Sections begun = sections_of(sizes[base], kinks);
    for (const Track& track : sizes)
      sections.push_back(begun_like(begun, sizes[base], sections_of(track, kinks), track));
    std::vector<bool> same;
    for (const Sections& s : sections) same.push_back(alike(s, sections[base]));
    // Bends that come and go with the size are no corners; corners between edges are.
    if (kinks && std::find(same.begin(), same.end(), false) != same.end()) continue;
    const std::vector<std::size_t> counts = counts_of(sizes[base], sections[base], between);
    for (std::size_t k = 0; k < sizes.size(); ++k) {
      numbered.points.push_back(
          points_of(sizes[k], sections[k], same[k] ? counts : counts_of(sizes[k], sections[k], between)));
    }
    numbered.alike = std::find(same.begin(), same.end(), false) == same.end();
    break;
  }
  return numbered;
}

}  // namespace lastwright
