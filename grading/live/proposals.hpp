// What a draft proposed ("proposed" in a style) while the style is worked on: in pencil until it is accepted.
//
// A proposal says where it stands by a JSON pointer. What a change moves in a list, or calls otherwise, it is
// said of at its new place; what a change takes away, or states anew, is no proposal any more.
#pragma once

#include <vector>

#include "grading/json/json_splice.hpp"

namespace lastwright {

// The edits, and those of "proposed" that keep it true after them. `decides`: a proposal is taken out where
// the edits state its place anew; else only where they remove it, as names that are changed everywhere decide
// nothing. Edits of "proposed" itself come through as they are.
// Precondition: `root` is a document that parse_json took, and the edits fit it one after the other.
std::vector<JsonEdit> with_proposals(const Json& root, std::vector<JsonEdit> edits, bool decides);

// `asked`, an object with "what" and "proposals", a list of their places under "proposed":
//   {"what": "accept", "proposals": [0, 3]}  they are stated from now on
//   {"what": "refuse", "proposals": [0, 3]}  what they put in goes: a seam, a rule with its part in girths,
//   where
//                                            a piece lies, how many there are of it, what is done at an edge
// Refuses places that there are not, and to refuse what a style cannot be without.
Result<std::vector<JsonEdit>> settled_proposals(const Json& root, const Json& asked);

}  // namespace lastwright
