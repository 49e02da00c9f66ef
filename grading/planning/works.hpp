// What a works knows beside its styles, as its file states it: materials, cases, supplies.
//
// Nothing here has a default that costs anything: what a user has not given is not in any figure, and the
// figures say so.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "grading/planning/hide_rule.hpp"
#include "grading/planning/scale_area.hpp"

namespace lastwright {

enum class BoughtAs { kHides, kRoll, kSheets, kPieces };
const char* name_of(BoughtAs bought);  // as in the file: "hides"

struct HideSpec {
  double area = 0.0;       // mm^2 that can be used
  double perimeter = 0.0;  // mm of all that bounds it: the edge and, where they are drawn, edges of holes
  std::size_t holes = 0;   // that are drawn within the edge
  std::string outline;     // a drawing, relative to the works file, that gives both; empty: they are stated
  double hole_area = 0.0;  // mm^2 of the holes drawn, which `area` leaves out
};

struct PastUse {
  std::string lot;
  double scale = 0.0;  // mm^2 that the pieces came to
  double used = 0.0;   // mm^2 of material
};

// What one unit costs as it is bought: of area, of length, of what is counted.
struct PriceSpec {
  double amount = 0.0;
  std::string per;  // "dm2", "sq ft", "m", "sheet", "hide", "piece"
};

struct MaterialSpec {
  std::string kind;                 // what a label calls it; empty: not given
  std::optional<double> thickness;  // mm
  LayRules lay;
  bool gap_stated = false;
  BoughtAs bought_as = BoughtAs::kHides;
  std::optional<HideSpec> hide;
  std::optional<double> width;   // mm, of a roll or a sheet
  std::optional<double> length;  // mm, of a sheet
  bool grain_across = false;
  bool grain_stated = false;
  [[nodiscard]] bool in_strips() const {
    return bought_as == BoughtAs::kRoll || bought_as == BoughtAs::kSheets;
  }
  std::optional<double> measured_to_invoiced;
  std::optional<double> usable_to_total;
  std::vector<PastUse> past;
  std::optional<PriceSpec> price;
  // What is bought over what is taken: short measure and defects, where they are given.
  [[nodiscard]] double bought_over_taken() const {
    return 1.0 / (measured_to_invoiced.value_or(1.0) * usable_to_total.value_or(1.0));
  }
};

struct CaseContent {
  std::string size;
  std::string width;
  int pairs = 0;
};

struct DatedQuantity {
  int period = 0;
  double quantity = 0.0;
};

struct SupplySpec {
  std::string name;
  std::string unit;
  std::optional<double> per_pair;
  std::optional<double> per_case;
  std::optional<double> price;      // of one
  std::vector<std::string> styles;  // that take it; empty: all
  std::string supplier;
  double stock = 0.0;
  double multiple = 0.0;    // 0: any quantity can be had
  std::optional<int> lead;  // periods; 0 is taken where none is stated
  int ahead = 0;            // periods by which it shall be there before it is needed
  std::vector<DatedQuantity> receipts;
  std::map<std::string, double> of;
  std::vector<DatedQuantity> needed;
};

// What the labels of pairs say beside size and width.
struct LabelSpec {
  std::string stock_number;
  std::string made;
  std::string marking_table;                              // key; empty: none
  std::string marking_column;                             // that holds the style's own sizes
  std::map<std::string, std::vector<std::string>> parts;  // "upper", "lining and sock", "outer sole": pieces
  std::map<std::string, LabelSpec> by_style;              // what one style has of its own
  // What holds of a style: its own where it has some, else what holds of all.
  [[nodiscard]] LabelSpec of(const std::string& style) const;
};

// Which days the periods are.
struct WorksCalendar {
  std::string first;        // of period 1, "2026-01-05"
  int days = 7;             // of a period
  int working_days = 0;     // of a period, instead of days; 0: not stated
  std::set<int> week;       // on which days of it the works works, 0: Monday; empty: on all
  std::set<long> holidays;  // by number, see calendar.hpp
};

struct WorksSpec {
  std::string file;
  std::map<std::string, std::string> styles;  // name to file, relative to this one
  std::map<std::string, MaterialSpec> materials;
  std::map<std::string, std::vector<CaseContent>> assortments;
  std::map<std::string, std::string> zones;  // by piece
  std::map<std::string, HideRule> cutting;   // by piece
  int pairs_per_case = 12;
  std::string currency;  // of all prices, as it is to be printed
  std::optional<WorksCalendar> calendar;
  LabelSpec labels;
  std::vector<SupplySpec> supplies;    // in the order of the file
  std::vector<std::string> suppliers;  // of which it states the lead time
};

}  // namespace lastwright
