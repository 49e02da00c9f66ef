// Whatever of a style lies elsewhere once its drawing has changed is listed, and nothing else is.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "grading/redraw/redraw_style.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/low_shoe.hpp"

namespace lastwright {

namespace {

// Corners of the low shoe's drawing that may move, in every piece that has them.
struct Corners {
  Vec2 side_foot{130, 0};
  Vec2 side_top{140, 30};
  Vec2 back_top{0, 60};
};

std::string drawn_shoe(const Corners& at) {
  return test::drawing(test::polyline({{279.4, 0}, {200, 40}, at.side_top, at.side_foot}, "VAMP") +
                       test::polyline({{0, 0}, at.side_foot, at.side_top, at.back_top}, "QUARTER") +
                       test::polyline({{0, 200}, {190, 155}, {279.4, 200}, {190, 245}}, "INSOLE"));
}

// What is stated along an edge, or from a point that is: where each lies, by plain arithmetic.
const test::TextChanges kStated = {
    {R"("joint": [190, 0],)",
     R"("joint": {"along": "feather", "of": "vamp", "distance": "60 mm"}, "halfway": {"along": "top line", "of": "quarter", "share": "1/2"},)"},
    {R"({"straight": ["stick end")",
     R"({"check_line": "side", "from": "side top", "to": "halfway", "carries": {"ball girth": "1/9"}},
        {"straight": ["stick end")"},
    {test::kVampFold,
     std::string(test::kVampFold) +
         R"(, "features": [{"hole": "eye", "at": {"edge": "side", "share": "1/2", "inset": 8}, "diameter": 3},
         {"text": "here", "at": {"from": "stick end", "by": [-60, 9]}, "says": "low", "height": 3},
         {"text": "joint text", "at": {"from": "joint", "by": [-4, 12]}, "says": "x", "height": 2}])"}};

std::map<std::string, Vec2> places(const Corners& at) {
  const Vec2 joint = at.side_foot + 60.0 * unit(Vec2{279.4, 0} - at.side_foot);
  // Counter-clockwise, the vamp's side runs from its top to its foot, the piece to its left.
  const Vec2 inward = left_of(unit(at.side_foot - at.side_top));
  return {{"point side foot of the forme shell", at.side_foot},
          {"point side top of the forme shell", at.side_top},
          {"point back top of the forme shell", at.back_top},
          {"point joint of the forme shell", joint},
          {"point halfway of the forme shell", 0.5 * (at.side_top + at.back_top)},
          {"vamp, feature eye", 0.5 * (at.side_top + at.side_foot) + 8.0 * inward},
          {"vamp, feature here", Vec2{279.4 - 60.0, 9}},
          {"vamp, feature joint text", joint + Vec2{-4, 12}}};
}

}  // namespace

TEST_CASE("every point, line and feature that has moved is listed, and nothing else", "[redraw][law]") {
  const ScratchFolder folder;
  const std::string style = test::put_low_shoe(folder, kStated);
  int by_edges = 0;
  test::holds_for_all(
      "what differs is listed",
      [&] {
        Corners now;
        for (Vec2* at : {&now.side_foot, &now.side_top, &now.back_top}) {
          if (*rc::gen::inRange(0, 2) == 0) continue;
          const double by = *rc::gen::element(0.03, 0.2, 2.5);  // the first is drawn the same
          const double way = *rc::gen::inRange(0, 360) * 3.14159265358979323846 / 180.0;
          *at = *at + by * turned({1.0, 0.0}, way);
        }
        put(folder.path() / "d2.dxf", drawn_shoe(now));
        RedrawOptions options;
        options.fresh["d"] = folder / "d2.dxf";
        options.names["/drawings/d/file"] = "d2.dxf";
        const Redraw redraw = redraw_style(style, options);
        for (const Problem& problem : redraw.problems) UNSCOPED_INFO(to_text(problem));
        RC_ASSERT(redraw.problems.empty());
        std::map<std::string, MovedPlace> listed;
        for (const MovedPlace& one : redraw.moved) {
          if (distance(one.was, one.now) > kSameDrawn && one.what.find(", corner ") == std::string::npos)
            RC_ASSERT(listed.emplace(one.what, one).second);
        }
        const std::map<std::string, Vec2> before = places({});
        for (const auto& [what, place] : places(now)) {
          const double off = distance(before.at(what), place);
          if (std::abs(off - kSameDrawn) < 0.005) continue;  // on the edge of what is told
          const auto one = listed.find(what);
          UNSCOPED_INFO(what << " moved by " << off);
          RC_ASSERT((one != listed.end()) == (off > kSameDrawn));
          if (one == listed.end()) continue;
          RC_ASSERT(distance(one->second.was, before.at(what)) < 0.005);
          RC_ASSERT(distance(one->second.now, place) < 0.005);
          by_edges += one->second.how == FoundHow::kStated;
          listed.erase(one);
        }
        for (const auto& [what, one] : listed) UNSCOPED_INFO("listed besides: " << what);
        RC_ASSERT(listed.empty());
        // The lines of whose ends one has moved.
        const auto moved = [&](const char* point) {
          const std::string what = fmt::format("point {} of the forme shell", point);
          return distance(before.at(what), places(now).at(what));
        };
        for (const auto& [line, off] : {std::pair{"ball line", moved("joint")},
                                        {"side", std::max(moved("side top"), moved("halfway"))},
                                        {"stick", 0.0}}) {
          const std::string start = fmt::format("line {} of the forme shell: ", line);
          const bool told = std::any_of(redraw.told.begin(), redraw.told.end(),
                                        [&](const std::string& one) { return one.starts_with(start); });
          if (std::abs(off - kSameDrawn) > 0.005) RC_ASSERT(told == (off > kSameDrawn));
        }
      },
      25);
  CHECK(by_edges > 25);
}

}  // namespace lastwright
