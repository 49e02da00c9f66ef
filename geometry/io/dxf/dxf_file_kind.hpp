// Names what a file is when it is not a DXF drawing, so that the message can say so.
#pragma once

#include <optional>
#include <string_view>

namespace lastwright {

// The 22 bytes that every binary DXF file starts with.
inline constexpr std::string_view kBinaryDxfSentinel{"AutoCAD Binary DXF\r\n\x1a\0", 22};

// "a PDF document", "a gzip archive", ...; empty when the bytes could be DXF. Looks at the first bytes only.
std::optional<std::string_view> foreign_file_kind(std::string_view bytes);

}  // namespace lastwright
