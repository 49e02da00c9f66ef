// The version of the program and the library, as the top CMakeLists.txt states it.
#pragma once

namespace lastwright {

const char* program_version();  // "0.2.0"

}  // namespace lastwright
