// The measures that a draft's lines carry: the user's figures, and steps of common practice for the rest.
#pragma once

#include <vector>

#include "grading/draft/draft_basis.hpp"
#include "grading/draft/shoe_kind.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Gives the style every measure that its lines carry, and its girths. What is carried of a measure that
// nobody knows a figure for is taken off the line, a line that carries nothing then is left out; both are
// told. Where a line that carries one whole measure is drawn otherwise than its base says, it gets an extra.
// Where no bottom shows the tread, what a girth's line shows is stated as a measure of its own, "ball girth
// over the upper", and no girth is. Precondition: the style has its formes, scale and sample.
void fill_measures(const DraftBasis& basis, const FilledBasis& filled, const ShoeKind& kind,
                   const std::vector<DraftForme>& formes, StyleSpec& style, std::vector<Proposed>& proposed);

}  // namespace lastwright
