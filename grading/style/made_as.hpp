// Which size and width the outline of a tied piece, or the shape of its held cut-outs, is made as.
#pragma once

#include <optional>

#include "grading/sizes/size_run.hpp"
#include "grading/style/piece_spec.hpp"

namespace lastwright {

// Of "sizes_tied": the size that the group is made as, in the same width. None: the size is in no group, or
// the run knows nothing of the one it is made as (SizeRun::knows).
std::optional<SizeWidth> outline_made_as(const PieceSpec& piece, const SizeRun& run, const SizeWidth& at);

// Of "cut_outs_held": the size that the group is held as, in the base width; where the run knows it in others
// only, in the nearest by place among the widths that the style states. One shape for all widths.
std::optional<SizeWidth> cut_outs_made_as(const PieceSpec& piece, const SizeRun& run, const SizeWidth& at);

// A part of a run, which also knows what pieces made in it are made as, wherever the whole run has that.
SizeRun with_made_as(SizeRun part, const SizeRun& whole, const std::vector<PieceSpec>& pieces);

}  // namespace lastwright
