// Spikes put into sound outlines, and corners so sharp that the cut line runs far, against looking
// everywhere.
#include "grading/checks/reach_check.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/io/paper/sheet_prepare.hpp"
#include "grading/checks/piece_look.hpp"
#include "grading/checks/style_checks.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;

namespace {

// A corner about every 40 degrees, edges bowed a little; sound: no corner is sharper than a right angle by
// much.
ClosedArcPath sound_net() {
  ClosedArcPath path;
  const int count = *rc::gen::inRange(6, 11);
  const double squash = *rc::gen::inRange(60, 101) / 100.0;
  for (int i = 0; i < count; ++i) {
    const double angle = 2 * std::numbers::pi * (i + *rc::gen::inRange(-15, 16) / 100.0) / count;
    const double r = *rc::gen::inRange(7000, 9000) / 100.0;
    path.vertices.push_back(
        {{r * std::cos(angle), squash * r * std::sin(angle)}, *rc::gen::element(0.0, 0.05, 0.1, -0.05)});
  }
  return path;
}

struct DrawnSpike {
  double width = 3.0;
  double length = 20.0;
  double blunt = 0.0;  // of the width, at its tip
};

// The outline with a spike in the middle of an edge.
ClosedArcPath with_spike(const ClosedArcPath& path, std::size_t edge, const DrawnSpike& spike) {
  const ArcSegment s = path.segment(edge);
  const double half = 0.5 * spike.width / s.length();
  const ArcSegment before = s.part(0.0, 0.5 - half);
  const ArcSegment after = s.part(0.5 + half, 1.0);
  const Vec2 along = unit(after.a - before.b);
  const Vec2 tip = 0.5 * (before.b + after.a) - spike.length * left_of(along);
  const Vec2 aside = 0.5 * spike.blunt * spike.width * along;
  ClosedArcPath out;
  for (std::size_t i = 0; i < path.size(); ++i) {
    if (i != edge) {
      out.vertices.push_back(path.vertices[i]);
      continue;
    }
    out.vertices.push_back({before.a, before.bulge});
    out.vertices.push_back({before.b, 0.0});
    out.vertices.push_back({tip - aside, 0.0});
    if (spike.blunt > 0.0) out.vertices.push_back({tip + aside, 0.0});
    out.vertices.push_back({after.a, after.bulge});
  }
  return out;
}

struct SpikedCut {
  GradedPiece piece;
  std::vector<Millimetres> allowances;
  bool built = false;
};

// Every segment an edge, all corners of one form, one edge with another allowance.
SpikedCut spiked_cut(const ClosedArcPath& net, double allowance, CornerForm form = CornerForm::kFull,
                     std::size_t other = SIZE_MAX, double width = 0.0) {
  SpikedCut cut;
  PieceSpec spec;
  for (std::size_t i = 0; i < net.size(); ++i) {
    const std::string n = std::to_string(i);
    spec.corners.push_back({"c" + n, net.vertices[i].at, form});
    EdgeSpec edge;
    edge.name = "e" + n;
    edge.from = "c" + n;
    edge.to = "c" + std::to_string((i + 1) % net.size());
    spec.edges.push_back(edge);
    cut.piece.net.edge.push_back(static_cast<std::uint16_t>(i));
    cut.allowances.emplace_back(i == other ? width : allowance);
  }
  cut.piece.net.path = net;
  cut.built = apply_allowances(spec, cut.allowances, cut.piece).ok();
  return cut;
}

double farthest_told(const SpikedCut& cut) {
  double farthest = 0.0;
  for (const CutReach& one : cut_reaches(cut.piece, cut.allowances)) {
    RC_ASSERT(std::abs(distance_to(cut.piece.net.path, one.at) - one.reach) < 1e-9);
    farthest = std::max(farthest, one.reach);
  }
  // As one edge, it has the farthest of them.
  GradedPiece one = cut.piece;
  std::fill(one.cut.edge.begin(), one.cut.edge.end(), std::uint16_t{0});
  for (const CutReach& only : cut_reaches(one, cut.allowances))
    RC_ASSERT(std::abs(only.reach - farthest) < 1e-9);
  return farthest;
}

// Of its spikes, in hundredths of a millimetre.
std::vector<long> widths_of(const ClosedArcPath& path, const std::vector<Millimetres>& allowances) {
  const EdgedOutline net{path, std::vector<std::uint16_t>(path.size(), 0)};
  std::vector<long> widths;
  for (const NetSpike& one : net_spikes(net, allowances, false))
    widths.push_back(std::lround(100.0 * one.width));
  std::sort(widths.begin(), widths.end());
  return widths;
}

// Everywhere on the cut line.
double farthest_seen(const SpikedCut& cut) {
  double farthest = 0.0;
  for (std::size_t i = 0; i < cut.piece.cut.path.size(); ++i) {
    for (int k = 0; k < 16; ++k)
      farthest = std::max(farthest,
                          distance_to(cut.piece.net.path, cut.piece.cut.path.segment(i).point_at(k / 16.0)));
  }
  return farthest;
}

}  // namespace

TEST_CASE("the farthest that a cut line runs from its net line is told, and sound outlines stay within",
          "[reach][law]") {
  test::holds_for_all(
      "sound outlines",
      [] {
        const ClosedArcPath net = sound_net();
        RC_PRE(check_simple(net).ok());
        const SpikedCut cut = spiked_cut(net, *rc::gen::element(1.5, 6.0, 18.0));
        RC_PRE(cut.built);
        const double told = farthest_told(cut);
        RC_ASSERT(told <= kFarthestReach * cut.allowances[0].value());
        RC_ASSERT(std::max(told, cut.allowances[0].value()) >= farthest_seen(cut) - 0.011);
        RC_ASSERT(net_spikes(cut.piece.net, cut.allowances, false).empty());
        RC_ASSERT(net_spikes(cut.piece.net, std::vector<Millimetres>(net.size()), false).empty());
      },
      60);
}

TEST_CASE("a spike put into a sound outline is named, with its width, length and tip",
          "[reach][spike][law]") {
  int far = 0;
  int cut_lines = 0;
  test::holds_for_all(
      "spikes",
      [&] {
        const ClosedArcPath sound = sound_net();
        const auto edge = *rc::gen::inRange<std::size_t>(0, sound.size());
        const DrawnSpike spike{*rc::gen::inRange(5, 60) / 10.0, *rc::gen::inRange(10, 400) / 10.0,
                               *rc::gen::element(0.0, 0.0, 0.5, 1.0)};
        const ClosedArcPath net = with_spike(sound, edge, spike);
        RC_PRE(check_simple(net).ok());
        const double allowance = *rc::gen::element(0.0, 2.0, 6.0, 18.0);
        const SpikedCut cut = spiked_cut(net, allowance);
        // The line round it, between the two hollow corners, in times of its width.
        const double side = std::hypot(spike.length, 0.5 * (1.0 - spike.blunt) * spike.width);
        const double times = (2.0 * side + spike.blunt * spike.width) / spike.width;
        const bool spiky = times > (allowance > 0.0 ? 1.8 : 4.5);
        double width = 0.0;
        for (const NetSpike& one : net_spikes(cut.piece.net, cut.allowances, false)) {
          RC_ASSERT(one.edge > edge);
          RC_ASSERT(one.edge <= edge + (spike.blunt > 0.0 ? 3 : 2));
          RC_ASSERT(one.width <= spike.width + 1e-6);
          RC_ASSERT(one.allowance == allowance);
          RC_ASSERT(std::abs(one.length - spike.length) < 0.35 * spike.length + 0.5 * spike.width);
          width = std::max(width, one.width);
        }
        RC_ASSERT(widths_of(net, cut.allowances) == widths_of(reversed(mirrored(net)), cut.allowances));
        if (spiky) RC_ASSERT(width > 0.3 * spike.width);
        if (!cut.built || allowance == 0.0) return;
        ++cut_lines;
        const double told = farthest_told(cut);
        const double seen = farthest_seen(cut);
        RC_ASSERT(told <= seen + 1e-9);
        if (seen > 2.0 * allowance) RC_ASSERT(told >= seen - 0.011);  // at a tip
        far += seen > kFarthestReach * allowance;
      },
      150);
  CHECK(far > 20);
  CHECK(cut_lines > 80);
}

TEST_CASE("a tooth of 3 mm that makes a spike of 22 mm in the cut line is one", "[reach][spike]") {
  // With 18 mm: 2.8 mm high, its mitre runs 38 mm out.
  const ClosedArcPath box{{{{0, 0}, 0.0}, {{200, 0}, 0.0}, {{200, 120}, 0.0}, {{0, 120}, 0.0}}};
  const SpikedCut cut = spiked_cut(with_spike(box, 0, {3.0, 2.8}), 18.0);
  REQUIRE(cut.built);
  const auto spikes = net_spikes(cut.piece.net, cut.allowances, false);
  REQUIRE(spikes.size() == 2);  // from either side
  CHECK(spikes[0].width < 3.001);
  CHECK(distance(spikes[0].at, {100.0, -2.8}) < 1e-9);
  CHECK(bounds(cut.piece.cut.path).low.y < -18.0 - 22.0);
  // Teeth without an allowance are cut as they are drawn; a step, a notch and a tab of 12 mm are none.
  CHECK(net_spikes(cut.piece.net, std::vector<Millimetres>(cut.allowances.size()), false).empty());
  const auto through = [](const std::vector<Vec2>& corners) {
    ClosedArcPath path;
    for (const Vec2 p : corners) path.vertices.push_back({p, 0.0});
    return path;
  };
  const std::vector<ClosedArcPath> sound{
      through({{0, 0}, {78, 0}, {80, 0}, {80, 2}, {200, 2}, {200, 120}, {0, 120}}),
      through({{0, 0}, {80, 0}, {80, 3}, {83, 3}, {83, 0}, {200, 0}, {200, 120}, {0, 120}}),
      through({{0, 0}, {77, 0}, {80, 0}, {81, 9}, {82, 0}, {85, 0}, {200, 0}, {200, 120}, {0, 120}}),
      through({{0, 0}, {80, 0}, {80, 4}, {81, 4}, {81, 9}, {84, 9}, {84, 0}, {200, 0}, {200, 120}, {0, 120}}),
      through({{0, 0}, {192, 0}, {192, -4}, {200, -4}, {200, 120}, {0, 120}}),  // 8 mm of the side run on
      with_spike(box, 0, {12.0, 30.0, 1.0})};
  for (std::size_t i = 0; i < sound.size(); ++i) {
    INFO(i);
    const SpikedCut one = spiked_cut(sound[i], 1.0);
    CHECK(net_spikes(one.piece.net, one.allowances, false).empty());
  }
  // One that runs on in line with the side leaves the outline at one hollow corner alone.
  const SpikedCut flush =
      spiked_cut(through({{0, 0}, {197, 0}, {197, -20}, {200, -20}, {200, 120}, {0, 120}}), 1.0);
  const auto beside = net_spikes(flush.piece.net, flush.allowances, false);
  REQUIRE(beside.size() == 1);
  CHECK(beside[0].width == Approx(3.0));
  CHECK(beside[0].length == Approx(20.0));
  CHECK(beside[0].edge >= 1);
  // Whichever way round it comes.
  const ClosedArcPath pointed = through({{0, 0}, {196, 0}, {200, -14}, {200, 120}, {0, 120}});
  const std::vector<Millimetres> none(pointed.size());
  CHECK(widths_of(pointed, none) == std::vector<long>{400});
  CHECK(widths_of(reversed(mirrored(pointed)), none) == std::vector<long>{400});
}

TEST_CASE("a spike whose feet are rounded is found, in arcs and in short lines", "[reach][spike]") {
  // 20 mm long and 3 mm wide; its feet of 2 mm, in as many lines.
  for (const int lines : {0, 6, 12, 30}) {
    INFO(lines);
    ClosedArcPath path{{{{0, 0}, 0.0}}};
    const auto foot = [&](Vec2 centre, double from) {
      const double quarter = 0.5 * std::numbers::pi;
      const auto at = [&](double angle) {
        return centre + 2.0 * Vec2{std::cos(from - angle), std::sin(from - angle)};
      };
      path.vertices.push_back({at(0.0), lines == 0 ? -std::tan(0.25 * quarter) : 0.0});
      for (int i = 1; i < lines; ++i) path.vertices.push_back({at(quarter * i / lines), 0.0});
      path.vertices.push_back({at(quarter), 0.0});
    };
    foot({96.5, -2}, 0.5 * std::numbers::pi);
    path.vertices.push_back({{98.5, -20}, 0.0});
    path.vertices.push_back({{101.5, -20}, 0.0});
    foot({103.5, -2}, std::numbers::pi);
    for (const Vec2 p : {Vec2{200, 0}, {200, 120}, {0, 120}}) path.vertices.push_back({p, 0.0});
    const std::vector<Millimetres> allowances(path.size(), Millimetres(5.0));
    const std::vector<long> widths = widths_of(path, allowances);
    REQUIRE_FALSE(widths.empty());
    CHECK(widths.front() >= 300);
    CHECK(widths.front() <= 310);
    CHECK(widths_of(reversed(mirrored(path)), allowances) == widths);
    // Without them, on a side that is a little hollow, there is none.
    ClosedArcPath hollow{{{{0, 0}, -0.05}, {{200, 0}, 0.0}, {{200, 120}, 0.0}, {{0, 120}, 0.0}}};
    CHECK(widths_of(hollow, std::vector<Millimetres>(4, Millimetres(5.0))).empty());
  }
}

TEST_CASE("a reach is judged by the wider allowance at its corner", "[reach]") {
  // 50 degrees at the first corner, 18 mm on one of its edges and 15 on the other.
  const double angle = 50.0 * std::numbers::pi / 180.0;
  const ClosedArcPath wedge{
      {{{0, 0}, 0.0}, {{150, 0}, 0.0}, {{150.0 * std::cos(angle), 150.0 * std::sin(angle)}, 0.0}}};
  for (const std::size_t wide : {std::size_t{0}, std::size_t{2}}) {
    INFO(wide);
    const SpikedCut cut = spiked_cut(wedge, 15.0, CornerForm::kMitre, wide, 18.0);
    REQUIRE(cut.built);
    double farthest = 0.0;
    for (const CutReach& one : cut_reaches(cut.piece, cut.allowances)) {
      if (distance(one.at, {0, 0}) > 60.0) continue;
      CHECK(one.edge == wide);
      CHECK(one.allowance == 18.0);
      farthest = one.reach;
    }
    CHECK(farthest == Approx(farthest_seen(cut)).margin(0.011));
    CHECK(farthest > 2.0 * 18.0);
  }
}

TEST_CASE("a mitre cut across at its very tip can be cut: what is too short of it is absorbed",
          "[reach][tip]") {
  const double at_limit = 2.0 * std::asin(0.25);  // the tip four times as far from its corner as the lines
  int absorbed = 0;
  for (int i = -40; i <= 10; ++i) {
    CAPTURE(i);
    const double angle = at_limit + 0.005 * i * std::numbers::pi / 180.0;
    const ClosedArcPath wedge{
        {{{0, 0}, 0.0}, {{150, 0}, 0.0}, {{150.0 * std::cos(angle), 150.0 * std::sin(angle)}, 0.0}}};
    for (const CornerForm form :
         {CornerForm::kFull, CornerForm::kMitre, CornerForm::kSquare, CornerForm::kRound}) {
      const SpikedCut cut = spiked_cut(wedge, 5.0, form);
      REQUIRE(cut.built);
      const Result<Sheet> sheet = prepare_sheet(sheet_of(cut.piece));
      if (!sheet) FAIL(to_text(sheet.problem()));
      const double moved = absorbed_move(cut.piece.cut.path);
      CHECK(moved <= tolerance::kShortestSegment.value());
      if (moved == 0.0) continue;
      ++absorbed;
      CHECK((form == CornerForm::kFull || form == CornerForm::kMitre));
    }
  }
  CHECK(absorbed > 0);
}

TEST_CASE("limits of reaches, spikes and allowances are read, written and refused", "[reach][limit]") {
  std::string text = testing::kSmallStyle;
  const std::string limits = R"("limits": {"seam": 0.2})";
  const auto at = text.find(limits);
  REQUIRE(at != std::string::npos);
  const std::string stated =
      R"("limits": {"cut_line_reach": {"lasting": 3.5, "lap": 2}, "widest_allowance": "80 mm", "spike_width": 2})";
  text.replace(at, limits.size(), stated);
  const StyleRead read = read_style(text, "s.json");
  for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(read.ok());
  for (const StyleRead& one : {read, read_style(write_style(*read.style), "again")}) {
    REQUIRE(one.ok());
    CHECK(one.style->reach_limits ==
          std::map<Treatment, double>{{Treatment::kLasting, 3.5}, {Treatment::kLap, 2.0}});
    CHECK(one.style->widest_allowance == Millimetres(80.0));
    CHECK(one.style->spike_limit == Millimetres(2.0));
  }
  const auto refused = [&](const std::string& from, const std::string& to) {
    std::string other = text;
    other.replace(other.find(from), from.size(), to);
    const StyleRead bad = read_style(other, "s.json");
    REQUIRE(bad.problems.size() == 1);
    return bad.problems[0].place.pointer;
  };
  CHECK(refused("\"spike_width\": 2", "\"spike_width\": 11") == "/limits/spike_width");
  CHECK(refused("\"80 mm\"", "\"-80 mm\"") == "/limits/widest_allowance");
  CHECK(refused("\"lap\": 2", "\"lap\": 0.5") == "/limits/cut_line_reach/lap");
}
