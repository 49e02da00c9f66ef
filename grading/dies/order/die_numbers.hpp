// Numbers of dies: those of dies that are there already, and those that are given to new ones.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grading/dies/owned/owned_die.hpp"
#include "grading/dies/plan/planned_die.hpp"

namespace lastwright {

// "D0009": a D and four figures or more, as new dies are numbered. None: the text is not of that form.
std::optional<std::string> number_in(std::string_view text);

class NewNumbers {
 public:
  explicit NewNumbers(const std::vector<OwnedDie>& owned) : owned_(owned) {}
  // The next that no die has that is there, and none of the drawings shows.
  std::string next();

 private:
  const std::vector<OwnedDie>& owned_;
  int next_ = 1;
};

// The number of both dies of a pair of which one is there: that of the one that is there, where its order had
// it stamped or its drawing shows it. Else a new one, and why.
struct PairNumber {
  std::string number;   // empty: a new one, also where neither die is there
  std::string why_not;  // of a new one where a die is there: why it does not keep its own
};
// `given`: numbers that dies of this order have got already, each for one pair.
PairNumber pair_number(const PlannedDie& die, const std::vector<OwnedDie>& owned,
                       const std::vector<std::string>& given);

// Whether both are dies of one kind, as far as that is known: number, piece, place in the grade and, of plain
// drawings, the drawing itself.
bool same_kind(const OwnedDie& one, const OwnedDie& other);

// How many there are of a die: as often as it was ordered, and given, for the same drawing may be named for
// each of its dies. `elsewhere`: by owned die, whether it is used for another piece; empty: none is.
int known_of(const OwnedDie& one, bool mirror, const std::vector<OwnedDie>& owned,
             const std::vector<bool>& elsewhere = {});

// Plain drawings (of an unknown foot) that show one number get it instead of the name of their file. Not
// where they show none or several, or where another die of that number has another outline or other work,
// mirrored or not: why not stands in `number_doubt`.
void read_numbers(std::vector<OwnedDie>& owned);

// Pairs that get a new number where one of their dies is there, and why.
struct DieOrder;
std::vector<std::string> renumbered_notes(const DieOrder& order);

// Which dies go by the name of their file, and why.
std::vector<std::string> doubted_numbers(const std::vector<OwnedDie>& owned);

}  // namespace lastwright
