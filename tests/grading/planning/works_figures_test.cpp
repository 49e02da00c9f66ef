#include "grading/planning/works_figures.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "grading/planning/works_json.hpp"

namespace lastwright {

TEST_CASE("figures of a works file that cannot be are refused, and those at their limits taken",
          "[planning]") {
  const auto problems = [](const std::string& key, const std::string& value) {
    return read_works(R"({"lastwright_works": 1, "materials": {"x": {")" + key + "\": " + value + "}}}",
                      "works.json")
        .problems();
  };
  for (const auto& [value, refused] : {std::pair("0.01", true),
                                       {"0.49", true},
                                       {"0.5", false},
                                       {"0.97", false},
                                       {"1.5", false},
                                       {"1.51", true}})
    CHECK(problems("measured_to_invoiced", value).size() == (refused ? 1 : 0));
  for (const auto& [used, refused] :
       {std::pair("199", true), {"200", false}, {"20000", false}, {"20001", true}}) {
    const std::vector<Problem> found =
        problems("past", R"([{"scale_dm2": 9, "used_dm2": 9}, {"scale_dm2": 1000, "used_dm2": )" +
                             std::string(used) + "}]");
    REQUIRE(found.size() == (refused ? 1 : 0));
    if (refused) CHECK(found.front().place.pointer == "/materials/x/past/1");
    if (refused) CHECK((found.front().value.has_value() && found.front().limit.has_value()));
  }
}

}  // namespace lastwright
