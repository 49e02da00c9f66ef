#include "grading/draft/forme_marks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "grading/json/json_text.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"

namespace lastwright {

namespace {

// What the base line runs between is found from the pieces alone.
bool stands_there(const DraftForme& forme, NamedMark& mark, std::vector<std::string>& lost) {
  static const std::set<std::string> kFound{"heel", "toe", "stick end", "start", "end", "side"};
  const auto found = forme.points.find(mark.name);
  if (found == forme.points.end() || !kFound.contains(mark.name)) return true;
  constexpr double kPointedAt = 1.0;  // mm
  const double off = distance(found->second, mark.at);
  if (off > kPointedAt) {
    lost.push_back(fmt::format(
        "the mark {} at ({:.3f}, {:.3f}) is not taken: the forme {} has its {} at ({:.3f}, {:.3f}), {:.2f} "
        "mm from it; mark the end itself, or state the point in the style",
        mark.name, mark.at.x, mark.at.y, forme.name, mark.name, found->second.x, found->second.y, off));
    return false;
  }
  mark.at = found->second;
  return true;
}

}  // namespace

void find_owners_of_marks(std::vector<NamedMark>& marks, const std::vector<DraftPiece>& pieces) {
  for (NamedMark& mark : marks) {
    double least = INFINITY;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      const DraftPiece& piece = pieces[i];
      if (piece.drawing != mark.drawing) continue;
      double off = INFINITY;
      for (const Vec2 p : piece.polygon) off = std::min(off, distance(p, mark.at));
      if (inside_polygon(piece.polygon, mark.at)) off = 0.0;
      if (off >= least) continue;
      least = off;
      mark.piece = i;
    }
  }
}

std::map<std::string, std::vector<NamedMark>> judge_marks(const std::vector<NamedMark>& drawn_marks,
                                                          const std::vector<DraftPiece>& pieces,
                                                          const std::vector<DraftForme>& formes,
                                                          std::vector<std::string>& lost) {
  std::map<std::string, std::vector<NamedMark>> marks_of;
  std::set<std::string> twice;
  for (const NamedMark& drawn : drawn_marks) {
    if (!drawn.piece) continue;
    NamedMark mark = drawn;
    const DraftPiece& piece = pieces[*drawn.piece];
    if (piece.from_drawing) mark.at = piece.from_drawing->point(mark.at);
    const DraftForme& forme = formes[piece.forme];
    std::vector<NamedMark>& marks = marks_of[forme.name];
    const auto known =
        std::find_if(marks.begin(), marks.end(), [&](const NamedMark& one) { return one.name == mark.name; });
    if (known == marks.end()) {
      if (stands_there(forme, mark, lost)) marks.push_back(std::move(mark));
    } else if (distance(known->at, mark.at) > kDraftSame) {
      twice.insert(pointer_to("/formes", forme.name) + "/" + mark.name);
      lost.push_back(fmt::format(
          "two places of the forme {} are named {}, ({:.3f}, {:.3f}) and ({:.3f}, {:.3f}), and neither is "
          "taken: leave the text at the one that is meant",
          forme.name, mark.name, known->at.x, known->at.y, mark.at.x, mark.at.y));
    }
  }
  for (auto& [name, marks] : marks_of) {
    std::erase_if(marks, [&, &forme = name](const NamedMark& one) {
      return twice.contains(pointer_to("/formes", forme) + "/" + one.name);
    });
  }
  return marks_of;
}

}  // namespace lastwright
