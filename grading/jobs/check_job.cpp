#include "grading/jobs/check_job.hpp"

#include "grading/checks/girths/another_base.hpp"
#include "grading/checks/rule_reach.hpp"

namespace lastwright {

StyleFindings findings_of(const LoadedStyle& style, const StyleGrade& grade, bool every_rule,
                          unsigned threads) {
  JudgedStyle judged = judge_style(style.spec, grade, style.measures, threads);
  StyleFindings found{std::move(judged.findings), std::move(judged.hands)};
  for (const auto& more :
       {rule_reaches(style.spec, grade, style.measures, every_rule), another_base(grade, style.measures, threads)})
    found.findings.insert(found.findings.end(), more.begin(), more.end());
  return found;
}

Result<CheckedStyle> check_loaded(const LoadedStyle& style, bool every_rule, unsigned threads) {
  Result<StyleGrade> grade = grade_style(style.spec, style.measures, style.run, style.pieces, {}, threads);
  if (!grade) return grade.problem();
  StyleFindings found = findings_of(style, *grade, every_rule, threads);
  return CheckedStyle{*std::move(grade), std::move(found)};
}

}  // namespace lastwright
