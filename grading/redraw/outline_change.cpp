#include "grading/redraw/outline_change.hpp"

#include <algorithm>

#include "grading/redraw/corner_match.hpp"

namespace lastwright {

OutlineChange change_beside(const OutlineRuler& was, const OutlineRuler& now,
                            const std::vector<OutlineRuler::Vertex>& breaks, const std::vector<Vec2>& places,
                            Vec2 place, double reach) {
  constexpr double kBeyond = 2.0;                   // mm
  constexpr double kStep = 0.5;                     // mm
  constexpr std::size_t kMostLooks = 400;           // of either outline
  constexpr std::size_t kMostCompared = 2'000'000;  // of a look and a curve
  const double s = was.nearest(place).s;
  double back = was.length();
  double ahead = was.length();
  const auto stop_at = [&](Vec2 at, double there) {
    if (distance(at, place) <= kSameDrawn) return;
    back = std::min(back, was.onward(there, s));
    ahead = std::min(ahead, was.onward(s, there));
  };
  for (const OutlineRuler::Vertex& one : breaks) stop_at(one.at, one.s);
  for (const Vec2 other : places) stop_at(other, was.nearest(other).s);
  const double least = std::min(reach, 0.25 * was.length());
  // A little beyond them, where they show that they have moved along the line.
  back = std::min(std::max(back + kBeyond, least), 0.5 * was.length());
  ahead = std::min(std::max(ahead + kBeyond, least), 0.5 * was.length());
  OutlineChange out;
  const auto look = [&](const OutlineRuler& along, double from, double length, const OutlineRuler& other,
                        bool is_new) {
    const std::size_t most =
        std::clamp<std::size_t>(kMostCompared / (1 + other.curves().size()), 16, kMostLooks);
    const auto looks = std::clamp<std::size_t>(static_cast<std::size_t>(length / kStep), 16, most);
    for (std::size_t i = 0; i <= looks; ++i) {
      const Vec2 p = along.at(from + length * static_cast<double>(i) / static_cast<double>(looks));
      const OutlineRuler::Foot foot = other.nearest(p);
      if (foot.distance > out.most) out = {foot.distance, is_new ? p : foot.at};
    }
  };
  look(was, s - back, back + ahead, now, false);
  const double start = now.nearest(was.at(s - back)).s;
  look(now, start, now.onward(start, now.nearest(was.at(s + ahead)).s), was, true);
  return out;
}

}  // namespace lastwright
