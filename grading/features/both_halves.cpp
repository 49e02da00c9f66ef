#include "grading/features/both_halves.hpp"

#include <cmath>
#include <utility>

#include "geometry/tolerance.hpp"
#include "grading/features/feature_count.hpp"

namespace lastwright {

bool BothHalves::off_fold(Vec2 p) const {
  return mirror_ && std::abs(mirror_->side(p)) > tolerance::kMapped.value();
}

bool BothHalves::twice(bool usual) const {
  return mirror_ && stated_.value_or(usual);
}

void BothHalves::add_hole(const GradedHole& hole, bool mirrored) {
  placed_.holes.push_back(hole);
  if (twice(true) && mirrored && off_fold(hole.centre))
    placed_.holes.push_back({(*mirror_)(hole.centre), hole.radius, hole.operation});
}

void BothHalves::add_line(GradedLine line, bool mirrored) {
  if (twice(true) && mirrored) {
    PlacedFeature alone;
    alone.lines.push_back(line);
    if (off_mirror_image(alone, *mirror_).first > tolerance::kMapped.value())
      placed_.lines.push_back({mirror_->image(line.path), line.operation});
  }
  placed_.lines.push_back(std::move(line));
}

void BothHalves::add_text(Vec2 at, double height, Vec2 along, const std::string& text) {
  const auto add = [&](Vec2 from, Vec2 reading) {
    placed_.texts.push_back(
        {from, height, Radians(std::atan2(reading.y, reading.x)), text, Operation::kText});
  };
  add(at, along);
  if (!twice(false) || !off_fold(at)) return;
  const Vec2 head = (*mirror_)(at + height * left_of(along));
  add(head, (*mirror_)(at + height * left_of(along) + along) - head);
}

void BothHalves::add_cut_out(const ClosedArcPath& path, Vec2 middle) {
  placed_.cut_outs.push_back(path);
  if (twice(true) && off_fold(middle)) placed_.cut_outs.push_back(reversed(mirror_->image(path)));
}

}  // namespace lastwright
