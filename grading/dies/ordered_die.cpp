#include "grading/dies/ordered_die.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/dies/die_bevel.hpp"
#include "grading/dies/die_plan.hpp"
#include "grading/dies/die_rules.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {
// True where the die has a list of what is not stated, and this is not in it.
bool states(const Json& die, const char* what) {
  if (!die.contains("not_stated") || !die["not_stated"].is_array()) return false;
  const Json& list = die["not_stated"];
  return std::find(list.begin(), list.end(), Json(what)) == list.end();
}
}  // namespace

Result<std::vector<OrderedDie>> read_die_order(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  const Json& root = document->root;
  if (!root.is_object() || !root.contains("lastwright_die_order") || !root.contains("dies") ||
      !root["dies"].is_array()) {
    return document->bad("", "this is not a die order: lastwright_die_order and a list of dies are missing");
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
        return document->bad(
            at + "/rule_height_mm",
            fmt::format("a rule height must be above 0 and at most 1000 mm, not {:g} mm", height));
      one.rule_height = height;
      one.height_assumed = !states(die, "rule height");
    }
    if (die.is_object() && die.contains("bevel") && !die["bevel"].is_null()) {
      const std::string bevel = text_at("bevel");
      const auto sides = {Bevel::kWaste, Bevel::kPiece, Bevel::kBoth};
      if (std::none_of(sides.begin(), sides.end(), [&](Bevel side) { return bevel == name_of(side); }))
        return document->bad(at + "/bevel",
                             fmt::format("a bevel must lie {}, {} or {}", name_of(Bevel::kWaste),
                                         name_of(Bevel::kPiece), name_of(Bevel::kBoth)));
      one.bevel = bevel;
      one.bevel_assumed = !states(die, "bevel");
    }
    if (die.is_object() && die.contains("making_tolerance_mm") && !die["making_tolerance_mm"].is_null()) {
      const Json& stated = die["making_tolerance_mm"];
      const double made = stated.is_number() ? stated.get<double>() : 0.0;
      if (!(made >= kLeastMaking && made <= kMostMaking))
        return document->bad(
            at + "/making_tolerance_mm",
            fmt::format("a making tolerance must be {:g} to {:g} mm", kLeastMaking, kMostMaking));
      one.making_tolerance = made;
    }
    if (die.is_object() && die.contains("layers_per_stroke") && !die["layers_per_stroke"].is_null()) {
      const Json& layers = die["layers_per_stroke"];
      if (!layers.is_number_integer() || layers < 1 || layers > kMostLayers)
        return document->bad(at + "/layers_per_stroke",
                             fmt::format("layers must be a whole number from 1 to {}", kMostLayers));
      one.layers_per_stroke = layers.get<int>();
    }
    if (die.is_object() && die.contains("weight_kg") && die["weight_kg"].is_number()) {
      const double weight = die["weight_kg"].get<double>();
      if (!(weight > 0.0 && weight <= 1000.0))
        return document->bad(
            at + "/weight_kg",
            fmt::format("a weight must be above 0 and at most 1000 kg, not {:g} kg", weight));
      one.weight = weight;
    }
    one.two_edged = text_at("hands") == name_of(HandMode::kTwoEdged);
    if (die.is_object() && die.contains("quantity")) {  // an older order has one of each
      const Json& quantity = die["quantity"];
      if (!quantity.is_number_integer() || quantity < 1 || quantity > 1000)
        return document->bad(at + "/quantity", "a quantity must be a whole number from 1 to 1000");
      one.quantity = quantity.get<int>();
    }
    if (die.is_object() && die.contains("serves") && die["serves"].is_array()) {
      for (const Json& served : die["serves"]) {
        const auto label = [&](const char* key) {
          return served.is_object() && served.contains(key) && served[key].is_string()
                     ? served[key].get<std::string>()
                     : std::string();
        };
        one.served.emplace_back(label("size"), label("width"));
      }
    }
    one.drawn_as = text_at("drawn_as");
    one.stamp = text_at("stamp");
    one.stamp_mirrored = text_at("stamp_mirrored");
    if (one.number.empty() || one.piece.empty())
      return document->bad(at, "a die needs its number and its piece");
    if (one.file.empty() && one.file_mirrored.empty())
      continue;  // it was owned then; its drawing is in an earlier order
    ordered.push_back(std::move(one));
  }
  return ordered;
}

}  // namespace lastwright
