// A drawing that is read in another unit than it was drawn in, alone and among others.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <map>
#include <sstream>

#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"
#include "tests/support/invented_court.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

// Every place and radius that the tags of a drawing state.
std::string scaled_tags(const std::string& dxf, double factor) {
  std::istringstream in(dxf);
  std::string out;
  std::string code;
  std::string value;
  while (std::getline(in, code) && std::getline(in, value)) {
    const int number = std::stoi(code);
    if ((number >= 10 && number < 40) || number == 40)
      value = fmt::format("{:.12f}", std::stod(value) * factor);
    out += code + "\n" + value + "\n";
  }
  return out;
}

struct Read {
  std::string name;
  std::string text;
  std::optional<DrawingUnit> unit = {};
};

// What is refused, or "".
std::string refused_units(const std::vector<Read>& files, const std::string& size) {
  std::vector<DraftDrawing> drawings;
  for (const Read& one : files) {
    DxfReadOptions reading;
    reading.file_name = one.name + ".dxf";
    reading.unit = one.unit;
    Result<Drawing> drawing = read_dxf(one.text, reading);
    REQUIRE(drawing);
    drawings.push_back({*std::move(drawing), one.name, one.name + ".dxf"});
  }
  DraftOptions options;
  options.first.name = "units";
  options.kind = *shoe_kind({});
  if (!size.empty()) {
    options.basis.scale = "paris-point";
    options.basis.size = size;
  }
  const Result<Draft> draft = draft_style(std::move(drawings), options, {});
  return draft ? std::string() : to_text(draft.problem());
}

bool has(const std::string& text, const std::string& words) {
  return text.find(words) != std::string::npos;
}

std::string court_text(const std::vector<DrawnPiece>& pieces, double factor = 1.0) {
  return scaled_tags(court_drawing(pieces, {}), factor);
}

DrawnPiece plain_box(const std::string& name, double long_side, double short_side) {
  return {
      name,
      {0, 0},
      {line_to({long_side, 0}), line_to({long_side, short_side}), line_to({0, short_side}), line_to({0, 0})},
      {0.2 * long_side, 0.5 * short_side}};
}

}  // namespace

TEST_CASE("a demo drawing in another unit than the one beside it is refused by its name", "[draft][units]") {
  std::map<std::string, std::string> demo;
  for (const char* name : {"shell", "bottom"})
    demo[name] = *read_file(fmt::format("{}/demo-patterns/cindergarth/{}.dxf", test::project_dir(), name),
                            std::size_t{1} << 22);
  CHECK(refused_units({{"shell", demo["shell"]}, {"bottom", demo["bottom"]}}, "").empty());
  for (const auto& [wrong, right] : {std::pair{"shell", "bottom"}, {"bottom", "shell"}}) {
    for (const auto& [factor, fits] : {std::pair{25.4, "1/25.4 as large"},
                                       {10.0, "1/10 as large"},
                                       {0.1, "Put $INSUNITS 5 (centimetres)"},
                                       {1.0 / 25.4, "Put $INSUNITS 1 (inches)"}}) {
      const std::string text = scaled_tags(demo[wrong], factor);
      for (const char* size : {"", "41"}) {
        if (*size != '\0' && factor != 25.4 && factor != 0.1) continue;  // stated: once of either kind
        for (const bool first : {true, false}) {
          if (first != (factor > 1.0)) continue;  // either order, by turns
          std::vector<Read> files{{wrong, text}, {right, demo[right]}};
          if (!first) std::swap(files[0], files[1]);
          const std::string told = refused_units(files, size);
          INFO(fmt::format("{} times {}, size {}: {}", wrong, factor, size, told));
          CHECK(told.find(fmt::format("{}.dxf: the unit seems wrong: it is read in mm", wrong)) == 0);
          CHECK(has(told, fits));
          CHECK_FALSE(has(told, "And " + std::string(right)));
        }
      }
    }
  }
}

TEST_CASE("a drawing in the wrong unit is refused for that, with the size's own length", "[draft][units]") {
  const auto refused = [](double factor) {
    return refused_units({{"bottom", court_text(court_bottom(), factor)}}, "37");
  };
  CHECK(refused(1.0).empty());
  const std::string inches = refused(1.0 / 25.4);
  CHECK(has(inches, "the stick length of size 37 is 246.7 mm; it would fit in inches"));
  CHECK(has(inches, "Say --units in, or put $INSUNITS 1"));
  CHECK(has(refused(25.4), "1/25.4 as large"));
  CHECK(has(refused(2.54), "1/2.54 as large"));
  // What --units did, and what the header says.
  SheetPlace inch_sheet;
  inch_sheet.inches = true;
  const std::string upper = court_drawing(court_upper(), {});
  const std::string bottom = court_drawing(court_bottom(), inch_sheet);
  CHECK(refused_units({{"upper", upper}, {"bottom", bottom}}, "37").empty());
  const std::string told = refused_units(
      {{"upper", upper, DrawingUnit::kMillimetre}, {"bottom", bottom, DrawingUnit::kMillimetre}}, "37");
  CHECK(told.find("bottom.dxf: the unit seems wrong: it is read in mm, as --units says") == 0);
  CHECK(has(told, "Leave --units out: its header says inches"));
  const std::string tenth = court_text(court_bottom(), 0.1);
  const std::string all = refused_units(
      {{"upper", upper, DrawingUnit::kMillimetre}, {"bottom", tenth, DrawingUnit::kMillimetre}}, "");
  CHECK(has(all, "Put $INSUNITS 5 (centimetres) into its header and leave --units out"));
}

TEST_CASE("mates of two drawings that are alike in two units are told, whatever they are called",
          "[draft][units]") {
  std::vector<DrawnPiece> upper{court_upper()[0], court_upper()[1]};
  std::vector<DrawnPiece> linings{court_upper()[3], court_upper()[4]};
  linings[0].name = "P7";
  linings[1].name = "P8";
  test::holds_for_all(
      "a drawing of linings without names, in another unit",
      [&] {
        const double step = *rc::gen::element(25.4, 10.0, 2.54);
        const double factor = *rc::gen::element(1.0, step, 1.0 / step);
        SheetPlace place{*rc::gen::inRange(0, 360) * 1.0, *rc::gen::arbitrary<bool>(), {300, 20}, false};
        const std::string text = scaled_tags(court_drawing(linings, place), factor);
        const std::string told =
            refused_units({{"upper", court_text(upper)}, {"linings", text}}, *rc::gen::element("", "36"));
        if (factor == 1.0) {
          RC_ASSERT(told.empty());
          return;
        }
        RC_ASSERT(has(told, fmt::format("{:g} times, as if in two units", step)));
        RC_ASSERT(has(told, "linings.dxf"));
        // Which of the two it is, is not known at 2.54: an upper may be that much smaller or larger.
        RC_ASSERT(told.find("linings.dxf: ") == 0 || has(told, "Or it is linings.dxf"));
        if (step > 2.54) RC_ASSERT(told.find("linings.dxf: ") == 0);
      },
      16);
  // A third drawing shows which of two it is.
  const std::string told = refused_units({{"a", court_text({linings[0]}, 2.54)},
                                          {"b", court_text({linings[0], linings[1]})},
                                          {"c", court_text({linings[0]})}},
                                         "");
  CHECK(told.find("a.dxf: the unit seems wrong") == 0);
  CHECK_FALSE(has(told, "Or it is"));
}

TEST_CASE("straight edges and arcs of a circle show no unit", "[draft][units]") {
  const auto sound = [](const std::vector<DrawnPiece>& one, const std::vector<DrawnPiece>& other) {
    return refused_units({{"one", court_text(one)}, {"other", court_text(other)}}, "");
  };
  CHECK(sound({plain_box("P1", 254, 100)}, {plain_box("P2", 10, 5), plain_box("P3", 25.4, 10)}).empty());
  const auto round = [](const char* name, double radius) {
    const double c = 0.5522847498 * radius;
    return DrawnPiece{
        name,
        {radius, 0},
        {curve_to({radius, c}, {c, radius}, {0, radius}), line_to({0, 0}), line_to({radius, 0})},
        {0.3 * radius, 0.3 * radius}};
  };
  CHECK(sound({round("P1", 80)}, {round("P2", 8)}).empty());
}

TEST_CASE("small pieces in a drawing of their own are no wrong unit, and neither is a frame",
          "[draft][units]") {
  for (const auto& small :
       {plain_box("QUARTER_TAB", 18, 10), plain_box("P5", 24, 9), plain_box("BINDING", 1400, 12),
        plain_box("TONGUE_LABEL", 27, 12), plain_box("HEEL_LIFT", 27, 25)}) {
    INFO(small.name);
    CHECK(refused_units({{"bottom", court_text(court_bottom())}, {"small", court_text({small})}}, "37")
              .empty());
  }
  std::vector<DrawnPiece> framed = court_bottom();
  framed.push_back(plain_box("OUTER_SOLE", 1189, 841));
  CHECK(refused_units({{"bottom", court_text(framed)}}, "37").empty());
}
