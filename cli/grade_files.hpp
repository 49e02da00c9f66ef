// The files that `lastwright grade` writes, one function a kind.
//
//   pieces/<piece>/<piece> <size> <width>.dxf and .svg     one graded piece
//   nests/<piece> sizes in <width>.svg                     all sizes of a width
//   nests/<piece> widths of <size>.svg                     all widths of a size
//   grade-sheet.csv                                        where every named point goes
#pragma once

#include <string>

#include "cli/grade_selection.hpp"
#include "cli/output_set.hpp"
#include "geometry/io/dxf_write.hpp"
#include "grading/grade.hpp"

namespace lastwright {

struct GradeFilesOptions {
  DxfWriteOptions dxf;    // R2000 by default
  unsigned threads = 0;   // 0: one per core; the bytes do not depend on it
  bool show_progress = true;
};

struct GradeFilesWritten {
  std::size_t pieces = 0;     // graded pieces, each with its DXF and SVG
  double longest_side = 0.0;  // of any piece, millimetres
};

// Every DXF is read back and measured against the piece before it counts.
Result<GradeFilesWritten> add_pieces(const StyleGrade& grade, const GradeSelection& selection, const GradeFilesOptions& options,
                                     OutputSet& set);
// Nests of the whole run: sizes in the base width and widths of the base size (the nearest of the selection where the
// base is not in it).
Status add_nests(const StyleGrade& grade, const GradeSelection& selection, const GradeFilesOptions& options, OutputSet& set);
Status add_grade_sheet(const StyleGrade& grade, OutputSet& set);

}  // namespace lastwright
