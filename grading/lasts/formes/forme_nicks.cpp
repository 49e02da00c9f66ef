#include "grading/lasts/formes/forme_nicks.hpp"

#include <cmath>

#include "geometry/curve/course.hpp"

namespace lastwright {

std::vector<FormeNick> forme_nicks(const HeldLine& feather, const std::vector<Vec2>& flat,
                                   const FormeNicks& options) {
  std::vector<FormeNick> nicks;
  const std::vector<Vec2> places = places_at(flat, feather.places);
  const Course course(smooth_copy(feather, flat));
  double chords = 0.0;
  for (std::size_t i = 0; i + 1 < places.size(); ++i) chords += distance(places[i], places[i + 1]);
  const double drawn = course.length() / chords;  // of the smooth feather to its chords
  double reached = 0.0;                           // along these
  double along = 0.0;                             // on the last
  double gained = 0.0;  // of the flat feather since the middle between the last nick and the next
  double next = 0.5 * options.each;
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    const double step = feather.steps[i];
    const double more = distance(places[i], places[i + 1]) - step;
    const double before = gained;
    gained += more;
    // A nick stands where half of what it takes in has come together, whichever way.
    while (std::abs(gained) >= next && gained * more > 0.0) {
      const double part = (std::copysign(next, gained) - before) / more;
      const Course::Station foot = course.at(drawn * (reached + part * distance(places[i], places[i + 1])));
      const Vec2 at = foot.at;
      const Vec2 inward = left_of(foot.along);
      nicks.push_back({{{{at, 0.0}, {at + options.depth * inward, 0.0}}},
                       along + part * step,
                       std::copysign(options.each, gained)});
      gained -= std::copysign(options.each, gained);
      if (std::abs(gained) < next) break;
    }
    along += step;
    reached += distance(places[i], places[i + 1]);
  }
  return nicks;
}

}  // namespace lastwright
