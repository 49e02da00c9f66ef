#include "grading/jobs/last_rules.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "grading/measures/reference_tables.hpp"

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

// The run of a style whose base is 8 F.
struct StyleRun {
  Scale scale = *ReferenceTables().find_scale("english");
  Ladder ladder = *ReferenceTables().find_ladder("english-letters");
  SizeWidth base{*scale.size("8"), *ladder.width("F")};
  SizeRun run;

  StyleRun(const std::vector<std::string>& sizes, const std::vector<std::string>& widths) {
    for (const std::string& size : sizes) run.sizes.push_back(*scale.size(size));
    for (const std::string& width : widths) run.widths.push_back(*ladder.width(width));
    run.base = base;
  }
  Result<FollowedLast> follow(FormeSpec& forme, const std::string& text, bool uncovered = false) const {
    return follow_last(forme, rules_file(text), {run, base, scale, ladder, uncovered});
  }
};

const StyleRun& covered_run() {
  static const StyleRun run({"7", "8", "9"}, {"F", "G"});
  return run;
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
