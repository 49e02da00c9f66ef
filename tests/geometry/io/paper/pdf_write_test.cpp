#include "geometry/io/paper/pdf_write.hpp"

#include <catch2/catch.hpp>
#include <cstdlib>

#include "geometry/io/paper/free_square.hpp"
#include "geometry/io/paper/pdf_update.hpp"

using namespace lastwright;

namespace {

Box2 box(double width, double height) {
  return {{-7.0, 11.0}, {width - 7.0, height + 11.0}};
}

Sheet rectangle(double width, double height) {
  Sheet sheet;
  sheet.title = "test";
  sheet.outlines.push_back(
      {ClosedArcPath{{{{0, 0}, 0}, {{width, 0}, 0}, {{width, height}, 0.2}, {{0, height}, 0}}}});
  return sheet;
}

}  // namespace

TEST_CASE("papers have their standard sizes", "[pdf]") {
  // ISO 216 for the A sizes; Letter is 8.5 x 11 in by ANSI/ASME Y14.1.
  CHECK(paper_named("A4")->width == 210.0);
  CHECK(paper_named("a3")->height == 420.0);
  CHECK(paper_named("letter")->width == Approx(215.9));
  CHECK(paper_named("Letter")->height == Approx(279.4));
  CHECK(paper_named("roll 914.4")->width == 914.4);
  for (const char* bad :
       {"", "A", "A5x", "roll", "roll x", "roll 90,5", "roll 50", "roll nan", "roll 900 "}) {
    const auto paper = paper_named(bad);
    REQUIRE_FALSE(paper);
    CHECK(paper.problem().trouble == Trouble::kBadValue);
  }
}

TEST_CASE("the sheets cover the drawing and share exactly the overlap", "[pdf]") {
  const TileOptions options;
  for (const char* name : {"A4", "A3", "Letter", "roll 900"}) {
    for (const auto& [width, height] :
         {std::pair{50.0, 50.0}, {190.0, 267.0}, {190.1, 20.0}, {300.0, 180.0}, {1200.0, 900.0}}) {
      const Box2 drawing = box(width, height);
      const auto plan = plan_tiles(drawing, *paper_named(name), options);
      REQUIRE(plan);
      CHECK(plan->tiles.size() == static_cast<std::size_t>(plan->rows * plan->columns));
      Box2 all;
      for (const Tile& tile : plan->tiles) all.add(tile.shown);
      CHECK(all.low.x <= drawing.low.x + 1e-9);
      CHECK(all.low.y <= drawing.low.y + 1e-9);
      CHECK(all.high.x >= drawing.high.x - 1e-9);
      CHECK(all.high.y >= drawing.high.y - 1e-9);
      for (const Tile& tile : plan->tiles) {
        CHECK(tile.shown.width() == Approx(plan->page_width - 2 * options.margin));
        CHECK(tile.shown.height() == Approx(plan->page_height - 2 * options.margin - options.strip));
        if (tile.column == 0) continue;
        const Tile& left = plan->tiles[static_cast<std::size_t>(tile.row * plan->columns + tile.column - 1)];
        CHECK(left.shown.high.x - tile.shown.low.x == Approx(options.overlap));
      }
    }
  }
}

TEST_CASE("a drawing that just fits takes one sheet, turned if need be", "[pdf]") {
  CHECK(plan_tiles(box(190, 267), *paper_named("A4"), {})->tiles.size() == 1);
  CHECK(plan_tiles(box(277, 180), *paper_named("A4"), {})->tiles.size() == 1);
  CHECK(plan_tiles(box(190.1, 267), *paper_named("A4"), {})->tiles.size() == 2);
  const auto roll = plan_tiles(box(860, 1500), *paper_named("roll 900"), {});
  REQUIRE(roll);
  CHECK(roll->tiles.size() == 1);
  CHECK(roll->page_height == Approx(1530.0));
}

TEST_CASE("drawings and papers that make no sense are refused", "[pdf]") {
  CHECK(plan_tiles(box(1e6, 1e6), *paper_named("A4"), {}).problem().trouble == Trouble::kBudget);
  CHECK_FALSE(plan_tiles(box(1e300, 1e300), *paper_named("A4"), {}));
  CHECK_FALSE(plan_tiles(box(10, 10), Paper{"tiny", 30, 30}, {}));
  CHECK_FALSE(write_pdf({}, {}));
  CHECK_FALSE(write_pdf({Sheet{}}, {}));
}

TEST_CASE("sheets are told by row and column", "[pdf]") {
  TilePlan plan;
  plan.rows = plan.columns = 1;
  CHECK(tile_name(plan, 0, 0) == "one sheet");
  plan.rows = 2;
  plan.columns = 3;
  CHECK(tile_name(plan, 1, 0) == "row 2 of 2, column 1 of 3");
}

TEST_CASE("the check square keeps clear of the drawing where there is room", "[pdf]") {
  const Box2 page{{0, 0}, {190, 267}};
  // A bar across the page at half its height leaves room below and above, a higher one only below.
  const auto bar = [](double y, double height) {
    Sheet sheet;
    sheet.outlines.push_back(
        {{{{{0, y}, 0.0}, {{190, y}, 0.0}, {{190, y + height}, 0.0}, {{0, y + height}, 0.0}}}});
    return sheet;
  };
  const auto below = free_square(bar(120, 60), page, 100.0);
  REQUIRE(below);
  CHECK(below->y + 100.0 <= 120.0);
  const auto above = free_square(bar(50, 60), page, 100.0);
  REQUIRE(above);
  CHECK(above->y >= 110.0);
  // Inside an outline only where there is nothing outside; never across a line.
  const auto inside = free_square(bar(20, 230), page, 100.0);
  REQUIRE(inside);
  CHECK((inside->y >= 20.0 && inside->y + 100.0 <= 250.0));
  Sheet crossed = bar(20, 230);
  for (const double y : {97.0, 173.0})
    crossed.lines.push_back({{{{{0, y}, 0.0}, {{190, y}, 0.0}}}, Operation::kStitch});
  CHECK_FALSE(free_square(crossed, page, 100.0));
  CHECK_FALSE(free_square(bar(0, 1), {{0, 0}, {90, 200}}, 100.0));
}

TEST_CASE("the same drawing gives the same bytes, and they ask for no scaling", "[pdf]") {
  const std::vector<Sheet> sheets = {rectangle(300, 200), rectangle(50, 60)};
  const auto first = write_pdf(sheets, {});
  REQUIRE(first);
  CHECK(*write_pdf(sheets, {}) == *first);
  CHECK(first->find("/PrintScaling /None") != std::string::npos);
  CHECK(first->find("(19700101000000Z)") != std::string::npos);
  ::setenv("SOURCE_DATE_EPOCH", "951782400", 1);  // date -u -d @951782400: 29 February 2000
  CHECK(write_pdf(sheets, {})->find("(20000229000000Z)") != std::string::npos);
  ::unsetenv("SOURCE_DATE_EPOCH");
}

TEST_CASE("only a PDF with a plain cross-reference table is added to", "[pdf]") {
  for (const char* bad : {"", "startxref", "startxref 5", "startxref 999999", "xref\nstartxref\n0\n",
                          "xref\n0 1\ntrailer\n<< /Size 5 /Root 3 0 R >>\nstartxref\n0\n%%EOF\n"}) {
    CHECK_FALSE(with_catalog_entries(bad, "/A /B"));
  }
}

TEST_CASE("the pages of several drawings are counted before they are drawn", "[pdf]") {
  // 300 mm and the white round it need two A4 pages side by side; a small drawing needs one of its own.
  CHECK(*pdf_pages({rectangle(300, 180), rectangle(50, 50)}, {}) == 3);
  CHECK_FALSE(pdf_pages({}, {}));
}
