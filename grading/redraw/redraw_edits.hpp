// What changes in a style beside its coordinates when it is redrawn, and how far its edges moved.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/json/json_splice.hpp"
#include "grading/redraw/corner_match.hpp"
#include "grading/redraw/piece_twins.hpp"
#include "grading/redraw/redraw_style.hpp"

namespace lastwright {

// How the sheet of a drawing lies; none: as its coordinates say.
std::vector<JsonEdit> sheet_edits(const Json& root, const std::string& key,
                                  const std::optional<DrawingPose>& sheet);

// How the outline of the piece at this pointer is named.
std::vector<JsonEdit> source_edits(const std::string& piece, const OutlineSource& was,
                                   const OutlineSource& now);

// The edges that leave the old outline, or that it leaves, by more than kSameDrawn. `places`: where the
// corners were; all of them are found.
std::vector<RedrawnEdge> moved_edges(const PieceTwin& twin, const std::vector<Vec2>& places,
                                     const CornersFound& found);

}  // namespace lastwright
