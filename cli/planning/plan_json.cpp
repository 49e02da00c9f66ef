#include "cli/planning/plan_json.hpp"

#include <utility>

#include "cli/planning/dates_report.hpp"
#include "cli/planning/needs_json.hpp"
#include "cli/planning/ticket_report.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

// Keys down to a figure, the places in lists left out; and what of the user's it is reckoned from.
struct FigureSource {
  std::vector<std::string> figures;
  std::vector<std::string> data;
};

const char* const kOrder = "the order's rows";
const char* const kAssortments = "works: assortments";
const char* const kCases = "works: pairs_per_case";
const char* const kPerPair = "style: pieces, per_pair, hand";
const char* const kCut = "style: drawing, allowances, grade: the cut lines of each size and width";
const char* const kLay = "works: materials, gap, half_turned, mixed_hands, grain";
const char* const kBought = "works: materials, bought_as, hide, width_mm, length_mm";
const char* const kShort = "works: materials, measured_to_invoiced, usable_to_total";
const char* const kPast = "works: materials, past";
const char* const kPrices = "works: materials, price; supplies, price, per_pair, per_case, styles";
const char* const kHide = "the drawing of the hide: outline, holes, zones, directions";
const char* const kCutting = "works: cutting";
const char* const kLabels = "works: labels, parts; materials, kind, thickness_mm";
const char* const kSupplies = "works: supplies";
const char* const kPeriods = "the order's periods";
const char* const kCalendar = "works: calendar";

const std::vector<FigureSource>& figure_sources() {
  static const std::vector<FigureSource> all{
      {{"/pairs", "/needs/pairs", "/needs/pieces/pairs", "/needs/one_more_pair/pairs"},
       {kOrder, kAssortments}},
      {{"/rows_left_out", "/needs/rows_left_out/line"}, {kOrder}},
      {{"/cases", "/tickets/cases/pairs/pair", "/tickets/tickets/rows/pairs",
        "/tickets/tickets/rows/first_pair", "/tickets/tickets/rows/last_pair"},
       {kOrder, kAssortments, kCases}},
      {{"/tickets/cases/period", "/dates/cases/period", "/dates/cases/pairs", "/dates/cases/pairs_in_case"},
       {kOrder, kAssortments, kCases, kPeriods, kCalendar}},
      {{"/needs/materials/pieces", "/needs/pieces/pieces", "/components/wanted"},
       {kOrder, kAssortments, kPerPair}},
      {{"/tickets/pieces_counted_again", "/tickets/tickets/pieces", "/tickets/tickets/rows/as_drawn",
        "/tickets/tickets/rows/mirrored", "/tickets/tickets/rows/either"},
       {kOrder, kAssortments, kCases, kPerPair}},
      {{"/needs/pieces/net_mm2"}, {kCut}},
      {{"/needs/pieces/scale_mm2"}, {kCut, kLay}},
      {{"/needs/pieces/material_mm2", "/needs/pieces/per_unit", "/needs/pieces/rows/turned_deg",
        "/needs/pieces/rows/period_mm", "/needs/pieces/rows/length_mm", "/needs/pieces/rows/first",
        "/needs/pieces/rows/second"},
       {kCut, kLay, kBought}},
      {{"/needs/pieces/roll_mm", "/needs/pieces/roll/count", "/needs/pieces/roll/length_mm",
        "/needs/pieces/roll/as_drawn", "/needs/pieces/roll/mirrored", "/needs/pieces/roll/for_both_feet",
        "/needs/pieces/roll/rows/turned_deg", "/needs/pieces/roll/rows/period_mm",
        "/needs/pieces/roll/rows/length_mm", "/needs/pieces/roll/rows/first",
        "/needs/pieces/roll/rows/second"},
       {kOrder, kAssortments, kCut, kLay, kPerPair, kBought}},
      {{"/needs/one_more_pair/net_mm2"}, {kCut, kPerPair}},
      {{"/needs/one_more_pair/scale_mm2"}, {kCut, kLay, kPerPair}},
      {{"/needs/one_more_pair/to_buy_mm2", "/needs/one_more_pair/units"},
       {kCut, kLay, kPerPair, kBought, kShort}},
      {{"/needs/materials/net_mm2"}, {kOrder, kAssortments, kCut, kPerPair}},
      {{"/needs/materials/scale_mm2"}, {kOrder, kAssortments, kCut, kLay, kPerPair}},
      {{"/needs/materials/material_mm2"}, {kOrder, kAssortments, kCut, kLay, kPerPair, kBought}},
      {{"/needs/materials/to_buy_mm2", "/needs/materials/units"},
       {kOrder, kAssortments, kCut, kLay, kPerPair, kBought, kShort}},
      {{"/needs/materials/used_over_scale/lots", "/needs/materials/used_over_scale/mean",
        "/needs/materials/used_over_scale/low", "/needs/materials/used_over_scale/high"},
       {kPast}},
      {{"/needs/cost_of_one_more_pair/materials", "/needs/cost_of_one_more_pair/parts"},
       {kCut, kLay, kPerPair, kBought, kShort, kPrices}},
      {{"/tickets/tickets/allowed_mm2", "/tickets/tickets/rows/allowed_mm2"},
       {kOrder, kAssortments, kCases, kCut, kLay, kPerPair, kBought}},
      {{"/tickets/pair_marks/pair", "/tickets/pair_marks/at", "/tickets/pair_marks/turned_deg"},
       {kOrder, kAssortments, kCases, "style: features, pair_number"}},
      {{"/hides/hide_mm2", "/hides/usable_mm2"}, {kHide}},
      {{"/hides/gap_mm"}, {kLay}},
      {{"/hides/pairs", "/hides/pieces_mm2", "/hides/used_of_usable", "/hides/overlap_mm2",
        "/hides/beyond_zone_mm2", "/hides/mates_apart_mm", "/hides/mates_far", "/hides/by_die/cuts",
        "/hides/by_die/together", "/hides/pieces/pair", "/hides/pieces/lay_deg", "/hides/pieces/turned_deg",
        "/hides/pieces/at"},
       {kOrder, kCut, kPerPair, kLay, kHide, kCutting}},
      {{"/labels/styles/parts/shares"}, {kOrder, kAssortments, kCut, kPerPair, kLabels}},
      {{"/dates/rests_on/multiple"}, {kSupplies, kBought}},
      {{"/dates/rests_on/stock", "/dates/rests_on/lead", "/dates/rests_on/ahead",
        "/dates/rests_on/receipts/period", "/dates/rests_on/receipts/quantity", "/dates/items/on_order"},
       {kSupplies}},
      {{"/dates/periods", "/dates/lines_without_period", "/dates/without_period"}, {kPeriods, kSupplies}},
      {{"/supplies_late", "/dates/items/level", "/dates/items/needed", "/dates/items/on_hand",
        "/dates/items/missing", "/dates/items/planned_in", "/dates/items/to_order", "/dates/orders/quantity",
        "/dates/orders/missing", "/dates/orders/order_in", "/dates/orders/there_in", "/dates/waiting/periods",
        "/dates/waiting/quantity_periods"},
       {kOrder, kAssortments, kPeriods, kCases, kCut, kLay, kPerPair, kBought, kShort, kSupplies}}};
  return all;
}

// What the plan says once of all of them is left out.
Json part_of_plan(const std::string& text) {
  Json json = parse_json(text, "")->root;
  json.erase(json.begin());  // each of these documents begins with its version
  json.erase("checks_failed");
  return json;
}

// What the plan's needs tell of the order is left out too.
Json beside_needs(const std::string& text) {
  Json json = part_of_plan(text);
  json.erase("rows_left_out");
  json.erase("doubts");
  return json;
}

}  // namespace

std::string plan_json(const PlanFigures& figures, const FileDigests& files) {
  Json read = Json::array();
  for (const auto& [name, digest] : files) read.push_back({{"file", name}, {"sha256", digest}});
  Json hides = Json::array();
  for (const std::string& hide : figures.hides) hides.push_back(beside_needs(hide));
  Json components = Json::array();
  for (const ComponentCount& count : figures.tickets.components) {
    components.push_back({{"style", count.style},
                          {"piece", count.piece},
                          {"size", count.size},
                          {"width", count.width},
                          {"wanted", count.wanted}});
  }
  Json rests_on = Json::array();
  for (const FigureSource& source : figure_sources())
    rests_on.push_back({{"figures", source.figures}, {"data", source.data}});
  const LoadedOrder& order = figures.order;
  const Json json{{"lastwright_plan", 1},
                  {"order", order.order.file},
                  {"works", order.works.file},
                  {"files", std::move(read)},
                  {"pairs", figures.needs.pairs},
                  {"cases", figures.tickets.cases.size()},
                  {"rows_left_out", order.order.rows_left_out()},
                  {"supplies_late", figures.late},
                  {"checks_failed", failed_json(order.failed)},
                  {"needs", part_of_plan(needs_json(figures.needs, order.order, {}))},
                  {"hides", std::move(hides)},
                  {"components", std::move(components)},
                  {"tickets", beside_needs(tickets_json(figures.tickets, {}, {}))},
                  {"labels", part_of_plan(labels_json(order.works.labels, figures.labels, {}))},
                  {"dates", beside_needs(dates_json(figures.schedule, order.works, order.order, {}))},
                  {"notes", figures.notes},
                  {"rests_on", std::move(rests_on)}};
  return json.dump(1) + "\n";
}

}  // namespace lastwright
