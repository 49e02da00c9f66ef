#include "tests/bench/demo_style.hpp"

#include "cli/style_files.hpp"
#include "geometry/invariant.hpp"
#include "tests/support/places.hpp"

namespace lastwright::bench {

const StyleGrade& demo_grade() {
  static const StyleGrade grade = [] {
    const StyleLoad load = load_style(test::project_dir() + "/demo-patterns/cindergarth/style.json");
    invariant(load.ok(), "the demo style loads");
    Result<StyleGrade> graded =
        grade_style(load.style->spec, load.style->measures, load.style->run, load.style->pieces);
    invariant(graded.ok(), "the demo style is graded");
    return std::move(*graded);
  }();
  return grade;
}

const std::vector<ClosedArcPath>& twenty_outlines() {
  static const std::vector<ClosedArcPath> outlines = [] {
    const StyleGrade& grade = demo_grade();
    std::vector<ClosedArcPath> some;
    for (const std::size_t cell : {grade.base_cell(), std::size_t{0}}) {
      for (std::size_t piece = 0; piece < grade.pieces.size() && some.size() < 20; ++piece) {
        some.push_back(grade.drawn_piece(piece, cell).net.path);
      }
    }
    return some;
  }();
  return outlines;
}

}  // namespace lastwright::bench
