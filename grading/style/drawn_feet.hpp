// For which foot a piece is cut when it is cut as it is drawn, and what is said of that.
#pragma once

#include <string>
#include <vector>

#include "grading/style/style.hpp"

namespace lastwright {

// What the style says of a piece by itself (PieceSpec::drawn_foot), else of all (StyleSpec::drawn_foot):
// "left" or "right"; "both" of a piece of which each shoe takes as many as drawn as mirrored; empty: it does
// not say.
std::string drawn_foot_of(const StyleSpec& style, const PieceSpec& piece);
// The same by the name of the piece; empty where there is none.
std::string drawn_foot_of(const StyleSpec& style, const std::string& piece);

// As one word in outputs that state it of many pieces: what all of them say, else this, and who reads it has
// to look at each.
inline constexpr const char* kByPiece = "by piece";
std::string common_foot(const StyleSpec& style, const std::vector<std::string>& pieces);

// The pieces that are stated to have a left and a right, in the order of the style.
std::vector<std::string> handed_pieces(const StyleSpec& style);

// What pieces as drawn are for and how their hands are called, for people; of these handed pieces alone, in
// the order of the style. Where the style does not say it, what goes with what by its seams. Empty without
// pieces.
std::string feet_note(const StyleSpec& style, const std::vector<std::string>& handed);

}  // namespace lastwright
