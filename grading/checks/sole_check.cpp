#include "grading/checks/sole_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <initializer_list>

#include "geometry/curve/arc_path.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kAsLong = 0.9;  // of the insole: a shorter sole ends at the heel's breast, or is a half one
constexpr double kOverhang = 1.0;  // mm

bool name_says(const std::string& text, std::initializer_list<const char*> words) {
  return std::any_of(words.begin(), words.end(), [&](const char* word) {
    return text.find(std::string(" ") + word + " ") != std::string::npos;
  });
}

struct Overhang {
  double by = 0.0;
  Vec2 at;
};
Overhang overhang(const ClosedArcPath& insole, const ClosedArcPath& sole) {
  Overhang most;
  for (std::size_t i = 0; i < insole.size(); ++i) {
    for (const double t : {0.0, 0.25, 0.5, 0.75}) {
      const Vec2 p = insole.segment(i).point_at(t);
      if (contains(sole, p)) continue;
      if (const double by = distance_to(sole, p); by > most.by) most = {by, p};
    }
  }
  return most;
}

double longest_side(const ClosedArcPath& path) {
  const Box2 box = bounds(path);
  return std::max(box.width(), box.height());
}

}  // namespace

SoleName sole_name(const std::string& piece) {
  std::string text = " ";
  for (const char c : piece) {
    const auto byte = static_cast<unsigned char>(c);
    const bool letter = byte >= 0x80 || std::isalpha(byte) != 0;
    text += letter ? static_cast<char>(byte < 0x80 ? std::tolower(byte) : c) : ' ';
  }
  text += ' ';
  if (name_says(text, {"cover", "wrap", "lining", "sock"})) return SoleName::kOther;
  if (name_says(text, {"insole", "inner sole"})) return SoleName::kInsole;
  if (name_says(text, {"outsole", "midsole", "sole"})) return SoleName::kSole;
  return name_says(text, {"welt", "rand"}) ? SoleName::kEdge : SoleName::kOther;
}

std::vector<StyleFinding> check_soles(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  const std::size_t base = grade.base_cell();
  for (std::size_t i = 0; i < grade.pieces.size(); ++i) {
    const PreparedPiece& insole = grade.pieces[i];
    if (sole_name(insole.bound.spec.name) != SoleName::kInsole || insole.bound.spec.fold ||
        role_of(grade.formes[insole.forme].map.forme()) != FormeRole::kBottom)
      continue;
    const GradedPiece inner = grade.drawn_piece(i, base);
    for (std::size_t s = 0; s < grade.pieces.size(); ++s) {
      const PreparedPiece& sole = grade.pieces[s];
      if (sole.forme != insole.forme || sole_name(sole.bound.spec.name) != SoleName::kSole ||
          sole.bound.spec.fold)
        continue;
      const GradedPiece outer = grade.drawn_piece(s, base);
      if (longest_side(outer.net.path) < kAsLong * longest_side(inner.net.path)) continue;
      const Overhang most = overhang(inner.net.path, outer.net.path);
      if (most.by <= kOverhang) continue;
      StyleFinding finding{
          "sole size",
          insole.bound.spec.name + ": " + sole.bound.spec.name,
          most.by,
          {},
          "mm",
          "",
          true,
          fmt::format(
              "is how far {} runs out beyond {}, at ({:.1f}, {:.1f}), and a sole goes round its insole "
              "as a rule: is one of them drawn in another size, or for the other foot?",
              insole.bound.spec.name, sole.bound.spec.name, most.at.x, most.at.y)};
      finding.doubtful = true;
      all.push_back(std::move(finding));
    }
  }
  return all;
}

}  // namespace lastwright
