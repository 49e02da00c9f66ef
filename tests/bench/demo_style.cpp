#include "tests/bench/demo_style.hpp"

#include <fmt/format.h>

#include <cstdio>
#include <cstdlib>

#include "geometry/invariant.hpp"
#include "grading/jobs/load_style.hpp"
#include "tests/support/places.hpp"

namespace lastwright::bench {

const StyleGrade& demo_grade() {
  static const StyleGrade grade = [] {
    const Checked<LoadedStyle> load = load_style(test::demo_style());
    if (!load.ok()) {
      for (const Problem& problem : load.problems()) fmt::print(stderr, "{}\n", to_text(problem));
      std::exit(1);
    }
    Result<StyleGrade> graded = grade_style(load->spec, load->measures, load->run, load->pieces);
    invariant(graded.ok(), "the demo style is graded");
    return std::move(*graded);
  }();
  return grade;
}

const std::vector<ShoeOutline>& twenty_outlines() {
  static const std::vector<ShoeOutline> outlines = [] {
    const StyleGrade& grade = demo_grade();
    std::vector<ShoeOutline> some;
    for (const std::size_t cell : {grade.base_cell(), std::size_t{0}}) {
      for (std::size_t piece = 0; piece < grade.pieces.size() && some.size() < 20; ++piece) {
        const Result<GradedPiece> graded = grade.outlined_piece(piece, cell);
        invariant(graded.ok(), "the piece can be drawn");
        const std::vector<Millimetres> by_edge = grade.allowances(piece, cell);
        ShoeOutline outline{graded->net.path, {}};
        for (const std::uint16_t edge : graded->net.edge) outline.allowances.push_back(by_edge[edge]);
        some.push_back(std::move(outline));
      }
    }
    return some;
  }();
  return outlines;
}

}  // namespace lastwright::bench
