#include "geometry/io/paper/svg_write.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/units.hpp"

using namespace lastwright;

namespace {

// The path's d, read back with a reading of the SVG arc
// rules of its own (SVG 1.1, F.6.5): the area it encloses.
double area_of_path(const std::string& d) {
  std::vector<std::string> t;  // a letter or a number each
  for (std::size_t i = 0; (i = d.find_first_of("MLAZ-.0123456789", i)) != std::string::npos;) {
    const bool letter = std::string_view("MLAZ").find(d[i]) != std::string_view::npos;
    const std::size_t end = letter ? i + 1 : std::min(d.find_first_not_of(".0123456789", i + 1), d.size());
    t.push_back(d.substr(i, end - i));
    i = end;
  }
  double x = 0, y = 0, x0 = 0, y0 = 0, twice = 0, bows = 0;
  for (std::size_t i = 0; i < t.size();) {
    const std::string command = t[i++];
    if (command == "M") {
      x = x0 = std::stod(t[i]);
      y = y0 = std::stod(t[i + 1]);
      i += 2;
      continue;
    }
    double nx = x0, ny = y0;
    if (command == "A") {
      const double r = std::stod(t[i]);
      REQUIRE(t[i + 3] == "0");
      const bool positive = t[i + 4] == "1";
      nx = std::stod(t[i + 5]);
      ny = std::stod(t[i + 6]);
      i += 7;
      const double half = std::asin(std::hypot(nx - x, ny - y) / 2 / r);
      const double bow = r * r * (half - std::sin(half) * std::cos(half));
      bows += positive ? bow : -bow;
    } else if (command == "L") {
      nx = std::stod(t[i]);
      ny = std::stod(t[i + 1]);
      i += 2;
    }
    twice += x * ny - nx * y;
    x = nx;
    y = ny;
  }
  return -(twice / 2 + bows);  // the page's y runs down
}

std::string first_d(const std::string& svg) {
  const std::size_t from = svg.find(" d=\"") + 4;
  return svg.substr(from, svg.find('"', from) - from);
}

}  // namespace

TEST_CASE("an outline keeps its area through the file, arcs of every size included", "[svg]") {
  const ClosedArcPath outlines[] = {
      {{{{0, 0}, 0.3}, {{100, 10}, -0.2}, {{90, 80}, 0.0}, {{-10, 60}, 1.0}}},
      {{{{0, 0}, 3.0}, {{1, 0}, 0.0}, {{1, 2}, 0.0}, {{0, 2}, -0.4}}},  // more than half a turn
      {{{{0, 0}, 1e-7}, {{100, 0}, 1e-5}, {{100, 100}, -1e-3}}},        // nearly straight
      {{{{1000, -2000}, 0.99999}, {{1100, -2000}, 0.2}}},
  };
  for (const ClosedArcPath& path : outlines) {
    Sheet sheet;
    sheet.outlines.push_back({path});
    const std::string svg = write_svg(sheet);
    // Rounding to 0.00005 mm along the outline.
    CHECK(area_of_path(first_d(svg)) == Approx(signed_area(path)).margin(1e-4 * length(path)));
    CHECK(svg.find(" A") != std::string::npos);
  }
}

TEST_CASE("a full circle is a circle, a hole is a circle", "[svg]") {
  Sheet sheet;
  sheet.outlines.push_back({ClosedArcPath{{{{-2, 0}, 1.0}, {{2, 0}, 1.0}}}, Operation::kCutOut});
  sheet.holes.push_back({{10, 5}, 1.25});
  const std::string svg = write_svg(sheet, {.margin = 3.0});
  CHECK(svg.find("<path") == std::string::npos);
  CHECK(svg.find("<circle cx=\"5\" cy=\"9.25\" r=\"2\"/>") != std::string::npos);
  CHECK(svg.find("<circle cx=\"15\" cy=\"4.25\" r=\"1.25\"/>") != std::string::npos);
}

TEST_CASE("the page is the drawing and its margin, in millimetres", "[svg]") {
  Sheet sheet;
  sheet.outlines.push_back({ClosedArcPath{{{{10, 20}, 0}, {{110, 20}, 0}, {{110, 70}, 0}, {{10, 70}, 0}}}});
  const std::string svg = write_svg(sheet, {.margin = 5.0});
  CHECK(svg.find("width=\"110mm\" height=\"60mm\" viewBox=\"0 0 110 60\"") != std::string::npos);
  CHECK(first_d(svg) == "M5 55 L105 55 L105 5 L5 5 Z");  // y up in the drawing, down on the page
}

TEST_CASE("texts cannot leave their place", "[svg]") {
  Sheet sheet;
  sheet.title = "</title><script>";
  sheet.texts.push_back({{0, 0}, 3.0, from_degrees(90), "<b>&\"'\x01\xff", Operation::kText});
  const std::string svg = write_svg(sheet);
  CHECK(svg.find("<script>") == std::string::npos);
  CHECK(svg.find("&lt;b&gt;&amp;&quot;&#39;\xEF\xBF\xBD\xEF\xBF\xBD</text>") != std::string::npos);
  CHECK(svg.find("rotate(-90 ") != std::string::npos);
}

TEST_CASE("numbers are short and carry no minus nothing", "[svg]") {
  const std::pair<double, std::string> cases[] = {{0.0, "0"},        {-0.0, "0"},    {-0.00001, "0"},
                                                  {1.5, "1.5"},      {100.0, "100"}, {0.12345, "0.1235"},
                                                  {-2.50001, "-2.5"}};
  for (const auto& [value, text] : cases) {
    std::string written;
    append_number(written, value);
    CHECK(written == text);
  }
}

TEST_CASE("no two operations look alike in a grey print", "[svg]") {
  std::set<std::pair<double, std::vector<double>>> looks;
  std::set<std::string> keys;
  for (const Operation operation : all_operations()) {
    const LineStyle& style = style_of(operation);
    keys.insert(style.key);
    // Round ones and short ones are told by their shape: holes, nicks, pricks, grain arrows, texts.
    if (operation == Operation::kPrick || operation == Operation::kHole) continue;
    CHECK(looks.insert({style.width, {style.dashes().begin(), style.dashes().end()}}).second);
  }
  CHECK(keys.size() == kOperationCount);
}
