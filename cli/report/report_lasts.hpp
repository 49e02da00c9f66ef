// The lasts of a style on its report: the set that `lastwright last grade` wrote, each last's side view, plan
// and girth sections over the base, its measures beside what the style asks now.
#pragma once

#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"
#include "grading/json/json_forward.hpp"

namespace lastwright {

struct ReportLasts {
  std::string html;                 // of its section; the pictures stand in it, the scripts only choose
  std::string data;                 // JSON for the scripts: measures, and by size and width what each is
  std::vector<std::string> failed;  // lasts that were refused, or made to other measures than the style has
  std::vector<std::string> look;    // sizes and widths without a last, lasts far from their base
  std::vector<std::string> files;   // that were read
};

// `folder`: of the set; its lasts.json and outlines.json are read and not trusted. Refuses what is no such
// set, a set of another style, and lasts that stand there twice.
Result<ReportLasts> report_lasts(const std::string& folder, const LoadedStyle& style);

}  // namespace lastwright
