#include "grading/piece_spec.hpp"

namespace lastwright {

const char* name_of(Treatment treatment) {
  switch (treatment) {
    case Treatment::kRaw: return "raw";
    case Treatment::kLasting: return "lasting";
    case Treatment::kLap: return "lap";
    case Treatment::kFold: return "fold";
    case Treatment::kClosedSeam: return "closed seam";
    case Treatment::kOpenSeam: return "open seam";
    case Treatment::kBound: return "bound";
    case Treatment::kBagged: return "bagged";
    case Treatment::kTrim: return "trim";
  }
  return "raw";
}

}  // namespace lastwright
