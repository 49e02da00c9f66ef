// Scale areas for people and programs: tables, JSON, a page with a picture of each lattice.
#pragma once

#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "cli/tables/table.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/planning/scale_area.hpp"

namespace lastwright {

struct AreaReport {
  const LoadedStyle* style = nullptr;
  const StyleGrade* grade = nullptr;
  LayRules rules;
  const ScaleAreas* areas = nullptr;
  FailedStyles failed;
};

// One row a piece, size and width.
Table area_table(const AreaReport& report);
// One row a piece: the sample's figures and the range over the run.
Table area_summary_table(const AreaReport& report);
std::string area_json(const AreaReport& report);
std::string area_page(const AreaReport& report);
// What the command says.
std::string area_text(const AreaReport& report);

}  // namespace lastwright
