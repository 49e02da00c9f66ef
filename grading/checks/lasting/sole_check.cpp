#include "grading/checks/lasting/sole_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <initializer_list>
#include <optional>

#include "geometry/curve/arc_path.hpp"
#include "grading/checks/girths/extent_along.hpp"
#include "grading/checks/lasting/overhang.hpp"
#include "grading/checks/lasting/sole_rim.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kBent = 1.5;        // mm: what bends less is like its mirror image
constexpr double kLikeMirror = 3.0;  // times as near to the mirror image as to the piece itself

bool name_says(const std::string& text, std::initializer_list<const char*> words) {
  return std::any_of(words.begin(), words.end(), [&](const char* word) {
    return text.find(std::string(" ") + word + " ") != std::string::npos;
  });
}

// With its cut line, or where an allowance does not fit, which is told as the cut line's fault, without.
GradedPiece outlined_or_net(const StyleGrade& grade, std::size_t piece, std::size_t cell) {
  Result<GradedPiece> outlined = grade.outlined_piece(piece, cell);
  if (outlined) return *std::move(outlined);
  GradedPiece drawn = grade.drawn_piece(piece, cell);
  drawn.cut = drawn.net;
  return drawn;
}

// Where the middle of a sole runs, at stations from its heel to its toe, less the straight line through
// them: how its shape bends, wherever it lies and however it is turned a little.
using Bend = std::array<double, 9>;

std::optional<Bend> bend_of(const ClosedArcPath& path, Vec2 along) {
  const Vec2 across = left_of(along);
  const auto [low, high, reach] = extent_along(path, along);
  Bend bend{};
  const auto count = static_cast<double>(bend.size());
  double mean = 0.0;
  double slope = 0.0;
  double spread = 0.0;
  for (std::size_t k = 0; k < bend.size(); ++k) {
    const double share = (static_cast<double>(k) + 1.0) / (count + 1.0);
    const Vec2 on = (low + share * (high - low)) * along;
    const std::vector<Stretch> inside =
        stretches_inside({on - reach * across, on + reach * across, 0.0}, path);
    if (inside.empty()) return std::nullopt;
    bend[k] = 0.5 * (inside.front().from + inside.back().to);
    mean += bend[k] / count;
  }
  for (std::size_t k = 0; k < bend.size(); ++k) {
    const double from_middle = static_cast<double>(k) - 0.5 * (count - 1.0);
    slope += from_middle * bend[k];
    spread += from_middle * from_middle;
  }
  for (std::size_t k = 0; k < bend.size(); ++k)
    bend[k] -= mean + slope / spread * (static_cast<double>(k) - 0.5 * (count - 1.0));
  return bend;
}

// Root of the mean square; `hand` -1 for the mirror image of the second.
double bends_apart(const Bend& one, const Bend& other, double hand) {
  double sum = 0.0;
  for (std::size_t k = 0; k < one.size(); ++k) sum += (one[k] - hand * other[k]) * (one[k] - hand * other[k]);
  return std::sqrt(sum / static_cast<double>(one.size()));
}

struct SoleBend {
  std::size_t piece = 0;
  Bend bend{};
};

// Pieces of one forme of the bottom, all about as long as the longest, of which some bend the other way: they
// are drawn turned over. The first is the insole where one has that name.
void add_hands(const StyleGrade& grade, std::size_t forme, std::vector<StyleFinding>& all) {
  const Vec2 along = base_direction(grade.formes[forme].map.forme());
  std::vector<SoleBend> soles;
  double longest = 0.0;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    if (grade.pieces[p].forme != forme || grade.pieces[p].bound.spec.fold) continue;
    longest = std::max(longest, longest_side(grade.drawn_piece(p, grade.base_cell()).net.path));
  }
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PieceSpec& piece = grade.pieces[p].bound.spec;
    if (grade.pieces[p].forme != forme || piece.fold) continue;
    const ClosedArcPath path = grade.drawn_piece(p, grade.base_cell()).net.path;
    if (longest_side(path) < kAsLong * longest) continue;
    const std::optional<Bend> bend = bend_of(path, along);
    if (!bend) continue;
    const bool first = sole_name(piece.name) == SoleName::kInsole;
    soles.insert(first ? soles.begin() : soles.end(), SoleBend{p, *bend});
  }
  for (std::size_t i = 1; i < soles.size(); ++i) {
    const double off = bends_apart(soles.front().bend, soles[i].bend, 1.0);
    const double mirrored = bends_apart(soles.front().bend, soles[i].bend, -1.0);
    if (off < kBent || off < kLikeMirror * mirrored) continue;
    const std::string& one = grade.pieces[soles.front().piece].bound.spec.name;
    const std::string& other = grade.pieces[soles[i].piece].bound.spec.name;
    all.push_back(doubtful_finding(
        "sole hand", one + ": " + other, off, "mm",
        fmt::format(
            "is how far the middle of {} runs from that of {}, and that of its mirror image only {:.2f} "
            "mm: one of the two is drawn turned over, or for the other foot",
            other, one, mirrored)));
  }
}

// In the base, else in the smallest size in the narrowest width or the largest in the widest: an allowance
// does not grow, and what is drawn does.
void add_sole_size(const StyleGrade& grade, std::size_t insole, std::size_t sole,
                   std::vector<StyleFinding>& all) {
  const std::string& own = grade.pieces[insole].bound.spec.name;
  const std::string& under = grade.pieces[sole].bound.spec.name;
  for (const std::size_t k : {grade.base_cell(), std::size_t{0}, grade.run_cells() - 1}) {
    const GradedPiece inner = outlined_or_net(grade, insole, k);
    const GradedPiece outer = outlined_or_net(grade, sole, k);
    if (longest_side(outer.net.path) < kAsLong * longest_side(inner.net.path)) return;
    const Overhang net = overhang(inner.net.path, outer.net.path);
    const Overhang cut = overhang(inner.cut.path, outer.cut.path);
    if (std::max(net.by, cut.by) <= kOverhang) continue;
    const bool as_cut = net.by <= kOverhang;
    const Overhang& most = as_cut ? cut : net;
    StyleFinding finding = doubtful_finding(
        "sole size", own + ": " + under, most.by, "mm",
        fmt::format("is how far {0} runs out beyond {1}{2}, at ({3:.1f}, {4:.1f}), and a sole goes round its "
                    "insole as a rule: {5}?",
                    own, under, as_cut ? " as the two are cut" : "", most.at.x, most.at.y,
                    as_cut ? "is the allowance of one of them meant"
                           : "is one of them drawn in another size, or for the other foot"));
    if (k != grade.base_cell()) finding.where = grade.cells[k];
    all.push_back(std::move(finding));
    return;
  }
}

// In the base, of two as long as each other of which neither runs out beyond the other: that is told already.
void add_sole_rim(const StyleGrade& grade, std::size_t insole, std::size_t sole,
                  std::vector<StyleFinding>& all) {
  const GradedPiece inner = outlined_or_net(grade, insole, grade.base_cell());
  const GradedPiece outer = outlined_or_net(grade, sole, grade.base_cell());
  if (longest_side(outer.net.path) < kAsLong * longest_side(inner.net.path) ||
      std::max(overhang(inner.net.path, outer.net.path).by, overhang(inner.cut.path, outer.cut.path).by) >
          kOverhang)
    return;
  const FormeSpec& forme = grade.formes[grade.pieces[insole].forme].map.forme();
  const std::optional<SoleRim> rim = sole_rim(inner.cut.path, outer.cut.path, base_direction(forme));
  if (!rim) return;
  all.push_back(
      sole_rim_finding(*rim, {grade.pieces[insole].bound.spec.name, grade.pieces[sole].bound.spec.name,
                              forme.base_line.first, forme.base_line.second}));
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
  for (std::size_t i = 0; i < grade.pieces.size(); ++i) {
    const PreparedPiece& insole = grade.pieces[i];
    if (sole_name(insole.bound.spec.name) != SoleName::kInsole || insole.bound.spec.fold ||
        role_of(grade.formes[insole.forme].map.forme()) != FormeRole::kBottom)
      continue;
    for (std::size_t s = 0; s < grade.pieces.size(); ++s) {
      const PreparedPiece& sole = grade.pieces[s];
      if (sole.forme == insole.forme && sole_name(sole.bound.spec.name) == SoleName::kSole &&
          !sole.bound.spec.fold) {
        add_sole_size(grade, i, s, all);
        add_sole_rim(grade, i, s, all);
      }
    }
  }
  for (std::size_t f = 0; f < grade.formes.size(); ++f) {
    if (role_of(grade.formes[f].map.forme()) == FormeRole::kBottom) add_hands(grade, f, all);
  }
  return all;
}

}  // namespace lastwright
