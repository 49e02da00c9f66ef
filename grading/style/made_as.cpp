#include "grading/style/made_as.hpp"

#include <algorithm>
#include <utility>

#include "grading/sizes/stated_run.hpp"

namespace lastwright {

namespace {

std::optional<Size> group_made_as(const std::vector<SizeTie>& groups, const SizeRun& run, const Size& size) {
  for (const SizeTie& group : groups) {
    if (size.position < run.named.at(group.from) || run.named.at(group.to) < size.position) continue;
    const Fraction as = run.named.at(group.as);
    for (const Size& one : stated_sizes(run)) {
      if (one.position == as) return one;
    }
  }
  return std::nullopt;
}

// Place of the base width among the stated ones; the middle where it is none of them.
std::size_t base_place(const std::vector<Width>& widths, const Width& base) {
  const auto own = std::find_if(widths.begin(), widths.end(),
                                [&](const Width& width) { return width.position == base.position; });
  return own == widths.end() ? widths.size() / 2 : static_cast<std::size_t>(own - widths.begin());
}

}  // namespace

std::optional<SizeWidth> outline_made_as(const PieceSpec& piece, const SizeRun& run, const SizeWidth& at) {
  const std::optional<Size> as = group_made_as(piece.sizes_tied, run, at.size);
  if (!as || !run.knows({*as, at.width})) return std::nullopt;
  return SizeWidth{*as, at.width};
}

std::optional<SizeWidth> cut_outs_made_as(const PieceSpec& piece, const SizeRun& run, const SizeWidth& at) {
  const std::optional<Size> as = group_made_as(piece.cut_outs_held, run, at.size);
  if (!as) return std::nullopt;
  const std::vector<Width>& widths = stated_widths(run);
  const std::size_t base = base_place(widths, run.base.width);
  std::optional<std::size_t> nearest;
  const auto off = [&](std::size_t place) { return place < base ? base - place : place - base; };
  for (std::size_t w = 0; w < widths.size(); ++w) {
    if (run.knows({*as, widths[w]}) && (!nearest || off(w) < off(*nearest))) nearest = w;
  }
  if (!nearest) return std::nullopt;
  return SizeWidth{*as, widths[*nearest]};
}

SizeRun with_made_as(SizeRun part, const SizeRun& whole, const std::vector<PieceSpec>& pieces) {
  for (const SizeWidth& at : part.cells()) {
    for (const PieceSpec& piece : pieces) {
      for (const auto& as : {outline_made_as(piece, whole, at), cut_outs_made_as(piece, whole, at)}) {
        if (as && !part.knows(*as)) part.also.push_back(*as);
      }
    }
  }
  return part;
}

}  // namespace lastwright
