// A base last beside the table's values of the size and width that it is said to be.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/jobs/load_style.hpp"
#include "grading/lasts/base_last.hpp"

namespace lastwright {

// A measure of a base that is off the table's value of its own size and width by more than half a step.
struct BaseMiss {
  std::string measure;
  double value = 0.0;  // mm, of the base
  double asked = 0.0;  // mm, by the table
  double limit = 0.0;  // mm: beyond it the base fails
  [[nodiscard]] bool failed() const;
};

struct BaseOnTable {
  std::vector<BaseMiss> misses;  // in the order of the definitions
  SizeWidth fits;                // of the run, or what it is said to be: whose table it is nearest
  bool as_said = true;           // nothing of the run is nearer than what it is said to be
  bool measures_as = true;       // every measure is within half a step of the table in `fits`
  [[nodiscard]] bool failed() const;
  // Nothing to say: no measure is off by half a step, and no other size and width is nearer.
  [[nodiscard]] bool good() const { return misses.empty() && as_said; }
};

// What the table says of a measure in the base's own size and width; none where the two take it by other
// definitions, or the table not at all. `i`: of the base's definitions.
std::optional<double> asked_of_base(const BaseLast& base, std::size_t i, const LastSpec& spec,
                                    const MeasureTable& table);

// By every measure that table and last take alike. `spread`: by how much each may be off, of a base that
// stands by its form alone (spread_of_pitch); empty: by nothing.
BaseOnTable base_on_table(const BaseLast& base, const LastSpec& spec, const LoadedStyle& style,
                          const std::vector<double>& spread);

// In words, for one that is not good: its figures, what it measures as, and where it fails what to do.
std::string told_of(const BaseLast& base, const BaseOnTable& on);

}  // namespace lastwright
