// Files out of a ZIP archive, as workbooks and 3MF meshes are (APPNOTE 6.3.10 of the format, sections 4.3
// and 4.4): stored or deflated, not encrypted, not split, below 4 GB.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>

#include "geometry/result.hpp"

namespace lastwright {

bool looks_like_zip(std::string_view bytes);

// Refers to the bytes it was opened on, which must outlive it.
class ZipArchive {
 public:
  // All that is unpacked from it, together, unless another budget is named: what a file claims to hold is
  // never believed.
  static constexpr std::size_t kMostUnpacked = std::size_t{64} << 20;

  // Refuses what is no archive, and one in which a name stands twice.
  static Result<ZipArchive> open(std::string_view bytes, std::size_t most_unpacked = kMostUnpacked);
  [[nodiscard]] bool holds(const std::string& name) const { return entries_.count(name) > 0; }
  // Refuses what is not there, cannot be unpacked, does not have its checksum, or is beyond the budget.
  Result<std::string> unpacked(const std::string& name);

 private:
  struct Entry {
    std::size_t header = 0;  // where its local header begins
    std::size_t packed = 0;  // bytes
    std::uint32_t checksum = 0;
    int method = 0;
    bool encrypted = false;
  };

  std::string_view bytes_;
  std::map<std::string, Entry, std::less<>> entries_;
  std::size_t most_ = kMostUnpacked;
  std::size_t left_ = kMostUnpacked;
};

}  // namespace lastwright
