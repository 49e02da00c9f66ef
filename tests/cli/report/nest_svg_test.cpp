#include "cli/report/nest_svg.hpp"

#include <catch2/catch.hpp>

#include "cli/report/nest_labels.hpp"

using namespace lastwright;

namespace {

ClosedArcPath oval(double scale) {
  return {{{{100, 0}, 0.2}, {{100 + 90 * scale, -30}, 0.4}, {{100 + 90 * scale, 30}, 0.2}}};
}

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t found = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++found;
  return found;
}

// Whether two segments cross in their insides.
bool cross_over(Vec2 a, Vec2 b, Vec2 c, Vec2 d) {
  return cross(b - a, c - a) * cross(b - a, d - a) < -1e-9 &&
         cross(d - c, a - c) * cross(d - c, b - c) < -1e-9;
}

}  // namespace

TEST_CASE("a nest shows every outline with its label, the base on top of all", "[nest]") {
  std::vector<NestOutline> outlines;
  for (int i = 0; i < 9; ++i) {
    outlines.push_back({.label = "<" + std::to_string(i) + ">",
                        .path = oval(1 + 0.03 * i),
                        .place = i < 4    ? NestPlace::kSmaller
                                 : i == 4 ? NestPlace::kBase
                                          : NestPlace::kLarger,
                        .minor = i % 2 == 1});
  }
  const std::string svg =
      nest_svg(outlines, {.title = "a & b", .subtitle = "sizes", .minor = "half sizes", .kept = Vec2{0, 0}});
  CHECK(count(svg, "id=\"outline-") == 9);
  for (int i = 0; i < 9; ++i) CHECK(count(svg, ">&lt;" + std::to_string(i) + "&gt;</text>") == 1);
  CHECK(svg.find("id=\"outline-5\"") > svg.find("id=\"outline-9\""));
  CHECK(svg.find("a &amp; b") != std::string::npos);
  CHECK(svg.find("fixed point") != std::string::npos);
  CHECK(svg.find("half sizes") != std::string::npos);
  CHECK(svg == nest_svg(outlines,
                        {.title = "a & b", .subtitle = "sizes", .minor = "half sizes", .kept = Vec2{0, 0}}));
}

TEST_CASE("leaders start on their outlines and do not cross", "[nest]") {
  const double rise =
      GENERATE(0.0, 1.5, -1.5);  // outlines that grow straight, or up or down at the same time
  std::vector<ClosedArcPath> outlines;
  for (int i = 0; i < 17; ++i)
    outlines.push_back(placed(oval(1 + 0.014 * i), Radians(0), {2.0 * i, rise * i}));
  const NestLabels labels = place_labels(outlines, 2.0, 5.0);
  REQUIRE(labels.labels.size() == outlines.size());
  CHECK(labels.side == Side::kRight);
  for (const NestLabel& label : labels.labels) CHECK(distance_to(outlines[label.outline], label.tip) < 1e-6);
  int crossings = 0;
  for (std::size_t i = 0; i < labels.labels.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      crossings += cross_over(labels.labels[i].tip, labels.labels[i].elbow, labels.labels[j].tip,
                              labels.labels[j].elbow);
    }
  }
  CHECK(crossings == 0);
}

TEST_CASE("an empty nest says so", "[nest]") {
  CHECK(nest_svg({}, {.title = "vamp"}).find("nothing to draw") != std::string::npos);
}

TEST_CASE("the name of the point that keeps its place stands off the lines", "[nest]") {
  const auto below_the_point = [](double line) {  // an outline runs this far below it
    const NestOutline outline{.label = "8",
                              .path = {{{{-50, -line}, 0}, {{50, -line}, 0}, {{50, 60}, 0}, {{-50, 60}, 0}}}};
    const std::string svg = nest_svg({outline}, {.title = "vamp", .kept = Vec2{0, 0}});
    const std::string group = svg.substr(svg.find("kept-point"));
    const auto number = [&](const char* before) {
      const std::size_t at = group.find(before);
      REQUIRE(at != std::string::npos);
      return std::stod(group.substr(at + std::string(before).size()));
    };
    return number(" y=\"") > number("cy=\"");
  };
  CHECK(below_the_point(20.0));
  CHECK_FALSE(below_the_point(5.5));
}
