// An upper that is closed over a tongue: the tongue changes nothing of the other pieces, and neither does
// what kind of lines they are drawn in.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "tests/support/drawn_forms.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

const Vec2 kHeel{0, 42};
const Vec2 kBackTop{12, 104};
const Vec2 kFaceTop{118, 132};
const Vec2 kVampPoint{166, 84};
const Vec2 kToe{276, 14};

// Where a line parts a stroke in two.
struct Parted {
  Stroke first;
  Stroke last;
};
Parted parted(Vec2 from, const Stroke& whole, double t) {
  return {first_part(from, whole, t), last_part(from, whole, t)};
}

// A vamp, a quarter and a counter, whose top line runs on from one to the other, and linings of two pieces.
std::vector<DrawnPiece> closed_upper(double counter_at) {
  const Vec2 down = -1.0 * left_of(unit(kToe - kVampPoint));
  const Stroke back = curve_to({-6, 60}, {7, 84}, kBackTop);
  const Stroke seat = curve_to({22, 22}, {70, 12}, {110, 8});
  const Stroke side = curve_to({150, 4}, {190, -8}, {232, -12});
  const Stroke fore = curve_to({258, -14.476}, kToe + 16.0 * down, kToe);
  const Stroke top = curve_to({88, 110}, {52, 88}, kBackTop);
  const Parted foot = parted(seat.to, side, 0.15);
  const Stroke line = curve_to(kVampPoint + 20.0 * down, foot.first.to + Vec2{34, 40}, foot.first.to);
  const Parted collar = parted(kFaceTop, top, counter_at);
  const Parted sole = parted(kHeel, seat, 0.66);
  const Stroke counter =
      curve_to(collar.first.to + Vec2{4, -26}, sole.first.to + Vec2{-10, 22}, sole.first.to);
  const std::vector<Stroke> vamp{line, foot.last, fore, line_to(kVampPoint)};
  return {
      {"VAMP", kVampPoint, vamp, {200, 20}},
      {"QUARTER",
       kVampPoint,
       {line_to(kFaceTop), collar.first, counter, sole.last, foot.first, turned_back(kVampPoint, line)},
       {90, 50}},
      {"COUNTER",
       collar.first.to,
       {collar.last, turned_back(kHeel, back), sole.first, turned_back(collar.first.to, counter)},
       {15, 60}},
      {"VAMP_LINING", kVampPoint, vamp, {200, 20}},
      {"QUARTER_LINING",
       kVampPoint,
       {line_to(kFaceTop), top, turned_back(kHeel, back), seat, foot.first, turned_back(kVampPoint, line)},
       {90, 50}}};
}

// Half a tongue, along the lace edge.
DrawnPiece tongue(const std::string& name, double above, double width) {
  const Vec2 along = unit(kFaceTop - kVampPoint);
  const Vec2 in = left_of(along);
  const Vec2 top = kFaceTop + above * along;
  return {name,
          top,
          {line_to(kVampPoint), line_to(kVampPoint + 0.5 * width * in),
           curve_to(kVampPoint + 0.7 * width * in + 25.0 * along, top + width * in - 25.0 * along,
                    top + width * in),
           line_to(top)},
          kVampPoint + 30.0 * along + 0.3 * width * in};
}

// Of all pieces but this one: their edges and seams.
std::set<std::string> upper_edges_and_seams(const Draft& draft, const std::string& but) {
  std::set<std::string> all;
  for (const PieceSpec& piece : draft.style.pieces) {
    if (piece.name == but) continue;
    for (const EdgeSpec& edge : piece.edges)
      all.insert(fmt::format("{}: {} {} {}", piece.name, edge.name, name_of(edge.treatment),
                             edge.allowance.value()));
    all.insert(piece.name + " folded on " + piece.fold.value_or("nothing"));
  }
  for (const SeamSpec& seam : draft.style.seams)
    all.insert(
        fmt::format("{} {} to {} {}", seam.one.piece, seam.one.edge, seam.other.piece, seam.other.edge));
  return all;
}

}  // namespace

TEST_CASE("a tongue in its place, a turned sheet and chords change nothing of an upper's edges and seams",
          "[draft][law]") {
  int found = 0;
  holds_for_all(
      "the same edges and seams",
      [&found](bool over, bool named) {
        const double counter_at = *rc::gen::inRange(45, 80) / 100.0;
        const std::vector<DrawnPiece> upper = closed_upper(counter_at);
        const auto plain = upper_edges_and_seams(draft_of_kind(court_drawing(upper, {}), {}, "41"), "");
        RC_ASSERT(plain.contains("counter: top line fold 4"));
        RC_ASSERT(plain.contains("quarter: top line fold 4"));
        RC_ASSERT(plain.contains("counter top line to quarter lining top line"));
        const SheetPlace place{
            *rc::gen::inRange(0, 360) * 1.0, over, {*rc::gen::inRange(-500, 500) * 1.0, 9.0}};
        std::vector<DrawnPiece> more = upper;
        const std::string name = named ? "TONGUE" : "PART_B";
        more.push_back(tongue(name, *rc::gen::inRange(2, 25), *rc::gen::inRange(20, 34)));
        const Draft with_tongue = draft_of_kind(court_drawing(more, place), {}, "41");
        RC_ASSERT(upper_edges_and_seams(with_tongue, named ? "tongue" : "part b") == plain);
        const double chord = *rc::gen::inRange(10, 25) / 10.0;
        DraftOptions read;
        read.first.corner_angle = from_degrees(20.0);
        if (*rc::gen::inRange(0, 2) == 1) read.first.fair = FairSpec{Millimetres(0.02)};
        std::vector<DrawnPiece> chords;
        for (const DrawnPiece& piece : upper) chords.push_back(drawn_chordwise(piece, chord));
        const Draft drawn = draft_of_kind(court_drawing(chords, place), {}, "41", read);
        // A joint may lie so near a corner that it takes its place: then it is told.
        const bool told =
            std::any_of(drawn.warnings.begin(), drawn.warnings.end(), [](const std::string& one) {
              return one.find("a joint of its smooth line lies within 1 mm") != std::string::npos;
            });
        if (!told) RC_ASSERT(upper_edges_and_seams(drawn, "") == plain);
        found += static_cast<int>(!told);
      },
      10);
  CHECK(found > 4);
}
