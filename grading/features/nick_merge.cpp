#include "grading/features/nick_merge.hpp"

#include <algorithm>
#include <optional>

#include "geometry/curve/course.hpp"
#include "geometry/curve/intersect.hpp"
#include "geometry/curve/path_station.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

struct Mouth {
  double from = 0.0;  // lengths along the cut line
  double to = 0.0;
  std::size_t line = 0;
};

// Length along the path where it passes p; nothing when p is off it.
std::optional<double> station_of(const OpenArcPath& path, Vec2 p) {
  const PathStation nearest = nearest_station(path, p);
  if (!(nearest.off < tolerance::kSamePoint.value())) return std::nullopt;
  return nearest.along;
}

// The closed path as an open one that starts and ends at vertex `first`.
OpenArcPath opened_at(const ClosedArcPath& path, std::size_t first) {
  OpenArcPath open;
  for (std::size_t i = 0; i <= path.size(); ++i)
    open.vertices.push_back(path.vertices[(first + i) % path.size()]);
  open.vertices.back().bulge = 0.0;
  return open;
}

std::vector<Mouth> mouths_on(const OpenArcPath& cut, const GradedPiece& piece) {
  std::vector<Mouth> mouths;
  for (std::size_t i = 0; i < piece.lines.size(); ++i) {
    const GradedLine& line = piece.lines[i];
    if (line.operation != Operation::kNick || line.path.size() < 2) continue;
    const auto from = station_of(cut, line.path.vertices.front().at);
    const auto to = station_of(cut, line.path.vertices.back().at);
    if (from && to) mouths.push_back({*from, *to, i});
  }
  std::sort(mouths.begin(), mouths.end(), [](const Mouth& a, const Mouth& b) { return a.from < b.from; });
  return mouths;
}

// The nicks that have no mouth on the cut line.
void without_mouth(const GradedPiece& piece, const std::vector<Mouth>& mouths, NickedOutline& nicked) {
  for (std::size_t i = 0; i < piece.lines.size(); ++i) {
    if (piece.lines[i].operation != Operation::kNick) continue;
    if (std::any_of(mouths.begin(), mouths.end(), [i](const Mouth& mouth) { return mouth.line == i; }))
      continue;
    nicked.apart.emplace_back(i, piece.lines[i].path.size() < 2 ? NickApart::kSlit : NickApart::kOffCutLine);
  }
}

bool at_end(Vec2 p, const OpenArcPath& nick) {
  const double same = 2.0 * tolerance::kSamePoint.value();
  return distance(p, nick.vertices.front().at) <= same || distance(p, nick.vertices.back().at) <= same;
}

// Whether the nick meets the cut line outside its mouth: at a corner, or across something narrow.
bool meets_cut(const OpenArcPath& nick, const OpenArcPath& cut, const Mouth& mouth) {
  const double same = tolerance::kSamePoint.value();
  for (std::size_t k = 0; k < nick.size(); ++k) {
    const ArcSegment side = nick.segment(k);
    const Box2 box = loose_bounds(side).grown(same);
    double reached = 0.0;
    for (std::size_t i = 0; i < cut.size(); ++i) {
      const ArcSegment segment = cut.segment(i);
      const double whole = segment.length();
      if (loose_bounds(segment).overlaps(box)) {
        for (const Contact& contact : contacts(side, segment, tolerance::kNode.value())) {
          const double s = reached + contact.on_two * whole;
          const bool in_mouth = s >= mouth.from - same && s <= mouth.to + same;
          if (!in_mouth && !at_end(contact.at, nick)) return true;
        }
      }
      reached += whole;
    }
  }
  return false;
}

// Whether two nicks meet, other than the end of one with the start of the next.
bool meet(const OpenArcPath& one, const OpenArcPath& two) {
  for (std::size_t i = 0; i < one.size(); ++i) {
    for (std::size_t k = 0; k < two.size(); ++k) {
      for (const Contact& contact : contacts(one.segment(i), two.segment(k), tolerance::kNode.value())) {
        if (!at_end(contact.at, one) || !at_end(contact.at, two)) return true;
      }
    }
  }
  return false;
}

}  // namespace

NickedOutline merge_nicks(const GradedPiece& piece) {
  const std::size_t n = piece.cut.path.size();
  // Start at a vertex that no mouth spans.
  OpenArcPath cut;
  std::vector<Mouth> mouths;
  for (std::size_t first = 0; first < n; ++first) {
    cut = opened_at(piece.cut.path, first);
    mouths = mouths_on(cut, piece);
    if (std::all_of(mouths.begin(), mouths.end(), [](const Mouth& m) { return m.from < m.to; })) break;
  }
  NickedOutline nicked;
  without_mouth(piece, mouths, nicked);
  const Course course(cut);
  const double shortest = 2.0 * tolerance::kSamePoint.value();
  double reached = 0.0;
  const auto run_to = [&](double s) {
    if (s - reached < shortest) return;
    const OpenArcPath part = course.part(reached, s);
    nicked.path.vertices.insert(nicked.path.vertices.end(), part.vertices.begin(), part.vertices.end() - 1);
  };
  for (const Mouth& mouth : mouths) {
    const OpenArcPath& nick = piece.lines[mouth.line].path;
    const auto runs_into = [&](std::size_t other) { return meet(nick, piece.lines[other].path); };
    std::optional<NickApart> apart;
    if (mouth.to <= mouth.from) {
      apart = NickApart::kOffCutLine;
    } else if (mouth.from < reached - tolerance::kSamePoint.value() ||
               std::any_of(nicked.merged.begin(), nicked.merged.end(), runs_into)) {
      apart = NickApart::kMeetsNick;
    } else if (meets_cut(nick, cut, mouth)) {
      apart = NickApart::kMeetsCutLine;
    }
    if (apart) {
      nicked.apart.emplace_back(mouth.line, *apart);
      continue;
    }
    run_to(mouth.from);
    nicked.path.vertices.insert(nicked.path.vertices.end(), nick.vertices.begin(), nick.vertices.end() - 1);
    nicked.merged.push_back(mouth.line);
    reached = mouth.to;
  }
  run_to(course.length());
  std::sort(nicked.merged.begin(), nicked.merged.end());
  return nicked;
}

}  // namespace lastwright
