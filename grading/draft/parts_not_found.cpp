#include "grading/draft/parts_not_found.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/checks/lasting/sole_check.hpp"
#include "grading/pieces/first/first_names.hpp"

namespace lastwright {

std::vector<std::string> parts_not_found(const std::vector<DraftPiece>& pieces,
                                         const std::vector<DraftForme>& formes) {
  bool upper = false;
  bool insole = false;
  bool sole = false;
  for (const DraftForme& forme : formes) {
    if (forme.kind == DraftKind::kUpper) {
      upper = true;
      continue;
    }
    for (const std::size_t i : forme.pieces) {
      const SoleName name = sole_name(pieces[i].name);
      if (forme.kind == DraftKind::kBottom && name == SoleName::kOther && !names_a_part(pieces[i].name))
        return {};
      insole = insole || name == SoleName::kInsole || pieces[i].words.insole;
      sole = sole || name == SoleName::kSole;
    }
  }
  if (!upper || (insole && sole)) return {};
  return {fmt::format("not among the pieces, by their names: {}; nothing checks how the upper meets {}",
                      insole ? "an outsole"
                      : sole ? "an insole"
                             : "an insole and an outsole",
                      insole || sole ? "it" : "them")};
}

}  // namespace lastwright
