#include "grading/draft/idle_kinds.hpp"

#include <algorithm>

namespace lastwright {

bool has_line_on_last(const ShoeKind& kind, const std::string& key, const std::vector<DraftForme>& formes) {
  return std::any_of(kind.lines.begin(), kind.lines.end(), [&](const KindLine& line) {
    return line.kind == key && std::any_of(formes.begin(), formes.end(), [&](const DraftForme& forme) {
             return forme.kind != DraftKind::kOwn && forme.kind == line.forme;
           });
  });
}

}  // namespace lastwright
