// What every command says that leads to cut leather when the checks of a style fail: on standard error, in
// its exit code, and in what it writes, so that a file which is passed on says it too.
#pragma once

#include <string>
#include <vector>

#include "cli/exit_codes.hpp"
#include "cli/tables/table.hpp"
#include "geometry/io/die_drawing.hpp"
#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/json/json_forward.hpp"

namespace lastwright {

struct FailedStyle {
  std::string style;
  std::vector<StyleFinding> findings;  // those that failed
};
using FailedStyles = std::vector<FailedStyle>;

// The table as a file of a graded set.
inline constexpr const char* kFailedFile = "CHECKS FAILED.csv";

// Adds the style where one of the findings failed.
void add_failed(FailedStyles& failed, const std::string& style, const std::vector<StyleFinding>& findings);
// Judges the style's graded run first, and hands on all that was found. threads: 0 for one per core; the
// result does not depend on them.
std::vector<StyleFinding> add_judged(FailedStyles& failed, const std::string& style,
                                     const LoadedStyle& loaded, const StyleGrade& grade, unsigned threads);

// "CHECKS FAILED: Trial derby: seam, allowance and 2 more"; empty where none failed.
std::string failed_line(const FailedStyles& failed);
// The line and "cut nothing before they pass"; empty where none failed.
std::string failed_warning(const FailedStyles& failed);
// The same below the drawing, on the layer of texts, which is not cut. Nothing where none failed.
void add_failed_text(const FailedStyles& failed, Sheet& sheet);
// One row a finding. Named "CHECKS FAILED".
Table failed_table(const FailedStyles& failed);
// The line in a box, and the table; empty where none failed.
std::string failed_box(const FailedStyles& failed);
// A list; empty where none failed.
Json failed_json(const FailedStyles& failed);

// At the end of a command. Where a check failed, says so on standard error: `not_yet` is where more is said
// and what must not be done before they pass, "see lastwright check; cut nothing by these files". The exit
// code is then kCheckFailed, unless `said` is worse.
ExitCode tell_failed(ExitCode said, const FailedStyles& failed, const std::string& not_yet);

}  // namespace lastwright
