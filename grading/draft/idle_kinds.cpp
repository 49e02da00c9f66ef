#include "grading/draft/idle_kinds.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {

bool has_line_on_last(const ShoeKind& kind, const std::string& key, const std::vector<DraftForme>& formes) {
  return std::any_of(kind.lines.begin(), kind.lines.end(), [&](const KindLine& line) {
    return line.kind == key && std::any_of(formes.begin(), formes.end(), [&](const DraftForme& forme) {
             return forme.kind != DraftKind::kOwn && forme.kind == line.forme;
           });
  });
}

std::string known_by(const ShoeKind& kind, const std::string& key) {
  std::string text;
  bool shape = false;
  for (const KindOwn& own : kind.own) {
    if (own.kind != key) continue;
    shape = shape || own.constant_width;
    for (const std::string& word : own.words)
      text += fmt::format("{}\"{}\"", text.empty() ? "" : " or ", word);
  }
  return fmt::format("a piece apart from the last's formes with {} in its name{}", text,
                     shape ? ", or one of constant width" : "");
}

}  // namespace lastwright
