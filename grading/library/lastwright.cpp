#include "grading/library/lastwright.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <optional>

#include "geometry/invariant.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "geometry/parallel.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "grading/jobs/check_job.hpp"
#include "grading/jobs/grade_selection.hpp"
#include "grading/jobs/order_job.hpp"
#include "grading/jobs/version.hpp"
#include "grading/library/plain_values.hpp"

namespace lastwright::library {

namespace {

std::vector<Fault> one(const Problem& problem) {
  return {plain(problem)};
}

// Of the style itself, whose file it names, as the program does.
std::vector<Fault> one(const Problem& problem, const LoadedStyle& style) {
  return one(problem.in_file(style.inputs.front()));
}

std::vector<std::string> pieces_of(const StyleSpec& style) {
  std::vector<std::string> names;
  for (const PieceSpec& piece : style.pieces) names.push_back(piece.name);
  return names;
}

// What a call names as a file, by the parameter it stands in.
std::optional<Problem> no_file(const std::string& name, std::string parameter) {
  if (name.empty()) return bad_value("the name of a file is empty").in("parameter", std::move(parameter));
  if (name != "-") return {};
  return bad_value(
             "the library reads no standard input, which belongs to the program that calls it: \"./-\" is a "
             "file with this name")
      .in("parameter", std::move(parameter))
      .in_file(name);
}

std::optional<Problem> no_files(const std::vector<std::string>& names, const std::string& parameter) {
  for (std::size_t i = 0; i < names.size(); ++i) {
    if (auto problem = no_file(names[i], fmt::format("{}[{}]", parameter, i))) return problem;
  }
  return {};
}

// A fault of the program comes back as one of kind "internal", like any other; what the user broke goes on.
template <class T, class Work>
Outcome<T> guarded(const Work& work) {
  try {
    return work();
  } catch (const InvariantBroken& broken) {
    return one({Trouble::kInternal, broken.what(), {}, {}, {}});
  }
}

}  // namespace

struct Style::State {
  LoadedStyle loaded;
};

struct GradedStyle::State {
  std::shared_ptr<const Style::State> style;  // whose pieces and measures the grade is of
  StyleGrade grade;
};

const char* version() {
  return program_version();
}

bool passed(const std::vector<CheckResult>& findings) {
  return std::all_of(findings.begin(), findings.end(), [](const CheckResult& one) { return one.passed; });
}

std::vector<CheckResult> to_look_at(const std::vector<CheckResult>& findings) {
  std::vector<CheckResult> some;
  std::copy_if(findings.begin(), findings.end(), std::back_inserter(some),
               [](const CheckResult& one) { return one.look; });
  return some;
}

Outcome<Style> Style::load(const std::string& file, const LoadOptions& options) {
  return guarded<Style>([&]() -> Outcome<Style> {
    if (const auto none = no_file(file, "file")) return one(*none);
    if (const auto none = no_files(options.tables, "tables")) return one(*none);
    Checked<LoadedStyle> read = load_style(file, {.tables = options.tables, .may_lack_pieces = true, .limits = {}});
    if (!read.ok()) return plain(read.problems());
    return Style(std::make_shared<const State>(State{*std::move(read)}));
  });
}

std::string Style::name() const {
  return state_->loaded.spec.name;
}

std::vector<std::string> Style::notes() const {
  return state_->loaded.notes;
}

std::vector<MeasureValue> Style::girths() const {
  const MeasureTable& table = state_->loaded.measures;
  std::vector<MeasureValue> all;
  for (std::size_t k = 0; k < table.size(); ++k) {
    for (const SizeWidth& at : state_->loaded.run.cells())
      all.push_back({table.measures()[k].name, at.size.label, at.width.label, table.value(k, at)});
  }
  return all;
}

Outcome<GradedStyle> Style::grade(unsigned threads) const {
  return guarded<GradedStyle>([&]() -> Outcome<GradedStyle> {
    const LoadedStyle& style = state_->loaded;
    if (style.no_pieces) return one(*style.no_pieces);
    Result<StyleGrade> grade = grade_style(style.spec, style.measures, style.run, style.pieces, {}, threads);
    if (!grade) return one(grade.problem(), style);
    return GradedStyle(
        std::make_shared<const GradedStyle::State>(GradedStyle::State{state_, *std::move(grade)}));
  });
}

Outcome<DiesToMake> Style::dies(const DieOptions& options) const {
  return guarded<DiesToMake>([&]() -> Outcome<DiesToMake> {
    const LoadedStyle& style = state_->loaded;
    if (style.no_pieces) return one(*style.no_pieces);
    if (const auto none = options.rules.empty() ? std::nullopt : no_file(options.rules, "rules"))
      return one(*none);
    if (const auto none = no_files(options.owned, "owned")) return one(*none);
    Result<DieRules> rules = load_die_rules(options.rules, style.spec);
    if (!rules) return one(rules.problem());
    if (options.tolerance) {
      constexpr double kMost = 10.0;  // as the rules of dies have it
      if (!(*options.tolerance >= 0.0 && *options.tolerance <= kMost)) {
        Problem beyond = bad_value("a tolerance of dies must be between 0 and 10 mm");
        beyond.value = *options.tolerance;
        beyond.limit = *options.tolerance < 0.0 ? 0.0 : kMost;
        return one(beyond.in("parameter", "tolerance"));
      }
      if (*options.tolerance > 0.0) {
        rules->tolerance = *options.tolerance;
      } else {
        rules->ties = rules->between = false;
      }
    }
    const auto owned = load_owned_dies(options.owned);
    if (!owned) return one(owned.problem());
    const Result<PlannedOrder> planned = plan_order(style, *rules, *owned, nullptr, options.threads);
    if (!planned) return one(planned.problem(), style);
    DiesToMake order;
    order.to_make = planned->plan.dies_to_make;
    order.proven = planned->plan.proven;
    if (planned->plan.minimised == Minimise::kCount)
      order.at_least = static_cast<int>(std::ceil(planned->plan.bound - 1e-6));
    order.failed = plain(planned->order.failed);
    for (const DieOrderLine& line : planned->order.lines) {
      order.dies.push_back({line.number, line.piece, line.drawn_as, line.sizes_widths, line.to_make,
                            plain(planned->plan.dies[line.die].shape, line.piece)});
    }
    return order;
  });
}

std::vector<std::string> GradedStyle::pieces() const {
  std::vector<std::string> names;
  for (const PreparedPiece& piece : state_->grade.pieces) names.push_back(piece.bound.spec.name);
  return names;
}

std::vector<std::string> GradedStyle::sizes() const {
  std::vector<std::string> labels;
  for (const Size& size : state_->grade.run.sizes) labels.push_back(size.label);
  return labels;
}

std::vector<std::string> GradedStyle::widths() const {
  std::vector<std::string> labels;
  for (const Width& width : state_->grade.run.widths) labels.push_back(width.label);
  return labels;
}

namespace {

// What a call names wrongly is a value like another: no option of a command line is to blame.
Problem as_value(Problem problem) {
  if (problem.trouble == Trouble::kUsage) problem.trouble = Trouble::kBadValue;
  return problem;
}

Result<GradedPiece> made(const StyleGrade& grade, const std::vector<std::string>& pieces,
                         const std::string& piece, const std::string& size, const std::string& width) {
  const auto at = std::find(pieces.begin(), pieces.end(), piece);
  if (at == pieces.end())
    return bad_value(fmt::format("the style has no piece '{}'; it has {}", piece, fmt::join(pieces, ", ")));
  const Result<GradeSelection> found = select(grade, {.sizes = {size}, .widths = {width}, .pieces = {}});
  if (!found) return as_value(found.problem());
  return grade.cut_piece(static_cast<std::size_t>(at - pieces.begin()),
                         grade.cell(found->sizes.front(), found->widths.front()));
}

}  // namespace

Outcome<Outline> GradedStyle::outline(const std::string& piece, const std::string& size,
                                      const std::string& width) const {
  return guarded<Outline>([&]() -> Outcome<Outline> {
    const Result<GradedPiece> graded = made(state_->grade, pieces(), piece, size, width);
    if (!graded) return one(graded.problem(), state_->style->loaded);
    return plain(*graded);
  });
}

Outcome<std::vector<Outline>> GradedStyle::outlines(unsigned threads) const {
  return guarded<std::vector<Outline>>([&]() -> Outcome<std::vector<Outline>> {
    const StyleGrade& grade = state_->grade;
    std::vector<Outline> all(grade.pieces.size() * grade.run_cells());
    const Status done = run_jobs(all.size(), threads, [&](std::size_t i) -> Status {
      const Result<GradedPiece> piece = grade.cut_piece(i / grade.run_cells(), i % grade.run_cells());
      if (!piece) return piece.problem();
      all[i] = plain(*piece);
      return Done{};
    });
    if (!done) return one(done.problem(), state_->style->loaded);
    return all;
  });
}

Outcome<std::string> GradedStyle::dxf(const std::string& piece, const std::string& size,
                                      const std::string& width) const {
  return guarded<std::string>([&]() -> Outcome<std::string> {
    const Result<GradedPiece> graded = made(state_->grade, pieces(), piece, size, width);
    if (!graded) return one(graded.problem(), state_->style->loaded);
    Result<std::string> bytes = write_checked_dxf(sheet_of(*graded));
    if (!bytes) return one(bytes.problem(), state_->style->loaded);
    return *std::move(bytes);
  });
}

Outcome<std::vector<CheckResult>> GradedStyle::findings(unsigned threads) const {
  return guarded<std::vector<CheckResult>>([&]() -> Outcome<std::vector<CheckResult>> {
    const LoadedStyle& style = state_->style->loaded;
    return plain(findings_of(style, state_->grade, true, threads).findings);
  });
}

}  // namespace lastwright::library
