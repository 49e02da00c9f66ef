#include "grading/jobs/grade_selection.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

namespace lastwright {

namespace {

Result<std::vector<std::size_t>> pick(const std::vector<std::string>& asked,
                                      const std::vector<std::string>& known, const char* option,
                                      const char* what) {
  std::vector<std::size_t> picked;
  if (asked.empty()) {
    for (std::size_t i = 0; i < known.size(); ++i) picked.push_back(i);
    return picked;
  }
  for (const std::string& name : asked) {
    const auto at = std::find(known.begin(), known.end(), name);
    if (at == known.end()) {
      std::string all;
      for (const std::string& k : known) all += (all.empty() ? "" : ", ") + k;
      return Problem{Trouble::kUsage,
                     fmt::format("{}: the style has no {} '{}'; it has {}", option, what, name, all),
                     {},
                     {},
                     {}};
    }
    picked.push_back(static_cast<std::size_t>(at - known.begin()));
  }
  std::sort(picked.begin(), picked.end());
  picked.erase(std::unique(picked.begin(), picked.end()), picked.end());
  return picked;
}

}  // namespace

Result<GradeSelection> select(const StyleGrade& grade, const SelectionOptions& options) {
  std::vector<std::string> pieces;
  for (const PreparedPiece& piece : grade.pieces) pieces.push_back(piece.bound.spec.name);
  auto picked_pieces = pick(options.pieces, pieces, "--pieces", "piece");
  if (!picked_pieces) return picked_pieces.problem();
  const auto part = grade.run.part(options.sizes, options.widths);
  if (!part) return part.problem();
  GradeSelection selection{std::move(*picked_pieces), {}, {}, {}};
  for (std::size_t s = 0; s < grade.run.sizes.size(); ++s) {
    for (const Size& size : part->sizes) {
      if (size.position == grade.run.sizes[s].position) selection.sizes.push_back(s);
    }
  }
  for (std::size_t w = 0; w < grade.run.widths.size(); ++w) {
    for (const Width& width : part->widths) {
      if (width.position == grade.run.widths[w].position) selection.widths.push_back(w);
    }
  }
  for (const std::size_t s : selection.sizes) {
    for (const std::size_t w : selection.widths) {
      if (grade.run.makes(s, w)) selection.cells.push_back(grade.cell(s, w));
    }
  }
  return selection;
}

bool GradeSelection::holds(const StyleGrade& grade, std::size_t size, std::size_t width) const {
  return grade.run.makes(size, width) &&
         std::binary_search(cells.begin(), cells.end(), grade.cell(size, width));
}

std::vector<std::size_t> GradeSelection::sizes_in(const StyleGrade& grade, std::size_t width) const {
  std::vector<std::size_t> some;
  std::copy_if(sizes.begin(), sizes.end(), std::back_inserter(some),
               [&](std::size_t size) { return holds(grade, size, width); });
  return some;
}

std::vector<std::size_t> GradeSelection::widths_of(const StyleGrade& grade, std::size_t size) const {
  std::vector<std::size_t> some;
  std::copy_if(widths.begin(), widths.end(), std::back_inserter(some),
               [&](std::size_t width) { return holds(grade, size, width); });
  return some;
}

}  // namespace lastwright
