// What is cut out, punched and drawn is compared by its curves, however they are drawn.
#include "grading/redraw/marks_compare.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "geometry/check/hausdorff.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

// The same line, begun elsewhere, with more vertices on it, or walked the other way.
ClosedArcPath drawn_otherwise(const ClosedArcPath& path) {
  ClosedArcPath other;
  const std::size_t n = path.size();
  const std::size_t first = *rc::gen::inRange<std::size_t>(0, n);
  for (std::size_t i = 0; i < n; ++i) {
    const ArcSegment whole = path.segment((first + i) % n);
    const int parts = *rc::gen::element(1, 1, 2, 7);
    for (int k = 0; k < parts; ++k) {
      const ArcSegment part = whole.part(static_cast<double>(k) / parts, (k + 1.0) / parts);
      other.vertices.push_back({part.a, part.bulge});
    }
  }
  if (!*rc::gen::arbitrary<bool>()) return other;
  ClosedArcPath back;
  for (std::size_t i = other.size(); i-- > 0;) {
    const ArcSegment turned = other.segment(i).reversed();
    back.vertices.push_back({turned.a, turned.bulge});
  }
  return back;
}

ClosedArcPath shifted_path(ClosedArcPath path, Vec2 by) {
  for (ArcVertex& vertex : path.vertices) vertex.at = vertex.at + by;
  return path;
}

GradedPiece with_cut_outs(std::vector<ClosedArcPath> cut_outs) {
  GradedPiece piece;
  piece.cut_outs = std::move(cut_outs);
  return piece;
}

GradedPiece with_line(const ClosedArcPath& path) {
  GradedPiece piece;
  OpenArcPath line{path.vertices};
  line.vertices.push_back({path.vertices.front().at, 0.0});
  piece.lines.push_back({line, Operation::kNetLine});
  return piece;
}

double lines_off(const ClosedArcPath& one, const ClosedArcPath& other) {
  return hausdorff(MeasuredOutline(one), MeasuredOutline(other)).value;
}

}  // namespace

TEST_CASE("cut-outs and lines are compared by their curves, not by their vertices",
          "[redraw][compare][law]") {
  int off = 0;
  test::holds_for_all("a cut-out is as far off as its line is", [&] {
    const ClosedArcPath was = test::blob(*rc::gen::inRange<std::uint64_t>(1, 5000), 8, 8.0);
    const ClosedArcPath same = drawn_otherwise(was);
    const GradedPiece before = with_cut_outs({shifted_path(was, {30, 0}), was});
    RC_ASSERT(marks_differ(before, with_cut_outs({same, shifted_path(same, {30, 0})}), {}, kSameCut) == "");
    RC_ASSERT(drawn_differ(with_line(was), with_line(same)) == "");
    // Moved, or of another shape: told from what the lines are apart, whatever their vertices.
    const bool shifted = *rc::gen::arbitrary<bool>();
    const double by = *rc::gen::inRange(-40, 41) / 20.0;
    const ClosedArcPath now = drawn_otherwise(shifted ? shifted_path(was, {by, 0.3 * by})
                                                      : test::stretched(was, 1.0 + 0.1 * by, 1.0));
    const double apart = lines_off(was, now);
    RC_PRE(std::abs(apart - 0.2) > 1e-3);
    const std::string why = marks_differ(with_cut_outs({was}), with_cut_outs({now}), {}, 0.2);
    RC_ASSERT(why.empty() == (apart <= 0.2));
    if (why.empty()) return;
    ++off;
    const auto figure = why.find_first_of("0123456789");
    RC_ASSERT(figure != std::string::npos);
    RC_ASSERT(std::abs(std::stod(why.substr(figure)) - apart) < 2e-3);
    RC_ASSERT(!drawn_differ(with_line(was), with_line(now)).empty());
  });
  CHECK(off > 40);
}

TEST_CASE("a cut-out that is turned, larger, gone or new is told as that", "[redraw][compare]") {
  const ClosedArcPath box = test::box_path(20, 10);
  const auto why = [&](const std::vector<ClosedArcPath>& now, Placement laid = {}) {
    return marks_differ(with_cut_outs({box}), with_cut_outs(now), laid, 0.2);
  };
  CHECK(why({test::box_path(24, 12)}) ==
        "a cut-out deviates by 2.236 mm: it is 288.00 mm2 in area, and was 200.00");
  CHECK(why({test::box_path(10, 20)}) == "a cut-out deviates by 5.000 mm: it is of another shape or turned");
  CHECK(why({shifted_path(box, {3, 0})}) == "a cut-out is 3.000 mm off");
  CHECK(why({}) == "a cut-out is gone");
  CHECK(why({box, shifted_path(box, {40, 0})}) == "a cut-out is new");
  // Where the whole piece is laid so, a cut-out goes with it.
  CHECK(why({test::box_path(10, 20)}, {Radians(std::asin(1.0)), {}}) == "");
  // One that begins with three vertices more on one side is the same.
  ClosedArcPath more = box;
  more.vertices.insert(more.vertices.begin() + 2, {{{10, -3}}, {{10, 0}}, {{10, 3}}});
  CHECK(why({more}) == "");
}

}  // namespace lastwright
