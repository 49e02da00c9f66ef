#include "grading/pieces/piece_texts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "grading/pieces/first/first_boundaries.hpp"
#include "grading/pieces/first/first_names.hpp"
#include "grading/pieces/first/first_open.hpp"

namespace lastwright {

PieceTexts::PieceTexts(const PatternDrawing& drawing, std::vector<TextedMark>& marks)
    : drawing_(drawing), marks_(marks), owners_(drawing, {}) {}

const DrawnText* PieceTexts::own(std::size_t outline) {
  std::vector<std::size_t> of_marks;
  const DrawnText* first = nullptr;
  for (const std::size_t i : texts_of(outline)) {
    const DrawnText& text = drawing_.drawing.texts[i];
    if (is_of_mark(i)) {
      of_marks.push_back(i);
    } else if (names_a_part(text.text)) {
      return &text;  // before what else is written there
    } else if (first == nullptr && !says_how_to_cut(text.text)) {
      first = &text;
    }
  }
  if (first != nullptr || of_marks.size() != 1) return first;
  std::erase_if(marks_, [&](const TextedMark& mark) { return mark.text == of_marks.front(); });
  return &drawing_.drawing.texts[of_marks.front()];
}

NameInside PieceTexts::inside(std::size_t outline, const std::string& other) const {
  NameInside part;
  NameInside word;
  for (const std::size_t i : texts_of(outline)) {
    if (is_of_mark(i)) continue;
    const DrawnText& text = drawing_.drawing.texts[i];
    if (says_how_to_cut(text.text)) continue;
    const std::string said = plain_name(text.text);
    if (!names_a_part(text.text)) {
      if (word.text == nullptr && !stands_elsewhere(i)) word = {&text, said, made_by_program(other), false};
    } else if (part.text == nullptr) {
      part = {&text, said, true, false};
    } else if (says_no_more(said, part.said)) {
      continue;
    } else if (!part.several && says_no_more(part.said, said)) {
      part = {&text, said, true, false};
    } else {
      part.said += ", " + said;
      part.several = true;
    }
  }
  if (part.text == nullptr) return word;
  part.names_it = !says_no_more(without_foot(part.said), other);
  return part;
}

std::string PieceTexts::other_of(const DrawnText& text, std::size_t outline) const {
  for (const PatternContour& other : drawing_.contours) {
    if (other.role || other.polygon.empty() || other.area >= drawing_.contours[outline].area ||
        extent_of(other.box) < kSmallestPiece || !inside_polygon(other.polygon, text.at))
      continue;
    return fmt::format(
        ", which lies in a closed line that is left out too, {}: it may be the name of that, and not of "
        "the piece",
        described(other));
  }
  return {};
}

bool PieceTexts::stands_elsewhere(std::size_t text) const {
  const std::vector<DrawnText>& all = drawing_.drawing.texts;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool inserted_again = !all[i].from.block.empty() && all[i].from.block == all[text].from.block;
    if (i != text && !inserted_again && plain_name(all[i].text) == plain_name(all[text].text)) return true;
  }
  return false;
}
bool PieceTexts::is_of_mark(std::size_t text) const {
  return std::any_of(marks_.begin(), marks_.end(), [&](const TextedMark& mark) { return mark.text == text; });
}
std::vector<std::size_t> PieceTexts::texts_of(std::size_t outline) const {
  std::vector<std::size_t> texts;
  for (const DrawnThing thing : owners_.things_of(outline)) {
    if (thing.kind == DrawnKind::kText && !plain_name(drawing_.drawing.texts[thing.index].text).empty())
      texts.push_back(thing.index);
  }
  return texts;
}

}  // namespace lastwright
