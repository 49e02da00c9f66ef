// The two edges of a seam on their pieces: what the checks of a seam's sides start from.
#pragma once

#include <cmath>
#include <limits>
#include <string>

#include "grading/checks/seams/seam_report.hpp"
#include "grading/grade/grade.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// The last row of the stitching that holds a seam: of each feature that begins on the lap. `first`: of the
// row nearest to the edge, wherever it is.
struct StitchRows {
  double first = std::numeric_limits<double>::infinity();
  double last = 0.0;
  std::string name;
};

class SeamEdges {
 protected:
  SeamEdges(const StyleSpec& style, const StyleGrade& grade) : style_(style), grade_(grade) {}

  // Turns to the edges of a seam; false where one is missing, or on a fold: nothing is sewn there.
  bool take(const SeamReport& report);

  [[nodiscard]] const PieceSpec& piece(const SideOfSeam& side) const {
    return grade_.pieces[side.piece].bound.spec;
  }
  [[nodiscard]] const EdgeSpec& edge(const SideOfSeam& side) const {
    return grade_.pieces[side.piece].bound.edges[side.edge].spec;
  }
  [[nodiscard]] std::string named(const SideOfSeam& side) const {
    return edge(side).name + " of " + piece(side).name;
  }
  [[nodiscard]] bool on_fold(const SideOfSeam& side) const { return piece(side).fold == edge(side).name; }
  [[nodiscard]] double allowance(const SideOfSeam& side, std::size_t cell) const {
    return grade_.allowances(side.piece, cell)[side.edge].value();
  }
  [[nodiscard]] static bool edge_on_edge(Treatment treatment) {
    return treatment == Treatment::kClosedSeam || treatment == Treatment::kOpenSeam ||
           treatment == Treatment::kBagged;
  }
  [[nodiscard]] StitchRows rows_on(const SideOfSeam& top, double lap) const;

  const StyleSpec& style_;
  const StyleGrade& grade_;
  const SeamSpec* seam_ = nullptr;
  SideOfSeam one_;
  SideOfSeam other_;
};

}  // namespace lastwright
