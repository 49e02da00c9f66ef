// Where a style file may state a point: what reads references, and what looks for coordinates, goes by it.
#pragma once

#include <functional>
#include <map>
#include <string>
#include <vector>

#include "grading/json/json_forward.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// Whose frame the coordinates of a place are in.
struct StatedPlace {
  std::string pointer;
  std::string forme;
  // Index of the piece, where the place is read as the piece is drawn; none: on the forme.
  std::optional<std::size_t> piece;
};

// Calls `visit` for every value of the file that may be a place: a name, [x, y] or a reference.
// Precondition: the schema has passed the document.
void each_place(const Json& root, const std::function<void(const StatedPlace&, const Json&)>& visit);

// An object that states a point by what it is; not a place that is told in another way ({"edge", "share"}).
bool is_reference(const Json& value);

// The document with coordinates in place of its references: those of `places` by pointer, (0, 0) where there
// are none. Its lines are those of the file. `references` gets what was replaced.
JsonDocument with_places(const JsonDocument& document, const std::map<std::string, Vec2>& places,
                         std::vector<PointReference>& references);

}  // namespace lastwright
