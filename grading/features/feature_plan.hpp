// Features made ready for the whole size run: names looked up, labels turned into places of the scale.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "grading/sizes/size_run.hpp"
#include "grading/style/feature_spec.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct PlannedFeature {
  std::vector<std::uint16_t> edges;  // indices of the edges it names, in its order
  std::vector<std::uint32_t> spots;  // indices into FeaturePlan::spots, in its order
  struct Stretch {
    Fraction from;  // positions of sizes, both included
    Fraction to;
    int count = 1;
  };
  std::vector<Stretch> counts;
  struct Marks {
    Fraction position;  // of the size or the width
    std::vector<int> marks;
  };
  std::vector<Marks> marks;
  CodeOf of = CodeOf::kSize;
};

struct FeaturePlan {
  std::string style;
  std::optional<std::uint16_t> fold;     // index of the edge on the fold
  std::vector<Vec2> spots;               // drawn places that grade with the forme
  std::vector<PlannedFeature> features;  // as PieceSpec::features
};

// Fails when a code leaves out a size or width of the style's run or a count names a size outside it; the
// Problem names the piece and the feature. `piece` has passed feature_faults.
Result<FeaturePlan> plan_features(const StyleSpec& style, const PieceSpec& piece, const FormeSpec& forme,
                                  const SizeRun& run);

// How many a row has in this size; nothing: as many as fit its pitch.
std::optional<int> count_in(const RowSpacing& spacing, const PlannedFeature& planned, const Size& size);
// The marks of a size and width; none for a size between those of the run.
std::span<const int> marks_in(const PlannedFeature& planned, const SizeWidth& at);

}  // namespace lastwright
