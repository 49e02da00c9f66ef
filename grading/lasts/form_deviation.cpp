#include "grading/lasts/form_deviation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <vector>

#include "geometry/middle_value.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

using Key = std::array<int, 4>;  // role of the face, cell in space
struct Offset {
  Vec3 foot;
  double off = 0.0;
  bool own = true;
};
using Cells = std::map<Key, std::vector<Offset>>;

struct PatchMean {
  double off = 0.0;
  double error = 0.0;  // one standard deviation
};

// The mean of those that lie near the middle one, as the others do.
PatchMean mean_without_strays(const std::vector<double>& offs) {
  constexpr double kFar = 3.0 * 1.4826;  // of the middle distance: three standard deviations
  constexpr double kLeast = 0.05;        // mm
  const double middle = middle_value(offs);
  std::vector<double> apart;
  apart.reserve(offs.size());
  for (const double off : offs) apart.push_back(std::abs(off - middle));
  const double far = std::max(kFar * middle_value(apart), kLeast);
  double sum = 0.0;
  double squares = 0.0;
  int count = 0;
  for (const double off : offs) {
    if (std::abs(off - middle) > far) continue;
    sum += off - middle;
    squares += (off - middle) * (off - middle);
    ++count;
  }
  const double mean = sum / count;
  return {middle + mean, std::sqrt(std::max(0.0, squares / count - mean * mean) / count)};
}

// Of the points within reach: the scanner's own where they are enough, since those filled in between hang on
// a stray one too.
std::optional<PatchMean> mean_around(const Cells& cells, const Key& cell, Vec3 at,
                                     const ScanFitOptions& options) {
  std::vector<double> own;
  std::vector<double> all;
  for (int i = -1; i <= 1; ++i) {
    for (int j = -1; j <= 1; ++j) {
      for (int k = -1; k <= 1; ++k) {
        const auto found = cells.find({cell[0], cell[1] + i, cell[2] + j, cell[3] + k});
        if (found == cells.end()) continue;
        for (const Offset& r : found->second) {
          if (distance(r.foot, at) >= options.reach) continue;
          all.push_back(r.off);
          if (r.own) own.push_back(r.off);
        }
      }
    }
  }
  const auto least = static_cast<std::size_t>(options.least);
  if (own.size() >= least) return mean_without_strays(own);
  if (all.size() >= least) return mean_without_strays(all);
  return std::nullopt;
}

}  // namespace

std::optional<FormDeviation> form_deviation(const ScanFit& fit, const Body& nominal, double length,
                                            LastFoot foot, const ScanFitOptions& options) {
  const auto cell = [&options](double at) { return static_cast<int>(std::floor(at / options.reach)); };
  Cells cells;
  for (const Residual& r : fit.residuals) {
    const int role = nominal.faces[static_cast<std::size_t>(r.face)].role;
    cells[{role, cell(r.foot.x), cell(r.foot.y), cell(r.foot.z)}].push_back({r.foot, r.off, r.own});
  }
  constexpr double kSurely = 4.0;  // standard deviations: some thousand neighbourhoods are looked at
  std::optional<FormDeviation> form;
  for (const auto& [key, points] : cells) {
    Vec3 at;
    for (const Offset& r : points) at += r.foot / static_cast<double>(points.size());
    const std::optional<PatchMean> mean = mean_around(cells, key, at, options);
    if (!mean) continue;
    FormPlace place = place_at(at, key[0], length, foot);
    place.off = mean->off;
    if (!form) form = FormDeviation{place, place};
    if (place.off < form->least.off) form->least = place;
    if (place.off > form->most.off) form->most = place;
    if (place.role != FaceRole::kBottom) continue;
    const double error = kSurely * mean->error;
    if (form->bottom && std::abs(place.off) - error <= std::abs(form->bottom->off) - form->bottom_error)
      continue;
    form->bottom = place;
    form->bottom_error = error;
  }
  return form;
}

FormPlace place_at(Vec3 p, int role, double length, LastFoot foot) {
  return {0.0, p.x / length, foot == LastFoot::kLeft ? -p.y : p.y, p.z, role};  // y points to the left
}

const char* face_word(int role) {
  switch (role) {
    case FaceRole::kBottom:
      return "bottom";
    case FaceRole::kTop:
      return "top";
    case FaceRole::kHole:
      return "wall of a hole";
    default:
      return "upper";
  }
}

std::string place_of(const FormPlace& place) {
  const double aside = std::round(std::abs(place.to_inside));
  return fmt::format(
      "{:.0f} % of the length from the heel, {}, {:.0f} mm high on the {}",
      100.0 * std::clamp(place.along, 0.0, 1.0),
      aside < 1.0 ? std::string("in the middle")
                  : fmt::format("{:.0f} mm to the {}", aside, place.to_inside > 0.0 ? "inside" : "outside"),
      std::max(0.0, place.high), face_word(place.role));
}

std::string told_of(const FormDeviation& form) {
  return fmt::format("farthest in {:+.2f} mm, at {}; farthest out {:+.2f} mm, at {}", form.least.off,
                     place_of(form.least), form.most.off, place_of(form.most));
}

std::string form_note(const FormDeviation& form, double tolerance) {
  const double limit = kLookAt * tolerance;
  std::string places;
  for (const FormPlace* place : {&form.least, &form.most}) {
    if (!(std::abs(place->off) > limit) || (place == &form.most && form.most.off == form.least.off)) continue;
    places +=
        fmt::format("{}{:+.2f} mm off at {}", places.empty() ? "" : ", and ", place->off, place_of(*place));
  }
  if (places.empty()) {
    if (!form.bottom || !(std::abs(form.bottom->off) - form.bottom_error > tolerance)) return {};
    return fmt::format(
        "THE FORM IS NOT JUDGED, and its bottom lies {:+.2f} mm off at {}: more than {} mm, the tolerance. "
        "Look at it",
        form.bottom->off, place_of(*form.bottom), tolerance);
  }
  return fmt::format(
      "THE FORM IS NOT JUDGED, and it lies {}: more than {} mm, {} times the tolerance. Look "
      "at it",
      places, limit, kLookAt);
}

}  // namespace lastwright
