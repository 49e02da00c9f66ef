#include "grading/draft/draft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>

#include "geometry/io/dxf_read.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/invented_court.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

Draft court_draft(const SheetPlace& place, std::vector<DrawnPiece> upper, const std::string& layer = "1",
                  const std::string& marks = "", const std::string& size = "36") {
  std::vector<DraftDrawing> drawings;
  for (const auto& [key, pieces] :
       {std::pair<std::string, std::vector<DrawnPiece>>{"upper", std::move(upper)},
        {"bottom", court_bottom()},
        {"straps", court_straps()}}) {
    Result<Drawing> drawing = read_dxf(court_drawing(pieces, place, layer, key == "upper" ? marks : ""), {});
    REQUIRE(drawing);
    drawings.push_back({*std::move(drawing), key, key + ".dxf"});
  }
  DraftOptions options;
  options.first.name = "court";
  options.basis.scale = "paris-point";
  options.basis.size = size;
  options.basis.widths = {"2", "3", "4"};
  options.kind = *shoe_kind({"court", "strap"});
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  if (!draft) UNSCOPED_INFO(to_text(draft.problem()));
  REQUIRE(draft);
  return *std::move(draft);
}

// "centre of feather: 3 mm at toe": nicks at an end of an edge, by the corner there.
std::set<std::string> nicks_of(const PieceSpec& piece) {
  std::set<std::string> nicks;
  for (const FeatureSpec& feature : piece.features) {
    const NickWork& nick = std::get<NickWork>(feature.work);
    const auto edge = std::find_if(piece.edges.begin(), piece.edges.end(),
                                   [&](const EdgeSpec& one) { return one.name == nick.edge; });
    REQUIRE(edge != piece.edges.end());
    CHECK(nick.station.distance == Millimetres(0.0));
    nicks.insert(fmt::format("{}: {:g} mm at {}", feature.name, nick.shape.depth.value(),
                             nick.station.from_end ? edge->to : edge->from));
  }
  return nicks;
}

// All that a draft says, but for where on the sheet it says it.
std::set<std::string> said(const StyleSpec& style) {
  std::set<std::string> all;
  for (const MeasureSpec& one : style.measures)
    all.insert(fmt::format("measure {} {:.2f} {} {}", one.name, one.base.millimetres.value(),
                           one.per_size.written, one.per_width.written));
  for (const FormeSpec& forme : style.formes) {
    for (std::size_t i = 0; i < forme.points.size(); ++i) {
      for (std::size_t k = 0; k < i; ++k) {
        const NamedPoint& a = forme.points[i];
        const NamedPoint& b = forme.points[k];
        all.insert(fmt::format("{}: {} {} apart {:.1f}", forme.name, std::min(a.name, b.name),
                               std::max(a.name, b.name), distance(a.at, b.at)));
      }
    }
    StyleSpec alone;
    alone.formes.push_back(forme);
    for (NamedPoint& point : alone.formes.front().points) point.at = {};
    all.insert(write_style(alone));
  }
  for (const PieceSpec& piece : style.pieces) {
    std::string text =
        fmt::format("piece {} on {}, layer {}, fold {}, hand {}, {} a pair:", piece.name, piece.forme,
                    piece.layer, piece.fold.value_or("-"), name_of(piece.hand), piece.per_pair);
    std::set<std::string> edges;
    for (const EdgeSpec& edge : piece.edges)
      edges.insert(fmt::format(" {} ({}, {}) {} {} {}{}", edge.name, std::min(edge.from, edge.to),
                               std::max(edge.from, edge.to), name_of(edge.treatment), edge.allowance.value(),
                               edge.straight, edge.held));
    for (const std::string& edge : edges) text += edge;
    for (const std::string& nick : nicks_of(piece)) text += ", " + nick;
    all.insert(text);
  }
  // A sheet that is turned over runs its edges the other way.
  for (const PointReference& reference : style.references) {
    const auto stated = nlohmann::json::parse(reference.stated);
    const double share = stated["share"].get<double>();
    all.insert(fmt::format("{} along {} of {}, {:.4f}", reference.pointer, stated["along"].get<std::string>(),
                           stated["of"].get<std::string>(), std::min(share, 1.0 - share)));
  }
  for (const SeamSpec& seam : style.seams) {
    const std::string one = seam.one.piece + "/" + seam.one.edge;
    const std::string other = seam.other.piece + "/" + seam.other.edge;
    all.insert(fmt::format("seam {} {} {}", std::min(one, other), std::max(one, other), seam.mirrored));
  }
  return all;
}

void compare(const std::set<std::string>& one, const std::set<std::string>& other) {
  for (const std::string& line : one) {
    if (!other.contains(line)) RC_FAIL("only in the first: " + line);
  }
  for (const std::string& line : other) {
    if (!one.contains(line)) RC_FAIL("only in the second: " + line);
  }
}

}  // namespace

TEST_CASE("an invented court gives formes, folds, roles and seams", "[draft]") {
  const Draft draft = court_draft({}, court_upper());
  CHECK(draft.problems.empty());
  CHECK(draft.lost.empty());
  const StyleSpec& style = draft.style;
  REQUIRE(style.formes.size() == 3);
  CHECK(style.formes[0].name == "shell");
  CHECK(role_of(style.formes[0]) == FormeRole::kUpper);
  CHECK(role_of(style.formes[1]) == FormeRole::kBottom);
  CHECK(drawn_place(style.formes[0], "heel") == Vec2{0, 0});
  CHECK(drawn_place(style.formes[0], "stick end") == Vec2{248, 0});
  CHECK(distance(drawn_place(style.formes[1], "inside joint"), {185, -40}) < 15.0);
  CHECK(distance(drawn_place(style.formes[1], "outside joint"), {165, 36}) < 15.0);
  const auto piece = [&](const std::string& name) {
    return *std::find_if(style.pieces.begin(), style.pieces.end(),
                         [&](const PieceSpec& one) { return one.name == name; });
  };
  for (const char* folded : {"vamp", "vamp lining", "stiffener"}) {
    INFO(folded);
    CHECK(piece(folded).fold == "fold");
    CHECK(piece(folded).hand == Hand::kSymmetric);
  }
  // Where what is folded has an allowance that is not turned over, its centre is nicked.
  CHECK(nicks_of(piece("vamp")) == std::set<std::string>{"centre of feather: 3 mm at toe"});
  CHECK(nicks_of(piece("vamp lining")) == std::set<std::string>{"centre of feather: 3 mm at toe"});
  CHECK(nicks_of(piece("quarter outside")).empty());
  for (const char* whole : {"quarter outside", "quarter inside", "quarter lining", "insole", "ankle strap"}) {
    INFO(whole);
    CHECK_FALSE(piece(whole).fold);
  }
  CHECK(piece("quarter lining").per_pair == 4);
  CHECK(piece("quarter lining").drawn_foot == "both");
  CHECK(piece("quarter outside").drawn_foot.empty());
  // What lies on an edge and is no corner is stated along it: the drawing may change.
  const auto along = [&](const std::string& point) {
    const auto found =
        std::find_if(style.references.begin(), style.references.end(),
                     [&](const PointReference& one) { return one.pointer.ends_with("/" + point); });
    REQUIRE(found != style.references.end());
    return nlohmann::json::parse(found->stated);
  };
  CHECK(along("back top below")["along"] == "back");
  CHECK(along("back top below")["of"] == "quarter inside");
  for (const PointReference& reference : style.references) CHECK_FALSE(reference.pointer.ends_with("/heel"));
  std::set<std::string> edges;
  for (const EdgeSpec& edge : piece("quarter outside").edges)
    edges.insert(fmt::format("{}: {} {}", edge.name, name_of(edge.treatment), edge.allowance.value()));
  CHECK(edges == std::set<std::string>{"back: closed seam 1.5", "feather: lasting 16", "to vamp: raw 0",
                                       "top line: fold 5"});
  std::set<std::string> seams;
  for (const SeamSpec& seam : style.seams) seams.insert(seam.name);
  CHECK(seams.contains("vamp to quarter outside"));
  CHECK(seams.contains("vamp to quarter inside"));
  CHECK(seams.contains("back of quarter outside to quarter inside"));
  CHECK(seams.contains("vamp lining to quarter lining"));
  CHECK_FALSE(seams.contains("vamp to quarter lining"));  // each in its own layer
  CHECK_FALSE(style.proposed.empty());
}

TEST_CASE("a draft does not depend on how the pieces lie on the sheet, nor on their order or layer",
          "[draft]") {
  const std::set<std::string> flat = said(court_draft({}, court_upper()).style);
  CHECK(flat.size() > 40);
  holds_for_all(
      "moved, turned, turned over, in inches, shuffled: the same draft",
      [&] {
        SheetPlace place;
        place.degrees = *rc::gen::inRange(0, 36000) / 100.0;
        place.over = *rc::gen::arbitrary<bool>();
        place.shift = {*rc::gen::inRange(-4000, 4000) / 7.0, *rc::gen::inRange(-4000, 4000) / 7.0};
        place.inches = *rc::gen::arbitrary<bool>();
        std::vector<DrawnPiece> upper = court_upper();
        const std::size_t turn = *rc::gen::inRange<std::size_t>(0, upper.size());
        std::rotate(upper.begin(), upper.begin() + static_cast<std::ptrdiff_t>(turn), upper.end());
        if (*rc::gen::arbitrary<bool>()) std::reverse(upper.begin(), upper.end());
        const std::string layer = *rc::gen::element<std::string>("1", "OUTLINE");
        compare(flat, said(court_draft(place, upper, layer).style));
      },
      12);
}

namespace {

Draft draft_of(const std::string& text, bool lay = false, double fair = 0.0) {
  Result<Drawing> drawing = read_dxf(text, {});
  REQUIRE(drawing);
  std::vector<DraftDrawing> drawings;
  drawings.push_back({*std::move(drawing), "sheet", "sheet.dxf"});
  DraftOptions options;
  options.first.name = "sheet";
  options.kind = *shoe_kind({});
  options.lay = lay;
  if (fair > 0.0) options.first.fair = FairSpec{Millimetres(fair)};
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  REQUIRE(draft);
  return *std::move(draft);
}

bool proposes(const Draft& draft, const std::string& words) {
  return std::any_of(draft.style.proposed.begin(), draft.style.proposed.end(),
                     [&](const Proposed& one) { return one.what.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("a piece drawn for both feet is one piece, an inside and an outside are two", "[draft]") {
  const auto sheet = [](const char* one, const char* other) {
    DrawnPiece left = court_bottom().front();
    DrawnPiece right = left;
    left.name = one;
    right.name = other;
    SheetPlace beside;
    beside.over = true;
    beside.degrees = 30.0;
    beside.shift = {500, 100};
    return section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
           section("BLOCKS", block_of(left, {}) + block_of(right, beside)) +
           section("ENTITIES", tags(std::string("0 INSERT|8 0|2 ") + one + "|10 0|20 0|0 INSERT|8 0|2 " +
                                    other + "|10 0|20 0")) +
           "0\nEOF\n";
  };
  const Draft hands = draft_of(sheet("INSOLE_LEFT", "INSOLE_RIGHT"));
  CHECK(hands.style.pieces.size() == 1);
  CHECK(proposes(hands, "insole right is the mirror image of insole left"));
  const Draft sides = draft_of(sheet("INSIDE_SOLE", "OUTSIDE_SOLE"));
  CHECK(sides.style.pieces.size() == 2);
  CHECK_FALSE(proposes(sides, "mirror image"));
}

TEST_CASE("the other hand of a piece is left out with all that is in it, or stays where that is not the same",
          "[draft][random]") {
  struct Mark {
    Vec2 at;
    double size = 2.0;
  };
  // A hole, a cut-out or a stitch line, on the layers of the published numbers.
  const auto drawn = [](int kind, const Mark& mark, const SheetPlace& lies) {
    const auto corner = [&](double x, double y) { return lies.of(mark.at + mark.size * Vec2{x, y}); };
    const Vec2 at = lies.of(mark.at);
    if (kind == 0) return tags(fmt::format("0 CIRCLE|8 13|10 {}|20 {}|40 {}", at.x, at.y, mark.size));
    const Vec2 a = corner(-1, -1);
    const Vec2 b = corner(2, -1);
    const Vec2 c = corner(0, 2);
    if (kind == 1) return tags(fmt::format("0 LINE|8 14|10 {}|20 {}|11 {}|21 {}", a.x, a.y, b.x, b.y));
    return tags(fmt::format("0 LWPOLYLINE|8 11|90 3|70 1|10 {}|20 {}|10 {}|20 {}|10 {}|20 {}", a.x, a.y, b.x,
                            b.y, c.x, c.y));
  };
  std::size_t alike = 0;
  std::size_t odd = 0;
  test::holds_for_all(
      "marks of two hands",
      [&] {
        const DrawnPiece left = {"SOLE_LEFT", {0, 0}, court_bottom().front().strokes, {60, 4}};
        DrawnPiece right = left;
        right.name = "SOLE_RIGHT";
        const SheetPlace beside{*rc::gen::inRange(0, 360) * 1.0, true, {500, 100}, false};
        const int kind = *rc::gen::inRange(0, 3);
        std::vector<Mark> marks;
        for (int i = 0; i < 3; ++i) marks.push_back({{70.0 + 30.0 * i, *rc::gen::inRange(-80, 80) / 10.0}});
        std::vector<Mark> there = marks;
        const int change = *rc::gen::inRange(0, 4);
        const double by = *rc::gen::inRange(4, 30) / 10.0;
        if (change == 1) there[1].at += Vec2{by, 0};
        if (change == 2) there[1].size += by;
        if (change == 3) there.pop_back();
        const auto block = [&](const DrawnPiece& piece, const SheetPlace& lies, const std::vector<Mark>& in) {
          std::string text = block_of(piece, lies);
          std::string more;
          for (const Mark& mark : in) more += drawn(kind, mark, lies);
          return text.insert(text.rfind("0\nENDBLK"), more);
        };
        const Draft draft =
            draft_of(section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
                     section("BLOCKS", block(left, {}, marks) + block(right, beside, there)) +
                     section("ENTITIES",
                             tags("0 INSERT|8 0|2 SOLE_LEFT|10 0|20 0|0 INSERT|8 0|2 SOLE_RIGHT|10 0|20 0")) +
                     "0\nEOF\n");
        RC_ASSERT(proposes(draft, "sole right is the mirror image of sole left"));
        RC_ASSERT(draft.accounts.size() == 1 && draft.accounts.front().adds_up());
        RC_ASSERT(draft.style.pieces.size() == (change == 0 ? 1U : 2U));
        RC_ASSERT(proposes(draft, "is in one of them only: both stay") == (change != 0));
        (change == 0 ? alike : odd) += 1;
        // What goes with the copy is named.
        std::size_t told = 0;
        for (const std::string& warning : draft.warnings)
          told += warning.find("left out: ") != std::string::npos ? 1 : 0;
        RC_ASSERT((told >= 2) == (change == 0));
      },
      24);
  CHECK(alike > 2);
  CHECK(odd > 6);
}

namespace {

std::string blocks_of(const std::vector<std::pair<DrawnPiece, SheetPlace>>& pieces) {
  std::string blocks;
  std::string inserts;
  for (const auto& [piece, place] : pieces) {
    blocks += block_of(piece, place);
    inserts += tags("0 INSERT|8 0|2 " + piece.name + "|10 0|20 0");
  }
  return section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) + section("BLOCKS", blocks) +
         section("ENTITIES", inserts) + "0\nEOF\n";
}

}  // namespace

namespace {

std::string marked(const std::string& entity, const char* name, Vec2 at) {
  return tags(fmt::format("0 {}|8 MARKS|10 {}|20 {}|0 TEXT|8 MARKS|10 {}|20 {}|40 2.5|1 {}", entity, at.x,
                          at.y, at.x + 2, at.y, name));
}

bool lost(const Draft& draft, const std::string& words) {
  return std::any_of(draft.lost.begin(), draft.lost.end(),
                     [&](const std::string& one) { return one.find(words) != std::string::npos; });
}

}  // namespace

TEST_CASE("a mark is a point's place, or why it is not is said", "[draft][marks]") {
  const std::string joint = marked("POINT", "JOINT", {160, -6.5});
  const Draft taken = court_draft({}, court_upper(), "1", joint);
  CHECK(taken.lost.empty());
  CHECK(drawn_place(taken.style.formes[0], "joint") == Vec2{160, -6.5});
  const auto& references = taken.style.references;
  CHECK(std::any_of(references.begin(), references.end(), [](const PointReference& one) {
    return one.pointer == "/formes/shell/points/joint" && one.stated == R"({"mark":"JOINT"})";
  }));
  CHECK(taken.accounts.front().left_out_in_all() == 0);
  const Draft twice = court_draft({}, court_upper(), "1", joint + marked("POINT", "JOINT", {150, -6}));
  CHECK(lost(twice, "are named joint, (160.000, -6.500) and (150.000, -6.000), and neither is taken"));
  CHECK_FALSE(proposes(twice, "the point joint is marked"));
  const Draft off = court_draft({}, court_upper(), "1", marked("POINT", "HEEL", {4, 3}));
  CHECK(lost(off, "the mark heel at (4.000, 3.000) is not taken"));
  CHECK_FALSE(proposes(off, "the point heel is marked"));
  CHECK(drawn_place(off.style.formes[0], "heel") == Vec2{0, 0});
}

TEST_CASE("a piece goes by a text that names a part, and two loose lines are no outline", "[draft]") {
  const auto text = [](double x, double y, const char* said) {
    return tags(fmt::format("0 TEXT|8 1|10 {}|20 {}|40 3|1 {}", x, y, said));
  };
  const auto line = [](double y) { return tags(fmt::format("0 LINE|8 1|10 60|20 {0}|11 80|21 {0}", y)); };
  const std::string plate = tags("0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 120|20 0|10 120|20 70|10 0|20 50");
  const Draft named = draft_of(drawing(plate + text(10, 10, "CUT 2 PAIRS") + text(10, 20, "37") +
                                       text(10, 30, "TOP") + text(10, 40, "VAMP") + line(20) + line(22)));
  REQUIRE(named.style.pieces.size() == 1);
  CHECK(named.style.pieces.front().name == "vamp");
  CHECK(named.lost.empty());
  const Draft numbered = draft_of(drawing(plate + text(10, 20, "37") + text(10, 30, "Cut 2 pairs")));
  CHECK(numbered.style.pieces.front().name == "piece-1");
}

namespace {

// Both halves of a vamp in one outline.
DrawnPiece whole_vamp(const std::string& name) {
  return {name,
          {0, 40},
          {curve_to({60, 45}, {90, 30}, {100, 0}), curve_to({90, -30}, {60, -45}, {0, -40}),
           curve_to({20, -10}, {20, 10}, {0, 40})},
          {20, 0}};
}

}  // namespace

TEST_CASE("a vamp drawn whole is told as one, and stands on its axis", "[draft]") {
  const DrawnPiece whole = whole_vamp("VAMP");
  const Draft draft = draft_of(blocks_of({{whole, {25.0, false, {100, 50}}}}));
  REQUIRE(draft.warnings.size() == 1);
  CHECK(draft.warnings.front().find("vamp is drawn whole, as its own mirror image") != std::string::npos);
  CHECK(draft.style.pieces.front().hand == Hand::kSymmetric);
  const FormeSpec& forme = draft.style.formes.front();
  const Vec2 axis = unit(drawn_place(forme, "end") - drawn_place(forme, "start"));
  CHECK(std::abs(cross(axis, turned({1, 0}, 25.0 * 3.14159265358979 / 180.0))) < 1e-3);
}

TEST_CASE("what is its own mirror image is one shape for both feet, whatever its name", "[draft]") {
  const DrawnPiece whole = whole_vamp("VMP-01");
  const Draft draft = draft_of(blocks_of({{whole, {25.0, false, {100, 50}}}}));
  REQUIRE(draft.warnings.size() == 1);
  CHECK(draft.warnings.front().find("vmp-01 is drawn whole, as its own mirror image") == 0);
  CHECK(draft.style.pieces.front().hand == Hand::kSymmetric);
  DrawnPiece bent = whole;
  bent.strokes[0] = curve_to({60, 47}, {90, 30}, {100, 0});
  CHECK(draft_of(blocks_of({{bent, {}}})).style.pieces.front().hand == Hand::kHanded);
}

TEST_CASE("a strap is measured to its tip, on its outline", "[draft]") {
  const Draft draft = court_draft({}, court_upper());
  const auto strap = std::find_if(draft.style.formes.begin(), draft.style.formes.end(),
                                  [](const FormeSpec& one) { return one.name == "ankle strap"; });
  REQUIRE(strap != draft.style.formes.end());
  CHECK(distance(drawn_place(*strap, "end"), {240, 6}) < 0.01);
  CHECK(distance(drawn_place(*strap, "start"), {0, 6}) < 0.01);
  CHECK(strap->base_line == std::pair<std::string, std::string>{"base start", "base end"});
  CHECK(distance(drawn_place(*strap, "base start"), {0, 0}) < 0.01);
  CHECK(distance(drawn_place(*strap, "base end"), {230, 0}) < 0.01);  // where the straight edge ends
}

TEST_CASE("every point of a strap lies on its outline, its tips where its arcs have them", "[draft][law]") {
  constexpr double kTurn = 37.0 * 3.14159265358979 / 180.0;
  // Round at one end or at both: a box of 180 x 14 mm between half circles.
  for (const bool both : {false, true}) {
    CAPTURE(both);
    std::string text = "0 LWPOLYLINE|8 1|90 4|70 1";
    const std::pair<Vec2, double> vertices[] = {
        {{0, -7}, 0.0}, {{180, -7}, 1.0}, {{180, 7}, 0.0}, {{0, 7}, both ? 1.0 : 0.0}};
    for (const auto& [p, bulge] : vertices) {
      const Vec2 q = turned(p, kTurn);
      text += fmt::format("|10 {:.6f}|20 {:.6f}|42 {:g}", q.x, q.y, bulge);
    }
    DraftOptions options;
    options.kind = *shoe_kind({"strap"});
    options.basis.scale = "paris-point";
    options.basis.size = "37";
    std::vector<DraftDrawing> drawings;
    drawings.push_back({*read_dxf(drawing(tags(text)), {}), "strap", "strap.dxf"});
    const Draft draft = *draft_style(std::move(drawings), options, {});
    const FormeSpec& forme = draft.style.formes.front();
    REQUIRE(forme.points.size() == 5);
    const auto drawn = [&](const char* name) { return turned(drawn_place(forme, name), -kTurn); };
    for (const NamedPoint& point : forme.points) {
      CAPTURE(point.name);
      const Vec2 p = turned(point.at, -kTurn);
      const double to_middle = distance(p, {std::clamp(p.x, 0.0, 180.0), 0.0});
      CHECK((std::abs(to_middle - 7.0) < 0.002 || (!both && std::abs(p.x) < 0.002 && to_middle < 7.002)));
    }
    // From the flat end to the round one, or from either round one to the other.
    const Vec2 start = drawn("start");
    const Vec2 end = drawn("end");
    CHECK(std::abs(start.y) < 0.002);
    CHECK(std::abs(end.y) < 0.002);
    CHECK(std::abs(std::abs(end.x - start.x) - (both ? 194.0 : 187.0)) < 0.002);
    CHECK(std::abs(std::abs(drawn("side").y - drawn("base start").y) - 14.0) < 0.002);
    CHECK(std::abs(drawn("side").x - drawn("base start").x) < 0.002);
  }
}

TEST_CASE("an end of a strap that is drawn in short lines is one edge, as an arc is", "[draft][law]") {
  // Square or round at its start, round at its end; in so many chords.
  const auto strap = [](bool both, int chords, double degrees) {
    std::vector<Vec2> points{{0, -7}, {180, -7}};
    const auto round_end = [&](double x, double way) {
      for (int i = 1; i < chords; ++i) {
        const double angle = 3.14159265358979 * i / chords;
        points.push_back({x + way * 7 * std::sin(angle), -way * 7 * std::cos(angle)});
      }
    };
    round_end(180, 1.0);
    points.push_back({180, 7});
    points.push_back({0, 7});
    if (both) round_end(0, -1.0);
    std::string text = fmt::format("0 LWPOLYLINE|8 1|90 {}|70 1", points.size());
    for (const Vec2 p : points) {
      const Vec2 q = turned(p, degrees * 3.14159265358979 / 180.0);
      text += fmt::format("|10 {:.4f}|20 {:.4f}", q.x, q.y);
    }
    DraftOptions options;
    options.kind = *shoe_kind({"strap"});
    options.basis.scale = "paris-point";
    options.basis.size = "37";
    std::vector<DraftDrawing> drawings;
    drawings.push_back({*read_dxf(drawing(tags(text)), {}), "strap", "strap.dxf"});
    return *draft_style(std::move(drawings), options, {});
  };
  for (const bool both : {false, true}) {
    for (const int chords : {8, 9, 16, 31}) {
      const Draft draft = strap(both, chords, 37.0);
      CAPTURE(both, chords);
      REQUIRE(draft.style.pieces.size() == 1);
      const PieceSpec& piece = draft.style.pieces.front();
      CHECK(piece.corners.size() == 4);
      CHECK(std::count_if(piece.edges.begin(), piece.edges.end(),
                          [](const EdgeSpec& one) { return one.held; }) == (both ? 2 : 1));
      CHECK(proposes(draft, "is one end"));
      CHECK(draft.style.formes.front().points.size() == 5);
    }
  }
  // Two corners cut off are meant as they are.
  CHECK(strap(false, 3, 0.0).style.pieces.front().corners.size() == 6);
}

TEST_CASE("widths and lengths that no style could have are refused before anything is written", "[draft]") {
  const auto refused = [](const char* scale, const char* size, std::vector<std::string> widths,
                          const char* width) {
    DraftBasis basis;
    basis.scale = scale;
    basis.size = size;
    basis.widths = std::move(widths);
    basis.width = width;
    StyleSpec style;
    std::vector<Proposed> proposed;
    const Result<FilledBasis> filled = fill_basis(basis, {}, std::nullopt, style, proposed);
    return filled ? std::string() : filled.problem().message;
  };
  CHECK(refused("paris-point", "37", {"N", "M"}, "M").empty());
  CHECK(refused("paris-point", "37", {"N", "N"}, "") == "--widths names N twice");
  CHECK(refused("paris-point", "37", {"N", "M"}, "X").find("--width: X is none of the widths") == 0);
  CHECK(refused("paris-point", "37", {"2", "3"}, "9").find("--width: ") == 0);
  CHECK(refused("paris-point", "37", {"2", "3"}, "4").empty());
  CHECK(refused("mondopoint-5", "235", {}, "").find("the foot is what the scale mondopoint-5") !=
        std::string::npos);
}

TEST_CASE("no extra is stated for a line that is drawn for another size", "[draft]") {
  const auto stick_extra = [](const Draft& draft) {
    for (const Rule& rule : draft.style.formes.at(0).rules) {
      const auto* line = std::get_if<MeasureLine>(&rule);
      if (line != nullptr && line->name == "stick") return line->extra;
    }
    FAIL("no stick");
    return std::optional<Millimetres>{};
  };
  // Drawn 248 mm long; a Paris point is 20/3 mm.
  CHECK_FALSE(stick_extra(court_draft({}, court_upper(), "1", "", "36")));
  const Draft longer = court_draft({}, court_upper(), "1", "", "35");  // by 6.3 percent
  REQUIRE(stick_extra(longer));
  CHECK(stick_extra(longer)->value() == Approx(248.0 - 35 * 20.0 / 3.0).margin(0.01));
  for (const char* size : {"34", "40", "60"}) {
    INFO(size);
    const Draft other = court_draft({}, court_upper(), "1", "", size);
    CHECK(other.style.formes.at(0).name == "shell");
    CHECK_FALSE(stick_extra(other));
    CHECK(proposes(other, "so no extra is stated. Is the base size right?"));
  }
}

// Whatever the side seam: straight, its own mirror image, nearly so, or neither.
TEST_CASE("a quarter drawn apart is laid as it lies, turned and turned over", "[draft][lay]") {
  const DrawnPiece vamp = court_upper().at(0);
  const DrawnPiece quarter = court_upper().at(1);
  const Vec2 top = quarter.strokes[1].to;
  const Vec2 foot = vamp.strokes[2].to;
  holds_for_all(
      "a quarter laid on its vamp",
      [&] {
        const double bend = *rc::gen::element(0.0, 1.5, 6.0, -5.0);
        const double aside = bend == 0.0 ? 0.0 : *rc::gen::element(0.0, 0.5, 1.0, 3.0);
        const Vec2 along = unit(top - foot);
        const Vec2 a = lerp(foot, top, 1.0 / 3.0) + bend * left_of(along) + aside * along;
        const Vec2 b = lerp(foot, top, 2.0 / 3.0) + bend * left_of(along) + aside * along;
        DrawnPiece sewn = vamp;
        DrawnPiece apart = quarter;
        if (bend != 0.0) {
          sewn.strokes[2] = curve_to(b, a, foot);
          apart.strokes[1] = curve_to(a, b, top);
        }
        const SheetPlace place{*rc::gen::inRange(0, 3600) / 10.0, *rc::gen::arbitrary<bool>(), {500, 300}};
        const Draft draft = draft_of(blocks_of({{sewn, {}}, {apart, place}}), true);
        RC_ASSERT(draft.style.formes.size() == 1);
        const FormeSpec& shell = draft.style.formes.front();
        const auto apart_by = [&](const char* one, const char* other) {
          return distance(drawn_place(shell, one), drawn_place(shell, other));
        };
        RC_ASSERT(std::abs(apart_by("heel", "toe") - norm(vamp.from)) < 0.02);
        RC_ASSERT(std::abs(apart_by("back top", "toe") - distance(quarter.strokes[2].to, vamp.from)) < 0.02);
        RC_ASSERT(std::abs(apart_by("heel", "back top") - norm(quarter.strokes[2].to)) < 0.02);
      },
      24);
}

namespace {

// All its curves in short chords, the same from either end, the first and last of them much shorter.
DrawnPiece in_chords(const DrawnPiece& piece, int chords, double first) {
  DrawnPiece made{piece.name, piece.from, {}, piece.text};
  Vec2 from = piece.from;
  for (const Stroke& stroke : piece.strokes) {
    if (stroke.inner.empty()) {
      made.strokes.push_back(stroke);
    } else {
      std::vector<double> shares{first / chords};
      for (int k = 1; k < chords; ++k) shares.push_back(static_cast<double>(k) / chords);
      shares.push_back(1.0 - first / chords);
      for (const double t : shares) made.strokes.push_back(line_to(first_part(from, stroke, t).to));
      made.strokes.push_back(line_to(stroke.to));
    }
    from = stroke.to;
  }
  return made;
}

const PieceSpec& drafted_piece(const Draft& draft, const std::string& name) {
  return *std::find_if(draft.style.pieces.begin(), draft.style.pieces.end(),
                       [&](const PieceSpec& one) { return one.name == name; });
}

}  // namespace

TEST_CASE("edges drawn alike in short chords are sewn together however closely they are faired",
          "[draft][lay]") {
  const Vec2 top = court_upper().at(1).strokes[1].to;
  const Vec2 foot = court_upper().at(0).strokes[2].to;
  std::size_t asked = 0;
  holds_for_all(
      "a seam is found whatever the fairing",
      [&] {
        DrawnPiece vamp = court_upper().at(0);
        DrawnPiece quarter = court_upper().at(1);
        const double bend = *rc::gen::element(3.0, 6.0, -5.0);
        const Vec2 along = unit(top - foot);
        const Vec2 a = lerp(foot, top, 1.0 / 3.0) + bend * left_of(along) + 1.5 * along;
        const Vec2 b = lerp(foot, top, 2.0 / 3.0) + bend * left_of(along) + 1.5 * along;
        vamp.strokes[2] = curve_to(b, a, foot);
        quarter.strokes[1] = curve_to(a, b, top);
        const int chords = *rc::gen::inRange(18, 30);
        const double first = *rc::gen::element(0.2, 0.4, 0.7);  // 0.2 to 1.5 mm
        const double fair = *rc::gen::element(0.005, 0.01, 0.02, 0.05, 0.1);
        const SheetPlace place{*rc::gen::inRange(0, 3600) / 10.0, *rc::gen::arbitrary<bool>(), {500, 300}};
        const Draft draft = draft_of(
            blocks_of({{in_chords(vamp, chords, first), {}}, {in_chords(quarter, chords, first), place}}),
            true, fair);
        RC_ASSERT(draft.style.formes.size() == 1);
        RC_ASSERT(draft.style.seams.size() == 1);
        RC_ASSERT(drafted_piece(draft, "vamp").edges.size() == 4);
        ++asked;
      },
      20);
  CHECK(asked >= 20);
}

TEST_CASE("what lies on the line of a fold is the fold, whatever ends on it", "[draft][lay]") {
  const DrawnPiece vamp = court_upper().at(0);
  const Vec2 toe = vamp.from;
  const Stroke& forefoot = vamp.strokes[3];
  const Stroke part =
      first_part(toe, curve_to(forefoot.inner[1], forefoot.inner[0], vamp.strokes[2].to), 0.35);
  const Vec2 on_fold = lerp(toe, vamp.strokes[0].to, 0.5);
  const DrawnPiece puff{
      "TOE_PUFF",
      toe,
      {line_to(on_fold),
       curve_to(lerp(on_fold, part.to, 0.3) + Vec2{4, 1}, lerp(on_fold, part.to, 0.7) + Vec2{4, 1}, part.to),
       curve_to(part.inner[1], part.inner[0], toe)},
      {225, 10}};
  const Draft draft =
      draft_of(blocks_of({{vamp, {}}, {court_upper().at(1), {}}, {puff, {40.0, false, {500, 300}}}}), true);
  CHECK(proposes(draft, "toe puff is laid on vamp"));
  for (const char* piece : {"vamp", "toe puff"}) {
    INFO(piece);
    REQUIRE(drafted_piece(draft, piece).fold);
    const auto& edges = drafted_piece(draft, piece).edges;
    CHECK(std::count_if(edges.begin(), edges.end(), [](const EdgeSpec& edge) {
            return edge.name.starts_with("top line") || edge.name == "fold";
          }) == (std::string(piece) == "vamp" ? 2 : 1));
  }
}

TEST_CASE("a piece that fits as well turned over is left where it is drawn, and both ways are told",
          "[draft][lay]") {
  const auto straight = [](const char* name, std::vector<Vec2> corners) {
    DrawnPiece piece{name, corners.front(), {}, lerp(corners[0], corners[2], 0.5)};
    for (std::size_t i = 1; i <= corners.size(); ++i)
      piece.strokes.push_back(line_to(corners[i % corners.size()]));
    return piece;
  };
  const DrawnPiece plate = straight("PLATE", {{100, 0}, {200, 0}, {200, 57}, {100, 50}});
  const SheetPlace beside{40.0, true, {-300, 200}};
  const auto laid = [&](const DrawnPiece& wing) {
    return draft_of(blocks_of({{plate, {}}, {wing, beside}}), true);
  };
  // Square to the seam at both ends, so that it runs on either way.
  const Draft either = laid(straight("WING", {{30, 0}, {100, 0}, {100, 50}, {50, 50}}));
  const auto not_laid = [](const Draft& draft) {
    for (const std::string& one : draft.warnings) {
      if (one.starts_with("not laid: ")) return one;
    }
    return std::string();
  };
  const std::string told = not_laid(either);
  CHECK(told.find("not laid: wing could lie in 2 ways") == 0);
  CHECK((told.find("turned over and then by") != told.npos && told.find(": turned by") != told.npos));
  CHECK_FALSE(proposes(either, "is laid on"));
  for (const PieceSpec& piece : either.style.pieces) CHECK_FALSE(piece.lies);
  // The same with a seam that bends a little more above than below: the closer fit says it.
  const Vec2 low{101.5, 16};
  const Vec2 high{102.1, 34};
  DrawnPiece bent = plate;
  bent.strokes[3] = curve_to(high, low, {100, 0});
  DrawnPiece wing = straight("WING", {{30, 0}, {100, 0}, {100, 50}, {50, 50}});
  wing.strokes[1] = curve_to(low, high, {100, 50});
  const Draft closer = draft_of(blocks_of({{bent, {}}, {wing, beside}}), true);
  CHECK(not_laid(closer).empty());
  CHECK(proposes(closer, "wing is laid on plate by an edge they share, turned over"));
  // Its own mirror image: either way is the same.
  const Draft same = laid(straight("WING", {{30, 10}, {100, 0}, {100, 50}, {30, 40}}));
  CHECK(not_laid(same).empty());
  CHECK(proposes(same, "wing is laid on plate"));
}

TEST_CASE("more pieces than are compared come through as they are drawn, and that is said", "[draft]") {
  std::string entities;
  for (int i = 0; i < 130; ++i) {
    const int x = 100 * (i % 12);
    const int y = 100 * (i / 12);
    entities +=
        tags(fmt::format("0 LWPOLYLINE|8 1|90 4|70 1|10 {0}|20 {1}|10 {2}|20 {1}|10 {2}|20 {3}|10 {0}|20 {3}",
                         x, y, x + 80, y + 60));
  }
  const Draft draft = draft_of(drawing(entities));
  CHECK(draft.problems.empty());
  CHECK(draft.style.pieces.size() == 130);
  CHECK(draft.style.formes.size() == 1);
  CHECK(draft.style.measures.size() == 2);
  CHECK(proposes(draft, "were not judged"));
}

TEST_CASE("what is far too small for a foot is no upper, and nothing small vanishes in small sizes",
          "[draft]") {
  // Twenty millimetres long, in the shape of an upper: a triangle that is low at one end.
  const Draft small =
      draft_of(drawing(tags("0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 20|20 1|10 15|20 4|10 0|20 6")));
  REQUIRE(small.style.formes.size() == 1);
  CHECK_FALSE(role_of(small.style.formes.front()).has_value());
  // A loop of constant width, 22 mm long: five millimetres a size would leave nothing of it.
  DraftOptions options;
  options.kind = *shoe_kind({"strap"});
  options.basis.scale = "paris-point";
  options.basis.size = "37";
  std::vector<DraftDrawing> drawings;
  drawings.push_back(
      {*read_dxf(drawing(tags("0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 22|20 0|10 22|20 5|10 0|20 5")), {}),
       "loop", "loop.dxf"});
  const Result<Draft> loop = draft_style(std::move(drawings), options, {});
  REQUIRE(loop);
  const auto& measures = loop->style.measures;
  const auto length = std::find_if(measures.begin(), measures.end(), [](const MeasureSpec& one) {
    return one.name.ends_with(" length") && !one.from_scale;
  });
  REQUIRE(length != measures.end());
  CHECK(length->law == Law::kProportional);
}

// A feather that is the same from either end fits its mate in four ways; the other edges say which is meant.
TEST_CASE("a piece is laid the way in which most of its edges lie on edges", "[draft]") {
  const Stroke feather = curve_to({40, -14}, {80, -14}, {120, 0});
  const DrawnPiece lining{
      "QUARTER_LINING",
      {0, 0},
      {feather, line_to({138, 40}), curve_to({90, 42}, {40, 66}, {6, 62}), line_to({0, 0})},
      {40, 25}};
  DrawnPiece quarter = lining;
  quarter.name = "QUARTER";
  for (const bool over : {false, true}) {
    SheetPlace beside;
    beside.over = over;
    beside.degrees = 37.0;
    beside.shift = {460, 210};
    const DrawnPiece vamp{"VAMP",
                          {120, 0},
                          {curve_to({170, -12}, {215, -6}, {250, 10}), line_to({190, 44}), line_to({138, 40}),
                           line_to({120, 0})},
                          {180, 15}};
    const std::string text =
        section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) +
        section("BLOCKS", block_of(lining, {}) + block_of(vamp, {}) + block_of(quarter, beside)) +
        section("ENTITIES",
                tags("0 INSERT|8 0|2 QUARTER_LINING|10 0|20 0|0 INSERT|8 0|2 VAMP|10 0|20 0|0 INSERT|8 0|2 "
                     "QUARTER|10 0|20 0")) +
        "0\nEOF\n";
    const Draft draft = draft_of(text, true);
    const auto laid = std::find_if(draft.style.pieces.begin(), draft.style.pieces.end(),
                                   [](const PieceSpec& one) { return one.name == "quarter"; });
    REQUIRE(laid != draft.style.pieces.end());
    INFO((over ? "turned over" : "turned"));
    REQUIRE(laid->lies);
    CHECK(laid->lies->mirrored == over);
    // It lies on its lining: the seam of the vamp finds both.
    const auto sewn = [&](const char* piece) {
      return std::any_of(draft.style.seams.begin(), draft.style.seams.end(), [&](const SeamSpec& seam) {
        return (seam.one.piece == "vamp" && seam.other.piece == piece) ||
               (seam.other.piece == "vamp" && seam.one.piece == piece);
      });
    };
    CHECK(sewn("quarter"));
    CHECK(sewn("quarter lining"));
  }
}

TEST_CASE("a fold that needless vertices part is drafted as one line", "[draft][law]") {
  const std::set<std::string> whole = said(court_draft({}, court_upper()).style);
  holds_for_all(
      "a parted fold drafts alike",
      [&](bool lining) {
        std::vector<DrawnPiece> upper = court_upper();
        for (DrawnPiece& piece : upper) {
          if (piece.name != (lining ? "VAMP_LINING" : "VAMP") && piece.name != "STIFFENER") continue;
          const bool last =
              piece.name == "STIFFENER";  // its fold is its last stroke, the others' their first
          const std::size_t at = last ? piece.strokes.size() - 1 : 0;
          const Vec2 from = last ? piece.strokes[at - 1].to : piece.from;
          const Vec2 to = piece.strokes[at].to;
          const double first = 0.01 * *rc::gen::inRange(10, 60);
          std::vector<Stroke> parts{line_to(lerp(from, to, first))};
          if (*rc::gen::inRange(0, 2) == 1) parts.push_back(line_to(lerp(from, to, 0.5 * (1.0 + first))));
          piece.strokes.insert(piece.strokes.begin() + static_cast<std::ptrdiff_t>(at), parts.begin(),
                               parts.end());
        }
        compare(whole, said(court_draft({}, std::move(upper)).style));
      },
      6);
}
