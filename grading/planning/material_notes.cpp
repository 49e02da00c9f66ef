#include "grading/planning/material_notes.hpp"

#include <fmt/format.h>

#include "geometry/counted.hpp"

namespace lastwright {

namespace {

// Of all pieces of an order more is known than of one.
std::string order_note(const MaterialSpec& material) {
  if (material.bought_as != BoughtAs::kRoll) return area_note(material);
  return fmt::format(
      "like pieces in whole rows along your roll of {:.0f} mm: of each kind, size and width the shortest "
      "that "
      "stretches of its rows, of straight columns and of rows by the boxes come to, one behind the other, "
      "that "
      "hold all that the order takes; what one more pair takes is in proportion",
      *material.width);
}

std::vector<std::string> works_notes(const std::string& name, const std::set<std::string>& pieces,
                                     const WorksSpec& works) {
  const MaterialSpec& material = material_spec(works, name);
  std::vector<std::string> notes;
  if (works.materials.count(name) == 0) {
    if (name.empty()) notes.push_back(fmt::format("no material is stated for {}", fmt::join(pieces, ", ")));
    notes.emplace_back(name.empty() ? "cut without a gap"
                                    : "the works file does not have this material: cut without a gap");
  }
  notes.push_back(order_note(material));
  if (const std::string zones = zone_note(name, pieces, works); !zones.empty()) notes.push_back(zones);
  if (material.bought_as == BoughtAs::kPieces) return notes;
  notes.push_back(material.measured_to_invoiced ? fmt::format("your measured area is {} of the invoiced",
                                                              *material.measured_to_invoiced)
                                                : std::string("short measure is not given and in no figure"));
  notes.push_back(material.usable_to_total
                      ? fmt::format("{} of the area is usable by your figure", *material.usable_to_total)
                      : std::string("defects are not given and in no figure"));
  return notes;
}

// What the user's own past says, and that it cannot be where it says less than the pieces themselves take.
std::string past_note(const MaterialNeed& need) {
  if (!need.past) return "";
  std::string note = fmt::format("used over scale is the mean of the ratios of {}, each lot counting alike",
                                 counted(need.past->lots, "lot of yours", "lots of yours"));
  if (need.scale > 0.0 && need.past->mean < need.net / need.scale)
    note += fmt::format(
        "; it cannot be: {:.3f} of the scale area is less than the {:.3f} of it that these pieces are "
        "themselves",
        need.past->mean, need.net / need.scale);
  return note;
}

// Of a roll or sheets, how much the rows that were found fill: nothing proves them the best, and no way of
// laying takes less than the pieces themselves.
std::string filled_note(const MaterialNeed& need) {
  const bool strips = need.bought_as == BoughtAs::kRoll || need.bought_as == BoughtAs::kSheets;
  if (!strips || !need.material_area) return "";
  const double filled = need.net / *need.material_area;
  return fmt::format(
      "the best rows of a search, not proved the best there are: the pieces fill {:.1f} % of what they take, "
      "so "
      "no other way of laying them saves more than {:.1f} %",
      100.0 * filled, 100.0 * (1.0 - filled));
}

// Of sheets, how many whole ones it is where none holds two kinds.
std::string whole_sheets_note(const MaterialNeed& need, double whole) {
  if (need.bought_as != BoughtAs::kSheets || !need.units) return "";
  return fmt::format("where no sheet holds two kinds, these pieces take {} before defects and short measure",
                     counted(static_cast<std::size_t>(whole), "whole sheet"));
}

}  // namespace

const MaterialSpec& material_spec(const WorksSpec& works, const std::string& name) {
  static const MaterialSpec kNone;
  const auto found = works.materials.find(name);
  return found == works.materials.end() ? kNone : found->second;
}

std::string area_note(const MaterialSpec& material) {
  switch (material.bought_as) {
    case BoughtAs::kHides:
      break;
    case BoughtAs::kRoll:
      return fmt::format(
          "like pieces in rows along your roll of {:.0f} mm, in proportion to the pieces, not by whole rows",
          *material.width);
    case BoughtAs::kSheets:
      return fmt::format(
          "each kind of piece, size and width in sheets of your {:.0f} x {:.0f} mm that hold it alone, and "
          "so "
          "much of a sheet as it takes in proportion: kinds are not laid together on one sheet, so that what "
          "several leave over of theirs counts as if others were cut from it",
          *material.length, *material.width);
    case BoughtAs::kPieces:
      return "bought ready cut, not laid out: the pieces are counted, and no area is stated";
  }
  if (!material.hide) return "no hide is given: second waste is in no figure";
  return fmt::format(
      "second waste by area and edge, an upper figure, on your hide of {:.0f} dm2 with an edge of "
      "{:.0f} mm{}{}",
      material.hide->area / 1e4, material.hide->perimeter,
      material.hide->holes == 0 ? ""
                                : fmt::format(", that of {} in it", counted(material.hide->holes, "hole")),
      material.hide->hole_area <= 0.0 ? ""
                                      : fmt::format("; with its holes it is {:.2f} dm2: where leather is "
                                                    "measured so, there is {:.2g} % more to buy",
                                                    (material.hide->area + material.hide->hole_area) / 1e4,
                                                    100.0 * material.hide->hole_area / material.hide->area));
}

std::string zone_note(const std::string& name, const std::set<std::string>& pieces, const WorksSpec& works) {
  const MaterialSpec& material = material_spec(works, name);
  if (material.bought_as != BoughtAs::kHides || !material.hide) return "";
  std::string zoned;
  for (const std::string& piece : pieces) {
    const auto rule = works.cutting.find(piece);
    if (rule == works.cutting.end() || rule->second.zones.empty()) continue;
    zoned += (zoned.empty() ? "" : ", ") + piece;
  }
  if (zoned.empty()) return "";
  return fmt::format(
      "second waste by area and edge counts with the whole hide, and the works file states zones for {}: the "
      "figure may be too low",
      zoned);
}

std::vector<std::string> material_notes(const MaterialNeed& need, const std::set<std::string>& pieces,
                                        double whole, const WorksSpec& works) {
  std::vector<std::string> notes = works_notes(need.name, pieces, works);
  for (std::string more : {whole_sheets_note(need, whole), past_note(need), filled_note(need)}) {
    if (!more.empty()) notes.push_back(std::move(more));
  }
  return notes;
}

}  // namespace lastwright
