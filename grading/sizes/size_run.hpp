// The sizes and widths that something is made in, and any part of them.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <utility>
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
  // All the style asks for, also where this is a part of it
  // or has places between: what labels in the style mean.
  std::vector<Size> stated_sizes = {};
  std::vector<Width> stated_widths = {};

  // Where not every size is made in every width: sizes x widths, sizes outermost. Empty: every one is. Each
  // size and each width has at least one place that is made.
  std::vector<bool> made = {};

  // Of a part of a run: what is not made in it, but what pieces of it are made as (grading/style/made_as).
  std::vector<SizeWidth> also = {};

  [[nodiscard]] bool whole() const { return made.empty(); }
  // By place in the lists; and by position, also for what neither list holds.
  [[nodiscard]] bool makes(std::size_t size, std::size_t width) const {
    return made.empty() || made[size * widths.size() + width];
  }
  [[nodiscard]] bool makes(const SizeWidth& at) const;
  // Whether it is made, or `also` there.
  [[nodiscard]] bool knows(const SizeWidth& at) const;
  // What is made, sizes outermost.
  [[nodiscard]] std::vector<SizeWidth> cells() const;
  [[nodiscard]] std::size_t count() const;
  // The place among the cells; empty for what is not made.
  [[nodiscard]] std::optional<std::size_t> cell(std::size_t size, std::size_t width) const;
  [[nodiscard]] std::vector<std::size_t> made_widths(std::size_t size) const;
  [[nodiscard]] std::vector<std::size_t> made_sizes(std::size_t width) const;
  // Size and width of what has nothing made beyond it in one direction of sizes and one of widths: the four
  // corners of a whole run. All that is made lies within the hull of these.
  [[nodiscard]] std::vector<std::pair<std::size_t, std::size_t>> corners() const;
  [[nodiscard]] std::string widths_of(std::size_t size) const;  // "E, F"
  [[nodiscard]] std::string sizes_of(std::size_t width) const;  // "7, 7.5, 8"
  // The part with these labels, in the order of the run; an empty list means all. Refuses labels outside the
  // run, naming what it holds, and a label that is made in none of the others asked for. "5" and "5.0" are
  // one label. Of a list that is not given only what is made stays.
  [[nodiscard]] Result<SizeRun> part(std::span<const std::string> size_labels,
                                     std::span<const std::string> width_labels) const;
};

}  // namespace lastwright
