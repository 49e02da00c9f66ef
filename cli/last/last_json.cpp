#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/files/safe_name.hpp"
#include "cli/last/last_report.hpp"
#include "geometry/solid/mesh_write.hpp"
#include "grading/json/json_value.hpp"
#include "grading/lasts/ties.hpp"

namespace lastwright {

namespace {

using Json = nlohmann::ordered_json;

Json measures_of(const LastSet& set, const LastResult& last) {
  Json rows = Json::array();
  const BaseLast& base = set.bases[last.base];
  for (std::size_t i = 0; i < last.values.size(); ++i) {
    const Measured& value = last.values[i];
    Json row{{"measure", base.definitions[i].measure},
             {"definition", value.definition},
             {"mm", four_decimals(value.value)}};
    if (std::isfinite(last.asked[i])) {
      row["asked_mm"] = four_decimals(last.asked[i]);
      row["difference_mm"] = four_decimals(value.value - last.asked[i]);
    }
    row["driven"] = driven(set, base.definitions[i].measure);
    rows.push_back(std::move(row));
  }
  return rows;
}

Json ties_of_last(const LastSet& set, const LastResult& last) {
  Json rows = Json::array();
  const BaseLast& base = set.bases[last.base];
  for (const GirthTie& tie : ties_of(set.style, last.at, base.definitions, last.values)) {
    rows.push_back({{"girth", tie.girth},
                    {"definition", tie.definition},
                    {"last_upper_mm", four_decimals(tie.last_upper)},
                    {"formes_upper_mm", four_decimals(tie.formes_upper)},
                    {"last_bottom_mm", four_decimals(tie.last_bottom)},
                    {"formes_bottom_mm", four_decimals(tie.formes_bottom)}});
  }
  return rows;
}

}  // namespace

bool driven(const LastSet& set, const std::string& measure) {
  return measure == "stick length" ||
         std::find(set.spec.targets.begin(), set.spec.targets.end(), measure) != set.spec.targets.end();
}

std::string last_file_name(const LastSet& set, const LastJob& job) {
  const std::string name = safe_name(label_of(job.at));
  const std::optional<BaseMesh>& kind = set.mesh_files[job.base];
  return kind ? "meshes/" + name + ending_of(kind->format.kind) : "steps/" + name + ".step";
}

std::string lasts_json(const LastSet& set, const LastRunExtra& extra) {
  Json out{{"style", set.style.spec.name}, {"bases", Json::array()}, {"lasts", Json::array()}};
  for (const BaseLast& base : set.bases) {
    out["bases"].push_back({{"size", base.at.size.label},
                            {"width", base.at.width.label},
                            {"foot", name_of(base.standing.foot)},
                            {"stick_length_mm", four_decimals(base.standing.length)},
                            {"notes", base.body.notes}});
  }
  for (const LastResult& last : set.results) {
    const Soundness& sound = last.soundness;
    Json row{{"size", last.at.size.label},
             {"width", last.at.width.label},
             {"file", last_file_name(set, set.jobs[last.job])},
             {"base", last.base},
             {"beyond_base", last.beyond},
             {"measures", measures_of(set, last)},
             {"ties", ties_of_last(set, last)},
             {"worst_target_mm", four_decimals(last.worst_target)},
             {"surface_error_mm", four_decimals(last.refit_error)},
             {"least_factor", four_decimals(sound.least_factor)},
             {"lowest_field", four_decimals(sound.lowest_field)},
             {"highest_field", four_decimals(sound.highest_field)},
             {"new_waves", sound.new_waves}};
    if (extra.reread[last.job] >= 0.0) row["reread_worst_target_mm"] = four_decimals(extra.reread[last.job]);
    out["lasts"].push_back(std::move(row));
  }
  out["refused"] = Json::array();
  for (const Problem& problem : set.failures) out["refused"].push_back(to_text(problem));
  return out.dump(1) + "\n";
}

}  // namespace lastwright
