// The parts of a report's page that need no script, each as HTML.
#pragma once

#include <string>

#include "cli/report/report_page.hpp"

namespace lastwright {

// What failed, what to look at, what to mind: the first thing on the page.
std::string attention_html(const ReportInput& input);
// A chart and the tables in millimetres and inches of every measure, then the increments with their sources.
std::string measures_html(const LoadedStyle& style);
// Every finding, seams first, the failed ones on top of each kind.
std::string checks_html(const std::vector<StyleFinding>& findings);
// Totals, pieces, what tolerance buys, the dies that serve several sizes and widths, die-making findings.
std::string dies_html(const ReportInput& input);
// Sewn edges and allowances of every piece; its facts.
std::string pieces_html(const LoadedStyle& style);

}  // namespace lastwright
