// Texts that are drawn twice: one of two that nothing tells apart is left out by name.
#include "geometry/io/dxf/drawn_twice.hpp"

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "geometry/io/dxf/dxf_read.hpp"
#include "tests/support/dxf_maker.hpp"

namespace lastwright {

TEST_CASE("a text that lies on itself is left out by name, and one that says or stands otherwise is not",
          "[dxf]") {
  const std::string first = "0 TEXT|8 15|10 20|20 7|40 3|50 10|1 VAMP";
  const auto read = [&](const std::string& second) {
    Result<Drawing> drawing = read_dxf(test::drawing(test::tags(first) + test::tags(second)), {});
    REQUIRE(drawing);
    leave_out_doubles(*drawing);
    return *std::move(drawing);
  };
  const Drawing twice = read(first);
  REQUIRE(twice.texts.size() == 1);
  REQUIRE(twice.left_out.size() == 1);
  CHECK(
      twice.left_out.front().reason.starts_with(std::string(kDrawnTwice) + ": it lies on the TEXT of line"));
  for (const char* other :
       {"0 TEXT|8 15|10 20|20 7|40 3|50 10|1 LINING", "0 TEXT|8 15|10 20|20 7|40 2|50 10|1 VAMP",
        "0 TEXT|8 15|10 20|20 7|40 3|50 100|1 VAMP", "0 TEXT|8 15|10 20|20 7.01|40 3|50 10|1 VAMP",
        "0 TEXT|8 14|10 20|20 7|40 3|50 10|1 VAMP"}) {
    INFO(other);
    const Drawing both = read(other);
    CHECK(both.texts.size() == 2);
    CHECK(both.left_out.empty());
  }
}

}  // namespace lastwright
