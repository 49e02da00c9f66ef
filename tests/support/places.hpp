// Where the project and its program are. Kept out of the compile commands of the tests, so that the same test
// compiles to the same bytes in every checkout.
#pragma once

#include <string>

namespace lastwright::test {

// The project's own folder, without a slash at the end.
const std::string& project_dir();
// The demo style's file.
std::string demo_style();
// The program as it was built.
const std::string& program_file();

}  // namespace lastwright::test
