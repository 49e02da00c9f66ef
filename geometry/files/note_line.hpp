// Lines of a table that begin with #.
#pragma once

#include <cstddef>

namespace lastwright {

// A line that begins with # is a note, unless it has as many fields as the header: "#12,8,F" may be a row.
constexpr bool may_be_row(std::size_t fields, std::size_t header_fields) {
  return fields >= 2 && fields == header_fields;
}

// What is said of such a line, which is neither read nor passed over in silence.
inline constexpr const char* kNoteOrRow =
    "the line begins with #, as a note does, and has as many fields as the header: put its first field in "
    "quotes if it is a row, take out the separators if it is a note";

}  // namespace lastwright
