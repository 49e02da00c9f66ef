#include "grading/style/limits_json.hpp"

#include <fmt/format.h>

#include "grading/style/feature_json.hpp"
#include "grading/style/style_values.hpp"

namespace lastwright {

namespace {

Millimetres limit_at(const Json& limits, const char* key, Millimetres usual, StyleValues& values) {
  const Millimetres given = values.millimetres_at(limits, key, "/limits", usual);
  values.not_below_zero(given, pointer_to("/limits", key));
  return given;
}

void read_seam_limits(const Json& limits, StyleValues& values, StyleSpec& style) {
  style.seam_limit = values.millimetres_at(limits, "seam", "/limits", style.seam_limit);
  SeamLimits& seams = style.seam_limits;
  seams.base = limit_at(limits, "seam_base", seams.base, values);
  if (limits.contains("seam_nicks")) seams.nicks = limit_at(limits, "seam_nicks", Millimetres(0.0), values);
  seams.allowances = limit_at(limits, "seam_allowances", seams.allowances, values);
  seams.lap_stitch = limit_at(limits, "lap_stitch", seams.lap_stitch, values);
  seams.holes = limit_at(limits, "holes_meet", seams.holes, values);
  style.check_line_limit = limit_at(limits, "check_line", style.check_line_limit, values);
  style.seam_turn_limit = limits.value("seam_turn", style.seam_turn_limit);
  style.fold_turn_limit = limits.value("fold_turn", style.fold_turn_limit);
}

void read_missing_limits(const Json& missing, StyleValues& values, StyleSpec& style) {
  for (const Treatment treatment : kTreatments) {
    const char* key = name_of(treatment);
    if (!missing.contains(key)) continue;
    const std::string at = "/limits/missing_allowance";
    const Millimetres most = values.millimetres_at(missing, key, at, Millimetres(0.0));
    values.not_below_zero(most, pointer_to(at, key));
    style.missing_limits[treatment] = most;
  }
}

void read_reach_limits(const Json& limits, StyleValues& values, StyleSpec& style) {
  if (const auto reach = limits.find("cut_line_reach"); reach != limits.end()) {
    for (const Treatment treatment : kTreatments) {
      const char* key = name_of(treatment);
      if (reach->contains(key)) style.reach_limits[treatment] = reach->at(key).get<double>();
    }
  }
  style.widest_allowance = limit_at(limits, "widest_allowance", style.widest_allowance, values);
  style.spike_limit = limit_at(limits, "spike_width", style.spike_limit, values);
  if (style.spike_limit > kWidestSpike) {
    values.refuse("/limits/spike_width",
                  bad_value(fmt::format("the limit of spikes must be at most {:g} mm, not {:g} mm",
                                        kWidestSpike.value(), style.spike_limit.value())));
  }
}

}  // namespace

void read_limits(const Json& limits, StyleValues& values, StyleSpec& style) {
  FeatureReader(values.document(), values.problems()).limits(limits, "/limits", style.feature_limits);
  read_seam_limits(limits, values, style);
  if (const auto missing = limits.find("missing_allowance"); missing != limits.end())
    read_missing_limits(*missing, values, style);
  read_reach_limits(limits, values, style);
  if (limits.contains("base")) style.base_limit = limits.at("base").get<double>();
  style.girth_base_limit = limits.value("girth_base", style.girth_base_limit);
  style.open_girth_limit = values.millimetres_at(limits, "open_girth", "/limits", style.open_girth_limit);
  style.piece_girth_limit =
      values.millimetres_at(limits, "girth_in_pieces", "/limits", style.piece_girth_limit);
  if (limits.contains("rule_away"))
    style.rule_away_limit = limit_at(limits, "rule_away", Millimetres(0.0), values);
}

}  // namespace lastwright
