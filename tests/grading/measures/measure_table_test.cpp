#include "grading/measures/measure_table.hpp"
#include "grading/style/style_measures.hpp"
#include "grading/style/style_run.hpp"

#include <catch2/catch.hpp>

#include "grading/sizes/size_run.hpp"

using namespace lastwright;

namespace {

Scale english() {
  Scale scale;
  scale.key = "english";
  scale.zero_length = Fraction(508, 5);
  scale.step = Fraction(127, 15);
  scale.runs = {{"child ", 0, Fraction(27, 2), 0, 1, Fraction(1, 2)}, {"", 1, 15, 14, 1, Fraction(1, 2)}};
  return scale;
}

Ladder letters() {
  Ladder ladder;
  ladder.key = "english-letters";
  ladder.labels = {"C", "D", "E", "F", "G", "H"};
  return ladder;
}

StyleSpec style() {
  StyleSpec spec;
  spec.base_size = "8";
  spec.base_width = "F";
  spec.run_from = "5";
  spec.run_to = "13";
  spec.run_by = Fraction(1, 2);
  spec.run_widths = {"H", "D", "F", "G", "E"};
  MeasureSpec stick;
  stick.name = "stick length";
  stick.from_scale = true;
  MeasureSpec girth;
  girth.name = "ball girth";
  girth.base = *parse_quantity("246 mm");
  girth.per_size = *parse_quantity("1/4 in");
  girth.per_width = *parse_quantity("1/4 in");
  spec.measures = {stick, girth};
  return spec;
}

}  // namespace

TEST_CASE("a run holds every size in every width, narrowest first", "[size_run]") {
  const auto run = size_run(style(), english(), letters());
  REQUIRE(run);
  CHECK(run->sizes.size() == 17);
  CHECK(run->widths.front().label == "D");
  CHECK(run->widths.back().label == "H");
  const auto cells = run->cells();
  REQUIRE(cells.size() == 85);
  CHECK(cells[0].size.label == "5");
  CHECK(cells[1].width.label == "E");
  CHECK(cells[84].size.label == "13");
}

TEST_CASE("a part of a run is named by labels", "[size_run]") {
  const auto run = size_run(style(), english(), letters());
  REQUIRE(run);
  const std::vector<std::string> sizes{"9", "8.0", "8½"};
  const std::vector<std::string> widths{"F"};
  const auto part = run->part(sizes, widths);
  REQUIRE(part);
  REQUIRE(part->sizes.size() == 3);
  CHECK(part->sizes[1].label == "8.5");
  CHECK(part->count() == 3);
  CHECK(run->part({}, {})->count() == 85);
  const std::vector<std::string> outside{"14"};
  CHECK(run->part(outside, {}).problem().trouble == Trouble::kUsage);
  CHECK(run->part({}, outside).problem().message.find("D, E, F, G, H") != std::string::npos);
}

TEST_CASE("a run without sense is refused where it stands in the file", "[size_run]") {
  StyleSpec spec = style();
  spec.run_widths = {"D", "Z"};
  CHECK(size_run(spec, english(), letters()).problem().place.pointer == "/run/widths/1");
  spec.run_widths = {"D", "D"};
  CHECK(size_run(spec, english(), letters()).problem().place.pointer == "/run/widths/1");
  spec = style();
  spec.base_size = "8.3";
  CHECK(size_run(spec, english(), letters()).problem().place.pointer == "/base/size");
  spec = style();
  spec.run_to = "3";
  CHECK(size_run(spec, english(), letters()).problem().place.pointer == "/run");
}

TEST_CASE("increments come in the order of the file, rounded once", "[measure_table]") {
  const auto table = measure_table(style(), english(), letters());
  REQUIRE(table);
  const SizeWidth cell{*english().size("10.5"), *letters().width("H")};
  const std::vector<double> d = table->increments(cell);
  REQUIRE(d.size() == 2);
  CHECK(d[0] == 2.5 * 25.4 / 3);
  CHECK(d[1] == Approx(4.5 * 6.35).epsilon(1e-15));
  CHECK(table->index("ball girth") == std::size_t{1});
  CHECK_FALSE(table->index("instep girth"));
  CHECK(table->exact(0, cell) == Fraction(127, 5) * Fraction(71, 6));  // 8 1/3 + 10.5/3 in
  for (const double one : table->increments(table->base().at)) CHECK(one == 0.0);
}

TEST_CASE("breaks named by labels are found on the scale", "[measure_table]") {
  MeasureSpec spec = style().measures[1];
  spec.breaks = {{"5", "8", parse_quantity("3/16 in").value(), std::nullopt}};
  const auto measure = bind_measure(spec, english(), *english().size("8"));
  REQUIRE(measure);
  REQUIRE(measure->breaks.size() == 1);
  CHECK(measure->breaks[0].to.position - measure->breaks[0].from.position == Fraction(3));
  spec.breaks[0].to = "8.3";
  CHECK(bind_measure(spec, english(), *english().size("8")).problem().place.pointer == "/breaks/0/to");
}

TEST_CASE("a table refuses doubles, and a foot scale as a last's length", "[measure_table]") {
  StyleSpec spec = style();
  spec.measures.push_back(spec.measures.front());
  CHECK(measure_table(spec, english(), letters()).problem().place.pointer == "/measures");
  spec = style();
  spec.measures[1].per_size = millimetres(90);
  const Problem negative = measure_table(spec, english(), letters()).problem();
  CHECK(negative.place.pointer == "/measures/ball girth");
  CHECK(*negative.value <= 0.0);
  Scale foot = english();
  foot.sizes = Sizes::kFoot;
  CHECK(measure_from_scale("stick length", foot, *foot.size("8")).problem().message.find("foot") !=
        std::string::npos);
}
