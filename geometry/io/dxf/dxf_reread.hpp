// For dxf_write: what was written, read back by the reader and measured.
#pragma once

#include <string_view>

#include "geometry/io/dxf/dxf_write.hpp"

namespace lastwright {

// reread_check for a sheet that is prepared already.
Status reread_prepared(std::string_view bytes, const Sheet& prepared, DxfVersion version);

}  // namespace lastwright
