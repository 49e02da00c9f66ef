// Blobs whose nicks tell the size by a code of the style, the same in every width.
#pragma once

#include "tests/support/blob_style.hpp"

namespace lastwright::test {

inline void add_size_code(BlobStyle& blobs, const SizeRun& run) {
  blobs.size_nicks = true;
  MarkCode code{"sizes", CodeOf::kSize, {}};
  for (std::size_t s = 0; s < run.sizes.size(); ++s) {
    std::vector<int> marks;
    for (int k = 1; k <= static_cast<int>(s); ++k) marks.push_back(k);
    code.marks.emplace_back(run.sizes[s].label, std::move(marks));
  }
  blobs.style.codes = {std::move(code)};
  for (PieceSpec& piece : blobs.style.pieces) {
    FeatureSpec feature;
    feature.name = "size";
    SizeMarksWork work;
    work.code = "sizes";
    feature.work = std::move(work);
    piece.features = {std::move(feature)};
  }
}

}  // namespace lastwright::test
