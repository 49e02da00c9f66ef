// The demo, its style changed before its pieces are graded.
#pragma once

#include <catch2/catch.hpp>

#include <utility>
#include <vector>

#include "grading/checks/judge.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "tests/support/places.hpp"

namespace lastwright::test {

struct Demo {
  LoadedStyle loaded;
  StyleGrade grade;
  [[nodiscard]] JudgedStyle judged() const { return judge_style(loaded.spec, grade, loaded.measures); }
  [[nodiscard]] std::vector<StyleFinding> seam_findings(const JudgedStyle& of) const {
    return check_seams(loaded.spec, grade, of.seams, style_check_options(loaded.spec));
  }
};

template <class Change>
Demo demo(Change change) {
  StyleLoad load = load_style(test::demo_style());
  REQUIRE(load.ok());
  change(*load.style);
  for (std::size_t p = 0; p < load.style->pieces.size(); ++p) {
    load.style->pieces[p].spec = load.style->spec.pieces[p];
    for (std::size_t e = 0; e < load.style->pieces[p].edges.size(); ++e)
      load.style->pieces[p].edges[e].spec = load.style->spec.pieces[p].edges[e];
  }
  Result<StyleGrade> grade =
      grade_style(load.style->spec, load.style->measures, load.style->run, load.style->pieces);
  INFO((grade ? std::string() : to_text(grade.problem())));
  REQUIRE(grade.ok());
  return {std::move(*load.style), std::move(*grade)};
}
inline Demo demo() {
  return demo([](LoadedStyle&) {});
}

}  // namespace lastwright::test
