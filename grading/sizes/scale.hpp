// A scale names sizes and gives each a length; a ladder names widths. A size run is a stretch of a scale.
//
// A size's `position` counts whole size steps from the scale's zero across all its runs: the English child's
// 13 is position 13, the adult's 1 that follows it is 14. Differences of positions are size steps (half sizes
// are 1/2), so a restart in the labels never reaches the arithmetic.
#pragma once

#include <compare>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "grading/sizes/fraction.hpp"

namespace lastwright {

// Steps between two sizes or two widths. Two types, so that a size step is never added to a width step.
struct SizeSteps {
  Fraction count;
  auto operator<=>(const SizeSteps&) const = default;
};
struct WidthSteps {
  Fraction count;
  auto operator<=>(const WidthSteps&) const = default;
};

struct Size {
  Fraction position;
  std::string label;  // as the trade stamps it: "8", "8½" is written "8.5", "child 13"
  friend SizeSteps operator-(const Size& a, const Size& b) { return {a.position - b.position}; }
};

struct Width {
  Fraction position;  // 0 for the narrowest of the ladder, then 1, 2, ... unless the ladder's steps differ
  std::string label;
  friend WidthSteps operator-(const Width& a, const Width& b) { return {a.position - b.position}; }
};

struct SizeWidth {
  Size size;
  Width width;
};
// "8 F".
inline std::string label_of(const SizeWidth& at) {
  return at.size.label + " " + at.width.label;
}
// However the two are labelled.
inline bool same_cell(const SizeWidth& one, const SizeWidth& other) {
  return one.size.position == other.size.position && one.width.position == other.width.position;
}

// How far a table can be trusted; printed wherever its numbers are used.
enum class Provenance { kPublished, kDerived, kCommonPractice, kFromMemory };
const char* name_of(Provenance provenance);

struct Source {
  std::string text;     // where the figures come from
  std::string edition;  // may be empty
  Provenance provenance = Provenance::kFromMemory;
};

// What a scale's lengths measure: they are never compared across without a named allowance.
enum class Sizes { kFoot, kLast };
const char* name_of(Sizes sizes);  // "foot", "last"

// One stretch of labels, e.g. the child's 0 to 13½ of the English scale.
struct ScaleRun {
  std::string prefix;       // put before the number: "child " or ""
  Fraction first_label;     // label of its first size
  Fraction last_label;      // label of its last size
  Fraction first_position;  // position of its first size
  Fraction label_step;      // label difference of one size step: 1; 5 for a scale labelled in 5 mm steps
  Fraction smallest;        // smallest part of a size step that is made: 1, or 1/2 where there are half sizes
  // Positions of the first and last size that the source itself covers; beyond them the run is carried on.
  std::optional<std::pair<Fraction, Fraction>> covered = {};
};

struct Scale {
  std::string key;  // "english", used in styles and on the command line
  std::string title;
  Sizes sizes = Sizes::kLast;
  Fraction zero_length;           // millimetres at position 0
  Fraction step;                  // millimetres per size step
  bool truncated_labels = false;  // the label is the length with its fraction dropped (7.5 mm scales)
  std::vector<ScaleRun> runs;
  Source source;
  std::vector<std::string> notes;

  // Millimetres, exact.
  [[nodiscard]] Fraction length(const Size& size) const { return zero_length + step * size.position; }
  // Whether the source covers the size, or the run is carried on to it.
  [[nodiscard]] bool carried_on(const Size& size) const;
  // The size made at a position, if there is one.
  [[nodiscard]] std::optional<Size> at(Fraction position) const;
  // Finds a size by its label. Refuses labels outside the runs and parts that are not made (8.25), naming
  // what would do.
  [[nodiscard]] Result<Size> size(std::string_view label) const;
  // All sizes from one to the other, both included, in steps of `by` (1 or 1/2), across a restart if need be.
  [[nodiscard]] Result<std::vector<Size>> run(std::string_view from, std::string_view to, Fraction by) const;
};

struct Ladder {
  std::string key;
  std::string title;
  std::vector<std::string> labels;  // narrowest first
  // Width steps from the narrowest to each; empty: 0, 1, 2, ...
  std::vector<Fraction> positions = {};
  Source source;
  std::vector<std::string> notes;

  [[nodiscard]] Result<Width> width(std::string_view label) const;
  [[nodiscard]] Width at(std::size_t place) const;  // of the labels
};

}  // namespace lastwright
