// All lasts of a run: loading, grading from several threads, and the files that come out.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "cli/last/grade_run.hpp"
#include "cli/last/style_tables.hpp"

namespace lastwright {

// Takes a finished file, from any thread.
using FileSink = std::function<Status(std::string_view name, std::string_view bytes)>;

struct LastSetOptions {
  unsigned threads = 0;  // 0: one per core; the files are the same for any number
  bool stl = false;
  bool reread = false;  // every STEP file through the kernel again: valid, closed, girths within the limit
  bool keep_going = false;  // lasts that a gate refuses are listed instead of ending the run
  LastRunOptions run;
};

// What is kept of each graded last for tables and pictures; its surfaces are let go once written.
struct LastResult {
  SizeWidth at;
  std::size_t base = 0;
  bool beyond = false;
  std::vector<Measured> values;
  std::vector<double> asked;
  double worst_target = 0.0;
  double refit_error = 0.0;
  double reread_worst = -1.0;  // largest miss of a target on the file read back; negative: not read back
  int steps = 0;
  Soundness soundness;
  std::string nest;  // its lines in the picture of the nest
};

struct LastSet {
  std::string file;
  LastSpec spec;
  StyleTables tables;
  std::vector<BaseLast> bases;
  std::vector<PlainMesh> stl_meshes;  // of the bases, when asked for
  std::vector<LastJob> jobs;
  // Of the whole run, also where a part of it was named: the knots are chosen on its corners, so that a last
  // is the same file whichever others are asked for with it.
  std::vector<LastJob> jobs_of_run;
  std::vector<LastResult> results;  // in the order of the jobs, refused ones left out
  std::vector<Problem> failures;
};

// Reads the last's file, its style and its bases; plans the jobs of the run or of the part named.
Result<LastSet> load_last_set(const std::string& file, const std::vector<std::string>& sizes,
                              const std::vector<std::string>& widths, const LastSetOptions& options);

// Every file that was read for it: outputs must not land on them.
std::vector<std::string> inputs_of(const LastSet& set);

// Grades every job and hands each file on as soon as it is made, so that no more than one last a thread is
// held: steps/<size> <width>.step, meshes/<size> <width>.stl when asked for, measures.csv, ties.csv,
// nest.svg.
Status grade_last_set(LastSet& set, const LastSetOptions& options, const FileSink& sink);

}  // namespace lastwright
