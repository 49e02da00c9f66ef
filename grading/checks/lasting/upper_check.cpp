#include "grading/checks/lasting/upper_check.hpp"

#include <algorithm>

#include "grading/checks/girths/growth_check.hpp"
#include "grading/pieces/piece_words.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

std::vector<StyleFinding> check_uppers(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> findings;
  for (const PreparedPiece& piece : grade.pieces) {
    const PieceSpec& spec = piece.bound.spec;
    const bool named =
        spec.name.find("vamp") != std::string::npos || spec.name.find("quarter") != std::string::npos;
    if (!named || lastwright::words_of(spec.name).layer != "uppers") continue;
    const auto forme = std::find_if(style.formes.begin(), style.formes.end(),
                                    [&](const FormeSpec& one) { return one.name == spec.forme; });
    if (forme == style.formes.end() || of_the_last(style, *forme)) continue;
    const auto lasted = [](const EdgeSpec& edge) { return edge.treatment == Treatment::kLasting; };
    if (std::any_of(spec.edges.begin(), spec.edges.end(), lasted)) continue;
    const auto bare = std::count_if(spec.edges.begin(), spec.edges.end(),
                                    [](const EdgeSpec& edge) { return edge.allowance.value() == 0.0; });
    findings.push_back(doubtful_finding(
        "upper", spec.name, static_cast<double>(bare), "edges",
        "have no allowance and none of it is lasted: by its name it is a part of the upper, and its forme "
        "\"" +
            spec.forme + "\" is no copy of the last (\"role\" of the forme, \"edges\" of the piece)"));
  }
  return findings;
}

}  // namespace lastwright
