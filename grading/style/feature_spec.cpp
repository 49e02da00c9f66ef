#include "grading/style/feature_spec.hpp"

namespace lastwright {

const char* name_of(RowAnchor anchor) {
  switch (anchor) {
    case RowAnchor::kStart:
      return "start";
    case RowAnchor::kMiddle:
      return "middle";
    case RowAnchor::kEnd:
      return "end";
  }
  return "middle";
}

const char* name_of(NickForm form) {
  switch (form) {
    case NickForm::kSlit:
      return "slit";
    case NickForm::kVee:
      return "vee";
    case NickForm::kRound:
      return "round";
    case NickForm::kOutward:
      return "outward";
  }
  return "slit";
}

const char* name_of(CodeOf of) {
  return of == CodeOf::kSize ? "size" : "width";
}

}  // namespace lastwright
