#include "grading/lasts/last_definitions.hpp"

namespace lastwright {

namespace {

struct GirthRow {
  const char* measure;
  int version;  // counts up whenever the plane or what it is held by changes
  PlaneRule plane;
  std::vector<std::string> held;
};

std::vector<GirthRow> girth_rows() {
  return {
      {"ball girth",
       1,
       {"tread middle", Between{"tread outside", "tread inside"}, NormalAt{"tread middle"}},
       {"tread outside", "tread inside"}},
      // The tape leans forward, as the tape does on a foot: square to the bottom it would cut the instep.
      {"waist girth",
       2,
       {"waist top", Across{}, Between{"waist bottom", "waist top"}},
       {"waist top", "waist bottom"}},
      {"instep girth",
       1,
       {"instep top", Across{}, Between{"instep bottom", "instep top"}},
       {"instep top", "instep bottom"}},
      {"short heel",
       1,
       {"heel feather", Across{}, Between{"heel feather", "ankle top"}},
       {"heel feather", "ankle top"}},
      {"long heel",
       1,
       {"heel feather", Across{}, Between{"heel feather", "instep top"}},
       {"heel feather", "instep top"}},
  };
}

MeasureDefinition length(const char* measure, Method method, std::vector<std::string> points) {
  MeasureDefinition d;
  d.measure = measure;
  d.method = method;
  d.points = std::move(points);
  return d;
}

std::vector<MeasureDefinition> girths(Method method) {
  std::vector<MeasureDefinition> result;
  for (const GirthRow& row : girth_rows()) {
    MeasureDefinition d;
    d.measure = row.measure;
    d.method = method;
    d.version = row.version;
    d.plane = row.plane;
    if (method == Method::kTautString) d.points = row.held;
    result.push_back(std::move(d));
  }
  return result;
}

}  // namespace

std::vector<MeasureDefinition> default_last_definitions() {
  std::vector<MeasureDefinition> all{length("stick length", Method::kExtent, {"heel point", "toe point"})};
  for (MeasureDefinition& d : girths(Method::kPlaneHull)) all.push_back(std::move(d));
  all.push_back(length("tread", Method::kDistance, {"tread outside", "tread inside"}));
  all.push_back(length("seat", Method::kDistance, {"seat outside", "seat inside"}));
  all.push_back(length("heel height", Method::kHeight, {"seat middle"}));
  all.push_back(length("toe spring", Method::kHeight, {"toe feather"}));
  all.push_back(length("toe thickness", Method::kDistance, {"toe bottom", "toe top"}));
  all.push_back(length("back height", Method::kRise, {"heel feather", "heel top"}));
  return all;
}

std::vector<MeasureDefinition> bottom_width_definitions() {
  return {length("waist width", Method::kDistance, {"waist outside", "waist inside"}),
          length("instep width", Method::kDistance, {"instep outside", "instep inside"})};
}

std::vector<MeasureDefinition> string_definitions() {
  return girths(Method::kTautString);
}
std::vector<MeasureDefinition> tilt_definitions() {
  // The heel girths hang on the heel feather point: tilting
  // about the ground line through it has no smallest value.
  std::vector<MeasureDefinition> all = girths(Method::kPlaneHullTilt);
  all.resize(3);
  return all;
}

}  // namespace lastwright
