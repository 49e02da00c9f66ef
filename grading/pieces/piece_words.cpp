#include "grading/pieces/piece_words.hpp"

#include <algorithm>
#include <cctype>
#include <initializer_list>

namespace lastwright {

namespace {

bool has_any(const std::string& text, std::initializer_list<const char*> words) {
  return std::any_of(words.begin(), words.end(), [&](const char* word) { return has_word(text, word); });
}

}  // namespace

bool has_word(const std::string& plain, const std::string& word) {
  return plain.find(" " + word + " ") != std::string::npos;
}

std::string plain_words(const std::string& name) {
  std::string text = " ";
  for (const char c : name) {
    const auto byte = static_cast<unsigned char>(c);
    const bool letter = byte >= 0x80 || std::isalpha(byte) != 0;
    if (letter) {
      text += byte < 0x80 ? static_cast<char>(std::tolower(byte)) : c;
    } else if (text.back() != ' ') {
      text += ' ';
    }
  }
  return text.back() == ' ' ? text : text + " ";
}

PieceWords words_of(const std::string& name) {
  const std::string text = plain_words(name);
  PieceWords words;
  words.insole = has_any(text, {"insole", "inner sole"});
  if (words.insole || has_any(text, {"outsole", "sole", "midsole", "sock", "shank", "lift", "heel lift",
                                     "top piece", "welt", "rand", "heel pad"})) {
    words.part = PartOfShoe::kBottom;
    return words;
  }
  if (has_any(text, {"heel cover", "platform cover", "loop", "bow"}) ||
      (has_any(text, {"strap", "straps"}) && !has_any(text, {"back strap", "backstrap", "heel strap"}))) {
    words.part = PartOfShoe::kOwn;
    words.strap = has_any(text, {"strap", "straps", "loop"});
    return words;
  }
  words.stiff = has_any(text, {"stiffener", "puff", "toe puff", "counter stiffener"});
  if (words.stiff || has_any(text, {"interlining", "reinforcement"})) {
    words.layer = "inner parts";
  } else if (has_any(text, {"lining", "linings", "facing", "facings"})) {
    words.layer = "linings";
  } else if (has_any(text,
                     {"vamp", "quarter", "quarters", "counter", "cap", "toe cap", "apron", "wing", "mudguard",
                      "backstrap", "back strap", "shaft", "leg", "collar", "foxing", "saddle", "upper"})) {
    words.layer = "uppers";
  }
  // A tongue closes what uppers and linings leave open: it belongs to both.
  if (!words.layer.empty() || has_any(text, {"tongue"})) words.part = PartOfShoe::kUpper;
  return words;
}

bool heel_cover(const std::string& name) {
  return has_any(plain_words(name), {"heel cover", "platform cover"});
}

}  // namespace lastwright
