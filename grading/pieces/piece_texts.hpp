// What the texts inside an outline call the piece that it is.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "grading/pieces/drawing/ownership.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/pieces/first/first_marks.hpp"

namespace lastwright {

struct NameInside {
  const DrawnText* text = nullptr;  // nothing inside is a name
  std::string said;
  bool names_it = false;  // rather than the name that the piece has elsewhere
  bool several = false;   // words of the trade that are not one name, all of them in `said`
};

class PieceTexts {
 public:
  // Both are kept by reference.
  PieceTexts(const PatternDrawing& drawing, std::vector<TextedMark>& marks);

  // Of a piece that has no other name: a word of the trade before all else that is written there, and never a
  // number, a size or how often to cut. A text beside a mark names the mark, unless it is the only one; the
  // mark then goes.
  const DrawnText* own(std::size_t outline);

  // Of a piece that is called `other` by its block or its layer. A word of the trade names it, unless it says
  // nothing but which foot that `other` does not say; what is none does where a program made `other` up, and
  // it is written in no other place: a style's name is in all pieces.
  [[nodiscard]] NameInside inside(std::size_t outline, const std::string& other) const;

  // Of a text that lies in what is left out as well, nearer round it: what that is, in words; else "".
  [[nodiscard]] std::string other_of(const DrawnText& text, std::size_t outline) const;

 private:
  [[nodiscard]] std::vector<std::size_t> texts_of(std::size_t outline) const;  // those that say anything
  [[nodiscard]] bool is_of_mark(std::size_t text) const;
  [[nodiscard]] bool stands_elsewhere(std::size_t text) const;

  const PatternDrawing& drawing_;
  std::vector<TextedMark>& marks_;
  Owners owners_;  // of all boundaries
};

}  // namespace lastwright
