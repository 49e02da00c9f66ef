// manifest.json: what an output folder holds, so that a
// receiver can check it and a later run knows its own work.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "cli/files/sha256.hpp"
#include "geometry/result.hpp"

namespace lastwright {

inline constexpr const char* kManifestName = "manifest.json";

struct ManifestEntry {
  std::string name;  // relative to the folder, parts joined by '/'
  std::uint64_t size = 0;
  Sha256Digest digest{};
};

struct Manifest {
  std::vector<ManifestEntry> files;  // sorted by name, bytewise; the manifest itself is not listed
};

// One file a line, keys in a fixed order: the same set gives the same bytes. Sorts by name.
std::string to_json(Manifest manifest);

// Reads names, sizes and digests back. Refuses what this program did not write.
Result<Manifest> parse_manifest(std::string_view json);

}  // namespace lastwright
