// write_style: the other half of grading/style/style_json.hpp.
#include <string>
#include <utility>

#include "grading/json/json_layout.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/feature_json.hpp"
#include "grading/style/lies_json.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

Json fraction(const Fraction& value) {
  return fraction_json(value);
}

Json quantity(const Quantity& value) {
  // What has been written stays as it is; what was reckoned is millimetres.
  return value.written.empty() ? Json(to_mixed(value.millimetres) + " mm") : Json(value.written);
}

Json number(Millimetres value) {
  return number_json(value);
}
Json place(Vec2 at) {
  return place_json(at);
}

Json measure(const MeasureSpec& spec) {
  Json out = Json::object();
  if (spec.from_scale) {
    out["from_scale"] = true;
    if (!spec.per_width.written.empty()) out["per_width"] = quantity(spec.per_width);
  } else {
    out["base"] = quantity(spec.base);
    out["per_size"] = quantity(spec.per_size);
    out["per_width"] = quantity(spec.per_width);
    if (spec.law != Law::kArithmetic) out["law"] = name_of(spec.law);
    for (const MeasureBreakSpec& stretch : spec.breaks) {
      Json one = {{"from", stretch.from}, {"to", stretch.to}};
      if (stretch.per_size) one["per_size"] = quantity(*stretch.per_size);
      if (stretch.per_width) one["per_width"] = quantity(*stretch.per_width);
      out["breaks"].push_back(std::move(one));
    }
  }
  if (spec.size_steps_per_width != Fraction(0))
    out["size_steps_per_width"] = fraction(spec.size_steps_per_width);
  if (!spec.from_scale) {
    if (!spec.source.text.empty()) out["source"] = spec.source.text;
    if (spec.source.provenance != Provenance::kFromMemory)
      out["provenance"] = name_of(spec.source.provenance);
  }
  return out;
}

Json drawing(const DrawingSpec& spec) {
  Json out = {{"file", spec.file}};
  if (!spec.units.empty()) out["units"] = spec.units;
  if (spec.chain_gap != DrawingSpec{}.chain_gap) out["chain_gap"] = number(spec.chain_gap);
  for (const auto& [layer, role] : spec.layers) out["layers"][layer] = role;
  if (!spec.inside.empty()) out["inside"] = spec.inside;
  if (!spec.edge_lines.empty()) out["edge_lines"] = spec.edge_lines;
  if (spec.sheet) {
    out["sheet"] = Json::object();
    if (spec.sheet->mirrored) out["sheet"]["mirrored"] = true;
    if (spec.sheet->turn != 0.0) out["sheet"]["turn"] = number_json(spec.sheet->turn);
    out["sheet"]["by"] = place_json(spec.sheet->by);
  }
  if (spec.fair) {
    out["fair"] = {{"within", number(spec.fair->within)}};
    if (spec.fair->corners != FairSpec{}.corners) out["fair"]["corners"] = number_json(spec.fair->corners);
  }
  return out;
}

Json line(const MeasureLine& line, const char* key) {
  Json out = {{key, line.name}, {"from", line.from}, {"to", line.to}, {"carries", Json::object()}};
  for (const auto& [measure_name, share] : line.carries) out["carries"][measure_name] = fraction(share);
  if (line.extra) out["extra"] = number(*line.extra);
  return out;
}

struct RuleWriter {
  Json operator()(const MeasureLine& rule) const { return line(rule, "measure_line"); }
  Json operator()(const CheckLine& rule) const { return line(rule.line, "check_line"); }
  Json operator()(const PointRule& rule) const {
    return {{"point", rule.point}, {"per_size", place(rule.per_size)}, {"per_width", place(rule.per_width)}};
  }
  Json operator()(const Hold& rule) const { return {{"hold", rule.points}}; }
  Json operator()(const Straight& rule) const { return {{"straight", rule.points}}; }
  Json operator()(const Square& rule) const {
    return {{"square", rule.points}, {"to", Json::array({rule.from, rule.to})}};
  }
};

Json forme(const FormeSpec& spec) {
  Json out = {{"points", Json::object()}};
  for (const NamedPoint& point : spec.points) out["points"][point.name] = place(point.at);
  out["base_line"] = Json::array({spec.base_line.first, spec.base_line.second});
  out["fixed"] = spec.fixed_point;
  if (spec.stated_role) out["role"] = name_of(*spec.stated_role);
  out["length_line"] = spec.length_line;
  out["girth_line"] = spec.girth_line;
  out["rules"] = Json::array();
  for (const Rule& rule : spec.rules) out["rules"].push_back(std::visit(RuleWriter{}, rule));
  if (spec.rules_from_last)
    out["rules_from_last"] = {{"file", spec.rules_from_last->file}, {"points", spec.rules_from_last->points}};
  return out;
}

Json piece(const PieceSpec& spec) {
  Json out = {{"name", spec.name}, {"forme", spec.forme}, {"outline", {{"drawing", spec.source.drawing}}}};
  if (spec.source.block) out["outline"]["block"] = *spec.source.block;
  if (spec.source.layer) out["outline"]["layer"] = *spec.source.layer;
  if (spec.source.at) out["outline"]["at"] = place(*spec.source.at);
  if (spec.lies) out["lies"] = lies_json(*spec.lies);
  if (spec.drawn != Drawn::kNet) out["drawn"] = name_of(spec.drawn);
  out["corners"] = Json::object();
  for (const CornerSpec& corner : spec.corners) {
    const auto* point = std::get_if<std::string>(&corner.at);
    Json spot = point != nullptr ? Json(*point) : place(std::get<Vec2>(corner.at));
    if (corner.form != CornerSpec{}.form) spot = {{"at", std::move(spot)}, {"form", name_of(corner.form)}};
    out["corners"][corner.name] = std::move(spot);
  }
  out["edges"] = Json::array();
  for (const EdgeSpec& edge : spec.edges) {
    Json one = {{"name", edge.name}, {"from", edge.from}, {"to", edge.to}};
    if (edge.treatment != Treatment::kRaw) one["treatment"] = name_of(edge.treatment);
    if (edge.allowance != Millimetres(0.0)) one["allowance"] = number(edge.allowance);
    for (const AllowanceStep& step : edge.allowance_from)
      one["allowance_from"][step.from] = number(step.allowance);
    if (edge.straight) one["straight"] = true;
    if (edge.held) one["held"] = true;
    out["edges"].push_back(std::move(one));
  }
  if (spec.fold) out["fold"] = *spec.fold;
  if (!spec.material.empty()) out["material"] = spec.material;
  if (spec.hand != Hand::kHanded) out["hand"] = name_of(spec.hand);
  if (!spec.drawn_foot.empty()) out["drawn_foot"] = spec.drawn_foot;
  if (spec.per_pair != PieceSpec{}.per_pair) out["per_pair"] = spec.per_pair;
  if (!spec.layer.empty()) out["layer"] = spec.layer;
  if (spec.drawn_marks) {
    const auto add = [&](const char* key, const std::optional<int>& count) {
      if (count) out["drawn_marks"][key] = *count;
    };
    add("holes", spec.drawn_marks->holes);
    add("cut_outs", spec.drawn_marks->cut_outs);
    add("nicks", spec.drawn_marks->nicks);
    add("lines", spec.drawn_marks->lines);
  }
  for (const SizeTie& tie : spec.sizes_tied)
    out["sizes_tied"].push_back({{"from", tie.from}, {"to", tie.to}, {"as", tie.as}});
  for (const SizeTie& tie : spec.cut_outs_held)
    out["cut_outs_held"].push_back({{"from", tie.from}, {"to", tie.to}, {"as", tie.as}});
  for (const FeatureSpec& one : spec.features) out["features"].push_back(feature_json(one));
  return out;
}

Json seam(const SeamSpec& spec) {
  const auto side = [](const SeamSide& one) { return Json{{"piece", one.piece}, {"edge", one.edge}}; };
  Json out = {{"name", spec.name}, {"one", side(spec.one)}, {"other", side(spec.other)}};
  if (spec.ease != Millimetres(0.0)) out["ease"] = number(spec.ease);
  if (spec.mirrored) out["mirrored"] = true;
  return out;
}

// Puts a reference where coordinates were written for it. What is written short where it can be ({"at": P}
// without a form, {"point": P, "by": [0, 0]}) stands one step higher.
void put_reference(Json& out, const PointReference& reference) {
  Json stated = parse_json(reference.stated, "")->root;
  const Json::json_pointer at(reference.pointer);
  if (out.contains(at)) {
    out[at] = std::move(stated);
    return;
  }
  invariant(out.contains(at.parent_pointer()), "a reference stands where the style has a point");
  out[at.parent_pointer()] = std::move(stated);
}

}  // namespace

std::string write_style(const StyleSpec& style) {
  Json out = {{"lastwright_style", 1}, {"name", style.name}};
  if (!style.works.empty()) out["works"] = style.works;
  if (!style.note.empty()) out["note"] = style.note;
  if (!style.drawn_foot.empty()) out["drawn_foot"] = style.drawn_foot;
  out["scale"] = style.scale;
  out["ladder"] = style.ladder;
  if (!style.table_files.empty()) out["tables"] = style.table_files;
  out["base"] = {{"size", style.base_size}, {"width", style.base_width}};
  out["run"] = {{"from", style.run_from}, {"to", style.run_to}};
  if (style.run_by != Fraction(1)) out["run"]["by"] = fraction(style.run_by);
  out["run"]["widths"] = style.run_widths;
  for (const RunPart& part : style.run_also) {
    Json also = {{"from", part.from}, {"to", part.to}};
    if (part.by != Fraction(1)) also["by"] = fraction(part.by);
    also["widths"] = part.widths;
    out["run"]["also"].push_back(std::move(also));
  }
  for (const MeasureSpec& spec : style.measures) out["measures"][spec.name] = measure(spec);
  for (const DrawingSpec& spec : style.drawings) out["drawings"][spec.key] = drawing(spec);
  for (const FormeSpec& spec : style.formes) out["formes"][spec.name] = forme(spec);
  for (const GirthSpec& spec : style.girths) {
    for (const GirthPart& part : spec.parts) {
      Json one = {{"forme", part.forme}, {"line", part.line}};
      if (part.times != Fraction(1)) one["times"] = fraction(part.times);
      out["girths"][spec.measure].push_back(std::move(one));
    }
  }
  for (const PieceSpec& spec : style.pieces) out["pieces"].push_back(piece(spec));
  for (const SeamSpec& spec : style.seams) out["seams"].push_back(seam(spec));
  for (const MarkCode& code : style.codes) out["codes"][code.name] = code_json(code);
  for (const Proposed& one : style.proposed) {
    Json entry = {{"sure", name_of(one.sure)}, {"what", one.what}};
    if (!one.at.empty()) entry["at"] = one.at;
    out["proposed"].push_back(std::move(entry));
  }
  Json limits = Json::object();
  if (style.seam_limit != StyleSpec{}.seam_limit) limits["seam"] = number(style.seam_limit);
  const SeamLimits usual;
  const auto put = [&](const char* key, Millimetres given, Millimetres unless) {
    if (given != unless) limits[key] = number(given);
  };
  put("seam_base", style.seam_limits.base, usual.base);
  if (style.seam_limits.nicks) limits["seam_nicks"] = number(*style.seam_limits.nicks);
  put("seam_allowances", style.seam_limits.allowances, usual.allowances);
  put("lap_stitch", style.seam_limits.lap_stitch, usual.lap_stitch);
  put("holes_meet", style.seam_limits.holes, usual.holes);
  put("check_line", style.check_line_limit, StyleSpec{}.check_line_limit);
  if (style.fold_turn_limit != StyleSpec{}.fold_turn_limit)
    limits["fold_turn"] = number_json(style.fold_turn_limit);
  if (style.seam_turn_limit != StyleSpec{}.seam_turn_limit)
    limits["seam_turn"] = number_json(style.seam_turn_limit);
  for (const auto& [treatment, most] : style.missing_limits)
    limits["missing_allowance"][name_of(treatment)] = number(most);
  for (const auto& [treatment, times] : style.reach_limits)
    limits["cut_line_reach"][name_of(treatment)] = number_json(times);
  put("widest_allowance", style.widest_allowance, StyleSpec{}.widest_allowance);
  put("spike_width", style.spike_limit, StyleSpec{}.spike_limit);
  if (style.base_limit) limits["base"] = number_json(*style.base_limit);
  if (style.girth_base_limit != StyleSpec{}.girth_base_limit)
    limits["girth_base"] = number_json(style.girth_base_limit);
  if (style.open_girth_limit != StyleSpec{}.open_girth_limit)
    limits["open_girth"] = number(style.open_girth_limit);
  if (style.piece_girth_limit != StyleSpec{}.piece_girth_limit)
    limits["girth_in_pieces"] = number(style.piece_girth_limit);
  if (style.rule_away_limit) limits["rule_away"] = number(*style.rule_away_limit);
  limits.update(feature_limits_json(style.feature_limits));
  if (!limits.empty()) out["limits"] = std::move(limits);
  for (const PointReference& reference : style.references) put_reference(out, reference);
  return laid_out(out) + "\n";
}

}  // namespace lastwright
