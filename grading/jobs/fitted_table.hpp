// The table of measures that rules from a last were fitted to, as the file of rules holds it, beside a
// style's own: by another table the last would move its points otherwise.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "grading/json/json_forward.hpp"
#include "grading/measures/measure_table.hpp"

namespace lastwright {

// How each of the measures named grows from the base, those that the table lacks left out. Lengths are exact,
// and steps that are the same are written the same, however the tables state them ("1/4 in", 6.35):
//
//   {"ball girth": {"per_size": "6.35 mm", "per_width": "6.35 mm"}}
//
// Where the table has them, its breaks and its size steps per width; and the base value and the law of what
// keeps its ratio to the scale between breaks. Elsewhere the value at the base is no part of it: rules are
// moves from there.
Json fitted_table(const MeasureTable& table, const std::set<std::string>& measures);

// Each measure of `fitted` that grows otherwise in `own`, or is not there, with what both say: "ball girth:
// 6.35 mm per size, here 4 mm". `fitted` may hold anything; what no table is written as differs.
std::vector<std::string> unlike_measures(const Json& fitted, const MeasureTable& own);

}  // namespace lastwright
