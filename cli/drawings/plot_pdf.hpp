// The true-scale plot of graded pieces.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "geometry/io/paper/pdf_write.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/grade_selection.hpp"

namespace lastwright {

// Cut line, net line and everything marked or punched; pieces cut double with their fold level or upright.
// One drawing a piece, size and width, in that order, each beginning on a sheet of its own. The Problem of a
// piece that cannot be made names piece, size and width. `together`, and always on a roll: drawings that are
// smaller than a page share pages, in rows side by side; one without a grain line may be turned by a quarter.
// On a roll they lie in their true shapes where that is shorter, those with a grain line as they are or
// turned half round. Where other pieces of the style state a material, the title of one that does not says
// so. `advance` is called with a count of drawings made, from any thread.
struct PlottedPdf {
  std::string bytes;
  std::size_t drawings = 0;
  std::size_t pages = 0;
  double roll = 0.0;                          // mm of a roll that they take; 0 on pages
  double in_rows = 0.0;                       // mm of it in rows, none of them turned
  std::vector<std::string> without_material;  // pieces of them that state none, where others of the style do
};
Result<PlottedPdf> plot_pdf(const StyleGrade& grade, const GradeSelection& selection,
                            const PdfOptions& options, unsigned threads, bool together = false,
                            const std::function<void(std::size_t)>& advance = {});

}  // namespace lastwright
