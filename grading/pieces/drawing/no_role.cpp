#include "grading/pieces/drawing/no_role.hpp"

#include <fmt/format.h>

namespace lastwright {

std::string no_role(const DrawnFrom& from, bool may_be_piece) {
  const char* first = "internal lines";
  const char* others = R"("sew lines", "cut-outs", "mirror line", "ignore")";
  if (from.entity == "POINT") {
    first = "notches";
    others = R"("drill holes", "ignore")";
  } else if (from.entity == "LINE" && !may_be_piece) {
    first = "grain line";
    others = R"("mirror line", "notches", "internal lines", "sew lines", "ignore")";
  } else if (from.entity == "CIRCLE") {
    first = "drill holes";
    others = R"("cut-outs", "ignore")";
  }
  return fmt::format(
      R"(its layer has no role ("layers" of its drawing in the style gives it one: "{}": "{}", or {}{}))",
      from.layer, first, may_be_piece ? R"("boundary" where it is a piece, )" : "", others);
}

}  // namespace lastwright
