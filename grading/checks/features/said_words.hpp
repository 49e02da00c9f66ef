// What a text says of sizes and widths.
#pragma once

#include <string>
#include <vector>

#include "grading/sizes/size_run.hpp"

namespace lastwright {

// The size and width that a text says: its last two words where these are a size and a width of the run, or a
// size after a word for size. Empty where it says none.
struct SaidSize {
  std::string size;
  std::string width;
};
SaidSize said_size(const std::string& text, const SizeRun& run);

// What a text says of the base where it names its size, or its width, as a word of its own or both in one:
// "28", "PT 28", "VAMP-28", "28M", "28 {width}". What it fills in it does not say. Words of the given names
// are none of a size's ("T-28" of the style T-28), nor is a number of something ("cut 2", "8 mm"), nor a
// width that is a number.
SaidSize said_alone(const std::string& text, const SizeRun& run, const std::vector<std::string>& names);

}  // namespace lastwright
