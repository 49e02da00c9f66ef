// What a draft makes of the size, the widths and the lengths that are said and drawn.
#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <utility>
#include <vector>

#include "grading/draft/draft_basis.hpp"
#include "grading/style/forme_lookup.hpp"
#include "tests/support/drafted.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("widths and lengths that no style could have are refused before anything is written", "[draft]") {
  const auto refused = [](const char* scale, const char* size, std::vector<std::string> widths,
                          const char* width) {
    DraftBasis basis;
    basis.scale = scale;
    basis.size = size;
    basis.widths = std::move(widths);
    basis.width = width;
    StyleSpec style;
    std::vector<Proposed> proposed;
    const Result<FilledBasis> filled = fill_basis(basis, {}, std::nullopt, style, proposed);
    return filled ? std::string() : filled.problem().message;
  };
  CHECK(refused("paris-point", "37", {"N", "M"}, "M").empty());
  CHECK(refused("paris-point", "37", {"N", "N"}, "") == "--widths names N twice");
  CHECK(refused("paris-point", "37", {"N", "M"}, "X").find("--width: X is none of the widths") == 0);
  CHECK(refused("paris-point", "37", {"2", "3"}, "9").find("--width: ") == 0);
  CHECK(refused("paris-point", "37", {"2", "3"}, "4").empty());
  CHECK(refused("mondopoint-5", "235", {}, "").find("the foot is what the scale mondopoint-5") !=
        std::string::npos);
}

TEST_CASE("no extra is stated for a line that is drawn for another size", "[draft]") {
  const auto stick_extra = [](const Draft& draft) {
    for (const Rule& rule : draft.style.formes.at(0).rules) {
      const auto* line = std::get_if<MeasureLine>(&rule);
      if (line != nullptr && line->name == "stick") return line->extra;
    }
    FAIL("no stick");
    return std::optional<Millimetres>{};
  };
  // Drawn 248 mm long; a Paris point is 20/3 mm.
  CHECK_FALSE(stick_extra(court_draft({}, court_upper(), "1", "", "37")));
  const Draft one_size =
      court_draft({}, court_upper(), "1", "", "36");  // or a pointed toe: that is to be said
  REQUIRE(stick_extra(one_size));
  CHECK(stick_extra(one_size)->value() == Approx(8.0).margin(0.01));
  CHECK(proposes(one_size, "8.00 mm, 1.2 sizes, longer than what it carries of stick length"));
  const Draft longer = court_draft({}, court_upper(), "1", "", "35");  // by 6.3 percent
  REQUIRE(stick_extra(longer));
  CHECK(stick_extra(longer)->value() == Approx(248.0 - 35 * 20.0 / 3.0).margin(0.01));
  for (const char* size : {"34", "40", "60"}) {
    INFO(size);
    const Draft other = court_draft({}, court_upper(), "1", "", size);
    CHECK(other.style.formes.at(0).name == "shell");
    CHECK_FALSE(stick_extra(other));
    CHECK(proposes(other, "so no extra is stated. Is the base size right?"));
  }
}

TEST_CASE("what is far too small for a foot is no upper, and nothing small vanishes in small sizes",
          "[draft]") {
  // Twenty millimetres long, in the shape of an upper: a triangle that is low at one end.
  const Draft small =
      draft_of(drawing(tags("0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 20|20 1|10 15|20 4|10 0|20 6")));
  REQUIRE(small.style.formes.size() == 1);
  CHECK_FALSE(role_of(small.style.formes.front()).has_value());
  // A loop of constant width, 22 mm long: five millimetres a size would leave nothing of it.
  DraftOptions options;
  options.kind = *shoe_kind({"strap"});
  options.basis.scale = "paris-point";
  options.basis.size = "37";
  std::vector<DraftDrawing> drawings;
  drawings.push_back(
      {*read_dxf(drawing(tags("0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 22|20 0|10 22|20 5|10 0|20 5")), {}),
       "loop", "loop.dxf"});
  const Result<Draft> loop = draft_style(std::move(drawings), options, {});
  REQUIRE(loop);
  const auto& measures = loop->style.measures;
  const auto length = std::find_if(measures.begin(), measures.end(), [](const MeasureSpec& one) {
    return one.name.ends_with(" length") && !one.from_scale;
  });
  REQUIRE(length != measures.end());
  CHECK(length->law == Law::kProportional);
}
