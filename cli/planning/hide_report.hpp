// Pairs on a hide, for people and machines.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "cli/tables/table.hpp"
#include "geometry/io/die_drawing.hpp"
#include "grading/planning/hide_layout.hpp"

namespace lastwright {

struct HideReport {
  const StyleGrade* grade = nullptr;
  const HideDrawing* hide = nullptr;
  const HideLayout* layout = nullptr;
  std::string style;
  std::string material;
  std::string file;                    // the hide's drawing, as the user named it
  double gap = 0.0;                    // mm
  std::optional<double> pairs_by_law;  // by area and edge of such a hide (consumption.hpp); empty: too small
  std::vector<std::string> notes;
  FailedStyles failed;  // checks of the style
  bool rows = false;    // were asked for
  std::optional<std::size_t> pairs_without_rows = {};
  std::size_t asked = 0;                 // whole pairs; 0: as many as the hide holds
  const StyleSpec* spec = nullptr;       // says which foot each piece is drawn for
  std::vector<std::string> doubts = {};  // what the style's drawings hold and no piece has, a line each
};

// "4 of the 20 whole pairs that were asked for lie on the hide"; empty where all do, or as many as it holds
// were asked for.
std::string pairs_short(const HideReport& report);
std::string hide_text(const HideReport& report);
std::string hide_svg(const HideReport& report);
std::string hide_page(const HideReport& report);
// The figures as a table, the picture and what is told of both: for a larger page.
std::string hide_part(const HideReport& report);
std::string hide_json(const HideReport& report);
Table hide_table(const HideReport& report);
// What each die cuts of the hide, and how much of it lies together.
Table hide_die_table(const HideReport& report);
// The pieces where they lie, with all that is cut and marked on them, and on the layer of texts that checks
// failed.
Result<Sheet> hide_sheet(const HideReport& report);

}  // namespace lastwright
