// A first style drafted from drawings, as `new` and `open` are asked for it: the options they share, and what
// becomes of them.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/options.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"

namespace lastwright {

struct DraftCommand {
  std::vector<std::string> drawings;
  std::string units;                             // "mm", "cm", "in"; empty: the drawing says
  double gap = DrawingSpec{}.chain_gap.value();  // mm; loose ends this close are joined
  std::string out;                               // empty: the first drawing's name with .json
  std::string name;                              // of the style; empty: the first drawing's
  double corner_angle = 0.0;                     // degrees; 0: 5, and 20 where curves are faired
  double fair = 0.0;                             // mm; 0: chords stay chords
  std::string inside;                            // what closed lines inside outlines of their layer are
  std::string edge_lines;                        // what short lines square to an edge of their layer are
  DraftBasis basis;
  std::string by;
  std::string measures;             // a file
  std::vector<std::string> tables;  // files
  std::vector<std::string> kinds;
  bool lay = false;
  bool force = false;  // replace an existing file
};

// Declares all of them but the drawings.
struct DraftOptionsAdded {
  std::vector<Option*> reading;   // --units, --table: of the files, whatever becomes of them
  std::vector<Option*> drafting;  // the others
};
DraftOptionsAdded add_draft_options(Command& command, DraftCommand& options);

// The style file to write.
std::string draft_file(const DraftCommand& command);
// The table of its own widths beside it.
std::string ladder_file(const std::string& out);

// Reads the drawings and drafts a style that names files as seen from `out`.
Result<Draft> draft_from_files(const DraftCommand& command, const std::string& out);

// What was put in by judgement, a line each, the surest first: "  - likely: vamp; quarter: feather, ...".
std::string proposals_text(const StyleSpec& style);

// The draft, and the table of its own widths where it needs one. Refuses to write over the drawings.
Status write_draft_files(const std::string& text, const Draft& draft, const std::string& out, bool force,
                         const std::vector<std::string>& inputs);

}  // namespace lastwright
