// Looking into a folder and emptying it, by open folder numbers, never through a symbolic link.
#pragma once

#include <functional>
#include <string>

#include "cli/files/manifest.hpp"
#include "geometry/files/file_system.hpp"

namespace lastwright {

// Removes a folder and everything below it. 0, or the errno of the first thing that would not go.
int remove_tree(FileSystem& system, int parent, const std::string& name);

bool is_empty_folder(FileSystem& system, int parent, const std::string& name);

// The manifest of a set written earlier; a Problem when the folder is not one.
Result<Manifest> read_manifest(FileSystem& system, int parent, const std::string& folder);

// The first file or link in the folder that the manifest does not list, "" when all are listed.
std::string first_unlisted(FileSystem& system, int parent, const std::string& folder,
                           const Manifest& manifest);

}  // namespace lastwright
