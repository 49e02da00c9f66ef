// The demo, its style changed before its pieces are graded.
#pragma once

#include <catch2/catch.hpp>

#include <utility>
#include <vector>

#include "grading/checks/judge.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "tests/support/placed.hpp"
#include "tests/support/places.hpp"

namespace lastwright::test {

struct Demo {
  LoadedStyle loaded;
  StyleGrade grade;
  [[nodiscard]] JudgedStyle judged() const {
    JudgedStyle judged = judge_style(loaded.spec, grade, loaded.measures);
    placed(judged.findings);
    return judged;
  }
  [[nodiscard]] std::vector<StyleFinding> seam_findings(const JudgedStyle& of) const {
    return check_seams(loaded.spec, grade, of.seams, style_check_options(loaded.spec));
  }
};

// Read once; each test changes its own copy.
inline LoadedStyle loaded_demo() {
  static const Checked<LoadedStyle> load = load_style(test::demo_style());
  REQUIRE(load.ok());
  return *load;
}

template <class Change>
Demo demo(Change change) {
  LoadedStyle style = loaded_demo();
  change(style);
  for (std::size_t p = 0; p < style.pieces.size(); ++p) {
    style.pieces[p].spec = style.spec.pieces[p];
    for (std::size_t e = 0; e < style.pieces[p].edges.size(); ++e)
      style.pieces[p].edges[e].spec = style.spec.pieces[p].edges[e];
  }
  Result<StyleGrade> grade = grade_style(style.spec, style.measures, style.run, style.pieces);
  INFO((grade ? std::string() : to_text(grade.problem())));
  REQUIRE(grade.ok());
  return {std::move(style), std::move(*grade)};
}

// The demo as it is, made and judged once for all tests.
inline const Demo& demo() {
  static const Demo one = demo([](LoadedStyle&) {});
  return one;
}
inline const JudgedStyle& demo_verdict() {
  static const JudgedStyle one = demo().judged();
  return one;
}

// For what shows at the ends of the run as it does between them: a change, the outer sizes and the base in
// every width.
template <class Change>
auto at_the_ends(Change change) {
  return [change](LoadedStyle& style) {
    std::vector<Size> few{style.run.sizes.front()};
    for (const Size& one : style.run.sizes) {
      if (one.position == style.run.base.size.position) few.push_back(one);
    }
    few.push_back(style.run.sizes.back());
    style.run.sizes = std::move(few);
    change(style);
  };
}

}  // namespace lastwright::test
