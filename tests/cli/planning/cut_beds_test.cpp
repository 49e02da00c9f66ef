#include "cli/planning/cut_beds.hpp"

#include <catch2/catch.hpp>

#include "geometry/io/cutter_write.hpp"

using namespace lastwright;

namespace {

// The sheet that is named, if one is.
std::optional<PieceBed> named_sheet(const std::string& words) {
  const auto from = words.find("--sheet ");
  if (from == std::string::npos) return {};
  const std::string sides = words.substr(from + 8, words.find_first_of(" )", from + 8) - from - 8);
  const auto comma = sides.find(',');
  const Result<PieceBed> bed = bed_of({0.0, {sides.substr(0, comma), sides.substr(comma + 1)}, false});
  REQUIRE(bed.ok());
  return *bed;
}

}  // namespace

TEST_CASE("what is named for old machines holds every piece and keeps to their limit", "[cut]") {
  const PieceBed roll{900.0, 0.0, false};
  const PieceBed narrow{640.5, 0.0, true};
  const PieceBed sheet{1000.0, 1500.0, false};
  for (const PieceBed& bed : {roll, narrow, sheet}) {
    for (const double longest : {80.0, 640.0, 819.0, 820.0}) {
      for (const double widest : {80.0, 640.0, 819.0, 900.0}) {
        if (widest > bed.width) continue;
        INFO(bed.width << ", " << bed.length << ": " << longest << " x " << widest);
        const std::string words = within_old_limit(bed, false, longest, widest);
        CHECK(words.find("--as dxf or --as gcode") != std::string::npos);
        const std::optional<PieceBed> named = named_sheet(words);
        CHECK(named.has_value() == (longest <= 819.0 && widest <= 819.0));
        if (!named) continue;
        CHECK(std::max(named->length, named->width) <= kHpglOldLimit);
        // Where the grain lies across the roll, a sheet's length along the grain is across it.
        CHECK((bed.grain_across ? named->width : named->length) >= longest);
        CHECK((bed.grain_across ? named->length : named->width) >= widest);
        CHECK(std::min(named->length, named->width) <= bed.width);
      }
    }
  }
  CHECK(within_old_limit(roll, false, 80, 80).find("--sheet 819,819 in place of --roll)") !=
        std::string::npos);
  CHECK(within_old_limit(narrow, true, 80, 80).find("--sheet 640,819 in place of --works)") !=
        std::string::npos);
  CHECK(within_old_limit(sheet, false, 80, 80).find("--sheet 819,819)") != std::string::npos);
}
