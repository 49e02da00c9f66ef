#include "grading/style/drawn_feet.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/style/foot_words.hpp"
#include "grading/style/seam_feet.hpp"

namespace lastwright {

namespace {

using PieceNames = std::vector<std::string>;

PieceNames of_foot(const StyleSpec& style, const PieceNames& pieces, const std::string& foot) {
  PieceNames names;
  for (const std::string& piece : pieces) {
    if (drawn_foot_of(style, piece) == foot) names.push_back(piece);
  }
  return names;
}

}  // namespace

std::string drawn_foot_of(const StyleSpec& style, const PieceSpec& piece) {
  return piece.drawn_foot.empty() ? style.drawn_foot : piece.drawn_foot;
}

std::string drawn_foot_of(const StyleSpec& style, const std::string& piece) {
  const auto found = std::find_if(style.pieces.begin(), style.pieces.end(),
                                  [&](const PieceSpec& one) { return one.name == piece; });
  return found == style.pieces.end() ? std::string() : drawn_foot_of(style, *found);
}

std::string common_foot(const StyleSpec& style, const PieceNames& pieces) {
  if (pieces.empty()) return style.drawn_foot;
  const std::string first = drawn_foot_of(style, pieces.front());
  const bool all = std::all_of(pieces.begin(), pieces.end(), [&](const std::string& piece) {
    return drawn_foot_of(style, piece) == first;
  });
  return all ? first : kByPiece;
}

PieceNames handed_pieces(const StyleSpec& style) {
  PieceNames names;
  for (const PieceSpec& piece : style.pieces) {
    if (piece.hand == Hand::kHanded) names.push_back(piece.name);
  }
  return names;
}

std::string feet_note(const StyleSpec& style, const PieceNames& handed) {
  PieceNames pieces;
  for (const PieceSpec& piece : style.pieces) {
    if (std::find(handed.begin(), handed.end(), piece.name) != handed.end()) pieces.push_back(piece.name);
  }
  if (pieces.empty()) return "";
  const PieceNames unstated = of_foot(style, pieces, "");
  const PieceNames both = of_foot(style, pieces, "both");
  std::string text;
  const auto say = [&](const std::string& words) { text += (text.empty() ? "" : "; ") + words; };
  for (const char* foot : {"left", "right"}) {
    const PieceNames here = of_foot(style, pieces, foot);
    if (here.empty()) continue;
    const std::string hands =
        fmt::format("as drawn {} {}, mirrored {}", here.size() == pieces.size() ? "are" : "is",
                    foot_words(foot, false), foot_words(foot, true));
    if (here.size() == pieces.size()) {
      say(fmt::format("the drawings of {} show the {} foot: its pieces {}", style.name, foot, hands));
    } else {
      say(fmt::format("{}the {} foot is drawn of {}: {}", text.empty() ? style.name + ": " : "", foot,
                      fmt::join(here, ", "), hands));
    }
  }
  if (!both.empty())
    say(fmt::format(
        "{}each shoe takes as many of {} as drawn as mirrored, so they are called that, not L and "
        "R",
        text.empty() ? style.name + ": " : "", fmt::join(both, ", ")));
  if (unstated.empty()) return text;
  if (unstated.size() == pieces.size()) {
    say(style.name +
        " does not say which foot its drawings show (\"drawn_foot\": \"left\"), so its pieces are called as "
        "drawn and mirrored, not L and R");
  } else {
    say(fmt::format(
        "{}which foot is drawn of {} is not said (\"drawn_foot\"), so they are called as drawn and "
        "mirrored, not L and R",
        text.empty() ? style.name + ": " : "", fmt::join(unstated, ", ")));
  }
  for (const std::string& words : hands_together(style, unstated)) say(words);
  return text;
}

}  // namespace lastwright
