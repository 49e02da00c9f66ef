#include "grading/jobs/last_rules.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

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
    R"({"lastwright_rules": 1, "last": "last.json", "formes": {"shell": {"points": {
  "joint": {"drawn": [180.0004, -8], "per_size": [5.5, -0.2], "per_width": [0.1, -0.7], "residual": 0.21},
  "toe": {"drawn": [280, 0], "per_size": [8.4, 0], "per_width": [0, 0], "residual": 0.05}}}}})";

}  // namespace

TEST_CASE("points that follow a last get the rules fitted to it, with the largest residual", "[last_rules]") {
  FormeSpec forme = shell_with({"joint"});
  const Result<FollowedLast> followed = follow_last(forme, rules_file(kRules));
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
    const Result<FollowedLast> followed = follow_last(forme, rules_file(text));
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
      R"({"lastwright_rules": 1, "formes": {"shell": {"points": {"joint": {"drawn": [180, -8], "per_size": [1]}}}}})";
  CHECK(refused(shell_with({"joint"}), bad).place.pointer == "/formes/shell/points/joint");
}
