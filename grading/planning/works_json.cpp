#include "grading/planning/works_json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "grading/json/json_schema.hpp"
#include "grading/json/take_key.hpp"
#include "grading/planning/calendar.hpp"
#include "grading/planning/works_calendar.hpp"
#include "grading/planning/works_figures.hpp"
#include "grading/planning/works_supplies.hpp"

namespace lastwright {

const JsonSchema& works_schema() {
  static const JsonSchema instance(works_schema_text());
  return instance;
}

namespace {

constexpr double kSquareDecimetre = 1e4;  // mm^2

MaterialSpec material_of(const Json& json) {
  MaterialSpec material;
  take_key(json, "kind", material.kind);
  take_key(json, "thickness_mm", material.thickness);
  take_key(json, "gap", material.lay.gap);
  material.gap_stated = json.contains("gap");
  take_key(json, "half_turned", material.lay.half_turned);
  take_key(json, "mixed_hands", material.lay.mixed_hands);
  const std::string bought = json.value("bought_as", "hides");
  for (const BoughtAs each : {BoughtAs::kHides, BoughtAs::kRoll, BoughtAs::kSheets, BoughtAs::kPieces}) {
    if (bought == name_of(each)) material.bought_as = each;
  }
  if (const auto hide = json.find("hide"); hide != json.end()) {
    material.hide = HideSpec{kSquareDecimetre * hide->value("area_dm2", 0.0),
                             hide->value("perimeter_mm", 0.0), 0, hide->value("outline", "")};
  }
  take_key(json, "width_mm", material.width);
  take_key(json, "length_mm", material.length);
  material.grain_across = json.value("grain", "along") == "across";
  material.grain_stated = json.contains("grain");
  take_key(json, "measured_to_invoiced", material.measured_to_invoiced);
  take_key(json, "usable_to_total", material.usable_to_total);
  if (const auto price = json.find("price"); price != json.end())
    material.price = PriceSpec{price->at("amount").get<double>(), price->at("per").get<std::string>()};
  if (const auto past = json.find("past"); past != json.end()) {
    for (const Json& lot : *past) {
      material.past.push_back({lot.value("lot", ""), kSquareDecimetre * lot.at("scale_dm2").get<double>(),
                               kSquareDecimetre * lot.at("used_dm2").get<double>()});
    }
  }
  return material;
}

// A shape that the isoperimetric inequality forbids was mistyped: no region has less round it than a disc.
void check_material(const JsonDocument& document, const std::string& name, const MaterialSpec& material,
                    std::vector<Problem>& problems) {
  const std::string at = pointer_to("/materials", name);
  if (material.hide && material.hide->outline.empty()) {
    const double least = std::sqrt(4.0 * 3.14159265358979 * material.hide->area);
    if (material.hide->perimeter < least * (1.0 - 1e-9)) {
      Problem problem = document.bad(pointer_to(at, "hide") + "/perimeter_mm",
                                     "no hide of this area has so short an edge: a disc has the shortest");
      problem.value = material.hide->perimeter;
      problem.limit = least;
      problems.push_back(std::move(problem));
    }
  }
  if (material.bought_as == BoughtAs::kRoll && !material.width)
    problems.push_back(document.bad(at, "a material bought as a roll needs \"width_mm\""));
  if (material.bought_as == BoughtAs::kSheets && (!material.width || !material.length))
    problems.push_back(document.bad(at, "a material bought as sheets needs \"width_mm\" and \"length_mm\""));
}

// A price is of what the material is bought as.
void check_price(const JsonDocument& document, const std::string& name, const MaterialSpec& material,
                 std::vector<Problem>& problems) {
  if (!material.price) return;
  const std::string& per = material.price->per;
  const bool area = per == "dm2" || per == "sq ft";
  const bool fits = material.bought_as == BoughtAs::kRoll     ? area || per == "m"
                    : material.bought_as == BoughtAs::kSheets ? area || per == "sheet"
                    : material.bought_as == BoughtAs::kPieces ? per == "piece"
                                                              : area || per == "hide";
  if (fits) return;
  problems.push_back(document.bad(
      pointer_to(pointer_to("/materials", name), "price") + "/per",
      std::string("a material bought as ") + name_of(material.bought_as) + " has no price per " + per));
}

void take_labels(const Json& json, LabelSpec& labels) {
  take_key(json, "stock_number", labels.stock_number);
  take_key(json, "made", labels.made);
  take_key(json, "parts", labels.parts);
  if (const auto marking = json.find("marking"); marking != json.end()) {
    labels.marking_table = marking->at("table").get<std::string>();
    labels.marking_column = marking->at("column").get<std::string>();
  }
}

// What a piece is made of counts in one part of the shoe.
void check_parts(const JsonDocument& document, const LabelSpec& labels, const std::string& at,
                 std::vector<Problem>& problems) {
  std::map<std::string, std::string> part_of;
  for (const auto& [part, pieces] : labels.parts) {
    for (const std::string& piece : pieces) {
      const auto [other, is_new] = part_of.emplace(piece, part);
      if (is_new || other->second == part) continue;
      problems.push_back(document.bad(
          pointer_to(at + "/parts", part),
          fmt::format("the piece \"{}\" is of \"{}\" too: one piece is of one part", piece, other->second)));
    }
  }
}

}  // namespace

LabelSpec LabelSpec::of(const std::string& style) const {
  LabelSpec labels = *this;
  labels.by_style.clear();
  const auto found = by_style.find(style);
  if (found == by_style.end()) return labels;
  const LabelSpec& own = found->second;
  if (!own.stock_number.empty()) labels.stock_number = own.stock_number;
  if (!own.made.empty()) labels.made = own.made;
  if (!own.parts.empty()) labels.parts = own.parts;
  if (!own.marking_table.empty()) {
    labels.marking_table = own.marking_table;
    labels.marking_column = own.marking_column;
  }
  return labels;
}

const char* name_of(BoughtAs bought) {
  switch (bought) {
    case BoughtAs::kHides:
      return "hides";
    case BoughtAs::kRoll:
      return "roll";
    case BoughtAs::kSheets:
      return "sheets";
    case BoughtAs::kPieces:
      return "pieces";
  }
  return "";
}

namespace {

constexpr const char* kWeek[] = {"Monday", "Tuesday",  "Wednesday", "Thursday",
                                 "Friday", "Saturday", "Sunday"};

WorksCalendar calendar_of(const Json& json, const JsonDocument& document, std::vector<Problem>& problems) {
  WorksCalendar calendar;
  calendar.first = json.at("first").get<std::string>();
  if (json.contains("days") == json.contains("working_days"))
    problems.push_back(
        document.bad("/calendar", "how long a period is stands either in \"days\" or in \"working_days\""));
  calendar.days = json.value("days", 7);
  calendar.working_days = json.value("working_days", 0);
  for (const Json& day : json.value("week", Json::array())) {
    const auto* const found = std::find(std::begin(kWeek), std::end(kWeek), day.get<std::string>());
    calendar.week.insert(static_cast<int>(found - std::begin(kWeek)));
  }
  const std::optional<long> first = day_number(calendar.first);
  if (!first) problems.push_back(document.bad("/calendar/first", "there is no such day"));
  std::size_t index = 0;
  for (const Json& day : json.value("holidays", Json::array())) {
    const std::string at = fmt::format("/calendar/holidays/{}", index++);
    const std::optional<long> number = day_number(day.get<std::string>());
    if (!number) {
      problems.push_back(document.bad(at, "there is no such day"));
    } else if (!calendar.holidays.insert(*number).second) {
      problems.push_back(document.bad(at, "the day is there twice"));
    }
  }
  if (first && calendar.working_days > 0 && !works_on(calendar, *first))
    problems.push_back(
        document.bad("/calendar/first", "the works does not work on this day, with which period 1 begins"));
  return calendar;
}

}  // namespace

Checked<WorksSpec> read_works(std::string_view text, std::string file) {
  WorksSpec works;
  works.file = file;
  const Result<JsonDocument> document = parse_json(text, std::move(file));
  if (!document) return document.problem();
  std::vector<Problem> problems = works_schema().check(*document);
  if (!problems.empty()) return problems;
  const Json& root = document->root;
  take_key(root, "pairs_per_case", works.pairs_per_case);
  take_key(root, "currency", works.currency);
  take_key(root, "zones", works.zones);
  if (const auto cutting = root.find("cutting"); cutting != root.end()) {
    for (const auto& [name, json] : cutting->items()) {
      HideRule& rule = works.cutting[name];
      take_key(json, "zones", rule.zones);
      take_key(json, "within_degrees", rule.within);
      const std::string direction = json.value("direction", "along");
      rule.direction = direction == "any"      ? HideDirection::kAny
                       : direction == "across" ? HideDirection::kAcross
                                               : HideDirection::kAlong;
    }
  }
  if (const auto styles = root.find("styles"); styles != root.end()) {
    for (const auto& [name, path] : styles->items()) works.styles[name] = path.get<std::string>();
  }
  if (const auto materials = root.find("materials"); materials != root.end()) {
    for (const auto& [name, json] : materials->items()) {
      works.materials[name] = material_of(json);
      check_material(*document, name, works.materials[name], problems);
      check_price(*document, name, works.materials[name], problems);
    }
    const std::vector<Problem> figures = impossible_figures(works);
    problems.insert(problems.end(), figures.begin(), figures.end());
  }
  if (const auto assortments = root.find("assortments"); assortments != root.end()) {
    for (const auto& [name, list] : assortments->items()) {
      for (const Json& item : list) {
        works.assortments[name].push_back({item.at("size").get<std::string>(),
                                           item.at("width").get<std::string>(), item.at("pairs").get<int>()});
      }
    }
  }
  if (const auto labels = root.find("labels"); labels != root.end()) {
    take_labels(*labels, works.labels);
    check_parts(*document, works.labels, "/labels", problems);
    if (const auto own = labels->find("by_style"); own != labels->end()) {
      for (const auto& [style, json] : own->items()) {
        take_labels(json, works.labels.by_style[style]);
        check_parts(*document, works.labels.by_style[style], pointer_to("/labels/by_style", style), problems);
        if (root.value("styles", Json::object()).contains(style)) continue;
        problems.push_back(document->bad(pointer_to("/labels/by_style", style),
                                         "the works file names no style \"" + style + "\""));
      }
    }
  }
  if (const auto calendar = root.find("calendar"); calendar != root.end()) {
    works.calendar = calendar_of(*calendar, *document, problems);
  }
  take_supplies(*document, works, problems);
  if (!problems.empty()) return problems;
  return works;
}

}  // namespace lastwright
