#include "grading/jobs/order_job.hpp"

#include <algorithm>

#include "geometry/counted.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/checks/judge.hpp"
#include "grading/checks/lasting/feet_told.hpp"
#include "grading/dies/die_rules_json.hpp"
#include "grading/dies/order/die_numbers.hpp"
#include "grading/dies/order/die_says.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/left_out.hpp"
#include "grading/jobs/owned_dies.hpp"
#include "grading/style/style_run.hpp"

namespace lastwright {

namespace {

// What a drawing of a die cannot tell of a failed style. `refined` is the run itself where no die lies
// between two sizes, and is not graded twice then.
Result<std::vector<StyleFinding>> run_findings(const LoadedStyle& style, const StyleGrade& refined,
                                               bool between, unsigned threads) {
  if (!between) return judge_style(style.spec, refined, style.measures, threads).findings;
  const Result<StyleGrade> run =
      grade_style(style.spec, style.measures, style.run, style.pieces, {}, threads);
  if (!run) return run.problem();
  return judge_style(style.spec, *run, style.measures, threads).findings;
}

// What failed, and what puts in doubt which foot a die is for.
void take_findings(const StyleSpec& style, const std::vector<StyleFinding>& findings, const DiePlan& plan,
                   DieOrder& order) {
  order.failed = failed_checks(findings, plan);
  for (std::string& line : feet_told(style.name, findings)) order.notes.push_back(std::move(line));
}

// The run that the style's is a part of, where dies of the whole may serve the part as well.
Result<std::optional<SizeRun>> whole_run(const LoadedStyle& style, const DieRules& rules) {
  const bool tied = std::any_of(style.spec.pieces.begin(), style.spec.pieces.end(), [&](const auto& piece) {
    return rules.rules_of(piece.name).ties.value_or(rules.ties);
  });
  if (!rules.between || !tied) return std::optional<SizeRun>();
  Result<SizeRun> whole = size_run(style.spec, style.scale, style.ladder);
  if (!whole) return whole.problem();
  if (whole->count() == style.run.count()) return std::optional<SizeRun>();
  return std::optional<SizeRun>(*std::move(whole));
}

}  // namespace

Result<DieRules> load_die_rules(const std::string& file, const StyleSpec& style) {
  if (file.empty()) return DieRules{};
  const Result<std::string> text = read_file(file);
  if (!text) return text.problem();
  Checked<DieRules> read = read_die_rules(*text, file, style);
  if (!read) return read.problems().front();
  return *std::move(read);
}

Result<std::vector<EarlierDie>> load_earlier_dies(const std::vector<std::string>& files) {
  std::vector<std::vector<EarlierDie>> folders;
  std::vector<std::vector<std::string>> elsewhere(files.size());
  for (std::size_t k = 0; k < files.size(); ++k) {
    Result<std::vector<EarlierDie>> some = read_owned_dies(files[k], elsewhere[k]);
    if (!some) return some.problem();
    folders.push_back(*std::move(some));
  }
  std::vector<EarlierDie> dies = each_once(folders);
  std::vector<OwnedDie> owned = owned_of(dies);
  read_numbers(owned);
  for (std::size_t k = 0; k < dies.size(); ++k) {
    dies[k].die.number = owned[k].number;
    dies[k].die.number_doubt = owned[k].number_doubt;
  }
  for (std::size_t k = 0; k < files.size(); ++k) {
    std::erase_if(elsewhere[k], [&](const std::string& number) {
      return std::any_of(dies.begin(), dies.end(), [&](const EarlierDie& one) {
        const std::vector<std::string>& shown = one.die.shown;
        return one.die.number == number || one.name == number ||
               std::find(shown.begin(), shown.end(), number) != shown.end();
      });
    });
    if (elsewhere[k].empty()) continue;
    constexpr std::size_t kNamed = 10;
    return bad_value(
               "this order names dies as there already of which it has no drawings, as an earlier version "
               "wrote it: give the folders or drawings that they are in too, each with an --owned of its "
               "own, or they would be ordered again (" +
               some_of(elsewhere[k], kNamed) + ")")
        .in_file(files[k]);
  }
  return dies;
}

Result<std::vector<OwnedDie>> load_owned_dies(const std::vector<std::string>& files) {
  const Result<std::vector<EarlierDie>> dies = load_earlier_dies(files);
  if (!dies) return dies.problem();
  return owned_of(*dies);
}

Result<PlannedOrder> plan_order(const LoadedStyle& style, const DieRules& rules,
                                const std::vector<OwnedDie>& given, const std::vector<StyleFinding>* judged,
                                unsigned threads) {
  std::vector<OwnedDie> owned = given;
  const bool between = rules.between || !owned.empty();  // one that is there may have been drawn half way
  const Result<std::optional<SizeRun>> whole = whole_run(style, rules);
  if (!whole) return whole.problem();
  DiePlaces places = die_places_with(style.run, between, owned, *whole ? &**whole : nullptr);
  Result<StyleGrade> grade =
      grade_style(style.spec, style.measures, places.refined, style.pieces, {}, threads);
  std::string untried;
  if (!grade && *whole) {
    untried = "no die is tried in the style's sizes and widths outside this order, nor half way to them: " +
              to_text(grade.problem());
    places = die_places_with(style.run, between, owned);
    grade = grade_style(style.spec, style.measures, places.refined, style.pieces, {}, threads);
  }
  if (!grade && !places.elsewhere.empty()) {  // the order is made without knowing the dies drawn there
    places = die_places(style.run, between);
    grade = grade_style(style.spec, style.measures, places.refined, style.pieces, {}, threads);
  }
  if (!grade) return grade.problem();
  take_stamped_sizes(owned, places);
  DiePlanInput input = plan_input(style.spec, rules, places, *grade, owned);
  input.threads = threads;
  Result<DiePlan> plan = plan_dies(input);
  if (!plan) return plan.problem();
  plan->notes.insert(plan->notes.end(), plan->untried.begin(), plan->untried.end());
  DieOrder order = make_die_order(*plan, style.spec, rules, places, owned);
  if (!untried.empty()) order.notes.push_back(std::move(untried));
  for (std::string& line : left_out_in_short_of(style)) order.notes.push_back(std::move(line));
  if (judged != nullptr) {
    take_findings(style.spec, *judged, *plan, order);
  } else {
    const auto found = run_findings(style, *grade, between, threads);
    if (!found) return found.problem();
    take_findings(style.spec, *found, *plan, order);
  }
  return PlannedOrder{*std::move(plan), std::move(order), std::move(places)};
}

}  // namespace lastwright
