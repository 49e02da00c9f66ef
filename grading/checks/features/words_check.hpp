// What texts and codes say, beside each other.
//
//   name drawn       a text drawn in a piece is the name of another piece
//   text order       one piece says its width before its size, where those of the other pieces say the size
//                    first, or the other way round
//   size not said    the texts of one piece leave out the size, which those of others say
//   code habit       a half size whose marks are not those of the whole size below it and one more, where
//                    those of the other half sizes are
//   sizes not made   sizes that codes, ties and allowances name lie between those made and are not made
//
// All of it may be meant, and is only told.
#pragma once

#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

std::vector<StyleFinding> check_words(const StyleSpec& style, const StyleGrade& grade);

}  // namespace lastwright
