#include "cli/report/piece_caption.hpp"

#include <algorithm>
#include <numbers>

namespace lastwright {

namespace {

constexpr double kCaptionStep = 3.0;  // mm from one place that is tried to the next

// From the middle of the piece outwards.
std::vector<Vec2> places_in(const Box2& box) {
  const Vec2 middle = box.centre();
  std::vector<Vec2> places;
  const int across = static_cast<int>(0.5 * box.width() / kCaptionStep);
  const int up = static_cast<int>(0.5 * box.height() / kCaptionStep);
  for (int i = -across; i <= across; ++i) {
    for (int k = -up; k <= up; ++k) places.push_back(middle + kCaptionStep * Vec2{double(i), double(k)});
  }
  std::stable_sort(places.begin(), places.end(),
                   [&](Vec2 a, Vec2 b) { return distance(a, middle) < distance(b, middle); });
  return places;
}

}  // namespace

std::vector<SheetText> piece_caption(const GradedPiece& piece, const std::string& first,
                                     const std::string& second, LabelRoom& room) {
  const std::vector<std::string> one{first + " " + second};
  const std::vector<std::string> two{first, second};
  const std::vector<Vec2> places = places_in(bounds(piece.net.path));
  for (const double height : {2.5, 2.0, 1.6, 1.3, 1.0}) {
    for (const double angle : {0.0, 0.5 * std::numbers::pi}) {
      const Vec2 down = -left_of(turned({1.0, 0.0}, angle));
      for (const std::vector<std::string>* lines : {&one, &two}) {
        const auto line_at = [&](Vec2 middle, std::size_t line) {
          const double below = 1.8 * height * (static_cast<double>(line) - 0.5 * double(lines->size() - 1));
          return SvgText{.at = middle + (below + 0.5 * height) * down,
                         .height = height,
                         .angle = Radians(angle),
                         .anchor = Anchor::kMiddle};
        };
        for (const Vec2 place : places) {
          bool free = true;
          for (std::size_t n = 0; free && n < lines->size(); ++n)
            free = room.free(line_at(place, n), (*lines)[n], true);
          if (!free) continue;
          std::vector<SheetText> caption;
          for (std::size_t n = 0; n < lines->size(); ++n) {
            const SvgText style = line_at(place, n);
            const Vec2 half = 0.5 * text_width((*lines)[n]) * height * turned({1.0, 0.0}, angle);
            room.take(style, (*lines)[n]);
            caption.push_back({style.at - half, height, style.angle, (*lines)[n], Operation::kText});
          }
          return caption;
        }
      }
    }
  }
  return {};
}

}  // namespace lastwright
