// The sizes and widths that something is made in, and any part of them.
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "grading/sizes/scale.hpp"

namespace lastwright {

// "8.5" and "8 1/2" are one label.
bool same_label(const std::string& made, const std::string& asked);

struct SizeRun {
  std::vector<Size> sizes;    // ascending
  std::vector<Width> widths;  // narrowest first
  SizeWidth base;             // need not be part of the run
  // Where the sizes that pieces name (for allowances, ties) stand on the scale, by their labels. They need
  // not be part of the run.
  std::map<std::string, Fraction> named = {};
  // All the style asks for, also where this is a part of it or has places between: what labels in the style
  // mean.
  std::vector<Size> stated_sizes = {};
  std::vector<Width> stated_widths = {};

  // Every size in every width, sizes outermost.
  [[nodiscard]] std::vector<SizeWidth> cells() const;
  [[nodiscard]] std::size_t count() const { return sizes.size() * widths.size(); }
  // The part with these labels, in the order of the run; an empty list means all. Refuses labels outside the
  // run, naming what it holds. "5" and "5.0" are one label.
  [[nodiscard]] Result<SizeRun> part(std::span<const std::string> size_labels,
                                     std::span<const std::string> width_labels) const;
};

}  // namespace lastwright
