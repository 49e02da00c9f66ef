// What `check` prints of a finding: its worst value beside the limit that it is judged by.
#include "cli/report/findings_text.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

TEST_CASE("a finding that is measured is printed with its limit", "[findings]") {
  const auto printed = [](const char* unit, std::optional<double> limit, bool least = false) {
    StyleFinding finding{"cut line reach", "vamp: feather", 2.5, limit, unit, {}, true, ""};
    finding.where.size = "8";
    finding.least = least;
    return findings_text({finding}, true);
  };
  for (const char* unit : {"mm", "times", "degrees"}) {
    INFO(unit);
    CHECK_THAT(printed(unit, 3.0), Catch::Contains(std::string("2.500 ") + unit + "  (limit 3)  at size 8"));
    CHECK_THAT(printed(unit, 3.0, true), Catch::Contains("  (at least 3)  at size 8"));
    CHECK_THAT(printed(unit, {}), !Catch::Contains("limit"));
  }
  CHECK_THAT(printed("area ratio", 0.05), Catch::Contains("  (must stay above 0.05)  at size 8"));
  CHECK_THAT(printed("faults", 0.0), !Catch::Contains("limit"));
}
