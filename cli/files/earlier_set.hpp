// The set that an earlier run left in a folder, for a run that adds to it.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "cli/files/manifest.hpp"

namespace lastwright {

class EarlierSet {
 public:
  // Refuses a folder without a manifest of ours, and one whose manifest names files outside of it.
  static Result<EarlierSet> open(const std::string& folder);

  [[nodiscard]] const std::vector<std::string>& names() const { return names_; }
  [[nodiscard]] bool has(const std::string& name) const;
  // The bytes, where they are still those that the manifest states.
  [[nodiscard]] Result<std::string> read(const std::string& name) const;

 private:
  std::string folder_;
  std::vector<std::string> names_;  // sorted
  std::map<std::string, ManifestEntry> entries_;
};

}  // namespace lastwright
