// Where in the grade a die may be drawn.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "grading/dies/owned/owned_die.hpp"
#include "grading/sizes/size_run.hpp"

namespace lastwright {

// Places of the grade where a die may be drawn: every size and width of the run and, between neighbours, half
// way. The grade is linear in the increments, so an outline half way is as exact as any other.
struct DiePlaces {
  SizeRun refined;                 // what to grade: the half-way ones included
  std::vector<SizeWidth> places;   // sizes outermost; a place between two has the label "8-8.5"
  std::vector<SizeWidth> demands;  // the run itself, sizes outermost
  std::vector<std::uint32_t> own;  // by demand: its place
  // Places that only the style's whole run holds, in an order for a part of it: a die may be drawn there as
  // at any other, or (`known_only`) one that is there was, which is all they are graded for.
  struct Elsewhere {
    std::uint32_t place = 0;
    bool between = false;
    bool known_only = false;
  };
  std::vector<Elsewhere> elsewhere;                                 // ascending
  [[nodiscard]] const Elsewhere* outside(std::size_t place) const;  // null: within the run
  [[nodiscard]] bool known_only(std::size_t place) const;
  [[nodiscard]] bool between(std::size_t place) const;
  [[nodiscard]] std::string label(std::size_t place) const;  // "8 F", "between 8-8.5 F"
  // Of the style's whole run, ascending, also in an order for a part of it.
  [[nodiscard]] std::vector<Size> whole_sizes() const;
  [[nodiscard]] std::vector<Width> whole_widths() const;
};
DiePlaces die_places(const SizeRun& run, bool with_between);
// The same with all places of the whole run that this one is a part of (null: none of them), half-way ones
// included, and with those where these dies were drawn, as far as the style states such sizes and widths.
DiePlaces die_places_with(const SizeRun& run, bool with_between, const std::vector<OwnedDie>& owned,
                          const SizeRun* whole = nullptr);

// " (drawn as between 6-7 E in its order: ...)" of an owned die whose own place this run does not hold, so
// that it is not known again as an outline of the grade; empty of others.
std::string drawn_elsewhere(const OwnedDie& die, const DiePlaces& places);

}  // namespace lastwright
