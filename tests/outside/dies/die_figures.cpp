// Prints what the program measures on outlines given on standard input, for check_die_figures.py.
//
//   H n m   then n + m lines "x y bulge": Hausdorff distance of two outlines -> "value precision"
//   F n     then n lines: figures of a die -> "rule area width height"
#include <fmt/format.h>

#include <iostream>

#include "geometry/check/hausdorff.hpp"
#include "grading/dies/die.hpp"

using namespace lastwright;

namespace {

ClosedArcPath read_path(std::size_t count) {
  ClosedArcPath path;
  for (std::size_t i = 0; i < count; ++i) {
    ArcVertex v;
    std::cin >> v.at.x >> v.at.y >> v.bulge;
    path.vertices.push_back(v);
  }
  return path;
}

}  // namespace

int main() {
  std::string what;
  while (std::cin >> what) {
    std::size_t n = 0;
    std::size_t m = 0;
    std::cin >> n;
    if (what == "H") {
      std::cin >> m;
      const ClosedArcPath one = read_path(n);
      const ClosedArcPath other = read_path(m);
      const HausdorffResult result = hausdorff(MeasuredOutline(one), MeasuredOutline(other));
      fmt::print("{} {}\n", result.value, result.precision);
    } else {
      DieShape shape;
      shape.cut.path = read_path(n);
      shape.cut.edge.assign(n, 0);
      const DieFacts facts = measure_die(shape);
      fmt::print("{} {} {} {}\n", facts.rule_outer, facts.area, facts.box.width(), facts.box.height());
    }
  }
  return 0;
}
