#include "grading/pieces/first/first_names.hpp"

#include <algorithm>
#include <set>
#include <string_view>

#include "grading/pieces/piece_words.hpp"

namespace lastwright {

namespace {

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80;
}

// What is written in letters between other signs, in lower case.
std::set<std::string> name_words(const std::string& name) {
  std::set<std::string> words;
  std::string word;
  for (const char c : plain_name(name) + " ") {
    if (is_letter(c)) {
      word += c;
    } else if (!word.empty()) {
      words.insert(word);
      word.clear();
    }
  }
  return words;
}

}  // namespace

std::string plain_name(const std::string& block) {
  std::string name;
  for (const char c : block) {
    if (c >= 'A' && c <= 'Z') {
      name += static_cast<char>(c - 'A' + 'a');
    } else if (c == '_') {
      name += ' ';
    } else if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f) {
      name += c;
    }
  }
  while (!name.empty() && name.back() == ' ') name.pop_back();
  while (!name.empty() && name.front() == ' ') name.erase(0, 1);
  constexpr std::size_t kLongest = 60;
  if (name.size() <= kLongest) return name;
  std::size_t cut = kLongest;
  while (cut > 0 && (static_cast<unsigned char>(name[cut]) & 0xC0U) == 0x80U) --cut;
  return name.substr(0, cut);
}

bool names_a_part(const std::string& text) {
  const PieceWords words = words_of(text);
  return words.part != PartOfShoe::kUnknown || !words.layer.empty();
}

bool says_how_to_cut(const std::string& text) {
  const std::string plain = plain_name(text);
  if (std::count_if(plain.begin(), plain.end(), is_letter) < 2) return true;
  for (const char* word : {"cut ", "size ", "pair", "grain", "date", "scale "}) {
    if (plain.starts_with(word) || plain.find(std::string(" ") + word) != std::string::npos) return true;
  }
  return false;
}

bool made_by_program(const std::string& name) {
  constexpr std::size_t kShort = 2;  // letters in a row that say nothing
  static const std::set<std::string_view> kSaysNothing{
      "anon",   "blk",    "block",   "contour", "copy",    "group", "insert", "item",   "name",   "new",
      "noname", "object", "outline", "part",    "pattern", "piece", "shape",  "symbol", "unnamed"};
  const std::string plain = plain_name(name);
  if (plain.starts_with("*") || plain.starts_with("a$c")) return true;
  const std::set<std::string> words = name_words(name);
  return std::all_of(words.begin(), words.end(), [&](const std::string& word) {
    return word.size() <= kShort || kSaysNothing.contains(word);
  });
}

bool says_no_more(const std::string& one, const std::string& other) {
  const std::set<std::string> words = name_words(one);
  const std::set<std::string> there = name_words(other);
  // A compound says what its ends say: "strap" of "backstrap", "toe" and "cap" of "toecap".
  constexpr std::size_t kShortest = 3;
  const auto said = [&](const std::string& word) {
    return std::any_of(there.begin(), there.end(), [&](const std::string& whole) {
      return whole == word ||
             (word.size() >= kShortest && (whole.starts_with(word) || whole.ends_with(word)));
    });
  };
  return std::all_of(words.begin(), words.end(), said);
}

std::string without_foot(const std::string& name) {
  std::string kept;
  std::string word;
  for (const char c : name + " ") {
    if (c != ' ') {
      word += c;
      continue;
    }
    if (!word.empty() && word != "left" && word != "right") kept += (kept.empty() ? "" : " ") + word;
    word.clear();
  }
  return kept;
}

}  // namespace lastwright
