// A name of a style as messages cite it.
#pragma once

#include <string>
#include <string_view>

#include "grading/json/json_text.hpp"

namespace lastwright {

// In quotes, as JSON writes it, and cut short where it is long.
inline std::string cited(std::string_view name) {
  return shown(Json(name));
}

}  // namespace lastwright
