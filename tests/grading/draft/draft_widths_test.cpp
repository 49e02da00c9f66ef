// What a draft says of a width, and what lies between the widths that it makes.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "grading/draft/draft_basis.hpp"
#include "grading/draft/width_steps.hpp"
#include "grading/sizes/width_gaps.hpp"
#include "tests/support/drafted.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

// Steps of 5 mm a width, and a last's own length, which scales of feet need.
StyleSpec widths_given() {
  StyleSpec given;
  for (const char* name : {"stick length", "ball girth"}) {
    MeasureSpec one;
    one.name = name;
    one.base = millimetres(250);
    if (one.name == "ball girth") one.per_width = millimetres(5);
    given.measures.push_back(std::move(one));
  }
  return given;
}

struct WidthsAsked {
  std::string scale;
  std::string ladder;  // empty: it is chosen
  std::vector<std::string> widths;
  std::string base;
};

// What a table makes of each width beside the narrowest; empty where the draft refuses them.
std::optional<std::vector<std::pair<Width, Fraction>>> made_of(const WidthsAsked& asked, std::string& told,
                                                               std::string& ladder) {
  DraftBasis basis;
  basis.scale = asked.scale;
  basis.ladder = asked.ladder;
  basis.widths = asked.widths;
  basis.width = asked.base;
  basis.given = widths_given();
  StyleSpec style;
  std::vector<Proposed> proposed;
  const Result<FilledBasis> filled = fill_basis(basis, {}, std::nullopt, style, proposed);
  if (!filled) return std::nullopt;
  style.measures = basis.given->measures;
  told = width_gaps_told(filled->ladder, style);
  ladder = style.ladder;
  Ladder widths = filled->ladder;
  if (!filled->own_ladder.empty()) widths.labels = style.run_widths;
  Measure girth;
  girth.base = millimetres(250);
  girth.per_width = millimetres(5);
  Base base;
  base.at.width = *widths.width(style.base_width);
  base.length = 250;
  base.step = 5;
  std::vector<std::pair<Width, Fraction>> made;
  for (const std::string& label : style.run_widths) {
    const Width width = *widths.width(label);
    made.emplace_back(width, value_of(girth, base, {base.at.size, width}));
  }
  std::sort(made.begin(), made.end(),
            [](const auto& a, const auto& b) { return a.first.position < b.first.position; });
  return made;
}

void keeps_its_word(const WidthsAsked& asked) {
  std::string told;
  std::string ladder;
  CAPTURE(asked.scale, asked.ladder, asked.base, fmt::format("{}", fmt::join(asked.widths, ",")));
  const auto made = made_of(asked, told, ladder);
  if (!made) return;
  CAPTURE(ladder, told);
  bool plain = true;
  for (std::size_t i = 1; i < made->size(); ++i) {
    const Fraction more = (*made)[i].second - (*made)[i - 1].second;
    if (more == Fraction(5)) continue;
    plain = false;
    const std::string from =
        fmt::format("from width {} to {} ", (*made)[i - 1].first.label, (*made)[i].first.label);
    const std::size_t at = told.find(from);
    REQUIRE(at != std::string::npos);
    const std::string said = told.substr(at, told.find(';', at) - at);
    CHECK(said.find(fmt::format("ball girth {:g} mm", more.value())) != std::string::npos);
    CHECK(said.find(to_mixed(more / Fraction(5)) + " ") != std::string::npos);
  }
  CHECK(told.empty() == plain);
  if (asked.ladder.empty() && asked.base.empty() && whole_in_a_row(asked.widths)) CHECK(plain);
}

}  // namespace

TEST_CASE("from width to width a table grows by what a draft says of a width, or the steps are told",
          "[draft][law]") {
  const ReferenceTables tables;
  std::mt19937 draw(5);
  const auto below = [&](std::size_t end) { return static_cast<std::size_t>(draw() % end); };
  const std::vector<TableEntry> ladders = tables.list("ladder");
  for (const TableEntry& scale : tables.list("scale")) {
    for (const std::vector<std::string>& widths : std::vector<std::vector<std::string>>{{"1", "2", "3"},
                                                                                        {"3", "1", "2"},
                                                                                        {"4", "5"},
                                                                                        {"9", "10", "11"},
                                                                                        {"1", "3"},
                                                                                        {"B", "D", "EE"},
                                                                                        {"1.5", "2", "3"},
                                                                                        {"N", "M", "W"},
                                                                                        {"E", "F", "G"},
                                                                                        {"2"}})
      keeps_its_word({scale.key, "", widths, ""});
    keeps_its_word({scale.key, "", {"1", "2", "3"}, "2.5"});
    for (int round = 0; round < test::law_rounds(6); ++round) {
      const TableEntry& one = ladders[below(ladders.size())];
      std::vector<std::string> labels = tables.find_ladder(one.key)->labels;
      std::shuffle(labels.begin(), labels.end(), draw);
      labels.resize(1 + below(4));
      keeps_its_word({scale.key, draw() % 2 == 0 ? one.key : "", labels, draw() % 3 == 0 ? labels[0] : ""});
    }
  }
}

TEST_CASE("the ladder that measures are stated on is the one their widths are of", "[draft]") {
  DraftBasis basis;
  basis.scale = "chinese";
  basis.widths = {"1", "2", "3"};
  basis.given = widths_given();
  const auto ladder = [&](const char* stated) {
    basis.given->ladder = stated;
    StyleSpec style;
    std::vector<Proposed> proposed;
    REQUIRE(fill_basis(basis, {}, std::nullopt, style, proposed));
    return style.ladder;
  };
  CHECK(ladder("") == "english-numbers");
  CHECK(ladder("chinese-types") == "chinese-types");
  CHECK(ladder("english-letters") == "english-numbers");
}

TEST_CASE("a draft whose widths have others between them says so, in its list and as a warning", "[draft]") {
  const auto told = [](const std::vector<std::string>& widths) {
    const Result<Drawing> drawing = read_dxf(test::court_drawing(test::court_bottom(), {}), {});
    REQUIRE(drawing);
    DraftOptions options;
    options.basis.scale = "paris-point";
    options.basis.size = "36";
    options.basis.ladder = "chinese-types";
    options.basis.widths = widths;
    options.kind = *shoe_kind({"court"});
    std::vector<DraftDrawing> drawings;
    drawings.push_back({*drawing, "bottom", "bottom.dxf"});
    const Result<Draft> draft = draft_style(std::move(drawings), options, {});
    REQUIRE(draft);
    const bool warned = std::any_of(draft->warnings.begin(), draft->warnings.end(), [](const auto& one) {
      return one.find("from width 1 to 2 are 2 steps of the ladder chinese-types") == 0;
    });
    CHECK(test::proposes(*draft, "from width 1 to 2 are 2 steps of the ladder chinese-types") == warned);
    return warned;
  };
  CHECK(told({"1", "2", "3"}));
  CHECK_FALSE(told({"1", "1.5", "2"}));
}

}  // namespace lastwright
