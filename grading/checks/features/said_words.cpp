#include "grading/checks/features/said_words.hpp"

#include <algorithm>
#include <cctype>
#include <set>

#include "grading/sizes/stated_run.hpp"

namespace lastwright {

namespace {

std::vector<std::string> words_in(const std::string& text) {
  std::vector<std::string> words;
  bool open = false;
  for (const char c : text) {
    const bool parts = std::isspace(static_cast<unsigned char>(c)) != 0 || c == '/' || c == '-' || c == ',' ||
                       c == ':' || c == '(' || c == ')';
    if (!parts) {
      if (!open) words.emplace_back();
      words.back() += c;
    }
    open = !parts;
  }
  return words;
}

// Parted at blanks and at what parts a list.
std::vector<std::string> spaced_words(const std::string& text) {
  std::vector<std::string> words(1);
  for (const char c : text) {
    const bool parts = std::isspace(static_cast<unsigned char>(c)) != 0 || c == ',' || c == ':' || c == ';';
    if (!parts) words.back() += c;
    if (parts && !words.back().empty()) words.emplace_back();
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

bool names_size(const std::string& word, const SizeRun& run) {
  const std::vector<Size> sizes = stated_sizes(run);
  return same_label(run.base.size.label, word) ||
         std::any_of(sizes.begin(), sizes.end(),
                     [&](const Size& one) { return same_label(one.label, word); });
}
bool names_width(const std::string& word, const SizeRun& run) {
  const std::vector<Width> widths = stated_widths(run);
  return run.base.width.label == word ||
         std::any_of(widths.begin(), widths.end(), [&](const Width& one) { return one.label == word; });
}

}  // namespace

SaidSize said_size(const std::string& text, const SizeRun& run) {
  const std::vector<std::string> words = words_in(text);
  if (words.size() < 2) return {};
  const std::string& last = words.back();
  std::string before = words[words.size() - 2];
  if (names_size(before, run) && names_width(last, run)) return {before, last};
  for (char& c : before) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  const bool is_size = before == "size" || before == "sz" || before == "sz.";
  return is_size && names_size(last, run) ? SaidSize{last, ""} : SaidSize{};
}

SaidSize said_alone(const std::string& text, const SizeRun& run, const std::vector<std::string>& names) {
  const auto lower = [](std::string word) {
    for (char& c : word) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    return word;
  };
  std::set<std::string> known;  // words of names, which say what they say in every size
  for (const std::string& name : names) {
    for (const std::string& word : spaced_words(lower(name))) known.insert(word);
    if (lower(name) == lower(text)) return {};
  }
  const bool fills_size = text.find("{size}") != std::string::npos;
  const bool fills_width = text.find("{width}") != std::string::npos;
  const std::string& size = run.base.size.label;
  const std::string& width = run.base.width.label;
  const bool lettered = std::any_of(width.begin(), width.end(),
                                    [](char c) { return std::isalpha(static_cast<unsigned char>(c)) != 0; });
  static const std::set<std::string> kBefore{"cut",  "no",   "no.",  "nr",   "nr.",  "part", "piece", "style",
                                             "art",  "art.", "ref",  "ref.", "rev",  "rev.", "item",  "layer",
                                             "page", "die",  "last", "x",    "edge", "of",   "row",   "side"};
  static const std::set<std::string> kAfter{"mm",   "cm",    "in",    "inch",  "oz",
                                            "x",    "of",    "pcs",   "pc",    "pieces",
                                            "pair", "pairs", "times", "holes", "eyelets"};
  SaidSize said;
  const std::vector<std::string> words = spaced_words(text);
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (known.count(lower(words[i])) > 0) continue;
    const bool counts = (i > 0 && kBefore.count(lower(words[i - 1])) > 0) ||
                        (i + 1 < words.size() && kAfter.count(lower(words[i + 1])) > 0);
    // "28", "28M", "28-M", "VAMP-28", and not "T-28".
    std::vector<std::string> parts = words_in(words[i]);
    const bool plain = std::all_of(parts.begin(), parts.end(), [&](const std::string& part) {
      constexpr std::size_t kWord = 3;  // letters; fewer before a number are a part of it
      return same_label(size, part) || part == width || part.size() >= kWord;
    });
    if (lettered && parts.size() == 1 && (parts[0] == size + width || parts[0] == width + size))
      parts = {size, width};
    else if (!plain || counts)
      continue;
    for (const std::string& part : parts) {
      if (!fills_size && same_label(size, part)) said.size = size;
      if (!fills_width && lettered && part == width) said.width = width;
    }
  }
  return said;
}

}  // namespace lastwright
