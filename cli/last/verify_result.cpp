#include "cli/last/verify_result.hpp"
#include "cli/last/printed.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/tables/csv.hpp"
#include "geometry/io/safe_text.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

// As the table for people has them, in small letters.
std::string verdict_word(LastVerdict verdict) {
  return verdict == LastVerdict::kPass ? "pass" : verdict == LastVerdict::kFail ? "fail" : "inconclusive";
}

}  // namespace

std::string told_gaps(const ScannedMeasure& m, const Body& nominal, double length, LastFoot foot) {
  if (m.gaps.empty()) return {};
  const ScannedMeasure::Gap& gap = m.gaps.front();
  const int role = nominal.faces[static_cast<std::size_t>(gap.face)].role;
  // Rounded down: what lacks something is not 100 % covered.
  return fmt::format("{}, hole of {:.0f} mm at {}{}",
                     m.covered < 1.0 ? fmt::format(", {:.0f} % covered", std::floor(100.0 * m.covered)) : "",
                     gap.size, place_of(place_at(gap.middle, role, length, foot)),
                     m.gaps.size() > 1 ? fmt::format(" and {} more", m.gaps.size() - 1) : "");
}

std::string with_gaps(const std::vector<VerifiedMeasure>& rows, const BaseLast& base) {
  std::string names;
  for (const VerifiedMeasure& row : rows) {
    if (!row.scanned.gaps.empty()) names += (names.empty() ? "" : ", ") + base.definitions[row.index].measure;
  }
  return names;
}

std::string verify_csv(const VerifyResult& result, const BaseLast& base, const Body& nominal) {
  std::string out =
      "against,measure,definition,scan_mm,nominal_mm,difference_mm,uncertainty_mm,covered,verdict,holes\n";
  for (const VerifiedMeasure& row : result.measures) {
    const ScannedMeasure& m = row.scanned;
    const bool taken = std::isfinite(m.value);
    out += fmt::format(
        "table,{},{},{},{:.4f},{},{},{:.3f},{},{}\n", csv_field(base.definitions[row.index].measure),
        csv_field(m.definition), taken ? fmt::format("{:.4f}", m.value) : "", row.wanted,
        taken ? fmt::format("{:.4f}", printed(m.value - row.wanted, 4)) : "",
        taken ? fmt::format("{:.4f}", row.uncertainty) : "", m.covered, verdict_word(row.verdict),
        csv_field(m.gaps.empty() ? "" : told_gaps(m, nominal, result.length, result.foot).substr(2)));
  }
  for (const PairMeasure& row : result.pair) {
    out += fmt::format("mate,{},{},{:.4f},{:.4f},{:.4f},{:.4f},,{},\n",
                       csv_field(base.definitions[row.index].measure),
                       csv_field(base.definitions[row.index].id()), row.one, row.mate,
                       printed(row.one - row.mate, 4), row.uncertainty, verdict_word(row.verdict));
  }
  const auto place = [&](const char* name, const FormPlace& p) {
    const bool look = std::abs(p.off) > kLookAt * result.tolerance;
    out += fmt::format("form,{},{},,,{:.4f},,,{},\n", name, csv_field(place_of(p)), printed(p.off, 4),
                       look ? "not judged: look at it" : "not judged");
  };
  if (result.form) {
    place("farthest in", result.form->least);
    place("farthest out", result.form->most);
  }
  if (const std::string holes = told_holes(result.cover, result.length, result.foot); !holes.empty())
    out += fmt::format("surface,not scanned,,,,,,{:.4f},not verified,{}\n", 1.0 - result.cover.unseen,
                       csv_field(holes));
  if (const std::string left =
          told_left_out(result.cover, result.beyond, result.left_out, result.length, result.foot);
      !left.empty())
    out += fmt::format("scan,left out,,,,,,,not verified,{}\n", csv_field(left));
  for (const std::size_t i : result.not_verified) {
    const MeasureDefinition& d = base.definitions[i];
    out += fmt::format("table,{},{},,,,,,not verified,\n", csv_field(d.measure), csv_field(d.id()));
  }
  return out;
}

std::string verify_json(const VerifyResult& result, const BaseLast& base, const Body& nominal) {
  const auto number = [](double value) {
    return std::isfinite(value) ? Json(four_decimals(value)) : Json(nullptr);
  };
  Json out{{"scan", safe_text(result.scan)},
           {"size", result.claimed.size.label},
           {"width", result.claimed.width.label},
           {"verdict", verdict_word(result.verdict)},
           {"tolerance_mm", number(result.tolerance)},
           {"scanner_mm", number(result.scanner)},
           {"rms_mm", number(result.rms)},
           {"notes", result.notes},
           {"measures", Json::array()}};
  const auto hole = [&](double size, Vec3 middle, int role) {
    const FormPlace at = place_at(middle, role, result.length, result.foot);
    return Json{{"size_mm", number(size)},
                {"share_of_length", number(at.along)},
                {"to_inside_mm", number(at.to_inside)},
                {"height_mm", number(at.high)},
                {"on", face_word(role)}};
  };
  const auto role_of = [&nominal](const ScannedMeasure::Gap& gap) {
    return nominal.faces[static_cast<std::size_t>(gap.face)].role;
  };
  for (const VerifiedMeasure& row : result.measures) {
    const ScannedMeasure& m = row.scanned;
    Json holes = Json::array();
    for (const ScannedMeasure::Gap& gap : m.gaps) holes.push_back(hole(gap.size, gap.middle, role_of(gap)));
    out["measures"].push_back({{"measure", base.definitions[row.index].measure},
                               {"definition", m.definition},
                               {"scan_mm", number(m.value)},
                               {"nominal_mm", number(row.wanted)},
                               {"difference_mm", number(m.value - row.wanted)},
                               {"uncertainty_mm", number(row.uncertainty)},
                               {"covered", number(m.covered)},
                               {"hidden_mm", number(m.hidden)},
                               {"holes", std::move(holes)},
                               {"verdict", verdict_word(row.verdict)}});
  }
  const auto place = [&](const FormPlace& p) {
    return Json{{"off_mm", number(p.off)},
                {"share_of_length", number(p.along)},
                {"to_inside_mm", number(p.to_inside)},
                {"height_mm", number(p.high)},
                {"on", face_word(p.role)}};
  };
  if (result.form)
    out["form"] = {{"judged", false},
                   {"farthest_in", place(result.form->least)},
                   {"farthest_out", place(result.form->most)},
                   {"look_beyond_mm", number(kLookAt * result.tolerance)},
                   {"look", !form_note(*result.form, result.tolerance).empty()}};
  out["surface"] = {{"not_scanned", number(result.cover.unseen)},
                    {"seen_within_mm", kSeenWithin},
                    {"holes", Json::array()},
                    {"points_left_out", number(result.left_out)},
                    {"left_out_beyond_mm", number(result.beyond)},
                    {"left_out", Json::array()}};
  constexpr std::size_t kMost = 20;
  for (std::size_t i = 0; i < std::min(kMost, result.cover.holes.size()); ++i) {
    const SurfacePatch& one = result.cover.holes[i];
    Json& row = out["surface"]["holes"].emplace_back(hole(one.size, one.middle, one.role));
    row["share_of_surface"] = number(one.share);
  }
  for (std::size_t i = 0; i < std::min(kMost, result.cover.left_out.size()); ++i) {
    const SurfacePatch& one = result.cover.left_out[i];
    Json& row = out["surface"]["left_out"].emplace_back(hole(one.size, one.middle, one.role));
    row["share_of_points"] = number(one.share);
  }
  out["not_verified"] = Json::array();
  for (const std::size_t i : result.not_verified) out["not_verified"].push_back(base.definitions[i].measure);
  if (result.best)
    out["best_fit"] = {{"size", result.best->at.size.label},
                       {"width", result.best->at.width.label},
                       {"misses_in_tolerances", number(result.best->misses)},
                       {"as_claimed", result.best->as_claimed}};
  for (const PairMeasure& row : result.pair)
    out["mate"].push_back({{"measure", base.definitions[row.index].measure},
                           {"scan_mm", number(row.one)},
                           {"mate_mm", number(row.mate)},
                           {"difference_mm", number(row.one - row.mate)},
                           {"uncertainty_mm", number(row.uncertainty)},
                           {"verdict", verdict_word(row.verdict)}});
  return out.dump(1) + "\n";
}

}  // namespace lastwright
