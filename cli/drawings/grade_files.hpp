// The files for machines that `lastwright grade` writes; cli/drawings/picture_files.hpp has those for people.
//
//   pieces/<piece>/<piece> <size> <width>.dxf and .svg     one graded piece
//   grade-sheet.csv                                        where every named point goes
#pragma once

#include <string>

#include "cli/drawings/grade_additions.hpp"
#include "cli/files/output_set.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "grading/checks/piece_look.hpp"
#include "grading/grade/grade.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "grading/jobs/grade_selection.hpp"

namespace lastwright {

struct GradeFilesOptions {
  SheetOptions sheet;    // what a drawing of a piece shows
  DxfWriteOptions dxf;   // R2000 by default
  unsigned threads = 0;  // 0: one per core; the bytes do not depend on it
  bool pictures = true;  // an SVG beside every DXF
  bool show_progress = true;
  GradeAdditions* additions = nullptr;  // of a run that adds to a set
};

// Makes every piece in every size and width once: all are looked at, and those selected are written. Every
// DXF is read back and measured against the piece before it counts.
Result<StyleLooks> add_pieces(const StyleGrade& grade, const GradeSelection& selection,
                              const GradeFilesOptions& options, const StyleLooker& looker, OutputSet& set);
// A line for the summary: how many nicks became part of a cut line, how many stay apart and why.
Result<std::string> merged_nicks_text(const StyleGrade& grade, const GradeSelection& selection,
                                      unsigned threads);
Status add_grade_sheet(const StyleGrade& grade, OutputSet& set);

}  // namespace lastwright
