#include "cli/files/earlier_set.hpp"

#include <fmt/format.h>

#include "cli/files/safe_name.hpp"
#include "geometry/files/read_file.hpp"

namespace lastwright {

namespace {

bool stays_inside(std::string_view name) {
  while (true) {
    const std::size_t slash = name.find('/');
    if (!is_safe_name(name.substr(0, slash))) return false;
    if (slash == std::string_view::npos) return true;
    name.remove_prefix(slash + 1);
  }
}

}  // namespace

Result<EarlierSet> EarlierSet::open(const std::string& folder) {
  const std::string path = folder + "/" + kManifestName;
  const Result<std::string> text = read_file(path);
  if (!text) return text.problem();
  const Result<Manifest> manifest = parse_manifest(*text);
  if (!manifest) return manifest.problem().in_file(path);
  EarlierSet set;
  set.folder_ = folder;
  for (const ManifestEntry& entry : manifest->files) {
    if (!stays_inside(entry.name))
      return bad_value(fmt::format("\"{}\" is no file of a set", safe_name(entry.name))).in_file(path);
    if (set.entries_.emplace(entry.name, entry).second) set.names_.push_back(entry.name);
  }
  return set;
}

bool EarlierSet::has(const std::string& name) const {
  return entries_.count(name) > 0;
}

Result<std::string> EarlierSet::read(const std::string& name) const {
  const std::string path = folder_ + "/" + name;
  Result<std::string> bytes = read_file(path);
  if (!bytes) return bytes;
  const ManifestEntry& entry = entries_.at(name);
  if (bytes->size() == entry.size && sha256(*bytes) == entry.digest) return bytes;
  return Problem{Trouble::kBadValue,
                 "the file is not the one that the set's manifest lists: somebody has changed it since",
                 {path, 0, {}, {}},
                 {},
                 {}};
}

}  // namespace lastwright
