// What the name of a piece says of it: the words of the trade, not the drawing.
#pragma once

#include <string>

namespace lastwright {

enum class PartOfShoe { kUnknown, kUpper, kBottom, kOwn };

struct PieceWords {
  PartOfShoe part = PartOfShoe::kUnknown;  // kOwn: a strap, a heel cover: it lies on no forme of the last
  std::string layer;    // "uppers", "linings", "inner parts"; "" where the name does not say
  bool insole = false;  // it shows the bottom of the last
  bool stiff = false;   // a stiffener or a toe puff: cut double where one edge is straight
  bool strap = false;   // of constant width
};

// Whole words only, whatever their case: "heel cover", "QUARTER_LINING", "vamp 37".
PieceWords words_of(const std::string& name);

// Lower case, everything but letters a blank, a blank at either end: " quarter lining ".
std::string plain_words(const std::string& name);
// Whether they hold this word, or these in a row.
bool has_word(const std::string& plain, const std::string& word);

// It goes round a heel, and is cut double, or drawn whole and its own mirror image.
bool heel_cover(const std::string& name);

}  // namespace lastwright
