// Where an output goes: the folder that holds it and its name there, looked at before anything is written.
#pragma once

#include <string>
#include <vector>

#include "geometry/files/file_system.hpp"

namespace lastwright {

enum class TargetKind { kAbsent, kFile, kFolder, kLink, kOther };

struct Target {
  std::string path;    // as the user named it
  std::string parent;  // "." when the path has no folder part
  std::string name;
  TargetKind kind = TargetKind::kAbsent;
  OpenFile folder;  // the parent, open

  // ".dies.lastwright-1": hidden, beside the target, on the same file system by construction.
  [[nodiscard]] std::string hidden_name(int number) const;
};

// Opens the parent and looks at the target, not through a link. Refuses paths without a name of their own
// ("", "/", "..").
Result<Target> look_at_target(const std::string& path, FileSystem& system);

// The input that is the target itself (under any name, by
// device and inode) or lies in it; "" when there is none.
std::string input_in_target(const Target& target, const std::vector<std::string>& inputs);

}  // namespace lastwright
