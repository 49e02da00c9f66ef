#include "grading/pieces/drawing/drawn_marks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "geometry/io/drawn_place.hpp"
#include "geometry/tolerance.hpp"
#include "grading/sizes/suggest.hpp"
#include "grading/sizes/trimmed.hpp"

namespace lastwright {

namespace {

constexpr double kTextReach = 3.0;    // text heights: further off nobody takes it for the mark's name
constexpr double kLetterWidth = 0.7;  // of the height: what a letter of a drawing takes, roughly

// From a place to the box of a text.
double distance_to(const DrawnText& text, Vec2 p) {
  const Vec2 along{std::cos(text.angle.value()), std::sin(text.angle.value())};
  const double width = kLetterWidth * text.height * static_cast<double>(text.text.size());
  const Vec2 off = p - text.at;
  const double x = dot(off, along);
  const double y = cross(along, off);
  return std::hypot(std::max({-x, x - width, 0.0}), std::max({-y, y - text.height, 0.0}));
}

Problem not_found(std::string message) {
  return bad_value(std::move(message));
}

// The mark that one text names.
Result<Vec2> mark_beside(const Drawing& drawing, const DrawnText& text, const std::vector<Vec2>& marks) {
  struct Near {
    double off;
    Vec2 at;
  };
  std::vector<Near> near;
  bool others = false;
  for (const Vec2 at : marks) {
    const double off = distance_to(text, at);
    if (off > kTextReach * text.height) continue;
    const bool nearest =
        std::none_of(drawing.texts.begin(), drawing.texts.end(), [&](const DrawnText& other) {
          return &other != &text && other.text != text.text && distance_to(other, at) < off;
        });
    if (nearest) {
      near.push_back({off, at});
    } else {
      others = true;
    }
  }
  const std::string where = drawn_place(drawing, text.at);
  if (near.empty()) {
    return not_found(fmt::format("the text \"{}\" at {} has no mark beside it: {}", text.text, where,
                                 others ? "other texts are nearer to each that is near"
                                        : "no POINT or CIRCLE within three text heights"));
  }
  std::sort(near.begin(), near.end(), [](const Near& a, const Near& b) { return a.off < b.off; });
  if (near.size() > 1 && near[1].off < near[0].off + 0.5 * text.height) {
    return not_found(fmt::format("the text \"{}\" at {} has two marks beside it, {} and {}: move it to one",
                                 text.text, where, drawn_place(drawing, near[0].at),
                                 drawn_place(drawing, near[1].at)));
  }
  return near.front().at;
}

}  // namespace

std::vector<Vec2> drawn_marks(const Drawing& drawing) {
  std::vector<Vec2> marks;
  const auto add = [&](Vec2 at) {
    const bool known = std::any_of(marks.begin(), marks.end(), [&](Vec2 one) {
      return distance(one, at) <= tolerance::kSamePoint.value();
    });
    if (!known) marks.push_back(at);
  };
  for (const DrawnPoint& point : drawing.points) add(point.at);
  for (const DrawnCircle& circle : drawing.circles) add(circle.centre);
  return marks;
}

std::size_t mark_cost(const Drawing& drawing) {
  const std::size_t marks = drawing.points.size() + drawing.circles.size();
  return marks * (marks + drawing.texts.size()) + drawing.texts.size();
}

Result<Vec2> mark_named(const Drawing& drawing, std::string_view name) {
  const std::vector<Vec2> marks = drawn_marks(drawing);
  std::optional<Vec2> found;
  std::vector<std::string> known;
  for (const DrawnText& text : drawing.texts) {
    known.push_back(text.text);
    if (trimmed(text.text) != name) continue;
    const Result<Vec2> mark = mark_beside(drawing, text, marks);
    if (!mark) return mark.problem();
    if (found && distance(*found, *mark) > tolerance::kSamePoint.value()) {
      return not_found(fmt::format("two marks are named \"{}\", at {} and {}", name,
                                   drawn_place(drawing, *found), drawn_place(drawing, *mark)));
    }
    found = *mark;
  }
  if (found) return *found;
  return not_found(fmt::format("no text of the drawing says \"{}\"{}", name, suggestion(name, known)));
}

}  // namespace lastwright
