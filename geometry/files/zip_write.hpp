// Files packed into a ZIP archive (APPNOTE 6.3.10, sections 4.3 and 4.4): deflated, in the order given, all
// dated 1 January 1980, the first day of the format, so that the same parts are the same bytes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace lastwright {

struct ZipPart {
  std::string name;  // ASCII
  std::string_view bytes;
};

// Precondition: fewer than 65,535 parts, below 4 GB together.
std::string zip_archive(const std::vector<ZipPart>& parts);

}  // namespace lastwright
