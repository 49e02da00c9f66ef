#include "grading/planning/supply_units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace lastwright {

namespace {

const MaterialSpec* stated_material(const std::string& name, const WorksSpec& works) {
  const auto found = works.materials.find(name);
  return found == works.materials.end() ? nullptr : &found->second;
}

// Sheets whose supply is counted by their area, one of them in that unit; empty: no such supply.
std::optional<double> area_of_sheet(const SupplySpec& supply, const MaterialSpec* material) {
  if (!material || material->bought_as != BoughtAs::kSheets) return {};
  if (!material->width || !material->length || (supply.unit != "dm2" && supply.unit != "sq ft")) return {};
  return *material->width * *material->length / (supply.unit == "sq ft" ? 9.290304e4 : 1e4);
}

// They are ordered whole unless the user's own multiple parts them; either is told.
std::string whole_sheets(SupplySpec& supply, double sheet, const std::string& taken) {
  if (supply.multiple == 0.0) {
    supply.multiple = sheet;
    return fmt::format("{}: counted in {}, ordered in whole sheets of {:.2f} {}{}", supply.name, supply.unit,
                       sheet, supply.unit, taken);
  }
  const double sheets = supply.multiple / sheet;
  constexpr double kAlike = 1e-3;  // of a sheet: how a user rounds
  if (std::round(sheets) >= 1.0 && std::abs(sheets - std::round(sheets)) < kAlike) return "";
  return fmt::format(
      "{}: ordered in parts of a sheet, because its multiple of {} {} is no whole number of sheets of {:.2f} "
      "{}{}",
      supply.name, supply.multiple, supply.unit, sheet, supply.unit, taken);
}

}  // namespace

const char* counted_in(BoughtAs bought) {
  switch (bought) {
    case BoughtAs::kRoll:
      return "m";
    case BoughtAs::kSheets:
      return "sheets";
    case BoughtAs::kPieces:
      return "pieces";
    default:
      return "hides";
  }
}

Status unit_fits(const SupplySpec& supply, const MaterialSpec* material) {
  const std::string& unit = supply.unit;
  const bool ready_cut = material && material->bought_as == BoughtAs::kPieces;
  if (unit.empty() || unit == "pieces" || (!ready_cut && (unit == "dm2" || unit == "sq ft"))) return Done{};
  std::string why;
  std::string offered = "dm2, sq ft or pieces";
  if (!material) {
    why = fmt::format("the works file has no material \"{}\"", supply.name);
    if (unit == "hides" || unit == "sheets" || unit == "m")
      why += ", and so does not say how many pieces go into one: state it there, or";
    else
      why += ":";
  } else if (ready_cut) {
    why = "its material is bought ready cut:";
    offered = "pieces";
  } else if (const char* const own = counted_in(material->bought_as);
             material->bought_as != BoughtAs::kHides || material->hide) {
    if (unit == own) return Done{};
    why = fmt::format("its material is bought as {}:", name_of(material->bought_as));
    offered = fmt::format("dm2, sq ft, pieces or {}", own);
  } else if (unit == own) {
    why =
        "its material states no \"hide\", so that nobody knows how many pieces one holds: state one there, "
        "or";
  } else {
    why = "its material is bought as hides and states none:";
  }
  return bad_value(
      fmt::format("supply \"{}\" is counted in \"{}\"; {} count it in {}", supply.name, unit, why, offered));
}

Status multiple_fits(const SupplySpec& supply, const MaterialSpec* material) {
  const bool ready_cut = material && material->bought_as == BoughtAs::kPieces;
  const bool pieces = supply.unit == "pieces" || (supply.unit.empty() && ready_cut);
  if (!pieces || supply.multiple == std::round(supply.multiple)) return Done{};
  return bad_value(
      fmt::format("supply \"{}\" is ordered in multiples of {} pieces, and no part of a piece can be had: "
                  "state a whole number",
                  supply.name, supply.multiple));
}

void order_whole(SupplySpec& supply, const Needs& needs, const WorksSpec& works,
                 std::vector<std::string>& notes) {
  const MaterialSpec* const material = stated_material(supply.name, works);
  const auto need = std::find_if(needs.materials.begin(), needs.materials.end(),
                                 [&](const MaterialNeed& one) { return one.name == supply.name; });
  if (!material && need == needs.materials.end()) return;
  const bool ready_cut = material && material->bought_as == BoughtAs::kPieces;
  if (supply.unit.empty()) supply.unit = ready_cut ? "pieces" : "dm2";
  const auto taken = [&](const char* unit) {
    if (need == needs.materials.end() || !need->units) return std::string();
    return fmt::format(" (the whole order takes {:.2f} {})", *need->units, unit);
  };
  if (const std::optional<double> sheet = area_of_sheet(supply, material)) {
    if (std::string note = whole_sheets(supply, *sheet, taken("sheets")); !note.empty())
      notes.push_back(std::move(note));
    return;
  }
  const std::string& unit = supply.unit;
  if (unit != "sheets" && unit != "hides" && unit != "pieces") return;
  if (supply.multiple == 0.0) supply.multiple = 1.0;
  if (supply.multiple == std::round(supply.multiple)) return;
  notes.push_back(
      fmt::format("{}: ordered in parts of a {}, because its multiple of {} {} is no whole number{}",
                  supply.name, unit.substr(0, unit.size() - 1), supply.multiple, unit, taken(unit.c_str())));
}

}  // namespace lastwright
