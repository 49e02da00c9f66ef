// A first draft of a style from its drawings: what can be seen in them is stated, what is usual is stated and
// labelled, and everything that was judged is listed with how sure it is.
//
// The pieces of all drawings come through as a first style has them (grading/pieces/first/first_style). Then those
// that lie on each other are taken for one forme; each forme is stood up by its pieces alone, so that a
// drawing that was moved, turned or turned over gives the same draft; edges get their roles, corners the
// names of the points they share, folds and back seams their rules, and coinciding edges become seams.
#pragma once

#include <string>
#include <vector>

#include "grading/draft/draft_basis.hpp"
#include "grading/draft/shoe_kind.hpp"
#include "grading/pieces/first/first_style.hpp"

namespace lastwright {

struct DraftDrawing {
  Drawing drawing;
  std::string key;   // as the style shall call it
  std::string file;  // as the style shall name it
};

struct DraftOptions {
  FirstStyleOptions first;  // how drawings are read; its key and file are not used
  DraftBasis basis;
  ShoeKind kind;
  std::vector<std::string> table_files;  // as the style shall name them
  std::string own_ladder_file;  // as the style shall name the table of its own widths, where it needs one
  bool lay = false;             // lay pieces that lie apart onto a forme by edges they share
};

struct Draft {
  StyleSpec style;                   // its `proposed` holds the list
  std::vector<std::string> guesses;  // of reading the drawings, one line each
  std::vector<std::string> warnings;
  std::vector<std::string> lost;  // what may be a piece and did not come through
  std::vector<Problem> problems;  // until they are mended the style does not load
  std::vector<DrawingAccount> accounts;
  std::string own_ladder;  // text of the table of its own widths; "" for none
};

// Refuses a drawing that first_style refuses, and labels that no table has.
Result<Draft> draft_style(std::vector<DraftDrawing> drawings, const DraftOptions& options,
                          const ReferenceTables& tables);

}  // namespace lastwright
