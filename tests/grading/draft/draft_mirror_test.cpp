// A draft uses every mirror line as the fold of a piece, or tells it; it never counts one as used that is
// not.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"
#include "tests/support/invented_court.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

const Vec2 kCourtToe{248, 12};
const Vec2 kCourtVampPoint{184, 40};

struct DrawnMirror {
  std::string block;
  Vec2 from;
  Vec2 to;
};

Draft mirrored_court(const SheetPlace& place, const std::vector<DrawnMirror>& mirrors) {
  std::vector<DraftDrawing> drawings;
  Result<Drawing> upper = read_dxf(court_drawing(court_upper(), place), {});
  REQUIRE(upper);
  const SheetPlace in_mm{place.degrees, place.over, place.shift, false};  // as it has been read
  for (const DrawnMirror& mirror : mirrors) {
    const auto drawn = std::find_if(upper->paths.begin(), upper->paths.end(),
                                    [&](const DrawnPath& path) { return path.from.block == mirror.block; });
    REQUIRE(drawn != upper->paths.end());
    DrawnPath line = *drawn;
    line.curves = {Line{in_mm.of(mirror.from), in_mm.of(mirror.to)}};
    line.closed = false;
    line.from.entity = "LINE";
    line.from.layer = "6";
    upper->paths.push_back(std::move(line));
    ++upper->entities_in;
  }
  drawings.push_back({*std::move(upper), "upper", "upper.dxf"});
  DraftOptions options;
  options.first.name = "court";
  options.basis.scale = "paris-point";
  options.basis.size = "36";
  options.basis.widths = {"2", "3", "4"};
  options.kind = *shoe_kind({"court"});
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  if (!draft) UNSCOPED_INFO(to_text(draft.problem()));
  REQUIRE(draft);
  return *std::move(draft);
}

const PieceSpec& drafted_court_piece(const Draft& draft, const std::string& name) {
  return *std::find_if(draft.style.pieces.begin(), draft.style.pieces.end(),
                       [&](const PieceSpec& one) { return one.name == name; });
}

std::string joined_lines(const std::vector<std::string>& lines) {
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

std::size_t mirrors_not_used(const Draft& draft) {
  const auto& left = draft.accounts.at(0).left_out;
  return static_cast<std::size_t>(
      std::count_if(left.begin(), left.end(), [](const LeftOutThing& one) { return one.mirror_line; }));
}

}  // namespace

TEST_CASE("a draft's mirror line is a fold, or it is told and not counted as used",
          "[draft][mirror-lines][law]") {
  const std::size_t used = mirrored_court({}, {}).accounts.at(0).used_in_all();
  holds_for_all(
      "fold or told",
      [&](bool of_vamp, bool over) {
        const SheetPlace place{*rc::gen::inRange(0, 360) * 1.0,
                               over,
                               {*rc::gen::inRange(-500, 500) * 1.0, *rc::gen::inRange(-500, 500) * 1.0},
                               *rc::gen::inRange(0, 2) == 1};
        const double off = *rc::gen::element(0.0, 0.05, 0.08, 0.1, 0.6, 0.95, 1.2, 3.0);
        // Into the piece, and beyond the ends of its fold or short of them.
        const Vec2 from = of_vamp ? kCourtToe : Vec2{1.8, 43};
        const Vec2 to = of_vamp ? kCourtVampPoint : Vec2{0, 0};
        const Vec2 along = unit(to - from);
        const Vec2 in = off * left_of(along);
        const double longer = *rc::gen::inRange(-9, 10);
        const Draft draft = mirrored_court(
            place, {{of_vamp ? "VAMP" : "STIFFENER", from - longer * along + in, to + longer * along + in}});
        const std::string name = of_vamp ? "vamp" : "stiffener";
        const PieceSpec& piece = drafted_court_piece(draft, name);
        const DrawingAccount& account = draft.accounts.at(0);
        RC_ASSERT(account.adds_up());
        RC_ASSERT(account.used_in_all() + mirrors_not_used(draft) == used + 1U);
        const std::string warned = joined_lines(draft.warnings);
        const std::string lost = joined_lines(draft.lost);
        const std::string told = fmt::format("{:.3f} mm off the edge", off);
        RC_ASSERT(piece.fold.has_value() == (off < 1.0));
        // However long the line is drawn, the front ends where the fold does.
        const std::vector<NamedPoint>& points = draft.style.formes.at(0).points;
        const auto vamp_point = std::find_if(points.begin(), points.end(),
                                             [](const NamedPoint& one) { return one.name == "vamp point"; });
        RC_ASSERT(vamp_point != points.end());
        const SheetPlace in_mm{place.degrees, place.over, place.shift, false};
        RC_ASSERT(distance(vamp_point->at, in_mm.of(kCourtVampPoint)) < 0.01);
        if (off < 0.06) {
          RC_ASSERT(mirrors_not_used(draft) == 0U);
          RC_ASSERT((warned + lost).find("mirror line") == std::string::npos);
          RC_ASSERT(piece.hand == Hand::kSymmetric);
        } else if (off < 1.0) {
          RC_ASSERT(mirrors_not_used(draft) == 1U);
          RC_ASSERT(warned.find("piece " + name + ": a mirror line of ") != std::string::npos);
          RC_ASSERT(warned.find(told + " " + *piece.fold) != std::string::npos);
          RC_ASSERT(draft.lost.empty());
        } else {
          RC_ASSERT(mirrors_not_used(draft) == 1U);
          RC_ASSERT(lost.find("piece " + name + ": a mirror line of ") != std::string::npos);
          RC_ASSERT(lost.find(told) != std::string::npos);
        }
      },
      6);
}

TEST_CASE("a draft says which of two mirror lines it took, and which it did not", "[draft][mirror-lines]") {
  const Draft draft =
      mirrored_court({}, {{"VAMP", kCourtToe, kCourtVampPoint}, {"VAMP", {118, 32}, {105, -3}}});
  CHECK(drafted_court_piece(draft, "vamp").fold == "fold");
  CHECK_THAT(joined_lines(draft.warnings),
             Catch::Contains("piece vamp: a mirror line of 37.34 mm on the edge "));
  CHECK(std::any_of(draft.style.proposed.begin(), draft.style.proposed.end(), [](const Proposed& one) {
    return one.sure == Sureness::kGuess &&
           one.what.find("one of its mirror lines is drawn there") != std::string::npos;
  }));
}
