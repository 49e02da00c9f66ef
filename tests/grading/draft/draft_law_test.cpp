#include "grading/draft/draft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>

#include "grading/style/forme_lookup.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/drafted.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/parsed_json.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

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
    const auto stated = test::parsed_json(reference.stated);
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
  RC_ASSERT(one == other);
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
  CHECK(piece("quarter outside").drawn_foot == "right");  // its toe is at the right, its feather below
  CHECK(piece("quarter inside").drawn_foot == "left");
  CHECK(piece("vamp").drawn_foot.empty());
  // What lies on an edge and is no corner is stated along it: the drawing may change.
  const auto along = [&](const std::string& point) {
    const auto found =
        std::find_if(style.references.begin(), style.references.end(),
                     [&](const PointReference& one) { return one.pointer.ends_with("/" + point); });
    REQUIRE(found != style.references.end());
    return test::parsed_json(found->stated);
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
        const StyleSpec style = court_draft(place, upper, layer).style;
        compare(flat, said(style));
        for (const PieceSpec& piece : style.pieces) {
          if (piece.name == "quarter outside") RC_ASSERT(piece.drawn_foot == (place.over ? "left" : "right"));
          if (piece.name == "quarter inside") RC_ASSERT(piece.drawn_foot == (place.over ? "right" : "left"));
        }
      },
      4);
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
      4);
}
