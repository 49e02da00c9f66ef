// The files of the page, which travel inside the program.
#pragma once

#include <string>
#include <string_view>

namespace lastwright {

struct PageFile {
  std::string_view path;  // "/", "/bench.js", ...
  std::string type;
  std::string_view bytes;
};

// By the path of a request; null for any other.
const PageFile* page_file(std::string_view path);

}  // namespace lastwright
