// Proves a redrawn style: it is loaded with its new drawings, each corner must be where it was found, and
// every command must be able to grade it, where the old one could be graded.
#pragma once

#include <map>
#include <set>
#include <string>

#include "grading/redraw/redraw_style.hpp"

namespace lastwright {

struct RedrawProof {
  const std::string& path;  // of the old style; the new one is read as if it stood there
  const RedrawOptions& options;
  const LoadedStyle& old;
  const std::map<std::string, Vec2>& corners;  // where each was found, by its pointer
};

// The redrawn style as it would be loaded, with its files as they are found from where the old one stands.
Checked<LoadedStyle> load_redrawn(const RedrawProof& proof, const std::string& text);

// Adds to the problems what does not hold, and to what is told what is said of the new drawings and was not
// said of the old ones.
void prove_redraw(const RedrawProof& proof, Redraw& redraw);

}  // namespace lastwright
