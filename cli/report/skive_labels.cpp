#include "cli/report/skive_labels.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/curve/course.hpp"

namespace lastwright {

namespace {

constexpr double kStep = 2.0;  // mm along the line from one place that is tried to the next
constexpr double kLean =
    0.09;  // radians, 5 degrees: upright texts that lean over a little are read from below

// A place of a label beside a line: how far along it, and how far to its left the middle of its letters lies.
struct Beside {
  double along = 0.0;
  double left = 0.0;
};

Beside nearest_on(const Course& course, Vec2 p) {
  Beside best;
  double least = std::numeric_limits<double>::infinity();
  constexpr double kLook = 0.5;  // mm
  for (double s = 0.0; s <= course.length(); s += kLook) {
    const Course::Station here = course.at(s);
    const double away = distance(here.at, p);
    if (away >= least) continue;
    least = away;
    best = {s, dot(p - here.at, left_of(here.along))};
  }
  return best;
}

SvgText label_at(const Course& course, const Beside& place, double height, double width) {
  const Course::Station here = course.at(place.along);
  const bool flipped = dot(here.along, turned({1.0, 0.0}, kLean)) < 0.0;
  const Vec2 reading = flipped ? -here.along : here.along;
  const Vec2 middle = here.at + place.left * left_of(here.along);
  return {.at = middle - 0.5 * width * reading - 0.5 * height * left_of(reading),
          .height = height,
          .angle = Radians(std::atan2(reading.y, reading.x)),
          .colour = style_of(Operation::kSkive).colour,
          .halo = true};
}

std::optional<SvgText> slid(const Course& course, const Beside& from, double left, double height,
                            const std::string& text, const LabelRoom& room, bool inside) {
  const double width = text_width(text) * height;
  for (double shift = 0.0; shift <= course.length(); shift += kStep) {
    for (const double along : {from.along - shift, from.along + shift}) {
      if (along < 0.5 * width || along > course.length() - 0.5 * width) continue;
      const SvgText there = label_at(course, {along, left}, height, width);
      if (room.free(there, text, inside)) return there;
    }
  }
  return std::nullopt;
}

SvgText place_label(const GradedPiece& piece, const SheetText& text, const LabelRoom& room) {
  const SvgText as_it_is{.at = text.at,
                         .height = text.height,
                         .angle = text.angle,
                         .colour = style_of(Operation::kSkive).colour,
                         .halo = true};
  const Vec2 along = turned({1.0, 0.0}, text.angle.value());
  const Vec2 middle =
      text.at + 0.5 * text_width(text.text) * text.height * along + 0.5 * text.height * left_of(along);
  const GradedLine* nearest = nullptr;
  double least = std::numeric_limits<double>::infinity();
  for (const GradedLine& line : piece.lines) {
    if (line.operation != Operation::kSkive || line.path.size() == 0) continue;
    const double away = distance_to(line.path, middle);
    if (away < least) {
      least = away;
      nearest = &line;
    }
  }
  if (nearest == nullptr) return as_it_is;
  const Course course(nearest->path);
  const Beside from = nearest_on(course, middle);
  for (const bool inside : {true, false}) {  // wholly in the piece, or wholly in the allowance
    if (auto there = slid(course, from, from.left, text.height, text.text, room, inside)) return *there;
  }
  for (const double off : {1.6, 4.5, 7.5, 10.5}) {
    const double beside = -std::copysign(off + 0.5 * text.height, from.left);
    if (auto there = slid(course, from, beside, text.height, text.text, room, true)) return *there;
  }
  return as_it_is;
}

}  // namespace

std::vector<SkiveLabel> place_skive_labels(const GradedPiece& piece, LabelRoom& room) {
  std::vector<SkiveLabel> placed;
  for (const SheetText& text : piece.texts) {
    if (text.operation != Operation::kSkive) continue;
    placed.push_back({place_label(piece, text, room), text.text});
    room.take(placed.back().style, text.text);
  }
  return placed;
}

void settle_skive_texts(const GradedPiece& piece, LabelRoom& room, std::vector<SheetText>& texts) {
  const std::vector<SkiveLabel> placed = place_skive_labels(piece, room);
  auto label = placed.begin();
  for (SheetText& text : texts) {
    if (text.operation != Operation::kSkive || label == placed.end()) continue;
    text.at = label->style.at;
    text.angle = label->style.angle;
    ++label;
  }
}

}  // namespace lastwright
