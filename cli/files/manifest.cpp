#include "cli/files/manifest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

// Zeros where the text is none.
Sha256Digest from_hex(std::string_view text) {
  Sha256Digest digest{};
  if (text.size() != 2 * digest.size()) return {};
  for (std::size_t i = 0; i < digest.size(); ++i) {
    const char* from = text.data() + 2 * i;
    const auto [end, error] = std::from_chars(from, from + 2, digest[i], 16);
    if (error != std::errc() || end != from + 2) return {};
  }
  return digest;
}

}  // namespace

std::string to_json(Manifest manifest) {
  std::sort(manifest.files.begin(), manifest.files.end(),
            [](const ManifestEntry& a, const ManifestEntry& b) { return a.name < b.name; });
  std::string json = "{\n  \"lastwright_manifest\": 1,\n  \"files\": [";
  bool first = true;
  for (const ManifestEntry& file : manifest.files) {
    json += fmt::format("{}\n    {{\"name\": {}, \"size\": {}, \"sha256\": \"{}\"}}", first ? "" : ",",
                        Json(file.name).dump(), file.size, to_hex(file.digest));
    first = false;
  }
  return json + "\n  ]\n}\n";
}

Result<Manifest> parse_manifest(std::string_view json) {
  // Half a million files. It lies in a folder that may be anybody's: brackets without end cost memory.
  constexpr JsonLimits kLimits{.bytes = 64u << 20, .depth = 4, .values = 2'500'000, .key_bytes = 64};
  const auto refused = [](std::string message) {
    return Problem{Trouble::kSyntax, std::move(message), {}, {}, {}};
  };
  const Result<JsonDocument> document = parse_json(json, kManifestName, kLimits);
  if (!document) return document.problem();
  const Json& root = document->root;
  if (!root.is_object() || root.value("lastwright_manifest", Json()) != 1) {
    return refused("this is not a manifest that lastwright wrote");
  }
  const auto files = root.find("files");
  if (files == root.end() || !files->is_array()) return refused("the manifest has no list of files");
  Manifest manifest;
  for (const auto& file : *files) {
    if (!file.is_object() || !file.contains("name") || !file["name"].is_string() || !file.contains("size") ||
        !file["size"].is_number_unsigned()) {
      return refused("a file of the manifest has no name or size");
    }
    ManifestEntry entry{file["name"].get<std::string>(), file["size"].get<std::uint64_t>(), {}};
    if (const auto digest = file.find("sha256"); digest != file.end() && digest->is_string())
      entry.digest = from_hex(digest->get_ref<const std::string&>());
    manifest.files.push_back(std::move(entry));
  }
  return manifest;
}

}  // namespace lastwright
