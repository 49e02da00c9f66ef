#include "cli/commands/guide.hpp"

#include <memory>
#include <string>
#include <vector>

#include "cli/guide/guide.hpp"
#include "cli/print.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

ExitCode run_guide(const std::string& asked) {
  if (asked.empty())
    return print_result("The guide; lastwright guide PAGE prints one.\n\n" + guide_contents());
  std::vector<std::string> names;
  for (const GuidePage& page : guide_pages()) {
    if (page.name == asked) return print_result(page.text);
    names.emplace_back(page.name);
  }
  return print_problem(
      {Trouble::kUsage, "the guide has no page \"" + asked + "\"" + suggestion(asked, names), {}, {}, {}});
}

}  // namespace

void add_guide(Program& app, Action& action) {
  auto asked = std::make_shared<std::string>();
  Command* sub = app.add_subcommand("guide", "Print a page of the guide; without a name, list its pages");
  sub->add_option("page", *asked, "the page to print");
  sub->callback([asked, &action] { action = [asked] { return run_guide(*asked); }; });
}

}  // namespace lastwright
