// Whose frame a stated place is in, and to which pieces and drawings it may refer from there.
#pragma once

#include <algorithm>
#include <map>
#include <string>
#include <vector>

#include "grading/json/json_forward.hpp"
#include "grading/pieces/drawing/pattern_drawing.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// A piece as it is drawn, or a forme.
struct PlaceHome {
  const PieceSpec* piece = nullptr;
  std::string forme;
};

// Whether the piece is laid onto its forme from elsewhere on the sheet.
bool lies_elsewhere(const PieceSpec& piece);

// The number of the piece that `from` refers to by "of", else of the home's own. Refused is one that is not
// there, one of another forme, and one that lies in another frame than the home.
Result<std::size_t> piece_of(const Json& from, const PlaceHome& home, const StyleSpec& style);

// The key of the drawing in which `from` looks for a mark: the named one, else that of the home's piece or of
// all pieces of its forme. Refused is one that is not there, and where there are several.
Result<std::string> drawing_of(const Json& from, const PlaceHome& home, const StyleSpec& style,
                               const std::map<std::string, PatternDrawing>& drawings);

template <class Named>
std::vector<std::string> known_names(const std::vector<Named>& things) {
  std::vector<std::string> names;
  for (const Named& one : things) names.push_back(one.name);
  return names;
}

template <class Named>
const Named* with_name(const std::vector<Named>& things, const std::string& name) {
  const auto at =
      std::find_if(things.begin(), things.end(), [&](const Named& one) { return one.name == name; });
  return at == things.end() ? nullptr : &*at;
}

}  // namespace lastwright
