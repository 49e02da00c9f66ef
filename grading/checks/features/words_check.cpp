#include "grading/checks/features/words_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <map>
#include <optional>
#include <set>
#include <string>

#include "geometry/counted.hpp"
#include "grading/checks/work_check.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/sizes/stated_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

// In small letters, what parts words as one space.
std::string plain(const std::string& text) {
  std::string words;
  for (const char c : small_letters(text)) {
    if (std::isspace(static_cast<unsigned char>(c)) != 0 || c == '_' || c == '-') {
      if (!words.empty() && words.back() != ' ') words += ' ';
    } else {
      words += c;
    }
  }
  while (!words.empty() && words.back() == ' ') words.pop_back();
  return words;
}

// What a text says beside what is filled in.
std::string fixed_words(std::string text) {
  for (std::size_t open = text.find('{'); open != std::string::npos; open = text.find('{', open)) {
    const std::size_t close = text.find('}', open);
    if (close == std::string::npos) break;
    text.replace(open, close + 1 - open, " ");
  }
  std::string words = plain(text);
  words.erase(0, words.find_first_not_of(' '));
  return words;
}

void add_names(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  std::map<std::string, std::string> names;  // as in plain()
  for (const PreparedPiece& piece : grade.pieces)
    names.emplace(plain(piece.bound.spec.name), piece.bound.spec.name);
  for (const PreparedPiece& piece : grade.pieces) {
    const std::string own = plain(piece.bound.spec.name);
    std::set<std::string> told;
    for (const BoundText& text : piece.bound.texts) {
      const std::string said = plain(text.text);
      const auto other = names.find(said);
      if (other == names.end() || own.find(said) != std::string::npos || !told.insert(said).second) continue;
      all.push_back(doubtful_finding(
          "name drawn", piece.bound.spec.name, 1.0, "text",
          fmt::format(
              "\"{}\" is drawn in it at ({:.1f}, {:.1f}), the name of another piece: are the outlines "
              "of the two exchanged, or is it the wrong text?",
              text.text, text.at.x, text.at.y)));
    }
    for (const FeatureSpec& feature : piece.bound.spec.features) {
      const auto* work = std::get_if<TextWork>(&feature.work);
      if (work == nullptr) continue;
      const std::string said = fixed_words(work->text);
      const auto other = names.find(said);
      if (other == names.end() || own.find(said) != std::string::npos || !told.insert(said).second) continue;
      all.push_back(
          doubtful_finding("name drawn", piece.bound.spec.name + ": " + feature.name, 1.0, "text",
                           fmt::format("says \"{}\", the name of another piece: is it the wrong text, or "
                                       "stated on the wrong piece?",
                                       work->text)));
    }
  }
}

// What the texts that are filled in say of a piece.
struct Said {
  std::string piece;
  std::string text;
  bool size = false;
  std::optional<bool> size_first;  // where a text says both
};
std::vector<Said> said_of_pieces(const StyleGrade& grade) {
  std::vector<Said> all;
  for (const PreparedPiece& piece : grade.pieces) {
    const PieceSpec& spec = piece.bound.spec;
    Said said{spec.name, "", false, {}};
    for (const FeatureSpec& feature : spec.features) {
      const auto* work = std::get_if<TextWork>(&feature.work);
      if (work == nullptr || work->text.find('{') == std::string::npos) continue;
      const std::size_t size = work->text.find("{size}");
      const std::size_t width = work->text.find("{width}");
      said.size = said.size || size != std::string::npos;
      if (size != std::string::npos && width != std::string::npos) said.size_first = size < width;
      if (said.text.empty() || said.size_first) said.text = work->text;
    }
    if (!said.text.empty() && spec.sizes_tied.empty()) all.push_back(std::move(said));
  }
  return all;
}

void add_texts(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  const std::vector<Said> said = said_of_pieces(grade);
  for (const Said& one : said) {
    std::size_t with_size = 0;
    std::size_t alike = 0;
    std::size_t unlike = 0;
    for (const Said& other : said) {
      if (&other == &one) continue;
      with_size += other.size ? 1 : 0;
      if (!one.size_first || !other.size_first) continue;
      ++(*one.size_first == *other.size_first ? alike : unlike);
    }
    if (alike == 0 && unlike >= kHabit)
      all.push_back(doubtful_finding(
          "text order", one.piece, static_cast<double>(unlike), "pieces",
          fmt::format("say the {} first, and this one says \"{}\": a number may be read for the other",
                      *one.size_first ? "width" : "size", one.text)));
    if (!one.size && with_size >= kHabit && with_size + 1 == said.size())
      all.push_back(doubtful_finding(
          "size not said", one.piece, static_cast<double>(with_size), "pieces",
          fmt::format("have a text that says their size, and this one says \"{}\": is the size left out?",
                      one.text)));
  }
}

std::string listed(const std::vector<int>& marks) {
  std::string text;
  for (const int mark : marks) text += (text.empty() ? "" : ", ") + std::to_string(mark);
  return text;
}

// The marks of a half size beyond those of the whole size; nothing where it lacks some of them.
std::optional<std::vector<int>> beyond(const std::vector<int>& half, const std::vector<int>& whole) {
  if (!std::includes(half.begin(), half.end(), whole.begin(), whole.end())) return std::nullopt;
  std::vector<int> more;
  std::set_difference(half.begin(), half.end(), whole.begin(), whole.end(), std::back_inserter(more));
  return more;
}

void add_code(const StyleGrade& grade, const MarkCode& code, std::vector<StyleFinding>& all) {
  std::map<Fraction, std::pair<std::string, std::vector<int>>> sizes;
  for (const auto& [label, marks] : code.marks) {
    for (const Size& size : stated_sizes(grade.run)) {
      if (size.label != label) continue;
      std::vector<int> sorted = marks;
      std::sort(sorted.begin(), sorted.end());
      sizes.emplace(size.position, std::pair{label, std::move(sorted)});
    }
  }
  std::map<std::vector<int>, std::size_t> habits;  // what half sizes have more: how many
  for (const auto& [position, of] : sizes) {
    if (position.denominator() != 2) continue;
    const auto whole = sizes.find(position - Fraction(1, 2));
    if (whole == sizes.end()) continue;
    if (const auto more = beyond(of.second, whole->second.second)) ++habits[*more];
  }
  const auto most = std::max_element(habits.begin(), habits.end(),
                                     [](const auto& a, const auto& b) { return a.second < b.second; });
  if (most == habits.end() || most->first.size() != 1 || most->second < kHabit) return;
  std::vector<std::string> odd;
  for (const auto& [position, of] : sizes) {
    if (position.denominator() != 2) continue;
    const auto whole = sizes.find(position - Fraction(1, 2));
    if (whole == sizes.end() || beyond(of.second, whole->second.second) == most->first) continue;
    odd.push_back(fmt::format("{} has {} and {} has {}", whole->second.first, listed(whole->second.second),
                              of.first, listed(of.second)));
  }
  if (odd.empty() || 2 * odd.size() > most->second) return;
  std::string text;
  for (const std::string& one : odd) text += (text.empty() ? "" : "; ") + one;
  all.push_back(doubtful_finding(
      "code habit", code.name, static_cast<double>(odd.size()), noun_of(odd.size(), "half size"),
      fmt::format("whose marks are not those of the whole size below and mark {}, as of {} others: {}. Are "
                  "marks exchanged?",
                  most->first.front(), most->second, text)));
}

// Sizes that are named and lie between those made.
void add_not_made(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  const std::vector<Size>& made = stated_sizes(grade.run);
  if (made.size() < 2) return;
  std::vector<std::string> missing;
  std::string where;
  const auto is_made = [&](const std::string& label) {
    return std::any_of(made.begin(), made.end(), [&](const Size& one) { return one.label == label; });
  };
  const auto add = [&](const std::string& label, const std::string& place) {
    if (std::find(missing.begin(), missing.end(), label) != missing.end()) return;
    missing.push_back(label);
    if (where.empty()) where = place;
  };
  for (const PieceSpec& piece : style.pieces) {
    const auto named = [&](const std::string& label, const char* what) {
      const auto at = grade.run.named.find(label);
      if (at == grade.run.named.end() || is_made(label) || at->second <= made.front().position ||
          at->second >= made.back().position)
        return;
      add(label, fmt::format("{} of {}", what, piece.name));
    };
    for (const SizeTie& tie : piece.sizes_tied) {
      for (const std::string* label : {&tie.from, &tie.to, &tie.as}) named(*label, "the tied sizes");
    }
    for (const EdgeSpec& edge : piece.edges) {
      for (const AllowanceStep& step : edge.allowance_from) named(step.from, "an allowance");
    }
  }
  // Codes are shared between styles: alone they say nothing.
  if (missing.empty()) return;
  for (const MarkCode& code : style.codes) {
    if (code.of != CodeOf::kSize) continue;
    std::size_t first = code.marks.size();
    std::size_t last = 0;
    for (std::size_t i = 0; i < code.marks.size(); ++i) {
      if (!is_made(code.marks[i].first)) continue;
      first = std::min(first, i);
      last = i;
    }
    for (std::size_t i = first; i < last; ++i) {
      if (!is_made(code.marks[i].first)) add(code.marks[i].first, "the code " + code.name);
    }
  }
  std::string text;
  for (std::size_t i = 0; i < std::min<std::size_t>(missing.size(), 4); ++i)
    text += (text.empty() ? "" : ", ") + missing[i];
  if (missing.size() > 4) text += " and more";
  all.push_back(doubtful_finding(
      "sizes not made", "run", static_cast<double>(missing.size()), noun_of(missing.size(), "size"),
      fmt::format(
          "between the smallest and the largest that are named and not made ({}; the first by {}): check "
          "the step of the run, \"by\"",
          text, where)));
}

}  // namespace

std::vector<StyleFinding> check_words(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  add_names(grade, all);
  add_texts(grade, all);
  for (const MarkCode& code : style.codes) {
    if (code.of == CodeOf::kSize) add_code(grade, code, all);
  }
  add_not_made(style, grade, all);
  return all;
}

}  // namespace lastwright
