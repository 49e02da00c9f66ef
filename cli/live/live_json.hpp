// What the page is told of a style's grade.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "grading/json/json_text.hpp"
#include "grading/live/live_grade.hpp"

namespace lastwright {

Json problem_json(const Problem& problem);

// The text under this key of what was asked; none where it holds no text.
std::optional<std::string> text_in(const Json& asked, const char* key);

// The run: labels of sizes and widths, and where the base stands among them (-1: beside them).
Json run_json(const SizeRun& run);

// Everything on its forme in one size and width, lengths in 0.01 mm: of every piece that can be made the net
// line as [x, y, rise, edge] a vertex, of every forme its points and what its lines came to.
// The page counts places: every size in every width, sizes
// outermost, made or not. Empty for what is not made.
std::optional<std::size_t> cell_of_place(const SizeRun& run, std::size_t place);
Json sheet_json(LiveGrade& live, std::size_t cell);

// A piece in the whole run, packed as the report has it (cli/report/nest_data), in the frame of its forme.
// Precondition: it is prepared.
Json piece_nest_json(const StyleGrade& grade, std::size_t piece);

// Where each stands in words, and in parts as far as they apply.
Json findings_json(const std::vector<StyleFinding>& findings);

}  // namespace lastwright
