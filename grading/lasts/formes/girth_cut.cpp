#include "grading/lasts/formes/girth_cut.hpp"

#include <algorithm>

#include "geometry/solid/tape.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

std::vector<double> heights_over(const Plane3& plane, const std::vector<Vec3>& points) {
  std::vector<double> heights;
  heights.reserve(points.size());
  for (Vec3 p : points) heights.push_back(plane.height(p));
  return heights;
}

}  // namespace

std::vector<GirthCut> girth_cuts(const FormedLast& last, const std::array<std::vector<Vec3>, 2>& halves,
                                 const std::vector<Vec3>& bottom) {
  std::vector<GirthCut> cuts;
  const Form form = make_form(*last.body);
  for (const auto& [measure, name] :
       {std::pair{"ball girth", "ball"}, {"waist girth", "waist"}, {"instep girth", "instep"}}) {
    for (std::size_t i = 0; i < last.definitions->size(); ++i) {
      const MeasureDefinition& definition = (*last.definitions)[i];
      const std::optional<Plane3>& plane = (*last.values)[i].plane;
      if (definition.measure != measure || definition.method != Method::kPlaneHull || !plane) continue;
      const Section section = cut_section(form, *plane);
      cuts.push_back({name,
                      {heights_over(*plane, halves[kOutside]), heights_over(*plane, halves[kInside])},
                      heights_over(*plane, bottom),
                      skin_on(section, *last.body, FaceRole::kUpper),
                      skin_on(section, *last.body, FaceRole::kBottom)});
    }
  }
  return cuts;
}

}  // namespace lastwright
