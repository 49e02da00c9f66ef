// STL meshes cut off after any byte, or with any byte changed: refused, never a smaller mesh.
#include <catch2/catch.hpp>

#include "geometry/solid/stl.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

TEST_CASE("an STL file cut off after any byte is refused", "[stl][damage]") {
  const std::string name = GENERATE("binary.stl", "ascii.stl");
  const std::string good = bytes_of(test::project_dir() + "/tests/fuzz/corpus/stl/" + name);
  REQUIRE(read_stl(good, 1.0));
  const std::size_t end = good.find_last_not_of('\n');
  for (std::size_t cut = 0; cut < (name == "ascii.stl" ? good.rfind("endsolid") + 8 : end); ++cut) {
    INFO(name << " cut off after " << cut << " bytes");
    CHECK_FALSE(read_stl(good.substr(0, cut), 1.0));
  }
}
