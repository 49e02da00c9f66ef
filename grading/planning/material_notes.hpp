// What the figures of a material rest on, in words.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "grading/planning/consumption.hpp"

namespace lastwright {

// As the works file has it; where it does not, one of which nothing is known.
const MaterialSpec& material_spec(const WorksSpec& works, const std::string& name);

// What the area that one piece takes rests on.
std::string area_note(const MaterialSpec& material);

// Of the law, that it knows nothing of the zones which the works file states for these pieces; empty: it
// states none.
std::string zone_note(const std::string& name, const std::set<std::string>& pieces, const WorksSpec& works);

// All that is said of a need but for its notes, its areas and what is known of the past being there. `whole`:
// sheets, each kind of piece by itself.
std::vector<std::string> material_notes(const MaterialNeed& need, const std::set<std::string>& pieces,
                                        double whole, const WorksSpec& works);

}  // namespace lastwright
