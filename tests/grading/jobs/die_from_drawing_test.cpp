// Every entity of a die's drawing is used, left out as its layer does not cut, or refused with its place.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "grading/jobs/die_from_drawing.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

enum class EntityKind { kClosed, kRound, kOpen, kCircle, kPoint, kText, kUnread, kSpline };
constexpr int kEntityKinds = 8;
const std::vector<std::string> kLayers{"CUT", "CUT_OUT", "HOLE", "NICK", "PRICK", "GUIDE", "FRAME"};

// What is to become of an entity in a drawing that has its outline on CUT, by kind and layer in the order
// above: used (u), left out (o), refused (r).
constexpr const char* kFate[kEntityKinds] = {
    "ruurroo",  // closed line
    "ruuruoo",  // closed and round
    "rrruuoo",  // open line
    "ruuruoo",  // circle
    "rrrruoo",  // point
    "uuuuuuu",  // text
    "rrrrroo",  // not read
    "rrrrror",  // spline: on an unknown layer it may be an edge
};

DrawnPath path_of(const std::vector<ArcVertex>& vertices, bool closed, const DrawnFrom& from) {
  DrawnPath path;
  const std::size_t n = vertices.size();
  for (std::size_t k = 0; k + (closed ? 0 : 1) < n; ++k) {
    const ArcSegment segment{vertices[k].at, vertices[(k + 1) % n].at, vertices[k].bulge};
    if (segment.straight())
      path.curves.emplace_back(Line{segment.a, segment.b});
    else
      path.curves.emplace_back(Arc{segment.a, segment.b, segment.bulge});
  }
  path.closed = closed;
  path.from = from;
  return path;
}

void add(Drawing& drawing, EntityKind kind, const std::string& layer, Vec2 at) {
  DrawnFrom from{"ENTITY", layer, "", 0, "", static_cast<long>(10 * (drawing.entities_in + 1))};
  ++drawing.entities_in;
  switch (kind) {
    case EntityKind::kClosed:
      return drawing.paths.push_back(path_of(
          {{at, 0.0}, {at + Vec2{3, 0}, 0.0}, {at + Vec2{3, 2}, 0.0}, {at + Vec2{0, 2}, 0.0}}, true, from));
    case EntityKind::kRound:
      return drawing.paths.push_back(path_of({{at, 1.0}, {at + Vec2{3, 0}, 1.0}}, true, from));
    case EntityKind::kOpen:
      return drawing.paths.push_back(path_of({{at, 0.0}, {at + Vec2{3, 0}, 0.0}}, false, from));
    case EntityKind::kCircle:
      return drawing.circles.push_back({at, 1.5, from});
    case EntityKind::kPoint:
      return drawing.points.push_back({at, from});
    case EntityKind::kText:
      return drawing.texts.push_back({at, 3.0, Radians(0.0), "D0001", from});
    case EntityKind::kUnread:
      return drawing.left_out.push_back({from, "nothing reads it"});
    case EntityKind::kSpline: {
      DrawnPath path = path_of({{at, 0.0}, {at + Vec2{3, 0}, 0.0}}, false, from);
      path.curves.clear();
      path.curves.emplace_back(*make_spline(3, {0, 0, 0, 0, 1, 1, 1, 1},
                                            {at, at + Vec2{1, 1}, at + Vec2{2, -1}, at + Vec2{3, 0}}));
      return drawing.paths.push_back(std::move(path));
    }
  }
}

Drawing with_outline(double open_by) {
  Drawing drawing;
  drawing.file = "die.dxf";
  const DrawnFrom from{"LWPOLYLINE", "CUT", "", 0, "", 5};
  std::vector<ArcVertex> corners{{{0, 0}, 0.0}, {{200, 0}, 0.0}, {{200, 100}, 0.0}, {{0, 100}, 0.0}};
  if (open_by > 0.0) corners.push_back({{0, open_by}, 0.0});
  drawing.paths.push_back(path_of(corners, open_by == 0.0, from));
  ++drawing.entities_in;
  return drawing;
}

}  // namespace

TEST_CASE("each entity of a die's drawing is used, left out by its layer, or refused", "[owned_dies]") {
  std::size_t read = 0;
  std::size_t refused = 0;
  test::holds_for_all("entities in = used + left out, or a Problem with the layer", [&] {
    Drawing drawing = with_outline(0.0);
    std::size_t used = 1;
    std::size_t out = 0;
    std::string at_fault;
    const int count = *rc::gen::inRange(1, 6);
    for (int k = 0; k < count; ++k) {
      const int kind = *rc::gen::inRange(0, kEntityKinds);
      const auto layer = *rc::gen::inRange<std::size_t>(0, kLayers.size());
      const char fate = kFate[kind][layer];
      if (fate == 'r' && *rc::gen::inRange(0, 4) > 0) continue;  // else nearly all are refused
      if (fate == 'r') at_fault += kLayers[layer] + " ";
      (fate == 'u' ? used : out) += fate == 'r' ? 0u : 1u;
      add(drawing, static_cast<EntityKind>(kind), kLayers[layer], {20.0 + 20.0 * k, 40.0});
    }
    const Result<DrawnDie> die = die_from_drawing(drawing);
    RC_ASSERT(die.ok() == at_fault.empty());
    if (!die) {
      ++refused;
      RC_ASSERT(die.problem().place.file == "die.dxf" && die.problem().place.line > 0);
      return;
    }
    ++read;
    RC_ASSERT(die->used == used);
    RC_ASSERT(die->named_away == out);
    RC_ASSERT(die->used + die->named_away == drawing.entities_in);
    std::size_t made = 1 + drawing.texts.size();
    made += die->shape.cut_outs.size() + die->shape.holes.size() + die->shape.marks.size();
    RC_ASSERT(made == used);
  });
  CHECK(read > 20);
  CHECK(refused > 10);
}

TEST_CASE("an outline that does not close is told with its gap and place", "[owned_dies]") {
  test::holds_for_all("the gap between its ends", [] {
    const double gap = 0.5 * *rc::gen::inRange(2, 100);
    Drawing drawing = with_outline(gap);
    if (*rc::gen::inRange(0, 2) == 0) add(drawing, EntityKind::kClosed, "CUT_OUT", {30, 40});
    const Result<DrawnDie> die = die_from_drawing(drawing);
    RC_ASSERT_FALSE(die.ok());
    const std::string& told = die.problem().message;
    RC_ASSERT(told.find("on layer CUT does not close") != std::string::npos);
    RC_ASSERT(told.find(fmt::format("a gap of {:.2f} mm", gap)) != std::string::npos);
    RC_ASSERT(told.find("(0.00, 0.00)") != std::string::npos);
  });
}

TEST_CASE("without a layer of its own the largest closed line is the outline, and its layer cuts",
          "[owned_dies]") {
  Drawing drawing = with_outline(0.0);
  drawing.paths.front().from.layer = "EDGES";
  add(drawing, EntityKind::kClosed, "EDGES", {20, 40});
  add(drawing, EntityKind::kRound, "EDGES", {40, 40});
  add(drawing, EntityKind::kOpen, "NOTES", {60, 40});
  const Result<DrawnDie> die = die_from_drawing(drawing);
  REQUIRE(die);
  CHECK(die->shape.cut_outs.size() == 1);
  CHECK(die->shape.holes.size() == 1);
  CHECK(die->left_out == std::vector<std::string>{"1 ENTITY on layer NOTES"});
  add(drawing, EntityKind::kOpen, "EDGES", {80, 40});
  const Result<DrawnDie> slit = die_from_drawing(drawing);
  REQUIRE_FALSE(slit);
  CHECK(slit.problem().message.find("an open line 3.00 mm long, from (80.00, 40.00) to (83.00, 40.00)") == 0);
}
