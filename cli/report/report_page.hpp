// The report of a run: one page with everything in it, that loads nothing.
//
// Warnings stand first; then the pieces (drawn by a script from cli/report/nest_data), the measures, the
// checks and the dies, all but the drawing being plain HTML that needs no script. The page has no clock in it
// and the same input gives the same bytes.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "cli/report/nest_data.hpp"
#include "grading/checks/style_checks.hpp"
#include "grading/dies/die_order.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

struct ReportDies {
  const DiePlan& plan;
  const DieOrder& order;
};

struct ReportInput {
  const LoadedStyle& style;
  const StyleGrade& grade;
  const std::vector<StyleFinding>& findings;
  const std::vector<PieceOutlines>& outlines;              // by piece of the grade
  const ReportDies* dies = nullptr;                        // null: not planned
  std::string no_dies;                                     // why not
  bool dies_failed = false;                                // a plan was asked for and could not be made
  std::vector<std::pair<std::string, std::string>> files;  // what was read: name, SHA-256
};

std::string report_page(const ReportInput& input);

// Whether anything stands under "failed": then the command says so with its exit code.
bool report_failed(const ReportInput& input);

}  // namespace lastwright
