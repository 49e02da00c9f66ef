#include "cli/commands/sizes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <optional>

#include "cli/listing/size_books.hpp"
#include "cli/option_problem.hpp"
#include "cli/print.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/jobs/load_tables.hpp"
#include "grading/json/schema_outline.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

struct SizesOptions {
  std::string style;  // empty: a scale on its own
  std::string width;  // of the style's measures; empty: its base width
  bool list = false;
  std::string kind;  // of the tables to list; empty: all
  std::string show;  // one table
  std::string scale = "english";
  std::string from;  // empty: the scale's first size
  std::string to;    // empty: its last
  std::string by = "1";
  std::string to_scale;                 // empty: no conversion
  std::vector<std::string> allowances;  // "toe 20 mm; works practice"
  std::vector<std::string> tables;      // the user's own files
  bool explain = false;                 // print the keys of a table's file instead
  std::string format = "text";
};

std::string first_label(const Scale& scale) {
  return scale.at(scale.runs.front().first_position)->label;
}

// The last size that steps of `by` reach from the first one.
std::string last_label(const Scale& scale, const Size& first, Fraction by) {
  const ScaleRun& run = scale.runs.back();
  const Fraction end = run.first_position + (run.last_label - run.first_label) / run.label_step;
  const std::optional<Size> last = scale.at(first.position + by * ((end - first.position) / by).floor());
  return last ? last->label : first.label;
}

Result<std::vector<Size>> asked_sizes(const Scale& scale, const SizesOptions& options) {
  const Result<Fraction> by = parse_fraction(options.by);
  if (!by || *by <= 0) {
    return Problem{Trouble::kUsage,
                   fmt::format("--by {}: a step above 0 is expected, 1 or 1/2", options.by),
                   {},
                   {},
                   {}};
  }
  const Result<Size> first =
      in_option(scale.size(options.from.empty() ? first_label(scale) : options.from), "--from");
  if (!first) return first.problem();
  const std::string to = options.to.empty() ? last_label(scale, *first, *by) : options.to;
  if (const Result<Size> last = in_option(scale.size(to), "--to"); !last) return last.problem();
  return in_option(scale.run(first->label, to, *by),
                   fmt::format("--from {} --to {} --by {}", first->label, to, options.by));
}

Status check_kind(const ReferenceTables& tables, const std::string& kind) {
  if (kind.empty() || !tables.list(kind).empty()) return Done{};
  std::vector<std::string> kinds;
  std::string all;
  for (const TableEntry& entry : tables.list("")) {
    if (std::find(kinds.begin(), kinds.end(), entry.kind) != kinds.end()) continue;
    kinds.push_back(entry.kind);
    all += (all.empty() ? "" : ", ") + entry.kind;
  }
  const auto near = nearest_name(kind, kinds);
  return Problem{Trouble::kUsage,
                 fmt::format("--list: there are no tables of the kind \"{}\"{}; the kinds are {}", kind,
                             near ? fmt::format(" (did you mean \"{}\"?)", *near) : "", all),
                 {},
                 {},
                 {}};
}

Result<ListingBook> size_book(const ReferenceTables& tables, const SizesOptions& options) {
  if (options.list) {
    if (Status known = check_kind(tables, options.kind); !known) return known.problem();
    return ListingBook{{}, {}, {list_of_tables(tables, options.kind)}};
  }
  if (!options.show.empty()) return in_option(shown_table(tables, options.show), "--show");
  const Result<Scale> scale = in_option(tables.find_scale(options.scale), "--scale");
  if (!scale) return scale.problem();
  const Result<std::vector<Size>> sizes = asked_sizes(*scale, options);
  if (!sizes) return sizes.problem();
  if (options.to_scale.empty()) {
    if (options.allowances.empty()) return ListingBook{{}, {}, {run_of_scale(*scale, *sizes)}};
    return Problem{
        Trouble::kUsage, "an allowance leads to another scale: name it with --to-scale", {}, {}, {}};
  }
  const Result<Scale> other = in_option(tables.find_scale(options.to_scale), "--to-scale");
  if (!other) return other.problem();
  std::vector<Allowance> allowances;
  for (const std::string& text : options.allowances) {
    Result<Allowance> allowance = in_option(parse_allowance(text), "--allowance");
    if (!allowance) return allowance.problem();
    allowances.push_back(*std::move(allowance));
  }
  Result<Listing> table = run_converted(*scale, *sizes, *other, allowances);
  if (!table) return table.problem();
  return ListingBook{{}, {}, {*std::move(table)}};
}

// The run of a style with its measures in one width.
Result<ListingBook> style_book(const LoadedStyle& style, const std::string& width_label) {
  Width width = style.measures.base().at.width;
  if (!width_label.empty()) {
    const Result<Width> asked = in_option(style.ladder.width(width_label), "--width");
    if (!asked) return asked.problem();
    width = *asked;
  }
  std::vector<Size> sizes;
  for (const Size& size : style.run.sizes) {
    if (style.run.whole() || style.run.makes(SizeWidth{size, width})) sizes.push_back(size);
  }
  if (sizes.empty())
    return Problem{
        Trouble::kUsage, fmt::format("the run makes no size in width {}", width.label), {}, {}, {}};
  return ListingBook{style.spec.name, {}, {run_with_measures(style.scale, sizes, width, style.measures)}};
}

ExitCode print_book(const Result<ListingBook>& book, const std::string& format) {
  if (!book) return print_problem(book.problem());
  const Result<std::string> text = render(*book, format);
  return text ? print_result(*text) : print_problem(text.problem());
}

ExitCode run_sizes(const SizesOptions& options) {
  if (options.explain) return print_result(schema_outline(table_schema()));
  if (!options.style.empty()) {
    const Checked<LoadedStyle> load =
        load_style(options.style, {.tables = options.tables, .drawings = false, .limits = {}});
    return load.ok() ? print_book(style_book(*load, options.width), options.format)
                     : print_problems(load.problems());
  }
  const Result<ReferenceTables> tables = load_tables(options.tables);
  if (!tables) return print_problem(tables.problem());
  return print_book(size_book(*tables, options), options.format);
}

}  // namespace

void add_sizes(Program& app, Action& action) {
  auto options = std::make_shared<SizesOptions>();
  Command* command = app.add_subcommand(
      "sizes",
      "List scales, ladders (the widths of a scale, in order) and size runs, and convert between scales");
  Option* style = command->add_option("style", options->style, "a style file: its run with its measures");
  command->add_option("--width", options->width, "width of the style's measures; its base width unless given")
      ->needs(style);
  Option* list =
      command->add_option("--list", options->kind, "list the tables, of one KIND or all")->expected(0, 1);
  Option* show = command->add_option("--show", options->show, "print one table, by KEY or KIND-KEY");
  Option* scale = command->add_option("--scale", options->scale, "scale of the run")->capture_default_str();
  Option* from = command->add_option("--from", options->from, "first size; the scale's first unless given");
  Option* to = command->add_option("--to", options->to, "last size; the scale's last unless given");
  Option* by =
      command->add_option("--by", options->by, "step through the sizes: 1 or 1/2")->capture_default_str();
  Option* to_scale =
      command->add_option("--to-scale", options->to_scale, "show the nearest size of this scale beside each");
  Option* allowance = command->add_option("--allowance", options->allowances,
                                          "how much longer the last is than the foot, with a name: \"toe 20 "
                                          "mm; works practice\"; may be repeated");
  // Of these four one says what is listed.
  show->excludes(list);
  style->excludes(list);
  style->excludes(show);
  for (Option* of_a_scale : {scale, from, to, by, to_scale, allowance}) {
    for (const Option* other : {style, list, show}) of_a_scale->excludes(other);
  }
  command->add_option(
      "--table", options->tables,
      "a FILE with a scale (sizes), a ladder (widths) or a table of your own; may be repeated");
  Option* explain =
      command->add_flag("--explain", options->explain, "print every key of a table's file and what it means");
  for (Option* other : {style, list, show, scale, from, to, by, to_scale, allowance})
    explain->excludes(other);
  command->add_option("--format", options->format, "text, csv, json, html, xlsx or pdf")
      ->capture_default_str();
  command->callback([options, list, &action] {
    options->list = list->count() > 0;
    action = [options] { return run_sizes(*options); };
  });
}

}  // namespace lastwright
