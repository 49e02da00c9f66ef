#include "cli/app.hpp"

#include <cstdio>
#include <exception>

#include "cli/commands/areas.hpp"
#include "cli/commands/check.hpp"
#include "cli/commands/compare.hpp"
#include "cli/commands/cut.hpp"
#include "cli/commands/dates.hpp"
#include "cli/commands/dies.hpp"
#include "cli/commands/girths.hpp"
#include "cli/commands/grade.hpp"
#include "cli/commands/guide.hpp"
#include "cli/commands/hide.hpp"
#include "cli/commands/keys.hpp"
#include "cli/commands/last.hpp"
#include "cli/commands/needs.hpp"
#include "cli/commands/new.hpp"
#include "cli/commands/open.hpp"
#include "cli/commands/plot.hpp"
#include "cli/commands/redraw.hpp"
#include "cli/commands/report.hpp"
#include "cli/commands/sizes.hpp"
#include "cli/commands/tickets.hpp"
#include "cli/print.hpp"
#include "grading/jobs/version.hpp"

namespace lastwright {

int run_lastwright(int argc, const char* const* argv) {
  Program app("lastwright", "Grades footwear: from one approved sample to every size and width");
  app.version(std::string("lastwright ") + program_version());
  Action action;
  add_areas(app, action);
  add_check(app, action);
  add_girths(app, action);
  add_grade(app, action);
  add_needs(app, action);
  add_new(app, action);
  add_open(app, action);
  add_sizes(app, action);
  add_compare(app, action);
  add_cut(app, action);
  add_hide(app, action);
  add_dates(app, action);
  add_dies(app, action);
  add_plot(app, action);
  add_redraw(app, action);
  add_report(app, action);
  add_tickets(app, action);
  add_last(app, action);
  add_guide(app, action);
  add_keys(app, action);
  try {
    if (const auto done = app.read(argc, argv)) return static_cast<int>(*done);
    return static_cast<int>(action ? unless_unsaid(action()) : ExitCode::kUsage);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "lastwright: a fault of the program: %s\n", error.what());
    return static_cast<int>(ExitCode::kInternal);
  }
}

}  // namespace lastwright
