// Tracing paper: a changed drawing laid over the one a style
// was made from, and two versions of a style over each other.
#pragma once

#include <string>

#include "grading/jobs/load_style.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

struct BenchVersion {
  std::string path;  // of the style file
  std::string text;  // of the style
};

// {"drawing": the style's key for the old drawing, "file": a DXF beside the style, "slide": true, "reach":
// 12}. `answer`: {"found", "moved", "edges", "told", "problems", "trace": [{"piece", "was", "now"}]}, lines
// in 0.01 mm. The new text is empty where not everything is found again.
struct BenchRedraw {
  std::string text;
  Json answer;
};
Result<BenchRedraw> redraw_on_bench(const BenchVersion& style, const LoadStyleOptions& files,
                                    const Json& asked);

// What differs from `was` to `now`, as compare_json has it, with "trace" as above.
Result<Json> compare_on_bench(const BenchVersion& was, const BenchVersion& now, const LoadStyleOptions& files,
                              unsigned threads);

}  // namespace lastwright
