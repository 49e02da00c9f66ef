// Dies that are there already, as an order hands them on.
//
// An order's folder holds, beside the dies that it orders, those it was given as there already: their
// drawings as they were read, and what is known of them once the order is carried out. So the folder stands
// for both, and the next order needs no other. A die that comes from several folders, as of the first order
// and through the second, is one die; what the latest order says of it holds.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "grading/dies/order/die_order.hpp"

namespace lastwright {

struct EarlierDie {
  OwnedDie die;
  std::string name;            // of a plain drawing: its file's, whatever its texts show
  std::string restamped = {};  // of a plain drawing: the number an order had stamped on it; or none
  std::shared_ptr<const std::string> drawing;  // bytes of the DXF
  std::string file;         // of the drawing, its own name; in a written order below its folder
  bool other_foot = false;  // the drawing is of the mirrored die of its pair
  int carried = 0;          // orders that named it as there already; 0: given itself
};

// `folders`: what each --owned holds. A die given itself counts as often as it is given, one that orders
// carry as often as the one does that carries most of it.
std::vector<EarlierDie> each_once(const std::vector<std::vector<EarlierDie>>& folders);

// The same dies once the order is carried out: their numbers and stamps, and what they bear. `given` are
// those that the plan was made with, in its order.
std::vector<EarlierDie> handed_on(std::vector<EarlierDie> given, const DiePlan& plan, const DieOrder& order,
                                  const DiePlaces& places);

std::vector<OwnedDie> owned_of(const std::vector<EarlierDie>& dies);

}  // namespace lastwright
