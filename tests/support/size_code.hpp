// Blobs whose nicks tell the size, or the width, by a code of the style, the same in each other one.
#pragma once

#include "tests/support/blob_style.hpp"

namespace lastwright::test {

inline void add_code(BlobStyle& blobs, MarkCode code) {
  for (PieceSpec& piece : blobs.style.pieces) {
    FeatureSpec feature;
    feature.name = code.name;
    SizeMarksWork work;
    work.code = code.name;
    feature.work = std::move(work);
    piece.features.push_back(std::move(feature));
  }
  blobs.style.codes.push_back(std::move(code));
}

inline void add_size_code(BlobStyle& blobs, const SizeRun& run) {
  blobs.size_nicks = true;
  MarkCode code{"sizes", CodeOf::kSize, {}};
  for (std::size_t s = 0; s < run.sizes.size(); ++s) {
    std::vector<int> marks;
    for (int k = 1; k <= static_cast<int>(s); ++k) marks.push_back(k);
    code.marks.emplace_back(run.sizes[s].label, std::move(marks));
  }
  add_code(blobs, std::move(code));
}

inline void add_width_code(BlobStyle& blobs, const SizeRun& run) {
  blobs.width_nicks = true;
  MarkCode code{"widths", CodeOf::kWidth, {}};
  for (std::size_t w = 0; w < run.widths.size(); ++w) {
    std::vector<int> marks;
    for (int k = 1; k <= static_cast<int>(w) + 1; ++k) marks.push_back(k);
    code.marks.emplace_back(run.widths[w].label, std::move(marks));
  }
  add_code(blobs, std::move(code));
}

}  // namespace lastwright::test
