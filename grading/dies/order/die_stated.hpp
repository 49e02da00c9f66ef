// What a die maker needs that no drawing tells: material, rule, bevel, handle, and whose order it is. The
// user states it or does not; what is not stated is said in words, with what is taken in its place.
#pragma once

#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

struct StatedFact {
  std::string what;    // "rule height"
  std::string words;   // "19 mm"; where it is not stated "not stated, taken to be 19 mm by common practice"
  bool stated = true;  // by the user or by the order of the die that is there
};

// Of one die, the same facts in the same order on every page, table and drawing: material, rule height, rule
// thickness, bevel, handle, quantity, making tolerance, layers, cutting edges; of a die to make with bridges
// where they lie. A line with one die to make and one that is there says last the rule height of the one that
// is there.
std::vector<StatedFact> die_stated(const DieOrder& order, const DieOrderLine& line);
// Of a die that says nothing else: rule height, rule thickness, bevel, handle, quantity, making tolerance,
// layers.
std::vector<StatedFact> making_stated(const DieMaking& making);
// Of the order: order number, date, contact.
std::vector<StatedFact> head_stated(const DieOrderHead& head);

// "rule height: not stated, taken to be 19 mm by common practice"
std::string in_words(const StatedFact& fact);
// All of them, a semicolon between each two.
std::string in_words(const std::vector<StatedFact>& facts);

// What the user has not stated and of which dies, each once: "material (of insole, sock)"; "rule height (of
// all dies, taken to be 19 mm by common practice)"; "date". Empty: all is stated.
std::vector<std::string> not_stated(const DieOrder& order);

// Notes for whoever sets a press: dies of one material that differ in rule height, dies that are there whose
// height is not known or is not the one this order asks for.
std::vector<std::string> height_notes(const DieOrder& order);

// What is stated of a line: of a die to make by the rules, of dies that are there by their own orders. None:
// not stated, or not known to be alike in both.
std::optional<double> making_tolerance_of(const DieOrderLine& line);  // mm
std::optional<int> layers_of(const DieOrderLine& line);
// Which dies that are there are not known to be made as exactly, or for as many layers, as this order asks.
std::vector<std::string> figure_notes(const DieOrder& order);

// Of the dies of this line that are there: the rule height as their orders say; and what they bear and are to
// bear, "restamp" where that is not the same. Both "none is there" where all are made.
std::string heights_there(const DieOrderLine& line);
std::string stamps_there(const DieOrderLine& line);

}  // namespace lastwright
