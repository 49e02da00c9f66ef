#include "grading/live/style_text.hpp"

#include <algorithm>
#include <utility>

#include "geometry/invariant.hpp"

namespace lastwright {

namespace {

bool fits(std::string_view text, const Splice& splice) {
  return splice.at <= text.size() && text.substr(splice.at, splice.removed.size()) == splice.removed;
}

// The text with a step taken back or done; false where it does not fit.
bool take_back(const TextStep& step, std::string& text) {
  for (auto splice = step.splices.rbegin(); splice != step.splices.rend(); ++splice) {
    const Splice back = reversed(*splice);
    if (!fits(text, back)) return false;
    text = spliced(text, back);
  }
  return true;
}
bool do_again(const TextStep& step, std::string& text) {
  for (const Splice& splice : step.splices) {
    if (!fits(text, splice)) return false;
    text = spliced(text, splice);
  }
  return true;
}

}  // namespace

Result<StyleText> StyleText::resumed(std::string text, std::vector<TextStep> done,
                                     std::vector<TextStep> undone) {
  StyleText out(text);
  std::string forth = text;
  const bool back =
      std::all_of(done.rbegin(), done.rend(), [&](const TextStep& step) { return take_back(step, text); });
  const bool again = std::all_of(undone.rbegin(), undone.rend(),
                                 [&](const TextStep& step) { return do_again(step, forth); });
  if (!back || !again) return bad_value("the steps of the draft do not fit its text");
  out.done_ = std::move(done);
  out.undone_ = std::move(undone);
  return out;
}

Status StyleText::change(std::string says, const std::vector<JsonEdit>& edits) {
  TextStep step{std::move(says), {}};
  std::string text = text_;
  for (const JsonEdit& edit : edits) {
    Result<Splice> splice = splice_of(text, edit);
    if (!splice) return splice.problem();
    if (splice->removed == splice->put) continue;
    text = spliced(text, *splice);
    step.splices.push_back(*std::move(splice));
  }
  if (step.splices.empty()) return Done{};
  text_ = std::move(text);
  done_.push_back(std::move(step));
  undone_.clear();
  return Done{};
}

void StyleText::go_to(std::size_t done) {
  invariant(done <= done_.size() + undone_.size(), "there are as many steps");
  while (done_.size() > done) {
    invariant(take_back(done_.back(), text_), "a step that was done can be taken back");
    undone_.push_back(std::move(done_.back()));
    done_.pop_back();
  }
  while (done_.size() < done) {
    invariant(do_again(undone_.back(), text_), "a step that was taken back can be done again");
    done_.push_back(std::move(undone_.back()));
    undone_.pop_back();
  }
}

}  // namespace lastwright
