// How far the net lines of one style's pieces lie from those of another's, in every size and width.
#pragma once

#include <algorithm>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "geometry/check/hausdorff.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright::test {

// mm by the name of the first style's piece; `names`: what the other calls it where that differs. Pieces
// whose frames differ are compared where they lie. Empty where one cannot be graded.
inline std::map<std::string, double> nets_apart(const LoadedStyle& one, const LoadedStyle& other,
                                                const std::map<std::string, std::string>& names = {}) {
  const auto a = grade_style(one.spec, one.measures, one.run, one.pieces);
  const auto b = grade_style(other.spec, other.measures, other.run, other.pieces);
  std::map<std::string, double> apart;
  if (!a || !b || a->run_cells() != b->run_cells()) return apart;
  for (std::size_t i = 0; i < a->pieces.size(); ++i) {
    const std::string& name = a->pieces[i].bound.spec.name;
    const auto found = names.find(name);
    const std::string& wanted = found == names.end() ? name : found->second;
    for (std::size_t k = 0; k < b->pieces.size(); ++k) {
      if (b->pieces[k].bound.spec.name != wanted) continue;
      double worst = 0.0;
      for (std::size_t cell = 0; cell < a->run_cells(); ++cell) {
        const auto net = a->cut_piece(i, cell);
        const auto there = b->cut_piece(k, cell);
        if (!net || !there) return {};
        worst = std::max(worst,
                         hausdorff(MeasuredOutline(net->net.path), MeasuredOutline(there->net.path)).value);
      }
      apart[name] = worst;
    }
  }
  return apart;
}

// Area and length all round of each net line, by piece and cell.
inline std::map<std::string, std::vector<std::pair<double, double>>> net_sizes(const LoadedStyle& style) {
  std::map<std::string, std::vector<std::pair<double, double>>> sizes;
  const auto grade = grade_style(style.spec, style.measures, style.run, style.pieces);
  if (!grade) return sizes;
  for (std::size_t i = 0; i < grade->pieces.size(); ++i) {
    auto& of = sizes[grade->pieces[i].bound.spec.name];
    for (std::size_t cell = 0; cell < grade->run_cells(); ++cell) {
      const auto net = grade->cut_piece(i, cell);
      if (net) of.emplace_back(signed_area(net->net.path), length(net->net.path));
    }
  }
  return sizes;
}

}  // namespace lastwright::test
