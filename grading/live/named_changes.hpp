// Changes of a style that reach into many places: a name that is used elsewhere, a corner that splits an
// edge. Each becomes small edits of the text, so that what is not touched keeps its bytes.
#pragma once

#include <vector>

#include "grading/json/json_splice.hpp"

namespace lastwright {

// `asked`, an object with "what":
//   {"what": "rename piece", "piece": "vamp", "name": "front"}
//   {"what": "rename edge", "piece": "vamp", "edge": "throat", "name": "mouth"}
//   {"what": "rename corner", "piece": "vamp", "corner": "cap foot", "name": "cap end"}
//   {"what": "rename point", "forme": "shell", "point": "joint", "name": "ball"}
//   {"what": "rename line", "forme": "shell", "line": "ball line", "name": "joint line"}
//   {"what": "remove piece", "piece": "vamp"}                     with its seams
//   {"what": "corner off", "piece": "vamp", "corner": "tab front"}  the edge before it runs on over the next
//   {"what": "corner on", "piece": "vamp", "edge": "throat", "corner": "middle", "at": [x, y] or a point,
//    "name": "throat, end"}                                       the name of the part after the corner
// and those of measures and formes (`forme_changes`). Refuses, with a reason, what is not there, names that
// are taken, and a corner that cannot go: two seams end at it. Precondition: `root` is a document that parse_json took; it need not be a sound style.
Result<std::vector<JsonEdit>> named_change(const Json& root, const Json& asked);

}  // namespace lastwright
