#include "grading/pieces/place/place_home.hpp"

#include <fmt/format.h>

#include <set>

#include "grading/json/json_text.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

bool lies_elsewhere(const PieceSpec& piece) {
  return piece.lies && !piece.lies->as_drawn;
}

Result<std::size_t> piece_of(const Json& from, const PlaceHome& home, const StyleSpec& style) {
  const auto named = from.find("of");
  if (named == from.end() && home.piece == nullptr)
    return bad_value("\"of\" must name the piece: the point is the forme's and no piece's own");
  const std::string name = named == from.end() ? home.piece->name : named->get<std::string>();
  const PieceSpec* piece = with_name(style.pieces, name);
  if (piece == nullptr)
    return bad_value(
        fmt::format("there is no piece {}{}", name, suggestion(name, known_names(style.pieces))));
  if (piece != home.piece) {
    if (lies_elsewhere(*piece)) {
      return bad_value(fmt::format(
          "the piece {} is drawn elsewhere than it lies: only its own points can be stated by it", name));
    }
    if (home.piece != nullptr && lies_elsewhere(*home.piece)) {
      return bad_value(fmt::format(
          "the piece {} is drawn elsewhere than it lies: its points cannot be stated by the piece {}",
          home.piece->name, name));
    }
    if (piece->forme != home.forme)
      return bad_value(
          fmt::format("the piece {} is on the forme {}, not on {}", name, piece->forme, home.forme));
  }
  return static_cast<std::size_t>(piece - style.pieces.data());
}

Result<std::string> drawing_of(const Json& from, const PlaceHome& home, const StyleSpec& style,
                               const std::map<std::string, PatternDrawing>& drawings) {
  std::string key;
  if (const auto named = from.find("drawing"); named != from.end()) {
    key = named->get<std::string>();
    if (drawings.count(key) == 0) {
      std::vector<std::string> keys;
      for (const auto& [one, drawing] : drawings) keys.push_back(one);
      return bad_value(fmt::format("there is no drawing {}{}", key, suggestion(key, keys)));
    }
  } else if (home.piece != nullptr) {
    key = home.piece->source.drawing;
  } else {
    std::set<std::string> keys;
    for (const PieceSpec& piece : style.pieces) {
      if (piece.forme == home.forme) keys.insert(piece.source.drawing);
    }
    if (keys.size() != 1)
      return bad_value("\"drawing\" must name the drawing: the pieces of the forme have several");
    key = *keys.begin();
  }
  return key;
}

}  // namespace lastwright
