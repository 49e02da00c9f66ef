// A style of measures only, for a last that measures this: what a last maker has who has no pattern.
#pragma once

#include <fmt/format.h>

#include <string>
#include <tuple>

#include "grading/lasts/base_last.hpp"

namespace lastwright {

inline std::string measures_only(const BaseLast& last) {
  const auto value = [&last](const std::string& measure) {
    for (std::size_t i = 0; i < last.definitions.size(); ++i) {
      if (last.definitions[i].measure == measure) return last.values[i].value;
    }
    return 0.0;
  };
  std::string rows;
  for (const auto& [measure, size, width] : {std::tuple{"stick length", "1/3 in", "0"},
                                             {"ball girth", "1/4 in", "1/4 in"},
                                             {"waist girth", "1/4 in", "1/4 in"},
                                             {"instep girth", "1/4 in", "1/4 in"},
                                             {"tread", "1/12 in", "1/9 in"},
                                             {"seat", "1/16 in", "1/18 in"}}) {
    rows += fmt::format(R"({}"{}": {{"base": "{:.4f} mm", "per_size": "{}", "per_width": "{}"}})",
                        rows.empty() ? "" : ", ", measure, value(measure), size, width);
  }
  return fmt::format(
      R"({{"lastwright_style": 1, "name": "alone", "scale": "english", "ladder": "english-letters",
    "base": {{"size": "8", "width": "F"}}, "run": {{"from": "5", "to": "11", "widths": ["D", "E", "F", "G", "H"]}},
    "measures": {{{}}}}})",
      rows);
}

}  // namespace lastwright
