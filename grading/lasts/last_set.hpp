// All lasts of a run: the last's file with its style and its bases, planned and graded, as values.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/checked.hpp"
#include "geometry/solid/kernel/kernel.hpp"
#include "geometry/solid/mesh_file.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/lasts/base_table.hpp"
#include "grading/lasts/last_grade.hpp"

namespace lastwright {

struct LastSetOptions {
  unsigned threads = 0;     // 0: one per core; the results are the same for any number
  bool stl = false;         // the bases' fine meshes are wanted too
  double fine = 0.0;        // mm: the bases' bodies triangulated within this are wanted too; 0: they are not
  bool keep_going = false;  // lasts that a gate refuses are listed instead of ending the run
  LastRunOptions run;
};

// What is kept of each graded last for tables and pictures; its surfaces are let go once they are handed on.
struct LastResult {
  std::size_t job = 0;
  SizeWidth at;
  std::size_t base = 0;
  bool beyond = false;
  std::vector<Measured> values;
  std::vector<double> asked;
  double worst_target = 0.0;
  double refit_error = 0.0;
  int steps = 0;
  Soundness soundness;
};

// A base that is a mesh: its graded lasts are written in its own kind and unit.
struct BaseMesh {
  MeshFormat format;
  double millimetres = 1.0;  // one unit of the file
};

struct LastSet {
  std::string file;
  LastSpec spec;
  LoadedStyle style;  // without its drawings
  std::vector<BaseLast> bases;
  std::vector<PlainMesh> meshes;  // of the standing bases: of meshes always, of solids when asked for
  std::vector<std::optional<BaseMesh>> mesh_files;  // by base: how its file is written; none: a solid
  std::vector<LastJob> jobs;
  // Of the whole run, also where a part of it was named: the knots are chosen on its corners, so that a last
  // is the same file whichever others are asked for with it.
  std::vector<LastJob> jobs_of_run;
  std::vector<LastResult> results;  // in the order of the jobs, refused ones left out
  std::vector<Problem> failures;
  std::vector<Body> fine;  // the standing bases, finely triangulated, their roles found, when asked for
  std::vector<BaseOnTable> on_table = {};  // each base against the table of its own size and width
};
inline constexpr double kFormeMesh =
    0.03;  // mm: the chords of back curve and featherline then lack about 0.01 mm of their lengths

// The base again, triangulated within `deflection` mm.
Result<Body> fine_body(const KernelShape& shape, const BaseLast& base, double deflection);

// Reads the last's file, its style and its bases; plans the jobs of the run or of the part named.
Checked<LastSet> load_last_set(const std::string& file, const std::vector<std::string>& sizes,
                               const std::vector<std::string>& widths, const LastSetOptions& options);

// What of the bases fails against the table of their own sizes and widths, in words; what is told of them
// stands among the notes of each base.
std::vector<std::string> failed_bases(const LastSet& set);

// Every file that was read for it: outputs must not land on them.
std::vector<std::string> inputs_of(const LastSet& set);

// Knots for the run of one base.
Result<BodyPlan> plan_of_base(const LastSet& set, std::size_t base, const LastRunOptions& options);

// Takes a graded last, from any thread, before its surfaces are let go. What it refuses as failing a check
// (kCheck) is listed where the run keeps going.
using GradedSink = std::function<Status(std::size_t job, const GradedLast& last)>;

// Grades every job and hands each last on as soon as it is made, so that no more than one a thread is held.
// Fills results and failures.
Status grade_last_set(LastSet& set, const LastSetOptions& options, const GradedSink& sink);

// Reads a written last with the kernel and measures the targets again, at the same (face, u, v): the largest
// miss, mm. Refuses one that is not valid, not closed, or misses a target by more than the limit.
Result<double> read_back(const BaseLast& base, const LastJob& job, const std::string& step, double limit);

// The mesh of a graded last, from its base's: the same triangles, their corners moved by the same field.
PlainMesh graded_mesh(const LastSet& set, const LastJob& job, const GradedLast& last);
// The same of a mesh file: read, and measured on its triangles.
Result<double> read_back_mesh(const LastSet& set, const LastJob& job, const GradedLast& last,
                              const std::string& bytes, double limit);

}  // namespace lastwright
