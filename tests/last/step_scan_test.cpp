// A STEP file with an entity missing is refused before the solid kernel could leave out what needs it.
#include "geometry/solid/step_scan.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "tests/cli/scratch_folder.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

std::string with_data(const std::string& data) {
  return "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n" + data + "\nENDSEC;\nEND-ISO-10303-21;\n";
}

}  // namespace

TEST_CASE("a STEP file that lacks an entity is refused by its number", "[step][damage]") {
  const std::string good = bytes_of(test::project_dir() + "/demo-patterns/cindergarth/last.step");
  REQUIRE(scan_step(good));
  std::size_t tried = 0;
  std::size_t refused = 0;
  std::size_t line = 0;
  for (std::size_t at = good.find("\n#"); at != std::string::npos; at = good.find("\n#", at + 1)) {
    if (++line % 97 != 0) continue;
    const std::size_t end = good.find(";\n", at);
    const std::string id = good.substr(at + 1, good.find('=', at) - at - 1);
    const Status status = scan_step(good.substr(0, at) + good.substr(end + 1));
    ++tried;
    if (status) continue;  // nothing refers to it
    ++refused;
    CHECK(status.problem().message.find(id + ",") != std::string::npos);
    CHECK(status.problem().place.line > 0);
  }
  CHECK(tried > 50);
  CHECK(refused + 2 >= tried);
}

TEST_CASE("texts and comments of a STEP file refer to nothing", "[step]") {
  CHECK(scan_step(with_data("#1=A('#7 and 1.E308');\n#2=B(#1, 'it''s #8');")));
  CHECK(scan_step(with_data("/* don't count #9 or 1.E99 */ #1 = A(1.E-400, -3.5);\n#2=B(#1);")));
  CHECK_FALSE(scan_step(with_data("#1=A(''); #2=B(#10);")));
  const Status far = scan_step(with_data("#1=A(#2);\n\n#2=B(1.,-2.E10);"));
  REQUIRE_FALSE(far.ok());
  CHECK(far.problem().place.line == 7);
  CHECK(far.problem().limit == 1e9);
}
