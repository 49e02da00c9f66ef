// A folder of output files that appears whole or not at all.
//
//   Result<OutputSet> set = OutputSet::begin("dies", {.force = options.force, .inputs = {style_file}});
//   if (!set) return set.problem();
//   set->add("vamp/vamp 8 F.dxf", bytes);          // from any thread
//   Result<WrittenSet> written = set->commit();
//
// Files go into a hidden folder beside the target (".dies.lastwright-1"). commit() adds manifest.json, waits
// until everything is on the disk and renames the folder into place: one rename where nothing was, one
// exchange of two names where --force replaces an earlier set. Whatever fails, or kills the program, in
// between: the target is the old set or the new one. A hidden folder left by a killed run is removed by the
// next run into the same target.
//
// Refused, with a Problem that says what to do: a target that exists, unless it is empty, or an earlier set
// and `force` is given; a set that holds files its manifest does not list (they would be lost); a symbolic
// link; a target that holds an input; a folder that cannot be written.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "cli/files/manifest.hpp"
#include "geometry/files/file_system.hpp"

namespace lastwright {

struct OutputOptions {
  bool force = false;                    // replace what an earlier run wrote there
  bool durable = true;                   // wait until the disk has it; false only for throw-away sets
  std::vector<std::string> inputs = {};  // files that were read: nothing is written over them
};

struct WrittenSet {
  std::size_t files = 0;  // the manifest included
  std::uint64_t bytes = 0;
  std::string left_behind;  // the replaced set's hidden folder, when it could not be removed; else empty
};

class OutputSet {
 public:
  static Result<OutputSet> begin(const std::string& folder, const OutputOptions& options,
                                 FileSystem& system = real_file_system());
  OutputSet(OutputSet&&) noexcept;
  OutputSet& operator=(OutputSet&&) noexcept;
  ~OutputSet();  // without a commit everything written so far is removed

  // Writes one file. `name` is a relative path with '/' between its parts; every
  // part must be a name that any file system takes (see cli/files/safe_name.hpp), and
  // no two may differ in upper and lower case only. Any thread.
  Status add(std::string_view name, std::string_view bytes);

  // Whether a file of that name was added. Any thread.
  [[nodiscard]] bool has(std::string_view name) const;

  // Once, after the last add. Not after a failed add: that too is a Problem.
  Result<WrittenSet> commit();

 private:
  struct State;
  explicit OutputSet(std::unique_ptr<State> state);
  std::unique_ptr<State> state_;
};

}  // namespace lastwright
