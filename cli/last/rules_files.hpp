// A style's rules beside what its last does: tables, a picture, and rules that follow the last.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "grading/lasts/formes/girth_shares.hpp"
#include "grading/lasts/formes/rules_compared.hpp"

namespace lastwright {

// Everything known of one run.
struct RulesBesideLast {
  std::vector<FormeTie> ties;
  std::vector<ComparedForme> compared;          // cell by cell
  std::vector<std::vector<FittedRule>> fitted;  // by tie
  std::vector<GirthShare> shares;
  std::string shares_of;           // the last whose lengths they are, in words
  std::set<std::string> measures;  // of the table, that the lasts were graded by
};

std::string rule_lines_csv(const LoadedStyle& style, const RulesBesideLast& rules);
std::string rule_points_csv(const LoadedStyle& style, const RulesBesideLast& rules);
std::string shares_csv(const RulesBesideLast& rules);
// What a style's "rules_from_last" names: point rules fitted to the last, each with its residual.
std::string rules_json(const LoadedStyle& style, const RulesBesideLast& rules, const std::string& last_file);
// Each forme of the style on that of the last, with where rules and last take its points in the cell in which
// they differ most.
std::string rules_svg(const LoadedStyle& style, const RulesBesideLast& rules, const LastFormes& base);
// What the terminal is told.
std::string rules_said(const LoadedStyle& style, const RulesBesideLast& rules);

}  // namespace lastwright
