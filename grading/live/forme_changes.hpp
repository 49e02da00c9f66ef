// Named changes of measures and formes (`named_changes`): their names, the ones that go, and a forme of its
// own for a piece.
#pragma once

#include <optional>
#include <vector>

#include "grading/json/json_splice.hpp"

namespace lastwright {

// `asked`, an object with "what":
//   {"what": "rename measure", "measure": "tread", "name": "tread width"}
//   {"what": "remove measure", "measure": "tread"}                          where nothing carries it
//   {"what": "rename forme", "forme": "shell", "name": "upper"}             its role stays
//   {"what": "remove forme", "forme": "shell"}                              where nothing lies on it
//   {"what": "own forme", "piece": "strap", "name": "strap", "from": "tip", "to": "end", "side": "corner",
//    "length": {"stick length": "1/4"}, "width": {"ball girth": "1/20"}}
// The last takes the piece off its forme onto a new one: its base line runs from the corner "from", which
// stays, to the corner "to"; its lines "length" (from, to) and "width" (from, side) carry what is said. The
// piece lies there as it is drawn; its corners and features keep the places they state, for which the points
// of the old forme that they name are copied.
// Nothing for another "what". Throws ChangeRefused (`style_names`). Precondition: as named_change.
std::optional<std::vector<JsonEdit>> forme_change(const Json& root, const Json& asked);

}  // namespace lastwright
