// The parts of grade_style one by one, for who keeps what a change does not touch.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "grading/grade/grade.hpp"

namespace lastwright {

// The cells of the run and the base, and what each asks; formes and pieces are still to come.
StyleGrade asked_of(const MeasureTable& table, const SizeRun& run);

std::vector<std::string> names_of(const MeasureTable& table);

// `forme`: with what is held on it. `grade`: its cells and steps.
Result<GradedForme> grade_forme(const FormeSpec& forme, const StyleGrade& grade,
                                std::span<const std::string> measures, unsigned threads);

// `grade`: with its formes. `shaped`: the same piece as it was prepared on the same grade of its forme; its
// shape is taken where the drawn piece is the same still. Null: there is none.
Result<PreparedPiece> prepared_piece(const StyleSpec& style, BoundPiece bound, const StyleGrade& grade,
                                     const ShapeOptions& options, const PreparedPiece* shaped);

}  // namespace lastwright
