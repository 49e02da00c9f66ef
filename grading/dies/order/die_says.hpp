// What the texts on a die's own drawing say of it, where they are as this program writes them: used where
// nobody else says it, and compared with what its lines show and with what the order says.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

// Takes what the texts of a plain drawing say: what is stamped on the die, its foot, rule height, bevel,
// making tolerance, layers, weight and edges, and its numbers. A fact of which they say two different things
// is taken as not known, and `says.doubts` names both.
void take_texts(const std::vector<std::string>& texts, OwnedDie& die);

// The sizes and widths that a stamp names (`stamped_text` of the run read back). Empty where they are not
// labels of the run.
std::vector<std::pair<std::string, std::string>> sizes_stamped(const std::string& text,
                                                               const DiePlaces& places);
// Of each plain drawing that shows a stamp: the sizes and widths that it bears.
void take_stamped_sizes(std::vector<OwnedDie>& owned, const DiePlaces& places);

// What the drawing of a die says that does not hold of the die as it is used in this line; empty: nothing.
// `at`: the size and width of the outline that it is, none where it is no outline of one.
std::vector<std::string> contradictions(const OwnedDie& owned, const DieOrder& order,
                                        const DieOrderLine& line, const PlannedDie& die, bool mirror);

// Dies whose drawings say otherwise, and what was left out of drawings.
std::vector<std::string> drawing_notes(const DieOrder& order);

}  // namespace lastwright
