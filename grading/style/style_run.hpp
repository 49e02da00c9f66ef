// The sizes and widths a style is made in.
#pragma once

#include "grading/sizes/size_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// The run of a style. Places of problems are pointers into
// the style file: "/run/from", "/run/widths/2", "/base/size".
Result<SizeRun> size_run(const StyleSpec& style, const Scale& scale, const Ladder& ladder);

}  // namespace lastwright
