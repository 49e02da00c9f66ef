#include "cli/report/failed_checks.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/planning/planning_page.hpp"
#include "cli/print.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/sheet_place.hpp"
#include "grading/checks/judge.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

// The kinds of checks, each once.
std::string kinds_of(const std::vector<StyleFinding>& findings) {
  constexpr std::size_t kMostKinds = 3;
  std::vector<std::string> kinds;
  for (const StyleFinding& one : findings) {
    if (std::find(kinds.begin(), kinds.end(), one.check) == kinds.end()) kinds.push_back(one.check);
  }
  return some_of(kinds, kMostKinds);
}

}  // namespace

void add_failed(FailedStyles& failed, const std::string& style, const std::vector<StyleFinding>& findings) {
  FailedStyle one{style, {}};
  std::copy_if(findings.begin(), findings.end(), std::back_inserter(one.findings),
               [](const StyleFinding& finding) { return !finding.passed; });
  if (!one.findings.empty()) failed.push_back(std::move(one));
}

std::vector<StyleFinding> add_judged(FailedStyles& failed, const std::string& style,
                                     const LoadedStyle& loaded, const StyleGrade& grade, unsigned threads) {
  std::vector<StyleFinding> findings = judge_style(loaded.spec, grade, loaded.measures, threads).findings;
  add_failed(failed, style, findings);
  return findings;
}

std::string failed_line(const FailedStyles& failed) {
  std::string text;
  for (const FailedStyle& one : failed)
    text +=
        fmt::format("{}{}: {}", text.empty() ? "CHECKS FAILED: " : "; ", one.style, kinds_of(one.findings));
  return text;
}

std::string failed_warning(const FailedStyles& failed) {
  return failed.empty() ? "" : failed_line(failed) + ". Cut nothing before they pass.";
}

void add_failed_text(const FailedStyles& failed, Sheet& sheet) {
  constexpr double kHeight = 8.0;  // mm of a capital: to be seen on a whole hide or roll
  if (failed.empty()) return;
  const Box2 box = shape_bounds(sheet);
  sheet.texts.push_back(
      {box.low - Vec2{0.0, 3.0 * kHeight}, kHeight, Radians(0.0), failed_warning(failed), Operation::kText});
}

Table failed_table(const FailedStyles& failed) {
  Table table;
  table.name = "CHECKS FAILED";
  table.columns = {{"style", 20, 0}, {"check", 18, 0}, {"of", 40, 0},    {"value", 12, 4},
                   {"limit", 12, 4}, {"unit", 10, 0},  {"where", 24, 0}, {"what it means", 70, 0}};
  for (const FailedStyle& style : failed) {
    for (const StyleFinding& one : style.findings)
      table.rows.push_back({{style.style, Emphasis::kBad},
                            {one.check},
                            {one.subject},
                            {one.worst},
                            one.limit ? TableCell{*one.limit} : TableCell{},
                            {one.unit},
                            {to_text(one.where)},
                            {one.note}});
  }
  return table;
}

std::string failed_box(const FailedStyles& failed) {
  if (failed.empty()) return "";
  return caution_box(failed_warning(failed)) + html_table(failed_table(failed));
}

Json failed_json(const FailedStyles& failed) {
  Json list = Json::array();
  for (const FailedStyle& style : failed) {
    for (const StyleFinding& one : style.findings)
      list.push_back({{"style", style.style},
                      {"check", one.check},
                      {"subject", one.subject},
                      {"value", four_decimals(one.worst)},
                      {"limit", one.limit ? Json(*one.limit) : Json(nullptr)},
                      {"unit", one.unit},
                      {"where", to_text(one.where)},
                      {"note", one.note}});
  }
  return list;
}

ExitCode tell_failed(ExitCode said, const FailedStyles& failed, const std::string& not_yet) {
  if (failed.empty()) return said;
  print_warning(fmt::format("{}: {} before they pass", failed_line(failed), not_yet));
  return said == ExitCode::kOk ? ExitCode::kCheckFailed : said;
}

}  // namespace lastwright
