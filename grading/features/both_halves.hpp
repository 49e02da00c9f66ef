// What is made on one half of a piece that is cut double, and its mirror image on the other half.
#pragma once

#include <optional>
#include <string>

#include "grading/features/feature_place.hpp"
#include "grading/pieces/mirror.hpp"

namespace lastwright {

// Puts single works of one feature where they belong: on both halves, where the feature's `stated`
// both_halves or else what is usual for its kind says so, and nothing twice that lies on the fold. Of a piece
// without a fold (no `mirror`) each is there once.
class BothHalves {
 public:
  BothHalves(const std::optional<Mirror>& mirror, std::optional<bool> stated, PlacedFeature& placed)
      : mirror_(mirror), stated_(stated), placed_(placed) {}

  [[nodiscard]] bool off_fold(Vec2 p) const;
  [[nodiscard]] bool twice(bool usual) const;

  // `mirrored`: false for what runs through the fold and is whole already.
  void add_hole(const GradedHole& hole, bool mirrored);
  // Once where it is its own mirror image, straight across the fold.
  void add_line(GradedLine line, bool mirrored);
  // On the other half the text fills the mirror image of the same place, and can be read there.
  void add_text(Vec2 at, double height, Vec2 along, const std::string& text);
  void add_cut_out(const ClosedArcPath& path, Vec2 middle);

 private:
  const std::optional<Mirror>& mirror_;
  std::optional<bool> stated_;
  PlacedFeature& placed_;
};

}  // namespace lastwright
