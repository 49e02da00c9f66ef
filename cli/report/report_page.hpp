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
#include "cli/report/report_lasts.hpp"
#include "grading/checks/style_checks.hpp"
#include "grading/dies/order/die_order.hpp"
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
  const std::vector<PieceOutlines>& outlines;  // by piece of the grade
  const ReportDies* dies = nullptr;            // null: no order was given
  std::vector<std::string>
      order_stale;  // a sentence for each file of the style that the order was not made from
  std::vector<std::pair<std::string, std::string>> files;  // what was read: name, SHA-256
  std::string date = {};                                   // as the user wrote it
  const ReportLasts* lasts = nullptr;                      // null: no set of lasts was given
  std::string plan = {};  // what an order takes: trusted HTML; empty: no order of pairs was given
  std::vector<std::string> order_faults = {};  // files of the order's folder that are not those written there
  std::string order_unknown = {};              // why that is not known; empty: it is
  std::string part = {};                       // of the style's run it shows, in words; empty: all of it
};

std::string report_page(const ReportInput& input);

// In words: whether cutting may begin, and what stands against it.
std::string may_begin(const ReportInput& input);

// Whether anything stands under "failed": then the command says so with its exit code.
bool report_failed(const ReportInput& input);

}  // namespace lastwright
