#include "geometry/io/die_drawing.hpp"

#include "geometry/invariant.hpp"

namespace lastwright {

const char* layer_name(Operation operation) {
  switch (operation) {
    case Operation::kCut:
      return "CUT";
    case Operation::kCutOut:
      return "CUT_OUT";
    case Operation::kHole:
      return "HOLE";
    case Operation::kNick:
      return "NICK";
    case Operation::kPrick:
      return "PRICK";
    case Operation::kStitch:
      return "STITCH";
    case Operation::kSkive:
      return "SKIVE";
    case Operation::kLapGuide:
      return "LAP_GUIDE";
    case Operation::kNetLine:
      return "NET_LINE";
    case Operation::kFold:
      return "FOLD";
    case Operation::kGrain:
      return "GRAIN";
    case Operation::kGuide:
      return "GUIDE";
    case Operation::kText:
      return "TEXT";
  }
  invariant(false, "an operation outside its enumeration");
  return "";
}

}  // namespace lastwright
