// Sizes and widths as they are stamped on dies, and what a die that is there is to bear.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "grading/dies/plan/die_places.hpp"

namespace lastwright {

using SizesWidths = std::vector<std::pair<std::string, std::string>>;  // labels of size and of width

// As people write them, widths that hold the same sizes put together: "E F: 8 to 9; G: 8". A stretch of three
// or more neighbours of the style's whole run is "a to b", so that nothing is said of a size between that a
// part of the run leaves out.
std::string sizes_text(const SizesWidths& list, const DiePlaces& places);
// "8 F" of one, else as above.
std::string stamped_text(const SizesWidths& list, const DiePlaces& places);

// What a die that is there bears from now on: of the sizes and widths of this order those that it serves in
// it, and all others that it bore before.
SizesWidths borne_now(const SizesWidths& before, const SizesWidths& serves, const DiePlaces& places);

// What is stamped on a die: somebody who finds it on a shelf knows where it belongs. `hand` empty: none.
std::string stamp_words(const std::string& style, const std::string& piece, const std::string& sizes,
                        const std::string& hand, const std::string& number);

// Of what a die bears the sizes and widths of this order, by demand, ascending.
std::vector<std::uint32_t> borne_demands(const SizesWidths& borne, const DiePlaces& places);

// Whether this is an order for a part of the sizes or of the widths that the style states.
bool of_a_part(const DiePlaces& places);

}  // namespace lastwright
