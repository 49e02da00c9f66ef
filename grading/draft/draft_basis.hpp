// Scale, sample, run and measures of a draft: what the user gave, and what stands in where nothing was given.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/draft/shoe_kind.hpp"
#include "grading/measures/reference_tables.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Empty where the user said nothing.
struct DraftBasis {
  std::string scale;
  std::string ladder;
  std::string size;  // of the sample
  std::string width;
  std::vector<std::string> widths;
  std::string from;  // the run
  std::string to;
  std::optional<Fraction> by;
  // A style or a table of measures whose measures are taken, and its scale, ladder, sample and run where
  // nothing else is said.
  std::optional<StyleSpec> given;
};

// "measures" of a style file, a whole style file, or a JSON object of measures by name. Lines and pointers of
// problems are those of the text.
Result<StyleSpec> given_measures(std::string_view text, const std::string& file);

struct FilledBasis {
  double stick = 0.0;      // mm, of the sample
  Fraction step;           // mm, of a size
  std::string own_ladder;  // text of a table, where the widths are on no ladder that is known
  Ladder ladder;           // of the widths; empty where it is their own, on which each is one step
                           // from the next
};
// The key that an own ladder has.
inline constexpr const char* kOwnLadder = "own-widths";

// Fills in scale, ladder, sample and run. Where no ladder is said, it is the one that the given measures are
// stated on, else the usual one of the scale or any other that has the widths; but for whole numbers in a row
// (1, 2, 3) one on which they are neighbours goes before one that has others between them. `drawn`: the
// length of a forme, by which the size is guessed where none is given. Refuses labels that the scale or the
// ladder does not have.
Result<FilledBasis> fill_basis(const DraftBasis& basis, const ReferenceTables& tables,
                               std::optional<double> drawn, StyleSpec& style,
                               std::vector<Proposed>& proposed);

}  // namespace lastwright
