#include "cli/commands/keys.hpp"

#include <fmt/format.h>

#include <array>
#include <memory>
#include <string>
#include <vector>

#include "cli/print.hpp"
#include "grading/dies/die_rules_json.hpp"
#include "grading/draft/shoe_kind.hpp"
#include "grading/json/json_layout.hpp"
#include "grading/json/schema_outline.hpp"
#include "grading/lasts/last_schema.hpp"
#include "grading/measures/reference_tables.hpp"
#include "grading/planning/works_json.hpp"
#include "grading/sizes/suggest.hpp"
#include "grading/style/style_schema.hpp"

namespace lastwright {

namespace {

// Each schema is the one by which the reader of such a file refuses what it does not allow.
struct WrittenFile {
  const char* name;
  const char* for_what;
  const JsonSchema& (*schema)();
};
constexpr std::array<WrittenFile, 6> kFiles{{
    {"style", "a style: most commands take it", style_schema},
    {"last", "a last of a style: last grade, last formes, last verify", last_schema},
    {"works", "a works, its materials, stock and suppliers: --works", works_schema},
    {"die-rules", "what a works asks of its dies: dies --rules", die_rules_schema},
    {"table", "a table of scales, measures or limits: --table", table_schema},
    {"kind", "a kind of shoe with its rules: new --kind", kind_schema},
}};

std::string listed_files() {
  std::string text =
      "The JSON files that people write; lastwright keys FILE prints every key of one, with --schema its "
      "JSON "
      "Schema.\n\n";
  for (const WrittenFile& file : kFiles) text += fmt::format("{:<11}{}\n", file.name, file.for_what);
  return text +
         "\nOrders and readings are tables (CSV, XLSX): lastwright guide material, lastwright guide readings "
         "say their columns.\n";
}

ExitCode run_keys(const std::string& asked, bool schema) {
  if (asked.empty() && schema)
    return print_problem(
        {Trouble::kUsage, "--schema: name the file, such as lastwright keys last", {}, {}, {}});
  if (asked.empty()) return print_result(listed_files());
  std::vector<std::string> names;
  for (const WrittenFile& file : kFiles) {
    if (file.name == asked)
      return print_result(schema ? laid_out(file.schema().root()) + "\n" : schema_outline(file.schema()));
    names.emplace_back(file.name);
  }
  return print_problem(
      {Trouble::kUsage,
       "no file that people write in JSON is called \"" + asked + "\"" + suggestion(asked, names),
       {},
       {},
       {}});
}

struct KeysCommand {
  std::string file;
  bool schema = false;
};

}  // namespace

void add_keys(Program& app, Action& action) {
  auto command = std::make_shared<KeysCommand>();
  Command* sub = app.add_subcommand(
      "keys",
      "Print every key of a JSON file that people write, with its limits; without a name, list the files");
  sub->add_option("file", command->file, "the file: style, last, works, die-rules, table, kind");
  sub->add_flag("--schema", command->schema,
                "print its JSON Schema instead, for an editor that checks by one");
  sub->callback(
      [command, &action] { action = [command] { return run_keys(command->file, command->schema); }; });
}

}  // namespace lastwright
