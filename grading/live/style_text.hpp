// The text of a style while it is worked on: every step is a few splices with a sentence, and can be taken
// back and done again. Taken back to the start, the text is byte for byte what it was.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grading/json/json_splice.hpp"

namespace lastwright {

struct TextStep {
  std::string says;             // what was done, as a sentence without a full stop
  std::vector<Splice> splices;  // in their order, each in the text that the one before it left
};

class StyleText {
 public:
  StyleText() = default;
  explicit StyleText(std::string text) : text_(std::move(text)) {}
  // As a draft kept it: `done` led to `text`, `undone` may be done again, the last first. Refuses steps that
  // do not fit the text.
  static Result<StyleText> resumed(std::string text, std::vector<TextStep> done,
                                   std::vector<TextStep> undone);

  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] const std::vector<TextStep>& done() const { return done_; }
  [[nodiscard]] const std::vector<TextStep>& undone() const { return undone_; }

  // All edits or none; each sees what the one before it left. What had been taken back is forgotten. Edits
  // that change nothing are no step.
  Status change(std::string says, const std::vector<JsonEdit>& edits);
  // The whole text anew, as one step that splices what differs.
  void replace(std::string says, std::string_view text);
  // Back or forth until so many steps are done. Precondition: there are as many.
  void go_to(std::size_t done);

 private:
  std::string text_;
  std::vector<TextStep> done_;
  std::vector<TextStep> undone_;  // the next to do again is the last
};

}  // namespace lastwright
