#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "grading/dies/order/die_order_json.hpp"
#include "grading/dies/order/die_order_read.hpp"
#include "grading/dies/owned/owned_pairs.hpp"
#include "grading/json/json_text.hpp"
#include "tests/support/blob_style.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/owned_again.hpp"
#include "tests/support/parsed_json.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

struct FeetOrder {
  DiePlan plan;
  DieOrder order;
};

FeetOrder ordered(const BlobStyle& blobs) {
  DieRules rules;
  rules.curve.clear();
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  FeetOrder out{*plan_dies(input), {}};
  out.order = make_die_order(out.plan, blobs.style, rules, input.places, {});
  return out;
}

// Each die by what is stamped on it.
std::map<std::string, DieShape> by_stamp(const FeetOrder& of) {
  std::map<std::string, DieShape> dies;
  for (const DieOrderLine& line : of.order.lines) {
    const DieShape& drawn = of.plan.dies[line.die].shape;
    dies.emplace(line.stamp_drawn, drawn);
    if (!line.stamp_mirrored.empty()) dies.emplace(line.stamp_mirrored, mirrored(drawn));
  }
  return dies;
}

BlobStyle feet_style(std::uint64_t seed) {
  BlobStyle blobs;
  blobs.style.name = "Walker";
  blobs.add("outside", seed, 18.0);
  blobs.add("inside", seed + 1, 16.0);
  blobs.add("counter", seed + 2, 12.0);
  // Edges have the order of the outline, which a mirror image turns round: all are treated alike.
  for (PieceSpec& piece : blobs.style.pieces) piece.edges[0].treatment = Treatment::kRaw;
  return blobs;
}

void draw_mirrored(BlobStyle& blobs, std::size_t piece) {
  ClosedArcPath& path = blobs.outlines[piece];
  for (ArcVertex& vertex : path.vertices) vertex = {{-vertex.at.x, vertex.at.y}, -vertex.bulge};
  path = reversed(path);
}

}  // namespace

TEST_CASE("a piece drawn mirrored and stated so has the same L and R dies", "[die_feet]") {
  test::holds_for_all(
      "L = L, R = R",
      [] {
        BlobStyle blobs = feet_style(static_cast<std::uint64_t>(*rc::gen::inRange(1, 500)));
        blobs.style.drawn_foot = *rc::gen::element<std::string>("left", "right");
        for (PieceSpec& piece : blobs.style.pieces)
          piece.drawn_foot = *rc::gen::element<std::string>("", "left", "right");
        const std::map<std::string, DieShape> was = by_stamp(ordered(blobs));
        const auto which = static_cast<std::size_t>(*rc::gen::inRange(0, 3));
        PieceSpec& turned = blobs.style.pieces[which];
        const std::string& foot = turned.drawn_foot.empty() ? blobs.style.drawn_foot : turned.drawn_foot;
        turned.drawn_foot = foot == "left" ? "right" : "left";
        const auto wrong = by_stamp(ordered(blobs));  // the statement alone: the other foot's
        draw_mirrored(blobs, which);
        const auto now = by_stamp(ordered(blobs));
        RC_ASSERT(now.size() == was.size());
        for (const auto& [stamp, die] : was) {
          const auto found = now.find(stamp);
          RC_ASSERT(found != now.end());
          RC_ASSERT(same_die(die, found->second));
          if (stamp.find("/ " + turned.name + " /") == std::string::npos) continue;
          RC_ASSERT(wrong.count(stamp) == 1u);
          RC_ASSERT(same_die(mirrored(die), wrong.at(stamp)));
        }
      },
      3);
}

TEST_CASE("each die of an order says which foot its piece is drawn for, and is read again so", "[die_feet]") {
  BlobStyle blobs = feet_style(7);
  const auto hands = [&](const FeetOrder& of) {
    std::map<std::string, std::string> all;
    for (const DieOrderLine& line : of.order.lines)
      all[line.piece] = line.hand_drawn + "," + line.hand_mirrored;
    return all;
  };
  const auto noted = [](const FeetOrder& of, const std::string& words) {
    return std::count_if(of.order.notes.begin(), of.order.notes.end(),
                         [&](const std::string& note) { return note.find(words) != std::string::npos; });
  };
  using Hands = std::map<std::string, std::string>;
  const FeetOrder silent = ordered(blobs);
  CHECK(hands(silent) == Hands{{"outside", ",M"}, {"inside", ",M"}, {"counter", ",M"}});
  CHECK(noted(silent, "the style does not say which foot its drawings show") == 1);
  blobs.style.drawn_foot = "left";
  blobs.style.pieces[0].drawn_foot = "right";
  blobs.style.pieces[2].drawn_foot = "both";
  const FeetOrder stated = ordered(blobs);
  CHECK(hands(stated) == Hands{{"outside", "R,L"}, {"inside", "L,R"}, {"counter", ",M"}});
  CHECK(noted(stated, "each shoe takes as many of counter as drawn as mirrored") == 1);
  CHECK(noted(stated, "does not say which foot") == 0);
  const std::string text =
      die_order_json(stated.order, stated.plan, std::vector<DieFile>(stated.order.lines.size()));
  CHECK(test::parsed_json(text)["drawn_foot"] == "by piece");
  const Result<ReadOrder> again = read_order_again(text, "order", blobs.style, run_of(3, 2));
  REQUIRE(again.ok());
  for (std::size_t k = 0; k < stated.order.lines.size(); ++k) {
    CHECK(again->order.lines[k].drawn_foot == stated.order.lines[k].drawn_foot);
    CHECK(again->order.lines[k].hand_drawn == stated.order.lines[k].hand_drawn);
  }
  // An order that was written before dies had a foot of their own.
  Json old = test::parsed_json(text);
  old["drawn_foot"] = "left";
  for (Json& die : old["dies"]) die.erase("drawn_foot");
  const Result<ReadOrder> before = read_order_again(old.dump(), "order", blobs.style, run_of(3, 2));
  REQUIRE(before.ok());
  CHECK(before->order.lines[0].drawn_foot == "left");
  blobs.style.pieces[0].drawn_foot.clear();
  blobs.style.pieces[2].drawn_foot.clear();
  const FeetOrder one = ordered(blobs);
  CHECK(test::parsed_json(die_order_json(
            one.order, one.plan, std::vector<DieFile>(one.order.lines.size())))["drawn_foot"] == "left");
}

TEST_CASE("where no foot is stated the order says which hands go together", "[die_feet]") {
  BlobStyle blobs = feet_style(11);
  blobs.style.seams.push_back({"back", {"outside", "top"}, {"inside", "top"}, Millimetres(0.0), true});
  blobs.style.seam_limit = Millimetres(1e3);
  const FeetOrder silent = ordered(blobs);
  CHECK(std::count(
            silent.order.notes.begin(), silent.order.notes.end(),
            "as drawn of outside goes with mirrored of inside in one shoe, by the mirrored seam back") == 1);
}

namespace {

FeetOrder ordered_again(const BlobStyle& blobs, const std::vector<OwnedDie>& owned) {
  DieRules rules;
  rules.curve.clear();
  DiePlanInput input = input_of(blobs, rules, run_of(3, 2));
  input.owned = owned;
  FeetOrder out{*plan_dies(input), {}};
  out.order = make_die_order(out.plan, blobs.style, rules, input.places, owned);
  return out;
}

}  // namespace

TEST_CASE("a die whose piece is drawn the other way round since is the same steel: it serves as it is",
          "[die_feet]") {
  for (std::uint64_t seed = 21; seed < 23; ++seed) {
    BlobStyle blobs = feet_style(seed);
    blobs.style.drawn_foot = "left";
    const FeetOrder first = ordered(blobs);
    const std::vector<OwnedDie> owned = owned_again(first.plan, first.order);
    std::size_t of_piece = 0;
    for (const OwnedDie& die : owned) of_piece += die.piece == "outside" ? 1 : 0;
    draw_mirrored(blobs, 0);
    blobs.style.pieces[0].drawn_foot = "right";
    INFO("seed " << seed);
    const FeetOrder again = ordered_again(blobs, owned);
    CHECK(again.plan.dies_to_make == 0);
    CHECK(again.plan.unused.empty());
    std::size_t turned = 0;
    for (const DieOrderLine& line : again.order.lines) {
      turned += again.plan.dies[line.die].turned ? 1 : 0;
      for (const DieThere& one : line.there) CHECK_FALSE(one.restamp());  // L is L
    }
    CHECK(turned == of_piece);
    CHECK(std::count_if(again.order.notes.begin(), again.order.notes.end(), [](const std::string& note) {
            return note.find("are drawn the other way round than in the order") != std::string::npos;
          }) == 1);
    // What the steel cuts is what its stamp says, as before.
    const std::map<std::string, DieShape> was = by_stamp(first);
    for (const auto& [stamp, die] : by_stamp(again)) CHECK(same_die(die, was.at(stamp)));
    // Drawn the other way round and said to be the left one still: the dies serve, and change their stamps.
    blobs.style.pieces[0].drawn_foot = "left";
    const FeetOrder other = ordered_again(blobs, owned);
    CHECK(other.plan.dies_to_make == 0);
    for (const DieOrderLine& line : other.order.lines) {
      for (const DieThere& one : line.there) CHECK(one.restamp() == (line.piece == "outside"));
    }
    // One die of each pair is there, the left: the right one is made, which is as drawn now.
    blobs.style.pieces[0].drawn_foot = "right";
    std::vector<OwnedDie> left = owned;
    for (OwnedDie& die : left) {
      die.foot = OwnedFoot::kDrawn;
      die.stamp_mirrored.clear();
    }
    const FeetOrder half = ordered_again(blobs, left);
    CHECK(half.plan.dies_to_make == static_cast<int>(owned.size()));
    for (const DieOrderLine& line : half.order.lines) {
      const PlannedDie& die = half.plan.dies[line.die];
      CHECK(die.make_drawn == (line.piece == "outside"));
      CHECK(die.make_mirrored != die.make_drawn);
      REQUIRE(line.there.size() == 1);
      CHECK(line.there[0].hand == "L");
      CHECK_FALSE(line.there[0].restamp());
    }
  }
}
