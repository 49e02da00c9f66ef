// A style with everything it names: its tables, its sizes
// and measures, its drawings, its pieces bound to them.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "geometry/checked.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/measures/measure_table.hpp"
#include "grading/measures/reference_tables.hpp"
#include "grading/pieces/piece_bind.hpp"
#include "grading/sizes/size_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct LoadStyleOptions {
  std::vector<std::string> tables;       // more table files, as the user named them
  bool drawings = true;                  // false: tables and measures only, pieces stay empty
  bool may_lack_pieces = false;          // true: a style without pieces is read as without drawings
  std::optional<DrawingUnit> unit = {};  // of the drawings for which the style names none; empty: they say it
  DxfLimits limits = {};
};

struct LoadedStyle {
  StyleSpec spec;
  ReferenceTables tables;
  Scale scale;
  Ladder ladder;
  SizeRun run;
  MeasureTable measures;
  std::map<std::string, PatternDrawing> drawings;  // by their key in the style
  std::vector<BoundPiece> pieces;                  // in the order of the style
  std::vector<std::string> inputs;                 // every file that was read: outputs must not land on them
  std::vector<DrawingAccount> accounts;            // of each drawing, by its key: what became of all it holds
  std::vector<std::string> notes;    // what the style states or the drawings hold and nothing uses
  std::optional<Problem> no_pieces;  // with `may_lack_pieces`: why nothing can be graded from it
};

// Goes on after a problem where it can, so that one run
// shows them all. Files a style names are relative to it.
Checked<LoadedStyle> load_style(const std::string& path, const LoadStyleOptions& options = {});
// The same with another text in the style file's place; its tables and drawings are read from the disk.
Checked<LoadedStyle> load_style_text(const std::string& path, std::string text,
                                     const LoadStyleOptions& options = {});

// `name` as seen from the folder of `file`; an absolute name stays as it is. It is always a file: one that is
// called "-" beside a style without a folder is "./-", for "-" is standard input (`read_file`).
std::string file_beside(const std::string& file, const std::string& name);

}  // namespace lastwright
