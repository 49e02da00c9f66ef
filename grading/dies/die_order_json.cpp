#include "grading/dies/die_order_json.hpp"

#include <cmath>

#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

// A tenth of a micrometre is what a drawing holds; more digits would only differ between machines.
double tenth_of_micrometre(double value) {
  return std::round(value * 1e4) / 1e4 + 0.0;
}

Json or_null(const MaybeLength& length) {
  return length ? Json(tenth_of_micrometre(length->value)) : Json(nullptr);
}

Json line_json(const DieOrderLine& line, const PlannedDie& die, const DieFile& file, bool priced) {
  const DieFacts& facts = die.facts;
  Json served = Json::array();
  for (const auto& [size, width] : line.sizes_widths) served.push_back({{"size", size}, {"width", width}});
  Json findings = Json::array();
  for (const DieFinding& finding : die.findings) {
    findings.push_back({{"check", finding.check},
                        {"value", tenth_of_micrometre(finding.value)},
                        {"limit", finding.limit.value},
                        {"unit", finding.unit},
                        {"at", {tenth_of_micrometre(finding.at.x), tenth_of_micrometre(finding.at.y)}},
                        {"limit_is", name_of(finding.limit.provenance)}});
  }
  Json json{{"die", line.number},
            {"piece", line.piece},
            {"drawn_as", line.drawn_as},
            {"serves", std::move(served)},
            {"hands", name_of(die.hands.mode)},
            {"why", die.hands.why},
            {"owned", die.owned.has_value()},
            {"owned_as", line.owned},
            {"dies_to_make", line.to_make},
            {"cut_per_pair", line.per_pair},
            {"rule_outside_mm", tenth_of_micrometre(facts.rule_outer)},
            {"rule_inside_mm", tenth_of_micrometre(facts.rule_inner)},
            {"area_mm2", tenth_of_micrometre(facts.area)},
            {"box_mm", {tenth_of_micrometre(die.box_length), tenth_of_micrometre(die.box_width)}},
            {"least_radius_outside_mm", or_null(facts.smallest_radius_outside)},
            {"least_radius_inside_mm", or_null(facts.smallest_radius_inside)},
            {"corners", facts.corners.size()},
            {"sharpest_corner_deg",
             facts.sharpest ? Json(tenth_of_micrometre(to_degrees(facts.sharpest->inside))) : Json(nullptr)},
            {"hole_to_rule_mm", or_null(facts.hole_to_edge)},
            {"cut_outs", facts.cut_outs},
            {"punches", facts.punches},
            {"pricks", facts.pricks},
            {"nicks", facts.nicks},
            {"material", line.material},
            {"rule_height_mm", line.rule_height ? Json(*line.rule_height) : Json(nullptr)},
            {"greatest_deviation_mm", tenth_of_micrometre(die.worst_deviation)},
            {"share_of_tolerance", tenth_of_micrometre(die.worst_ratio)},
            {"findings", std::move(findings)}};
  if (priced) {
    json["price_of_one"] = tenth_of_micrometre(line.price);
    json["price"] = tenth_of_micrometre(line.total);
  }
  if (!file.as_drawn.empty()) json["file"] = file.as_drawn;
  if (!file.mirrored.empty()) json["file_mirrored"] = file.mirrored;
  return json;
}

}  // namespace

std::string die_order_json(const DieOrder& order, const DiePlan& plan, const std::vector<DieFile>& files) {
  Json dies = Json::array();
  for (std::size_t k = 0; k < order.lines.size(); ++k) {
    dies.push_back(line_json(order.lines[k], plan.dies[order.lines[k].die], files[k], order.priced));
  }
  Json curve = Json::array();
  for (const CurvePoint& point : plan.curve) {
    curve.push_back({{"tolerance_mm", point.tolerance},
                     {"dies", point.dies},
                     {"bound", point.bound},
                     {"proven", point.proven}});
  }
  Json failed = Json::array();
  for (const StyleFinding& finding : order.failed) {
    failed.push_back({{"check", finding.check},
                      {"subject", finding.subject},
                      {"value", tenth_of_micrometre(finding.worst)},
                      {"limit", finding.limit ? Json(*finding.limit) : Json(nullptr)},
                      {"unit", finding.unit},
                      {"where", finding.where},
                      {"note", finding.note}});
  }
  Json unused = Json::array();
  for (const auto& [number, why] : order.unused) unused.push_back({{"die", number}, {"why", why}});
  Json totals{{"dies_without_ties", plan.dies_without},
              {"dies_needed", plan.dies_needed},
              {"dies_to_make", order.totals.dies},
              {"owned_lines", order.totals.owned},
              {"rule_outside_mm", tenth_of_micrometre(order.totals.rule_outer)},
              {"rule_inside_mm", tenth_of_micrometre(order.totals.rule_inner)},
              {"corners", order.totals.corners},
              {"punches", order.totals.punches},
              {"bound", tenth_of_micrometre(plan.bound)},
              {"bound_of", plan.minimised == Minimise::kCost ? "price" : "dies to make"},
              {"proven", plan.proven},
              {"greatest_seam_difference_mm", tenth_of_micrometre(plan.worst_seam)},
              {"seam_limit_mm", plan.seam_limit}};
  if (order.priced) {
    totals["price"] = tenth_of_micrometre(order.totals.price);
    totals["currency"] = order.currency;
  }
  const Json root{{"lastwright_die_order", 1},
                  {"style", order.style},
                  {"works", order.works},
                  {"totals", std::move(totals)},
                  {"tolerance_curve", std::move(curve)},
                  {"notes", plan.notes},
                  {"checks_failed", std::move(failed)},
                  {"owned_not_used", std::move(unused)},
                  {"dies", std::move(dies)}};
  return root.dump(1) + "\n";
}

Result<std::vector<OrderedDie>> read_die_order(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  const Json& root = document->root;
  if (!root.is_object() || !root.contains("lastwright_die_order") || !root.contains("dies") ||
      !root["dies"].is_array()) {
    return document->bad("", "this is no die order: lastwright_die_order and a list of dies are missing");
  }
  std::vector<OrderedDie> ordered;
  for (std::size_t k = 0; k < root["dies"].size(); ++k) {
    const Json& die = root["dies"][k];
    const std::string at = pointer_to("/dies", k);
    const auto text_at = [&](const char* key) {
      return die.is_object() && die.contains(key) && die[key].is_string() ? die[key].get<std::string>()
                                                                          : std::string();
    };
    OrderedDie one{text_at("die"), text_at("piece"), text_at("file"), text_at("file_mirrored"),
                   text_at("hands") == name_of(HandMode::kPair)};
    if (die.is_object() && die.contains("rule_height_mm") && die["rule_height_mm"].is_number()) {
      const double height = die["rule_height_mm"].get<double>();
      if (!(height > 0.0 && height <= 1000.0))
        return document->bad(at + "/rule_height_mm", "a rule height is above 0 and no more than 1000 mm");
      one.rule_height = height;
    }
    if (one.number.empty() || one.piece.empty())
      return document->bad(at, "a die needs its number and its piece");
    if (one.file.empty() && one.file_mirrored.empty())
      continue;  // it was owned then; its drawing is in an earlier order
    ordered.push_back(std::move(one));
  }
  return ordered;
}

}  // namespace lastwright
