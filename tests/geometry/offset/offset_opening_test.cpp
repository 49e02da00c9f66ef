// Openings that allowances close over: slots, throats, notches. One rule, the same verdict for equal ones.
#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "tests/support/laws.hpp"
#include "tests/support/offset_cases.hpp"

using namespace lastwright;

namespace {

enum class Bottom { kSquare, kRound, kPointed };
enum class Mouth { kSharp, kRounded, kBevelled };

struct Slot {
  double width;
  double depth;
  Bottom bottom = Bottom::kSquare;
  Mouth mouth = Mouth::kSharp;
};

// A box 100 mm wide with a slot down from the middle of its top edge.
ClosedArcPath slotted(const Slot& slot) {
  const double quarter = std::tan(std::numbers::pi / 8.0);
  const double bevel = slot.mouth == Mouth::kSharp ? 0.0 : 0.2 * slot.depth;
  const double turn = slot.mouth == Mouth::kRounded ? quarter : 0.0;
  const double left = 50.0 - 0.5 * slot.width;
  const double right = 50.0 + 0.5 * slot.width;
  const double low = 80.0 - slot.depth;
  ClosedArcPath path{{{{0, 0}, 0}, {{100, 0}, 0}, {{100, 80}, 0}}};
  const auto add = [&](Vec2 p, double bulge) { path.vertices.push_back({p, bulge}); };
  if (bevel > 0.0) add({right + bevel, 80}, turn);
  add({right, 80 - bevel}, 0.0);
  add({right, low}, slot.bottom == Bottom::kRound ? -1.0 : 0.0);
  if (slot.bottom == Bottom::kPointed) add({50, low - 0.4 * slot.width}, 0.0);
  add({left, low}, 0.0);
  add({left, 80 - bevel}, turn);
  if (bevel > 0.0) add({left - bevel, 80}, 0.0);
  add({0, 80}, 0.0);
  return path;
}

test::OffsetCase with(const ClosedArcPath& path, double allowance, OffsetCorner form = OffsetCorner::kFull) {
  return {path, std::vector<Millimetres>(path.size(), Millimetres(allowance)),
          std::vector<OffsetCorner>(path.size(), form)};
}

// Whether it is refused, for this reason and with a place in the opening.
bool closed(const test::OffsetCase& c) {
  const Result<OffsetOutline> out = c.offset(false);
  if (out) return false;
  CHECK(out.problem().message.find("closes over an opening at (") != std::string::npos);
  return true;
}

}  // namespace

TEST_CASE("a slot is closed over exactly when it is narrower than what both sides ask", "[offset]") {
  for (const Bottom bottom : {Bottom::kSquare, Bottom::kRound, Bottom::kPointed}) {
    for (const Mouth mouth : {Mouth::kSharp, Mouth::kRounded, Mouth::kBevelled}) {
      for (const double width : {0.6, 3.0, 7.9, 7.999, 8.001, 8.1, 12.0}) {
        for (const double depth : {12.0, 40.0, 60.0}) {
          CAPTURE(static_cast<int>(bottom), static_cast<int>(mouth), width, depth);
          CHECK(closed(with(slotted({width, depth, bottom, mouth}), 4.0)) == (width < 8.0));
        }
      }
    }
  }
}

TEST_CASE("equal openings, equal verdicts", "[offset][random]") {
  test::holds_for_all("laid, mirrored, split, wider", [] {
    const Slot slot{*rc::gen::inRange(5, 200) / 10.0, *rc::gen::inRange(20, 600) / 10.0,
                    *rc::gen::element(Bottom::kSquare, Bottom::kRound, Bottom::kPointed),
                    *rc::gen::element(Mouth::kSharp, Mouth::kRounded, Mouth::kBevelled)};
    const double allowance = *rc::gen::inRange(3, 120) / 10.0;
    const OffsetCorner form = *rc::gen::element(OffsetCorner::kMitre, OffsetCorner::kFull,
                                                OffsetCorner::kSquare, OffsetCorner::kRound);
    const test::OffsetCase c = with(slotted(slot), allowance + 0.0137, form);
    RC_LOG() << c;
    const bool verdict = closed(c);
    RC_ASSERT(closed(mirrored(c)) == verdict);
    RC_ASSERT(closed(moved(c, *rc::gen::inRange(0, 6283) / 1000.0, {40, -70})) == verdict);
    std::vector<int> parts;
    for (std::size_t i = 0; i < c.path.size(); ++i) parts.push_back(*rc::gen::inRange(1, 4));
    RC_ASSERT(closed(split(c, parts)) == verdict);
    RC_ASSERT(closed(started_at(c, *rc::gen::inRange<std::size_t>(0, c.path.size()))) == verdict);
    Slot wider = slot;
    wider.width += *rc::gen::inRange(1, 50) / 10.0;
    if (!verdict) RC_ASSERT(!closed(with(slotted(wider), allowance + 0.0137, form)));
    // Told or refused: asked to fill what closes over, it names the place.
    const Result<OffsetOutline> filled = c.offset(true);
    RC_ASSERT(filled.ok());
    RC_ASSERT(filled->filled.empty() != verdict);
  });
}

TEST_CASE("a notch that goes with its mouth is an opening, a corner that is mitred is not", "[offset]") {
  // A notch of 60 degrees, 6 mm wide at its mouth.
  const double deep = 6.0 * std::sqrt(0.75);
  const ClosedArcPath notch{{{{0, 0}, 0},
                             {{100, 0}, 0},
                             {{100, 80}, 0},
                             {{53, 80}, 0},
                             {{50, 80 - deep}, 0},
                             {{47, 80}, 0},
                             {{0, 80}, 0}}};
  CHECK_FALSE(closed(with(notch, 1.0)));
  CHECK_FALSE(closed(with(notch, 3.0)));
  CHECK(closed(with(notch, 5.0)));
  CHECK(closed(with(notch, 8.0)));
  // The inside of an L loses material at its corner, however much is added.
  const ClosedArcPath ell{
      {{{0, 0}, 0}, {{100, 0}, 0}, {{100, 20}, 0}, {{20, 20}, 0}, {{20, 80}, 0}, {{0, 80}, 0}}};
  for (const double d : {1.0, 5.0, 15.0, 19.0}) CHECK_FALSE(closed(with(ell, d)));
  // So does a hollow curve tighter than the allowance; its sides open at 90 degrees.
  ClosedArcPath curved = ell;
  curved.vertices = {
      {{0, 0}, 0},   {{100, 0}, 0}, {{100, 20}, 0}, {{26, 20}, -std::tan(std::numbers::pi / 8.0)},
      {{20, 26}, 0}, {{20, 80}, 0}, {{0, 80}, 0}};
  for (const double d : {5.0, 6.0, 7.0, 18.0}) CHECK_FALSE(closed(with(curved, d)));
}

TEST_CASE("a throat that opens wide is closed over when its sides are covered to their ends", "[offset]") {
  // A throat 60 mm deep between sides that open at 48 degrees, its foot rounded; the mouth is 50 mm wide.
  const ClosedArcPath throat{{{{0, 0}, 0},
                              {{120, 0}, 0},
                              {{120, 100}, 0},
                              {{90, 100}, 0},
                              {{68, 50}, -0.6},
                              {{52, 50}, 0},
                              {{30, 100}, 0},
                              {{0, 100}, 0}}};
  const auto top_line = [&](double allowance) {
    test::OffsetCase c = with(throat, 4.0);
    for (const std::size_t e : {3u, 4u, 5u}) c.distances[e] = Millimetres(allowance);
    return c;
  };
  for (const double fits : {4.0, 8.0, 15.0}) CHECK_FALSE(closed(top_line(fits)));
  for (const double closes : {50.0, 60.0}) CHECK(closed(top_line(closes)));
  // What is cut out of a corner moves as a whole, however small it is.
  const ClosedArcPath cut_out{
      {{{0, 0}, 0}, {{100, 0}, 0}, {{100, 57}, 0}, {{97, 57}, 0}, {{97, 60}, 0}, {{0, 60}, 0}}};
  for (const double d : {2.0, 4.0, 18.0}) CHECK_FALSE(closed(with(cut_out, d)));
}

TEST_CASE("roughness of a drawing is no opening", "[offset]") {
  CHECK_FALSE(closed(with(slotted({0.06, 0.09}), 4.0)));
  CHECK(closed(with(slotted({0.06, 0.11}), 4.0)));
}

TEST_CASE("a notch counts from a tenth of a millimetre on, however shallow", "[offset]") {
  const auto closes = [](double depth) {
    const ClosedArcPath path{{{{0, 0}, 0},
                              {{30, 0}, 0},
                              {{30 + 1.5 * depth, depth}, 0},
                              {{30 + 3.0 * depth, 0}, 0},
                              {{80, 0}, 0},
                              {{80, 50}, 0},
                              {{0, 50}, 0}}};
    return !offset_fits(path, std::vector<Millimetres>(7, Millimetres(8.0)));
  };
  for (const double depth : {0.11, 0.3, 1.0, 1.9, 2.1}) CHECK(closes(depth));
  for (const double depth : {0.01, 0.05, 0.09}) CHECK_FALSE(closes(depth));
}
