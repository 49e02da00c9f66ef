// What a run of lasts tells people: tables, the picture of the nest, the summary on the terminal.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "grading/lasts/last_set.hpp"

namespace lastwright {

// What the command gathers beside the results, by job.
struct LastRunExtra {
  std::vector<std::string> nest;      // the last's lines in the picture of the nest
  std::vector<std::string> outlines;  // the last's row of outlines.json
  std::vector<double> reread;   // largest miss of a target on the file read back, mm; negative: not read back
  std::vector<double> tallest;  // of the lasts in the picture of the nest their height, mm; 0 of the others
};

// One row per size, width and measure: value, what the table asks, the difference, the definition.
std::string measures_csv(const LastSet& set);

// The change of the last's upper and bottom section lengths against what the formes' lines carry.
std::string ties_csv(const LastSet& set);

// The file of a graded last below the set's folder.
std::string last_file_name(const LastSet& set, const LastJob& job);
// Whether the grade makes the last to this measure: the stick length and the targets.
bool driven(const LastSet& set, const std::string& measure);

// The same and what the gates measured, a last at a time, with those that were refused, as JSON.
std::string lasts_json(const LastSet& set, const LastRunExtra& extra);

// The girths whose sections pictures show.
inline constexpr std::array<const char*, 3> kShownGirths{"ball girth", "waist girth", "instep girth"};

// Where the section of a girth is laid out: from its mark on the bottom, seen from the toe.
struct SectionView {
  Plane3 plane;
  Vec3 origin;
  Vec3 right;
  Vec3 up;
};
// Nothing for what is no section, and for girths that are not shown. `i`: of the base's definitions.
std::optional<SectionView> section_view(const BaseLast& base, const GradedLast& last, const Form& form,
                                        std::size_t i);

// The edges that a plan shows: featherline and rim of the top.
std::vector<const BodyEdge*> plan_edges(const Body& body);

// Side view, plan and girth sections of one last, as SVG groups in the frame of the nest's picture.
// `in_sizes`: among the sizes of the base width; `in_widths`: among the widths of the base size.
std::string nest_lines(const BaseLast& base, const GradedLast& last, bool in_sizes, bool in_widths);
// Side view, plan and girth sections of one last by itself, each in its own frame, as a row of outlines.json:
// the lines as SVG path data in tenths of a millimetre, y down, within 0.1 mm.
std::string outlines_row(const BaseLast& base, const GradedLast& last);
// All rows, with the views they have: what lastwright report --lasts draws.
std::string outlines_json(const LastSet& set, const LastRunExtra& extra);
// The picture: all lasts of the base width over each other,
// and all widths of the base size. Physical millimetres.
std::string nest_svg(const LastSet& set, const LastRunExtra& extra);

// What is known of the bases and of their style.
void print_notes(const LastSet& set);
void print_summary(const LastSet& set, const LastRunExtra& extra, const std::string& folder);

}  // namespace lastwright
