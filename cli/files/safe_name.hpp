// File names from names that people typed.
//
// Piece names come from the style file and may hold anything: "../../etc", "<b>", "a:b", control characters,
// "CON". A safe name is one part of a path that every common file system takes and that nobody can misread.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <unordered_set>

namespace lastwright {

// The longest part in bytes: 255 is the usual limit of file
// systems, less room for an ending and a hidden prefix.
inline constexpr std::size_t kLongestName = 200;

// Valid UTF-8, no control or direction-changing characters, none of / \ : * ?
// " < > |, no leading dot, dash or space, no dot or space at the end, not a
// device name of other systems (CON, NUL, COM1 ...), 1 to kLongestName bytes.
bool is_safe_name(std::string_view name);

// What cannot stand becomes '_'; an empty name becomes "unnamed". Safe names come back as they are.
std::string safe_name(std::string_view text);

// Safe names that stay apart: two different texts never get names that differ in upper and lower case only.
// The second to claim a name gets "-2" put behind it, and so on: depends on the order of the calls only.
class SafeNames {
 public:
  std::string claim(std::string_view text);

 private:
  std::unordered_set<std::string> taken_;  // in lower case
};

// ASCII letters in lower case, everything else as it is.
std::string folded(std::string_view text);

}  // namespace lastwright
