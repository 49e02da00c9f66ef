#include "grading/jobs/last_rules.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <optional>
#include <set>

#include "grading/jobs/fitted_table.hpp"
#include "grading/json/json_text.hpp"
#include "grading/measures/reference_tables.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

FormeSpec shell_with(const std::vector<std::string>& followers) {
  FormeSpec forme;
  forme.name = "shell";
  forme.points = {{"heel", {0, 0}}, {"joint", {180, -8}}, {"toe", {280, 0}}};
  forme.rules_from_last = RulesFromLast{"rules.json", followers};
  return forme;
}

std::string rules_file(const std::string& text) {
  const std::string path = (std::filesystem::temp_directory_path() / "lastwright-last-rules.json").string();
  std::ofstream(path, std::ios::binary) << text;
  return path;
}

constexpr const char* kRules =
    R"({"lastwright_rules": 1, "last": "last.json", "fitted_on": {"sizes": ["7", "8", "9"], "widths": ["F", "G"]},
  "formes": {"shell": {"points": {
  "joint": {"drawn": [180.0004, -8], "per_size": [5.5, -0.2], "per_width": [0.1, -0.7], "residual": 0.21},
  "toe": {"drawn": [280, 0], "per_size": [8.4, 0], "per_width": [0, 0], "residual": 0.05}}}}})";

MeasureTable built_table(std::vector<Measure> measures, const Scale& scale, const SizeWidth& base) {
  return *MeasureTable::build(std::move(measures), Base{base, scale.length(base.size), scale.step});
}

// The run of a style whose base is 8 F.
struct StyleRun {
  Scale scale = *ReferenceTables().find_scale("english");
  Ladder ladder = *ReferenceTables().find_ladder("english-letters");
  SizeWidth base{*scale.size("8"), *ladder.width("F")};
  SizeRun run;
  MeasureTable measures = built_table({}, scale, base);

  StyleRun(const std::vector<std::string>& sizes, const std::vector<std::string>& widths) {
    for (const std::string& size : sizes) run.sizes.push_back(*scale.size(size));
    for (const std::string& width : widths) run.widths.push_back(*ladder.width(width));
    run.base = base;
  }
  Result<FollowedLast> follow(FormeSpec& forme, const std::string& text, bool uncovered = false) const {
    return follow_last(forme, rules_file(text), {run, base, scale, ladder, measures, uncovered});
  }
};

const StyleRun& covered_run() {
  static const StyleRun run({"7", "8", "9"}, {"F", "G"});
  return run;
}

// Rules that state the base 8 F and this table.
std::string rules_of_table(const Json& table, const std::string& base = R"({"size": "8", "width": "F"})") {
  std::string text = kRules;
  return text.insert(1, "\"base\": " + base + ", \"table\": " + table.dump() + ", ");
}

Measure measure_of_steps(const std::string& name, Fraction base, Fraction per_size, Fraction per_width) {
  return {name, millimetres(base), millimetres(per_size), millimetres(per_width), Law::kArithmetic, {}, 0,
          {}};
}

// Below `count`, all as often from the first case on.
int drawn_below(int count) {
  return *rc::gen::resize(rc::kNominalSize, rc::gen::inRange(0, count));
}

// Steps as tables have them, few enough that two draws are often the same.
Fraction drawn_step() {
  return *rc::gen::element(Fraction(4), Fraction(127, 20), Fraction(127, 30), Fraction(127, 60), Fraction(0));
}

Measure drawn_measure(const StyleRun& run, const std::string& name) {
  Measure measure =
      measure_of_steps(name, *rc::gen::element(Fraction(240), Fraction(1001, 4)), drawn_step(), drawn_step());
  if (drawn_below(4) == 0) measure.law = Law::kProportional;
  if (drawn_below(4) == 0) measure.size_steps_per_width = *rc::gen::element(Fraction(1, 8), Fraction(1, 4));
  for (const auto& [from, to] : {std::pair{"9", "11"}, {"5", "7"}}) {
    if (drawn_below(3) > 0) continue;
    MeasureBreak one{*run.scale.size(from), *run.scale.size(to), std::nullopt, millimetres(drawn_step())};
    if (*rc::gen::arbitrary<bool>()) one.per_size = millimetres(drawn_step());
    if (one.per_size && *rc::gen::arbitrary<bool>()) one.per_width.reset();
    measure.breaks.push_back(one);
  }
  return measure;
}

// Rules as they are written from lasts of these sizes and widths.
std::string rules_from(const std::vector<std::string>& sizes, const std::vector<std::string>& widths) {
  const auto list = [](const std::vector<std::string>& all) {
    std::string text;
    for (const std::string& one : all) text += (text.empty() ? "\"" : ", \"") + one + "\"";
    return text;
  };
  const auto others = [](const std::vector<std::string>& all, const char* base) {
    return std::any_of(all.begin(), all.end(), [&](const std::string& one) { return one != base; });
  };
  return R"({"lastwright_rules": 1, "last": "last.json", "fitted_on": {"sizes": [)" + list(sizes) +
         R"(], "widths": [)" + list(widths) +
         R"(]}, "formes": {"shell": {"points": {"joint": {"drawn": [180, -8])" +
         (others(sizes, "8") ? R"(, "per_size": [5.5, -0.2])" : "") +
         (others(widths, "F") ? R"(, "per_width": [0.1, -0.7])" : "") + R"(, "residual": 0.1}}}}})";
}

}  // namespace

TEST_CASE("points that follow a last get the rules fitted to it, with the largest residual", "[last_rules]") {
  FormeSpec forme = shell_with({"joint"});
  const Result<FollowedLast> followed = covered_run().follow(forme, kRules);
  REQUIRE(followed.ok());
  CHECK(followed->last == "last.json");
  CHECK(followed->residual == 0.21);
  REQUIRE(forme.rules.size() == 1);
  const PointRule& rule = std::get<PointRule>(forme.rules[0]);
  CHECK(rule.point == "joint");
  CHECK(rule.per_size == Vec2{5.5, -0.2});
  CHECK(rule.per_width == Vec2{0.1, -0.7});
}

TEST_CASE("rules of a last that do not fit the forme are refused with their place", "[last_rules]") {
  const auto refused = [](FormeSpec forme, const std::string& text) {
    const Result<FollowedLast> followed = covered_run().follow(forme, text);
    REQUIRE(!followed.ok());
    return followed.problem();
  };
  CHECK(refused(shell_with({"heel"}), kRules).place.pointer == "/formes/shell/rules_from_last/points/0");
  FormeSpec own = shell_with({"toe", "joint"});
  own.rules.emplace_back(PointRule{"joint", {}, {}});
  CHECK(refused(own, kRules).place.pointer == "/formes/shell/rules_from_last/points/1");
  FormeSpec moved = shell_with({"joint"});
  moved.points[1].at.x += 0.1;
  CHECK(refused(moved, kRules).limit == 0.01);
  FormeSpec other = shell_with({"joint"});
  other.name = "bottom";
  CHECK(refused(other, kRules).place.pointer == "/formes/bottom/rules_from_last/file");
  CHECK(refused(shell_with({"joint"}), "{}").message.find("lastwright_rules") != std::string::npos);
  CHECK(refused(shell_with({"joint"}), "{").trouble == Trouble::kSyntax);
  const std::string bad =
      R"({"lastwright_rules": 1, "fitted_on": {"sizes": ["8"], "widths": ["F"]}, "formes": {"shell": {"points": {"joint": {"drawn": [180, -8], "per_size": [1]}}}}})";
  CHECK(refused(shell_with({"joint"}), bad).place.pointer == "/formes/shell/points/joint");
}

TEST_CASE("rules fitted on a part of the run serve that part, and what has more is refused or told",
          "[last_rules]") {
  const std::vector<std::vector<std::string>> sizes{{"8"}, {"8", "9"}, {"7", "8", "9"}};
  const std::vector<std::vector<std::string>> widths{{"F"}, {"F", "G"}, {"E", "F", "G"}};
  for (const auto& made_sizes : sizes) {
    for (const auto& made_widths : widths) {
      for (const auto& run_sizes : sizes) {
        for (const auto& run_widths : widths) {
          if (made_sizes.size() == 1 && made_widths.size() == 1) continue;
          FormeSpec forme = shell_with({"joint"});
          const Result<FollowedLast> followed =
              StyleRun(run_sizes, run_widths).follow(forme, rules_from(made_sizes, made_widths));
          INFO(made_sizes.size() << " sizes and " << made_widths.size() << " widths made, run "
                                 << run_sizes.size() << " and " << run_widths.size());
          const bool lacks = (made_sizes.size() == 1 && run_sizes.size() > 1) ||
                             (made_widths.size() == 1 && run_widths.size() > 1);
          const bool more = run_sizes.size() > made_sizes.size() || run_widths.size() > made_widths.size();
          REQUIRE(followed.ok() == !lacks);
          if (lacks) {
            CHECK(followed.problem().message.find("did not cover") != std::string::npos);
            // last formes reads the style as it stands: nothing has to be taken out for it.
            CHECK(followed.problem().message.find("take \"rules_from_last\" out") == std::string::npos);
            FormeSpec anew = shell_with({"joint"});
            CHECK(
                StyleRun(run_sizes, run_widths).follow(anew, rules_from(made_sizes, made_widths), true).ok());
            CHECK(followed.problem().place.pointer == "/formes/shell/rules_from_last/points/0");
          } else {
            CHECK(followed->beyond.empty() == !more);
          }
        }
      }
    }
  }
  FormeSpec forme = shell_with({"joint"});
  const StyleRun run({"5", "8", "9"}, {"F", "H"});
  const Result<FollowedLast> told = run.follow(forme, kRules);
  REQUIRE(told.ok());
  CHECK(told->covered == "sizes 7 to 9, widths F to G");
  CHECK(told->beyond == "size 5, width H");
  // Who makes the rules anew gets the style as it stands.
  FormeSpec again = shell_with({"joint"});
  CHECK(run.follow(again, rules_from({"8", "9"}, {"F"}), true).ok());
  // A file that does not say it is not believed.
  FormeSpec old = shell_with({"joint"});
  std::string silent = kRules;
  silent.replace(silent.find("fitted_on"), 9, "fitted_in");
  const Result<FollowedLast> refused = run.follow(old, silent);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.problem().place.pointer == "/formes/shell/rules_from_last/file");
}

TEST_CASE("rules fitted to another table or another base than the style's are refused, each measure named",
          "[last_rules]") {
  const std::set<std::string> used{"ball girth", "tread", "stick length"};
  StyleRun style({"7", "8", "9"}, {"F", "G"});
  const std::vector<Measure> measures{
      measure_of_steps("ball girth", 240, Fraction(127, 20), Fraction(127, 20)),
      measure_of_steps("tread", 90, Fraction(127, 60), Fraction(127, 60)),
      measure_of_steps("stick length", 285, Fraction(127, 15), 0),
      measure_of_steps("long heel", 365, Fraction(381, 40), Fraction(127, 40))};
  style.measures = built_table(measures, style.scale, style.base);
  const Json table = fitted_table(style.measures, used);
  CHECK(table.size() == used.size());
  CHECK(table["ball girth"]["per_size"] == "6.35 mm");
  const auto follow = [&](const std::string& text, bool uncovered = false) {
    FormeSpec forme = shell_with({"joint"});
    return style.follow(forme, text, uncovered);
  };
  const Result<FollowedLast> same = follow(rules_of_table(table));
  REQUIRE(same.ok());
  CHECK(same->of_table);
  for (std::size_t i = 0; i < measures.size(); ++i) {
    for (Quantity Measure::*step : {&Measure::per_size, &Measure::per_width}) {
      std::vector<Measure> other = measures;
      (other[i].*step) = millimetres((other[i].*step).millimetres + Fraction(1, 100));
      style.measures = built_table(other, style.scale, style.base);
      const Result<FollowedLast> told = follow(rules_of_table(table));
      INFO(measures[i].name);
      REQUIRE(told.ok() == !used.contains(measures[i].name));
      // Who fits them anew is not stopped by the old ones.
      CHECK(follow(rules_of_table(table), true).ok());
      if (told.ok()) continue;
      CHECK(told.problem().place.pointer == "/formes/shell/rules_from_last/file");
      for (const std::string& part : {measures[i].name, (measures[i].*step).written, (other[i].*step).written,
                                      std::string("lastwright last formes")})
        CHECK(told.problem().message.find(part) != std::string::npos);
      for (const Measure& one : measures) {
        if (one.name != measures[i].name) CHECK(told.problem().message.find(one.name) == std::string::npos);
      }
    }
  }
  style.measures = built_table({measures[0], measures[1]}, style.scale, style.base);
  CHECK_FALSE(follow(rules_of_table(table)).ok());
  style.measures = built_table(measures, style.scale, style.base);
  for (const char* base : {R"({"size": "9", "width": "F"})", R"({"size": "8", "width": "G"})",
                           R"({"size": "8", "width": 3})", R"({"size": {}, "width": "F"})"}) {
    const Result<FollowedLast> told = follow(rules_of_table(table, base));
    REQUIRE_FALSE(told.ok());
    CHECK(told.problem().message.find("that of this style is 8 F") != std::string::npos);
    CHECK(follow(rules_of_table(table, base), true).ok());
  }
  // Of older files this is not known, and that is told.
  for (const std::string& text :
       {std::string(kRules), rules_of_table(Json::object()), rules_of_table(table, "8")}) {
    const Result<FollowedLast> old = follow(text);
    REQUIRE(old.ok());
    CHECK_FALSE(old->of_table);
  }
  for (const char* odd : {"3", "[]", R"({"tread": []})", R"({"tread": {"per_size": 4}})"}) {
    const bool nothing = std::string(odd) == "[]";
    CHECK(follow(rules_of_table(parse_json(odd, "odd")->root)).ok() == nothing);
  }
  FormeSpec moved = shell_with({"joint"});
  moved.points[1].at.x += 0.1;
  CHECK(style.follow(moved, rules_of_table(table), true).ok());
}

TEST_CASE("tables that the rules may be exchanged between grow alike", "[last_rules]") {
  const StyleRun run({"5", "6", "7", "8", "9", "10", "11"}, {"D", "E", "F", "G", "H"});
  int alike = 0;
  test::holds_for_all("no measure unlike = the same increments in every size and width", [&] {
    const Measure one = drawn_measure(run, "girth");
    // The same but for one thing, which may come out the same too.
    const Measure fresh = drawn_measure(run, "girth");
    Measure other = one;
    switch (drawn_below(6)) {
      case 0:
        other.base = fresh.base;
        break;
      case 1:
        other.per_size = fresh.per_size;
        break;
      case 2:
        other.per_width = fresh.per_width;
        break;
      case 3:
        other.law = fresh.law;
        break;
      case 4:
        other.size_steps_per_width = fresh.size_steps_per_width;
        break;
      default:
        other.breaks = fresh.breaks;
    }
    RC_PRE(check_measure(one).ok() && check_measure(other).ok());
    const MeasureTable then = built_table({one}, run.scale, run.base);
    const MeasureTable now = built_table({other}, run.scale, run.base);
    RC_ASSERT(unlike_measures(fitted_table(then, {"girth"}), then).empty());
    if (!unlike_measures(fitted_table(then, {"girth"}), now).empty()) return;
    ++alike;
    for (const Size& size : run.run.sizes) {
      for (const Width& width : run.run.widths) {
        const SizeWidth at{size, width};
        RC_ASSERT(then.exact(0, at) - one.base.millimetres == now.exact(0, at) - other.base.millimetres);
      }
    }
  });
  CHECK(alike > 10);
}
