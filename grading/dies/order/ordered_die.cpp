#include "grading/dies/order/ordered_die.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/dies/die_bevel.hpp"
#include "grading/dies/die_hands.hpp"
#include "grading/dies/die_rules.hpp"
#include "grading/dies/order/die_numbers.hpp"
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

// One die of either list.
Result<OrderedDie> read_die(const JsonDocument& document, const Json& die, const std::string& at) {
  const auto text_at = [&](const char* key) {
    return die.is_object() && die.contains(key) && die[key].is_string() ? die[key].get<std::string>()
                                                                        : std::string();
  };
  OrderedDie one{text_at("die"), text_at("piece"), text_at("file"), text_at("file_mirrored"),
                 text_at("hands") == name_of(HandMode::kPair)};
  if (die.is_object() && die.contains("rule_height_mm") && die["rule_height_mm"].is_number()) {
    const double height = die["rule_height_mm"].get<double>();
    if (!(height > 0.0 && height <= 1000.0))
      return document.bad(
          at + "/rule_height_mm",
          fmt::format("a rule height must be above 0 and at most 1000 mm, not {:g} mm", height));
    one.rule_height = height;
    one.height_assumed = !states(die, "rule height");
  }
  if (die.is_object() && die.contains("bevel") && !die["bevel"].is_null()) {
    const std::string bevel = text_at("bevel");
    const auto sides = {Bevel::kWaste, Bevel::kPiece, Bevel::kBoth};
    if (std::none_of(sides.begin(), sides.end(), [&](Bevel side) { return bevel == name_of(side); }))
      return document.bad(at + "/bevel", fmt::format("a bevel must lie {}, {} or {}", name_of(Bevel::kWaste),
                                                     name_of(Bevel::kPiece), name_of(Bevel::kBoth)));
    one.bevel = bevel;
    one.bevel_assumed = !states(die, "bevel");
  }
  if (die.is_object() && die.contains("making_tolerance_mm") && !die["making_tolerance_mm"].is_null()) {
    const Json& stated = die["making_tolerance_mm"];
    const double made = stated.is_number() ? stated.get<double>() : 0.0;
    if (!(made >= kLeastMaking && made <= kMostMaking))
      return document.bad(
          at + "/making_tolerance_mm",
          fmt::format("a making tolerance must be {:g} to {:g} mm", kLeastMaking, kMostMaking));
    one.making_tolerance = made;
  }
  if (die.is_object() && die.contains("layers_per_stroke") && !die["layers_per_stroke"].is_null()) {
    const Json& layers = die["layers_per_stroke"];
    if (!layers.is_number_integer() || layers < 1 || layers > kMostLayers)
      return document.bad(at + "/layers_per_stroke",
                          fmt::format("layers must be a whole number from 1 to {}", kMostLayers));
    one.layers_per_stroke = layers.get<int>();
  }
  if (die.is_object() && die.contains("weight_kg") && die["weight_kg"].is_number()) {
    const double weight = die["weight_kg"].get<double>();
    if (!(weight > 0.0 && weight <= 1000.0))
      return document.bad(at + "/weight_kg",
                          fmt::format("a weight must be above 0 and at most 1000 kg, not {:g} kg", weight));
    one.weight = weight;
  }
  one.two_edged = text_at("hands") == name_of(HandMode::kTwoEdged);
  if (die.is_object() && die.contains("quantity")) {  // an older order has one of each
    const Json& quantity = die["quantity"];
    if (!quantity.is_number_integer() || quantity < 1 || quantity > 1000)
      return document.bad(at + "/quantity", "a quantity must be a whole number from 1 to 1000");
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
  return one;
}

const Json& list_of(const Json& from, const char* key) {
  static const Json kNone = Json::array();
  return from.is_object() && from.contains(key) && from[key].is_array() ? from[key] : kNone;
}

std::string text_of(const Json& from, const char* key) {
  return from.is_object() && from.contains(key) && from[key].is_string() ? from[key].get<std::string>()
                                                                         : std::string();
}

// What only a die has that was there already.
Status read_earlier(const JsonDocument& document, const Json& die, const std::string& at, OrderedDie& one) {
  constexpr int kMostOrders = 1'000'000;
  const Json carried = die.is_object() && die.contains("carried") ? die["carried"] : Json();
  if (!carried.is_number_integer() || carried < 1 || carried > kMostOrders)
    return document.bad(at + "/carried", "carried must be a whole number of orders, 1 or more");
  one.carried = carried.get<int>();
  one.plain = die.contains("plain") && die["plain"] == true;
  one.feet = text_of(die, "feet");
  one.restamped = text_of(die, "restamped");
  return Done{};
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
  for (const char* key : {"earlier_dies", "dies"}) {
    const bool earlier = key == std::string_view("earlier_dies");
    const Json& dies = list_of(root, key);
    for (std::size_t k = 0; k < dies.size(); ++k) {
      const std::string at = pointer_to(std::string("/") + key, k);
      Result<OrderedDie> one = read_die(*document, dies[k], at);
      if (!one) return one.problem();
      if (earlier) {
        if (Status more = read_earlier(*document, dies[k], at, *one); !more) return more.problem();
      }
      if (one->number.empty() || (one->piece.empty() && !one->plain))
        return document->bad(at, "a die needs its number and its piece");
      if (one->file.empty() && one->file_mirrored.empty()) {
        if (earlier) return document->bad(at, "a die that was there already needs its drawing");
        continue;  // it was there then: it is in the other list
      }
      ordered.push_back(*std::move(one));
    }
  }
  return ordered;
}

Result<std::vector<std::string>> dies_elsewhere(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  const Json& root = document->root;
  std::vector<std::string> numbers;
  if (root.is_object() && root.contains("earlier_dies")) return numbers;
  const auto add = [&](const std::string& number) {
    if (!number.empty() && std::find(numbers.begin(), numbers.end(), number) == numbers.end())
      numbers.push_back(number);
  };
  for (const Json& die : list_of(root, "dies")) {
    for (const Json& one : list_of(die, "there_already")) add(text_of(one, "die"));
    const bool owned = die.is_object() && die.contains("owned") && die["owned"] == true;
    if (owned && list_of(die, "there_already").empty()) add(text_of(die, "owned_as"));
  }
  for (const Json& die : list_of(root, "owned_not_used")) {
    if (number_in(text_of(die, "die"))) add(text_of(die, "die"));
  }
  return numbers;
}

}  // namespace lastwright
