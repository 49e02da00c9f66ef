#include "cli/planning/needs_json.hpp"

#include <cmath>
#include <numbers>

#include "cli/planning/order_told.hpp"
#include "grading/json/json_text.hpp"
#include "grading/planning/supply_units.hpp"

namespace lastwright {

namespace {

double to_tenth(double value) {
  return std::round(value * 10.0) / 10.0 + 0.0;
}

// To a hundred-thousandth of a millimetre, as far as the rows are polished.
double to_five(double value) {
  return std::round(value * 1e5) / 1e5 + 0.0;
}

Json rows_json(const StripRows& rows) {
  Json first = Json::array();
  Json second = Json::array();
  for (const StripRow& row : rows.rows)
    (row.second ? second : first).push_back({to_five(row.x), to_five(row.y)});
  return {{"turned_deg", to_five(rows.turn * 180.0 / std::numbers::pi)},
          {"kind", name_of(rows.kind)},
          {"period_mm", to_five(rows.period)},
          {"length_mm", to_five(rows.length)},
          {"first", std::move(first)},
          {"second", std::move(second)}};
}

Json stretches_json(const RollLay& lay) {
  Json stretches = Json::array();
  for (const RollPart& part : lay.parts) {
    stretches.push_back({{"count", part.count},
                         {"length_mm", to_five(part.length)},
                         {"as_drawn", part.pieces.as_drawn},
                         {"mirrored", part.pieces.mirrored},
                         {"for_both_feet", part.pieces.either},
                         {"by_boxes", part.rows.boxes},
                         {"rows", rows_json(part.rows)}});
  }
  return stretches;
}

// What `rows` and `roll` of a piece mean.
constexpr const char* kAbout =
    "rows: what one of many takes; roll: the stretches that all of them take, one behind the other, each so "
    "many times (count). To lay a piece, turn the drawing by turned_deg to the left and move the middle of "
    "its "
    "box to a place. Places (first and second) are x along the rows and y across them from the middle of the "
    "roll or sheet; in each row others follow period_mm apart. A second piece is, after turning and about "
    "the "
    "middle of its box, of kind 'half turned' turned half round, of kind 'mirrored' mirrored in the line x = "
    "0, "
    "of kind 'mirrored and half turned' mirrored in the line y = 0. length_mm of rows is what one piece "
    "reaches "
    "along them with half the gap before and behind it; a stretch begins where the first of its pieces does "
    "and "
    "ends where the last one does. Where by_boxes, the places of a stretch take pieces of either hand, the "
    "mirrored ones mirrored in the line y = 0.";

Json area_or_null(const std::optional<double>& value) {
  return value ? Json(to_tenth(*value)) : Json(nullptr);
}

// Of what is bought ready cut, which is only counted, none.
Json area_unless(bool ready_cut, double area) {
  return ready_cut ? Json() : Json(to_tenth(area));
}

Json json_or_null(const std::optional<double>& value) {
  return value ? Json(std::round(*value * 1e6) / 1e6) : Json(nullptr);
}

}  // namespace

const char* unit_of(BoughtAs bought) {
  return bought == BoughtAs::kRoll ? "m of roll" : counted_in(bought);
}

std::string bought_text(const MaterialNeed& need) {
  return need.stated ? name_of(need.bought_as) : "not stated";
}

std::string needs_json(const Needs& needs, const Order& order, const FailedStyles& failed) {
  Json materials = Json::array();
  for (const MaterialNeed& need : needs.materials) {
    Json past = nullptr;
    if (need.past) {
      past = {{"lots", need.past->lots}, {"mean", json_or_null(need.past->mean)}};
      if (need.past->lots > 1) {
        past["low"] = json_or_null(need.past->low);
        past["high"] = json_or_null(need.past->high);
      }
    }
    materials.push_back({{"material", need.name},
                         {"bought_as", bought_text(need)},
                         {"pieces", need.pieces},
                         {"net_mm2", area_unless(need.ready_cut(), need.net)},
                         {"scale_mm2", area_unless(need.ready_cut(), need.scale)},
                         {"material_mm2", area_or_null(need.material_area)},
                         {"to_buy_mm2", area_or_null(need.buy)},
                         {"units", json_or_null(need.units)},
                         {"unit", need.stated ? unit_of(need.bought_as) : "not stated"},
                         {"used_over_scale", std::move(past)},
                         {"rests_on", need.notes}});
  }
  Json pieces = Json::array();
  for (const PieceNeed& need : needs.pieces) {
    pieces.push_back({{"style", need.style},
                      {"piece", need.piece},
                      {"size", need.size},
                      {"width", need.width},
                      {"material", need.material},
                      {"pairs", need.pairs},
                      {"pieces", need.pieces},
                      {"net_mm2", area_unless(need.ready_cut, need.net)},
                      {"scale_mm2", area_unless(need.ready_cut, need.scale)},
                      {"material_mm2", area_or_null(need.material_area)},
                      {"per_unit", json_or_null(need.per_unit)},
                      {"laid", need.laid}});
    if (need.rows) pieces.back()["rows"] = rows_json(*need.rows);
    if (need.on_roll) {
      pieces.back()["roll_mm"] = to_five(need.on_roll->length);
      pieces.back()["roll"] = stretches_json(*need.on_roll);
    }
  }
  Json more = Json::array();
  for (const PairNeed& need : needs.more) {
    more.push_back({{"style", need.style},
                    {"size", need.size},
                    {"width", need.width},
                    {"material", need.material},
                    {"net_mm2", area_unless(need.ready_cut(), need.net)},
                    {"scale_mm2", area_unless(need.ready_cut(), need.scale)},
                    {"pairs", need.pairs},
                    {"to_buy_mm2", area_or_null(need.buy)},
                    {"units", json_or_null(need.units)},
                    {"unit", unit_of(need.bought_as)}});
  }
  Json costs = Json::array();
  for (const PairCost& cost : needs.costs) {
    costs.push_back({{"style", cost.style},
                     {"size", cost.size},
                     {"width", cost.width},
                     {"materials", json_or_null(cost.materials)},
                     {"parts", json_or_null(cost.parts)},
                     {"not_in_it", cost.missing}});
  }
  Json json{{"lastwright_needs", 1},
            {"about", kAbout},
            {"pairs", needs.pairs},
            {"materials", std::move(materials)},
            {"pieces", std::move(pieces)},
            {"one_more_pair", std::move(more)},
            {"cost_of_one_more_pair", std::move(costs)},
            {"currency", needs.currency}};
  add_told(json, order, failed);
  return json.dump(1) + "\n";
}

}  // namespace lastwright
