// The rules file of a die order: JSON in, DieRules out.
// grading/dies/die_rules.schema.json documents every key.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geometry/checked.hpp"
#include "grading/dies/die_rules.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

class JsonSchema;

std::string_view die_rules_schema_text();
const JsonSchema& die_rules_schema();

// Refuses what the schema refuses, and pieces, edges and
// sizes that the style does not have. All problems found.
Checked<DieRules> read_die_rules(std::string_view text, std::string file, const StyleSpec& style);

// One tolerance as typed: "0.4" for all kinds, "lasting=0.6"
// for one. Refuses unknown kinds and lengths not above 0.
Status set_tolerance(DieRules& rules, std::string_view typed);

// All of them, each word one or several with commas between. One for all kinds stands first, as it takes the
// place of what the rules say of kinds; none stands twice. So a decimal comma is refused, not taken for two.
Status set_tolerances(DieRules& rules, const std::vector<std::string>& typed);

}  // namespace lastwright
