#include "grading/checks/lasting/upper_foot_check.hpp"

#include <fmt/format.h>

#include <array>
#include <optional>
#include <string>

#include "geometry/curve/course.hpp"
#include "grading/grade/grade.hpp"
#include "grading/pieces/named_side.hpp"
#include "grading/pieces/piece_words.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

// From heel to toe: by the points of these names, where one is missing by the other end of a base line that
// begins or ends at the other.
std::optional<Vec2> heel_to_toe(const FormeSpec& forme) {
  const auto& [one, other] = forme.base_line;
  const auto end = [&](const std::string& name, const std::string& opposite) -> const NamedPoint* {
    if (const NamedPoint* point = find_point(forme, name)) return point;
    if (one == opposite) return find_point(forme, other);
    return other == opposite ? find_point(forme, one) : nullptr;
  };
  const NamedPoint* heel = end("heel", "toe");
  const NamedPoint* toe = end("toe", "heel");
  if (heel == nullptr || toe == nullptr || heel == toe) return std::nullopt;
  const Vec2 along = unit(toe->at - heel->at);
  return norm(along) > 0.0 ? std::optional(along) : std::nullopt;
}

bool lasted_edge(const EdgeSpec& edge) {
  return edge.treatment == Treatment::kLasting || has_word(plain_words(edge.name), "feather");
}

AboveFeather above_feather(const PreparedPiece& piece) {
  AboveFeather above;
  for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
    const OpenArcPath path = shaped_path(piece.shape.edges[e], piece.shape.base);
    if (path.size() == 0) continue;
    const Course course(path);
    const double long_ = length(path);
    std::array<Vec2, 5> places;
    for (std::size_t i = 0; i < places.size(); ++i)
      places[i] = course.at(long_ * static_cast<double>(i) / static_cast<double>(places.size() - 1)).at;
    above.add(places, lasted_edge(piece.bound.edges[e].spec));
  }
  return above;
}

// By forme: which way its lasted pieces lie where all of them lie one way; else 0.
std::vector<int> turns_of_formes(const StyleGrade& grade, const std::vector<int>& of_pieces) {
  std::vector<int> turns(grade.formes.size(), 0);
  std::vector<bool> apart(grade.formes.size(), false);
  for (std::size_t p = 0; p < of_pieces.size(); ++p) {
    int& turn = turns[grade.pieces[p].forme];
    if (of_pieces[p] == 0) continue;
    if (turn != 0 && turn != of_pieces[p]) apart[grade.pieces[p].forme] = true;
    turn = of_pieces[p];
  }
  for (std::size_t f = 0; f < turns.size(); ++f) {
    if (apart[f]) turns[f] = 0;
  }
  return turns;
}

std::string contradiction(const PieceSpec& piece, NamedSide side, GoodSide good, int turn,
                          const std::string& shown, const std::string& stated) {
  return fmt::format(
      "its name says {}, and with the feather below its toe points to the {}: cut good side up{}, it is for "
      "the {} foot, and \"drawn_foot\" {} {}: its dies, tickets and files would call each foot the other; "
      "state \"drawn_foot\": \"{}\" of it, or check its name",
      side == NamedSide::kOutside ? "outside" : "inside", turn > 0 ? "right" : "left",
      good == GoodSide::kToFoot ? ", which a lining has to the foot" : "", shown,
      piece.drawn_foot.empty() ? "of the style says" : "says", stated, shown);
}

}  // namespace

std::vector<StyleFinding> check_upper_feet(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<std::string> names;
  std::vector<int> own;  // by piece
  for (const PreparedPiece& piece : grade.pieces) {
    names.push_back(piece.bound.spec.name);
    const std::optional<Vec2> along = heel_to_toe(grade.formes[piece.forme].map.forme());
    own.push_back(along ? above_feather(piece).turn(*along) : 0);
  }
  const std::vector<int> common = turns_of_formes(grade, own);
  std::vector<StyleFinding> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PreparedPiece& prepared = grade.pieces[p];
    const PieceSpec& piece = prepared.bound.spec;
    const std::string stated = drawn_foot_of(style, piece);
    if (piece.hand != Hand::kHanded || piece.fold || !one_foot(stated) ||
        role_of(grade.formes[prepared.forme].map.forme()) == FormeRole::kBottom)
      continue;
    const NamedSide side = side_of_piece(piece.name, names);
    const GoodSide good = good_side(piece);
    const int turn = own[p] != 0 ? own[p] : common[prepared.forme];
    const std::string shown = foot_shown(side, good, turn);
    if (shown.empty() || shown == stated) continue;
    all.push_back(doubtful_finding("drawn foot", piece.name, 1.0, "piece",
                                   contradiction(piece, side, good, turn, shown, stated)));
  }
  return all;
}

}  // namespace lastwright
