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

// A draft is JSON: no splice may cut a character in two.
void StyleText::replace(std::string says, std::string_view text) {
  const auto inside = [](std::string_view of, std::size_t at) {
    return at < of.size() && (static_cast<unsigned char>(of[at]) & 0xC0U) == 0x80U;
  };
  const std::string_view old = text_;
  const std::size_t shorter = std::min(old.size(), text.size());
  std::size_t at = 0;
  while (at < shorter && old[at] == text[at]) ++at;
  while (at > 0 && (inside(old, at) || inside(text, at))) --at;
  std::size_t same = 0;
  while (same < shorter - at && old[old.size() - same - 1] == text[text.size() - same - 1]) ++same;
  while (same > 0 && inside(old, old.size() - same)) --same;
  Splice splice{at, std::string(old.substr(at, old.size() - same - at)),
                std::string(text.substr(at, text.size() - same - at))};
  if (splice.removed.empty() && splice.put.empty()) return;
  text_ = spliced(text_, splice);
  done_.push_back({std::move(says), {std::move(splice)}});
  undone_.clear();
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
