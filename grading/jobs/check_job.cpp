#include "grading/jobs/check_job.hpp"

#include "grading/checks/another_base.hpp"
#include "grading/checks/rule_reach.hpp"

namespace lastwright {

Result<CheckedStyle> check_loaded(const LoadedStyle& style, bool every_rule, unsigned threads) {
  Result<StyleGrade> grade = grade_style(style.spec, style.measures, style.run, style.pieces, {}, threads);
  if (!grade) return grade.problem();
  JudgedStyle judged = judge_style(style.spec, *grade, style.measures, threads);
  CheckedStyle checked{*std::move(grade), std::move(judged.findings), std::move(judged.hands)};
  for (const auto& more : {rule_reaches(style.spec, checked.grade, style.measures, every_rule),
                           another_base(checked.grade, style.measures)})
    checked.findings.insert(checked.findings.end(), more.begin(), more.end());
  return checked;
}

}  // namespace lastwright
