#include "grading/pieces/first/first_marks.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "grading/pieces/first/first_names.hpp"
#include "grading/sizes/trimmed.hpp"

namespace lastwright {

namespace {

constexpr double kBesideMark = 4.0;     // mm
constexpr double kLargestMark = 1.0;    // mm, radius: what is larger is a hole
constexpr double kHeightsBeside = 1.5;  // of the text's height

}  // namespace

std::vector<TextedMark> texted_marks(const PatternDrawing& drawing) {
  std::vector<Vec2> places;
  for (const DrawnPoint& point : drawing.drawing.points) {
    if (drawing.role(point.from) != LayerRole::kNotches) places.push_back(point.at);
  }
  for (const DrawnCircle& circle : drawing.drawing.circles) {
    if (circle.radius <= kLargestMark) places.push_back(circle.centre);
  }
  struct Pairing {
    double distance = 0.0;
    std::size_t text = 0;
  };
  std::map<std::size_t, Pairing> of_place;  // its nearest text
  for (std::size_t t = 0; t < drawing.drawing.texts.size(); ++t) {
    const DrawnText& text = drawing.drawing.texts[t];
    if (plain_name(text.text).empty()) continue;
    const double within = std::max(kBesideMark, kHeightsBeside * text.height);
    std::size_t best = places.size();
    double least = within;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const double off = distance(places[i], text.at);
      if (off > least) continue;
      least = off;
      best = i;
    }
    if (best == places.size()) continue;
    const auto found = of_place.find(best);
    if (found == of_place.end() || least < found->second.distance) of_place[best] = {least, t};
  }
  std::vector<TextedMark> marks;
  for (const auto& [place, pairing] : of_place) {
    const std::string& written = drawing.drawing.texts[pairing.text].text;
    marks.push_back({plain_name(written), std::string(trimmed(written)), places[place], pairing.text});
  }
  return marks;
}

}  // namespace lastwright
