// Whether the folder of a die order is still what was written there, by its manifest.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

// Which files of the folder are looked at.
enum class OrderFiles {
  kOrder,     // die-order.json
  kDrawings,  // and every drawing
  kAll,       // and tables, page and workbook
};

struct OrderFault {
  std::string name;  // in the folder
  std::string what;  // why it is not a file that the manifest lists
};

struct OrderFolder {
  std::string folder;
  std::vector<OrderFault> faults;
  std::string unknown;  // why nothing can be said: there is no manifest; empty where there is one
};

// `order`: the folder, or the die-order.json in it. A file of another name is not of a set.
OrderFolder look_at_order(const std::string& order, OrderFiles files);

// The same for a command that goes by the order: the first fault; what is unknown is told on standard error.
Status order_as_written(const std::string& order, OrderFiles files);

}  // namespace lastwright
