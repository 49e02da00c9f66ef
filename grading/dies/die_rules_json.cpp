#include "grading/dies/die_rules_json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <set>

#include "geometry/comma_list.hpp"
#include "grading/dies/die_rules_doubts.hpp"
#include "grading/json/json_schema.hpp"
#include "grading/json/take_key.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

std::vector<std::string> kinds() {
  std::vector<std::string> names{"cut-out", "mark"};
  for (int k = 0; k <= static_cast<int>(Treatment::kTrim); ++k)
    names.emplace_back(name_of(static_cast<Treatment>(k)));
  return names;
}

void take_limit(const Json& from, const char* key, DieLimit& limit) {
  if (const auto found = from.find(key); found != from.end()) {
    limit = {found->get<double>(), Provenance::kCommonPractice, "set by the user's rules"};
  }
}

DieLimits limits_of(const Json& json) {
  DieLimits limits;
  take_limit(json, "rule_gap", limits.rule_gap);
  take_limit(json, "smallest_punch", limits.smallest_punch);
  take_limit(json, "slot", limits.slot);
  take_limit(json, "special_punch", limits.special_punch);
  take_limit(json, "bend_radius", limits.bend_radius);
  take_limit(json, "shortest_straight", limits.shortest_straight);
  take_limit(json, "hole_to_edge", limits.hole_to_edge);
  take_limit(json, "inside_corner", limits.inside_corner);
  take_limit(json, "outside_corner", limits.outside_corner);
  take_limit(json, "tangent_break", limits.tangent_break);
  return limits;
}

DieRates rates_of(const Json& json) {
  DieRates rates;
  take_key(json, "currency", rates.currency);
  take_key(json, "per_mm", rates.per_mm);
  take_key(json, "per_corner", rates.per_corner);
  take_key(json, "per_punch", rates.per_punch);
  take_key(json, "per_special_punch", rates.per_special_punch);
  take_key(json, "per_nick", rates.per_nick);
  take_key(json, "per_bridge", rates.per_bridge);
  take_key(json, "per_joint", rates.per_joint);
  take_key(json, "fixed", rates.fixed);
  take_key(json, "two_edged", rates.two_edged);
  return rates;
}

PieceRules piece_rules(const Json& json) {
  PieceRules rules;
  take_key(json, "ties", rules.ties);
  take_key(json, "two_edged", rules.two_edged);
  take_key(json, "rule_height", rules.rule_height);
  take_key(json, "weight_per_metre", rules.weight_per_metre);
  take_key(json, "per_mm", rules.per_mm);
  take_key(json, "making_tolerance", rules.making_tolerance);
  take_key(json, "layers_per_stroke", rules.layers_per_stroke);
  take_key(json, "quantity", rules.quantity);
  take_key(json, "reference_edge", rules.reference_edge);
  take_key(json, "tolerance", rules.tolerance);
  if (const auto groups = json.find("groups"); groups != json.end()) {
    for (const Json& item : *groups) {
      ToolingGroup group;
      take_key(item, "name", group.name);
      take_key(item, "from", group.from);
      take_key(item, "to", group.to);
      take_key(item, "widths", group.widths);
      rules.groups.push_back(std::move(group));
    }
  }
  return rules;
}

ForcedTieRule forced_tie(const Json& json) {
  ForcedTieRule tie;
  take_key(json, "name", tie.name);
  take_key(json, "pieces", tie.pieces);
  take_key(json, "widths", tie.widths);
  if (const auto sizes = json.find("sizes"); sizes != json.end()) {
    for (const Json& item : *sizes)
      tie.sizes.emplace_back(item.at("from").get<std::string>(), item.at("to").get<std::string>());
  }
  if (tie.name.empty()) {
    for (const std::string& piece : tie.pieces) tie.name += (tie.name.empty() ? "" : ", ") + piece;
  }
  return tie;
}

void check_forced_tie(const JsonDocument& document, std::size_t k, const ForcedTieRule& tie,
                      const StyleSpec& style, std::vector<Problem>& problems) {
  const std::string at = pointer_to("/forced_ties", k);
  if (tie.sizes.empty() && tie.widths.empty())
    problems.push_back(document.bad(at, "a forced tie must say which sizes or which widths share a die"));
  std::vector<std::string> known;
  for (const PieceSpec& piece : style.pieces) known.push_back(piece.name);
  for (std::size_t p = 0; p < tie.pieces.size(); ++p) {
    const std::string& name = tie.pieces[p];
    const std::string pointer = pointer_to(pointer_to(at, "pieces"), p);
    if (std::find(known.begin(), known.end(), name) == known.end())
      problems.push_back(
          document.bad(pointer, "the style has no piece \"" + name + "\"" + suggestion(name, known)));
    if (std::find(tie.pieces.begin(), tie.pieces.begin() + static_cast<std::ptrdiff_t>(p), name) !=
        tie.pieces.begin() + static_cast<std::ptrdiff_t>(p))
      problems.push_back(document.bad(pointer, "the piece \"" + name + "\" is named twice"));
  }
}

// Names the style does not have.
void check_piece(const JsonDocument& document, const std::string& name, const PieceRules& rules,
                 const StyleSpec& style, std::vector<Problem>& problems) {
  const std::string at = pointer_to("/pieces", name);
  const auto piece = std::find_if(style.pieces.begin(), style.pieces.end(),
                                  [&](const PieceSpec& p) { return p.name == name; });
  std::vector<std::string> known;
  if (piece == style.pieces.end()) {
    for (const PieceSpec& p : style.pieces) known.push_back(p.name);
    problems.push_back(document.bad(at, "the style has no piece \"" + name + "\"" + suggestion(name, known)));
    return;
  }
  for (const EdgeSpec& edge : piece->edges) known.push_back(edge.name);
  const auto check_edge = [&](const std::string& edge, const std::string& pointer) {
    if (std::find(known.begin(), known.end(), edge) != known.end()) return;
    problems.push_back(
        document.bad(pointer, "the piece has no edge \"" + edge + "\"" + suggestion(edge, known)));
  };
  if (rules.reference_edge) check_edge(*rules.reference_edge, pointer_to(at, "reference_edge"));
  for (const auto& [edge, value] : rules.tolerance)
    check_edge(edge, pointer_to(pointer_to(at, "tolerance"), edge));
}

}  // namespace

const JsonSchema& die_rules_schema() {
  static const JsonSchema instance(die_rules_schema_text());
  return instance;
}

Checked<DieRules> read_die_rules(std::string_view text, std::string file, const StyleSpec& style) {
  DieRules rules;
  rules.file = file;
  const Result<JsonDocument> document = parse_json(text, std::move(file));
  if (!document) return document.problem();
  std::vector<Problem> problems = die_rules_schema().check(*document);
  if (!problems.empty()) return problems;
  const Json& root = document->root;
  take_key(root, "ties", rules.ties);
  take_key(root, "between", rules.between);
  take_key(root, "tolerance", rules.tolerance);
  take_key(root, "tolerance_by_kind", rules.by_kind);
  take_key(root, "curve", rules.curve);
  take_key(root, "seam_limit", rules.seam_limit);
  take_key(root, "two_edged", rules.two_edged);
  take_key(root, "two_edged_nicks", rules.two_edged_nicks);
  take_key(root, "rule_height", rules.rule_height);
  take_key(root, "making_tolerance", rules.making_tolerance);
  take_key(root, "layers_per_stroke", rules.layers_per_stroke);
  take_key(root, "quantity", rules.quantity);
  take_key(root, "rule_thickness", rules.rule_thickness);
  take_key(root, "handle", rules.handle);
  take_key(root, "two_edged_bridges", rules.two_edged_bridges);
  take_key(root, "weight_per_metre", rules.weight_per_metre);
  take_key(root, "seam_limits", rules.seam_limits);
  take_key(root, "lap_seam_limit", rules.lap_seam_limit);
  if (const auto every = root.find("bridge_every"); every != root.end())
    rules.bridge_every = Millimetres(every->get<double>());
  for (const Bevel bevel : {Bevel::kWaste, Bevel::kPiece, Bevel::kBoth}) {
    if (root.value("bevel", "") == name_of(bevel)) rules.bevel = bevel;
  }
  if (root.value("minimise", "count") == "cost") rules.minimise = Minimise::kCost;
  if (const auto rates = root.find("rates"); rates != root.end()) rules.rates = rates_of(*rates);
  if (const auto limits = root.find("limits"); limits != root.end()) rules.limits = limits_of(*limits);
  if (const auto pieces = root.find("pieces"); pieces != root.end()) {
    for (const auto& [name, value] : pieces->items()) {
      rules.pieces[name] = piece_rules(value);
      check_piece(*document, name, rules.pieces[name], style, problems);
      if (rules.pieces[name].per_mm && !rules.rates.given())
        problems.push_back(document->bad(pointer_to(pointer_to("/pieces", name), "per_mm"),
                                         "a piece has a rate of its own where \"rates\" are given"));
    }
  }
  if (const auto ties = root.find("forced_ties"); ties != root.end()) {
    for (const Json& item : *ties) {
      rules.forced_ties.push_back(forced_tie(item));
      check_forced_tie(*document, rules.forced_ties.size() - 1, rules.forced_ties.back(), style, problems);
    }
  }
  for (const auto& [name, limit] : rules.seam_limits) {
    std::vector<std::string> known;
    for (const SeamSpec& seam : style.seams) known.push_back(seam.name);
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    problems.push_back(document->bad(pointer_to("/seam_limits", name),
                                     "the style has no seam \"" + name + "\"" + suggestion(name, known)));
  }
  for (FigureDoubt& doubt : figure_doubts(rules)) {
    if (doubt.refused) problems.push_back(document->bad(doubt.pointer, std::move(doubt.message)));
  }
  if (rules.minimise == Minimise::kCost && !rules.rates.given()) {
    problems.push_back(document->bad("/minimise", "to make the price least, rates must be given"));
  }
  if (!problems.empty()) return problems;
  return rules;
}

Status set_tolerance(DieRules& rules, std::string_view typed) {
  const std::size_t equals = typed.find('=');
  const std::string kind(equals == std::string_view::npos ? std::string_view() : typed.substr(0, equals));
  const std::string_view number = equals == std::string_view::npos ? typed : typed.substr(equals + 1);
  double value = 0.0;
  const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
  const bool read = error == std::errc() && end == number.data() + number.size();
  if (!read || !(value > 0.0) || value > 1000.0) {
    return Problem{
        Trouble::kUsage,
        "a tolerance is a length above 0 in mm, as 0.4 or lasting=0.6, not \"" + std::string(typed) + "\"",
        {},
        {},
        {}};
  }
  if (std::string why = tolerance_refused(value); !why.empty())
    return Problem{Trouble::kUsage, std::move(why), {}, {}, {}};
  if (equals == std::string_view::npos) {
    rules.tolerance = value;
    rules.by_kind.clear();
    return Done{};
  }
  const std::vector<std::string> known = kinds();
  if (std::find(known.begin(), known.end(), kind) == known.end()) {
    return Problem{
        Trouble::kUsage, "there is no edge kind \"" + kind + "\"" + suggestion(kind, known), {}, {}, {}};
  }
  rules.by_kind[kind] = value;
  return Done{};
}

Status set_tolerances(DieRules& rules, const std::vector<std::string>& typed) {
  const auto refused = [](const std::string& word, std::string why) {
    return Problem{Trouble::kUsage, fmt::format("\"{}\": {}", word, why), {}, {}, {}};
  };
  std::set<std::string> given;
  for (const std::string& word : typed) {
    for (const std::string& one : parts_at_commas(word)) {
      const std::size_t equals = one.find('=');
      const bool for_all = equals == std::string::npos;
      if (for_all && !given.empty())
        return refused(word, "\"" + one +
                                 "\" would be a tolerance for all edges, of which there is one, and first: "
                                 "0.3,lasting=0.5. A comma parts two tolerances, a decimal point is a point");
      if (!given.insert(for_all ? "" : one.substr(0, equals)).second)
        return refused(word, "there are two tolerances of \"" + one.substr(0, equals) + "\"");
      if (Status set = set_tolerance(rules, one); !set) {
        return word == one ? set : Status(refused(word, set.problem().message));
      }
    }
  }
  return Done{};
}

}  // namespace lastwright
