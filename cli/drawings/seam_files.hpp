// Tables of a graded style for every size and width: how seams meet, and what the pieces put round the last.
#pragma once

#include "cli/files/output_set.hpp"
#include "cli/tables/table.hpp"
#include "grading/checks/judge.hpp"

namespace lastwright {

Table seam_table(const StyleSpec& style, const StyleGrade& grade, const std::vector<SeamReport>& reports);
Table piece_girth_table(const StyleGrade& grade, const std::vector<PieceGirth>& girths);

// seams.csv and girths-in-pieces.csv.
Status add_seam_tables(const StyleSpec& style, const StyleGrade& grade, const JudgedStyle& judged,
                       OutputSet& set);

}  // namespace lastwright
