#include "grading/lasts/last_measure.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>

#include "geometry/curve/golden_section.hpp"
#include "geometry/solid/taut_string.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kOfField = kFieldCoefficients;  // the coefficients of one field, as a place among all

Problem unnamed(const std::string& name) {
  return {Trouble::kBadValue, fmt::format("no landmark is named '{}'", name), {}, {}, {}};
}

const SurfaceSpot* find(const Landmarks& landmarks, const std::string& name) {
  const auto it = landmarks.find(name);
  return it == landmarks.end() ? nullptr : &it->second;
}

Result<Vec3> direction_of(const PlaneDirection& direction, const Form& form, const Landmarks& landmarks) {
  if (const auto* between = std::get_if<Between>(&direction)) {
    const SurfaceSpot* a = find(landmarks, between->from);
    const SurfaceSpot* b = find(landmarks, between->to);
    if (!a || !b) return unnamed(a ? between->to : between->from);
    return unit(form.at(*b).p - form.at(*a).p);
  }
  if (const auto* normal = std::get_if<NormalAt>(&direction)) {
    const SurfaceSpot* a = find(landmarks, normal->at);
    if (!a) return unnamed(normal->at);
    return form.normal_at(*a);
  }
  return std::holds_alternative<Across>(direction) ? Vec3{0, 1, 0} : Vec3{0, 0, 1};
}

Result<Measured> plane_hull(const MeasureDefinition& definition, const Form& form, const Plane3& plane) {
  const Section section = cut_section(form, plane);
  if (section.points.size() < 3) {
    return Problem{
        Trouble::kGeometry, fmt::format("the plane of {} misses the form", definition.measure), {}, {}, {}};
  }
  const Tape tape = tape_of(section);
  return Measured{
      tape.length, definition.id(), tape.skin, skin_on(section, *form.body, FaceRole::kBottom), plane, 0.0};
}

// Golden section over the tilt: the girth is smooth and single-dipped near the rule's plane.
Result<Measured> tilted_hull(const MeasureDefinition& definition, const Form& form,
                             const Landmarks& landmarks, const Plane3& plane) {
  const SurfaceSpot* spot = find(landmarks, definition.plane.through);
  const Vec3 pivot = form.at(*spot).p;
  const Vec3 axis = plane.e1;  // the rule's first direction, about which the plane tilts
  const auto at = [&](double degrees) {
    const double a = degrees * std::numbers::pi / 180.0;
    return plane_through(pivot, std::cos(a) * plane.normal + std::sin(a) * cross(axis, plane.normal));
  };
  const auto girth = [&](double degrees) {
    const Section s = cut_section(form, at(degrees));
    return tape_of(s).length;
  };
  constexpr double kFlat = 0.02;  // degrees; the girth is flat there to a micrometre
  const auto [low, high] = valley_of(girth, -20.0, 20.0, 100, kFlat);
  const double tilt = 0.5 * (low + high);
  if (std::abs(tilt) > 19.9) {
    return Problem{Trouble::kGeometry,
                   fmt::format("the smallest {} lies beyond 20 degrees of tilt", definition.measure),
                   {},
                   tilt,
                   20.0};
  }
  Result<Measured> measured = plane_hull(definition, form, at(tilt));
  if (measured) measured->tilt = tilt;
  return measured;
}

Result<Measured> plain_length(const MeasureDefinition& definition, const Form& form,
                              const Landmarks& landmarks) {
  std::vector<Vec3> points;
  for (const std::string& name : definition.points) {
    const SurfaceSpot* spot = find(landmarks, name);
    if (!spot) return unnamed(name);
    points.push_back(form.at(*spot).p);
  }
  const std::size_t wanted = definition.method == Method::kHeight ? 1 : 2;
  if (points.size() != wanted) {
    return Problem{Trouble::kBadValue,
                   fmt::format("the definition of {} must name {} landmarks", definition.measure, wanted),
                   {},
                   static_cast<double>(points.size()),
                   static_cast<double>(wanted)};
  }
  Measured measured;
  measured.definition = definition.id();
  switch (definition.method) {
    case Method::kDistance:
      measured.value = distance(points[0], points[1]);
      break;
    case Method::kHeight:
      measured.value = points[0].z;
      break;
    case Method::kRise:
      measured.value = points[1].z - points[0].z;
      break;
    default:
      measured.value = points[1].x - points[0].x;
  }
  return measured;
}

void add_point(std::vector<double>& by, const AxisMap& map, Vec3 material, Vec3 pull) {
  const AxisMap::Influence i = map.influence(material);
  for (std::size_t k = 0; k < 4; ++k) {
    const std::size_t at = static_cast<std::size_t>(i.first) + k;
    by[at] += pull.y * i.y_by_bottom[k];
    by[at + kOfField] += pull.y * i.y_by_upper[k];
    by[at + 2 * kOfField] += pull.z * i.z_by_height[k];
  }
}

std::vector<std::string> landmarks_of(const PlaneRule& rule) {
  std::vector<std::string> names{rule.through};
  for (const PlaneDirection& d : {rule.first, rule.second}) {
    if (const auto* between = std::get_if<Between>(&d)) {
      names.push_back(between->from);
      names.push_back(between->to);
    }
    if (const auto* normal = std::get_if<NormalAt>(&d)) names.push_back(normal->at);
  }
  return names;
}

}  // namespace

const char* name_of(Method method) {
  switch (method) {
    case Method::kPlaneHull:
      return "plane-hull";
    case Method::kPlaneHullTilt:
      return "plane-hull-min-tilt";
    case Method::kTautString:
      return "taut-string";
    case Method::kExtent:
      return "extent";
    case Method::kDistance:
      return "distance";
    case Method::kHeight:
      return "height";
    case Method::kRise:
      return "rise";
  }
  return "";
}

std::string MeasureDefinition::id() const {
  return fmt::format("{} by {} v{}", measure, name_of(method), version);
}

Result<Plane3> plane_of(const PlaneRule& rule, const Form& form, const Landmarks& landmarks) {
  const SurfaceSpot* through = find(landmarks, rule.through);
  if (!through) return unnamed(rule.through);
  const Result<Vec3> first = direction_of(rule.first, form, landmarks);
  if (!first) return first.problem();
  const Result<Vec3> second = direction_of(rule.second, form, landmarks);
  if (!second) return second.problem();
  const Vec3 normal = cross(*first, *second);
  // A degree apart is the least that fixes a plane usefully.
  if (!(norm(normal) > 0.0175)) {
    return Problem{
        Trouble::kGeometry, "the two directions of a girth's plane coincide", {}, norm(normal), 0.0175};
  }
  Plane3 plane;
  plane.normal = unit(normal);
  plane.offset = dot(plane.normal, form.at(*through).p);
  plane.e1 = *first;
  plane.e2 = cross(plane.normal, plane.e1);
  return plane;
}

Result<Measured> measure(const MeasureDefinition& definition, const Form& form, const Landmarks& landmarks) {
  switch (definition.method) {
    case Method::kPlaneHull:
    case Method::kPlaneHullTilt:
    case Method::kTautString:
      break;
    default:
      return plain_length(definition, form, landmarks);
  }
  const Result<Plane3> plane = plane_of(definition.plane, form, landmarks);
  if (!plane) return plane.problem().in("measure", definition.measure);
  if (definition.method == Method::kPlaneHull) return plane_hull(definition, form, *plane);
  if (definition.method == Method::kPlaneHullTilt) return tilted_hull(definition, form, landmarks, *plane);
  std::vector<Vec3> held;
  for (const std::string& name : definition.points) {
    const SurfaceSpot* spot = find(landmarks, name);
    if (!spot) return unnamed(name);
    held.push_back(form.at(*spot).p);
  }
  const Result<TautString> string = taut_string(form, *plane, held);
  if (!string) return string.problem().in("measure", definition.measure);
  return Measured{string->length, definition.id(), 0.0, 0.0, plane.value(), 0.0};
}

Result<Gradient> measure_gradient(const MeasureDefinition& definition, const Form& form, const AxisMap& map,
                                  const Landmarks& landmarks) {
  invariant(form.map == &map, "a gradient is taken on the map's own form");
  Gradient gradient;
  gradient.by.assign(3 * kOfField, 0.0);
  const auto material = [&](const std::string& name) { return form.body->at(landmarks.at(name)).p; };
  if (definition.method == Method::kExtent) {
    const Result<Measured> m = measure(definition, form, landmarks);
    if (!m) return m.problem();
    gradient.value = m->value;  // fixed by the stretch: no coefficient moves it
    return gradient;
  }
  if (definition.method == Method::kDistance) {
    const Result<Measured> m = measure(definition, form, landmarks);
    if (!m) return m.problem();
    gradient.value = m->value;
    const Vec3 a = material(definition.points[0]);
    const Vec3 b = material(definition.points[1]);
    const Vec3 pull = unit(form.image(b) - form.image(a));
    add_point(gradient.by, map, b, pull);
    add_point(gradient.by, map, a, -pull);
    return gradient;
  }
  invariant(definition.method == Method::kPlaneHull, "only plane hulls and distances drive a grade");
  const Result<Plane3> plane = plane_of(definition.plane, form, landmarks);
  if (!plane) return plane.problem().in("measure", definition.measure);
  const Section section = cut_section(form, *plane);
  if (section.points.size() < 3) {
    return Problem{
        Trouble::kGeometry, fmt::format("the plane of {} misses the form", definition.measure), {}, {}, {}};
  }
  const Tape tape = tape_of(section);
  gradient.value = tape.length;
  // Sum of slack * plane rate is linear in the plane: collect its weights once.
  Vec3 by_normal;
  double by_offset = 0.0;
  for (const TapeCorner& corner : tape_gradient(section, tape)) {
    const SectionPoint& point = section.points[corner.point];
    add_point(gradient.by, map, point.material, corner.pull - corner.slack * plane->normal);
    by_normal += -corner.slack * point.p;
    by_offset += corner.slack;
  }
  // The plane moves with its landmarks: differenced, which
  // costs a handful of points for each coefficient near one.
  std::vector<bool> moves(3 * kOfField, false);
  for (const std::string& name : landmarks_of(definition.plane)) {
    const AxisMap::Influence i = map.influence(material(name));
    for (std::size_t k = 0; k < 4; ++k) {
      for (std::size_t field = 0; field < 3; ++field) {
        moves[static_cast<std::size_t>(i.first) + k + field * kOfField] = true;
      }
    }
  }
  constexpr double kDifference =
      1e-5;  // of a field: 1e-3 mm of motion, far above rounding, second order small
  AxisMap moved = map;
  const Form other{form.body, &moved, {}};
  for (std::size_t k = 0; k < moves.size(); ++k) {
    if (!moves[k]) continue;
    AxisSpline* fields[] = {&moved.bottom_width, &moved.upper_width, &moved.height};
    double& coefficient = fields[k / kOfField]->coefficients[k % kOfField];
    const double kept = coefficient;
    coefficient = kept + kDifference;
    const Result<Plane3> ahead = plane_of(definition.plane, other, landmarks);
    coefficient = kept - kDifference;
    const Result<Plane3> behind = plane_of(definition.plane, other, landmarks);
    coefficient = kept;
    if (!ahead) return ahead.problem();
    if (!behind) return behind.problem();
    gradient.by[k] +=
        (dot(by_normal, ahead->normal - behind->normal) + by_offset * (ahead->offset - behind->offset)) /
        (2.0 * kDifference);
  }
  return gradient;
}

}  // namespace lastwright
