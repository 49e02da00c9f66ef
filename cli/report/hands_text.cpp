#include "cli/report/hands_text.hpp"

#include <fmt/format.h>

#include "geometry/counted.hpp"

namespace lastwright {

std::string hands_text(const std::vector<PieceHands>& hands) {
  if (hands.empty()) return "";
  std::string symmetric;
  std::string handed;
  std::string turned;
  int pieces = 0;
  const auto add = [](std::string& list, const std::string& text) {
    list += (list.empty() ? "" : ", ") + text;
  };
  for (const PieceHands& one : hands) {
    pieces += one.drawn + one.mirrored + one.either;
    if (one.choice.mode == HandMode::kPair) {
      add(handed, fmt::format("{} {}+{}", one.piece, one.drawn, one.mirrored));
    } else {
      add(one.choice.mode == HandMode::kSymmetric ? symmetric : turned,
          fmt::format("{} {}", one.piece, one.either));
    }
  }
  std::string text = "  " + counted(pieces, "piece") + " cut for one pair";
  if (!symmetric.empty()) text += "\n    one shape, symmetric: " + symmetric;
  if (!turned.empty()) text += "\n    one shape, turned over (reversible material): " + turned;
  if (!handed.empty()) text += "\n    left and right: " + handed;
  return text + "\n";
}

}  // namespace lastwright
