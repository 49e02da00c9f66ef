// The hidden folders and files that a run writes into before it is complete.
//
// They lie beside the target, named ".<target>.lastwright-<number>", and are locked (flock) as long as their
// run lives. One that is not locked was left by a killed run; the next run into the same target removes it.
#pragma once

#include <string>

#include "cli/files/target.hpp"
#include "geometry/files/file_system.hpp"

namespace lastwright {

struct HiddenFolder {
  std::string name;
  OpenFile folder;
};
Result<HiddenFolder> claim_hidden_folder(const Target& target, FileSystem& system);

struct HiddenFile {
  std::string name;
  OpenFile file;  // open for writing
};
Result<HiddenFile> claim_hidden_file(const Target& target, FileSystem& system);

// Removes a hidden folder that no run holds: an unfinished set, or a finished one without any file that is
// not its own.
bool remove_hidden_folder(FileSystem& system, int parent, const std::string& name);

}  // namespace lastwright
