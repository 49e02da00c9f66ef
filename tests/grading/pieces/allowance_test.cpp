// Allowances against their definition, and what is said of those that do not fit.
#include "grading/pieces/allowance.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/problem.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/allowance_check.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;

namespace {

// A piece whose every vertex is a corner and every segment an edge.
struct Cornered {
  PieceSpec spec;
  GradedPiece graded;
  explicit Cornered(ClosedArcPath path) {
    spec.name = graded.piece = "test piece";
    const std::size_t n = path.size();
    for (std::size_t i = 0; i < n; ++i) {
      spec.corners.push_back({"c" + std::to_string(i), path.vertices[i].at});
      EdgeSpec edge;
      edge.name = "e" + std::to_string(i);
      edge.from = "c" + std::to_string(i);
      edge.to = "c" + std::to_string((i + 1) % n);
      spec.edges.push_back(edge);
      graded.net.edge.push_back(static_cast<std::uint16_t>(i));
    }
    graded.net.path = std::move(path);
  }
};

ClosedArcPath polygon_path(std::initializer_list<Vec2> corners) {
  ClosedArcPath path;
  for (const Vec2 p : corners) path.vertices.push_back({p, 0.0});
  return path;
}

std::vector<Millimetres> widths(std::initializer_list<double> all) {
  std::vector<Millimetres> result;
  for (const double d : all) result.emplace_back(d);
  return result;
}

rc::Gen<ClosedArcPath> outlines(bool arcs = true) {
  return rc::gen::exec([=] {
    ClosedArcPath path;
    const int count = *rc::gen::inRange(arcs ? 3 : 5, 14);
    for (int i = 0; i < count; ++i) {
      const double angle = 2 * std::numbers::pi * (i + *rc::gen::inRange(0, 60) / 100.0) / count;
      const double r = *rc::gen::inRange(4000, 9000) / 100.0;
      const double bulge = arcs ? *rc::gen::element(0.0, 0.0, 0.1, -0.1, 0.3, -0.2, 1e-5) : 0.0;
      path.vertices.push_back({{1.6 * r * std::cos(angle), r * std::sin(angle)}, bulge});
    }
    return path;
  });
}

bool proper(const ClosedArcPath& path) {
  SimpleOptions apart;
  apart.touch = Millimetres(1.0);
  apart.shortest = Millimetres(1.0);
  return check_simple(path, apart).ok() && signed_area(path) > 0.0;
}

}  // namespace

TEST_CASE("a square with a different allowance on every side", "[allowance]") {
  Cornered square(polygon_path({{0, 0}, {100, 0}, {100, 60}, {0, 60}}));
  REQUIRE(apply_allowances(square.spec, widths({18, 4, 0, 1.5}), square.graded).ok());
  CHECK(square.graded.cut.path.size() == 4);
  const Box2 box = bounds(square.graded.cut.path);
  CHECK(distance(box.low, {-1.5, -18}) < 1e-9);
  CHECK(distance(box.high, {104, 60}) < 1e-9);
  CHECK(signed_area(square.graded.cut.path) == Approx(105.5 * 78));
  CHECK(square.graded.net.path.vertices == polygon_path({{0, 0}, {100, 0}, {100, 60}, {0, 60}}).vertices);
}

TEST_CASE("each corner takes its own form", "[allowance]") {
  Cornered square(polygon_path({{0, 0}, {100, 0}, {100, 60}, {0, 60}}));
  square.spec.corners[1].form = CornerForm::kStep;
  square.spec.corners[2].form = CornerForm::kRound;
  square.spec.corners[3].form = CornerForm::kSquare;
  REQUIRE(apply_allowances(square.spec, widths({10, 10, 10, 10}), square.graded).ok());
  const double mitred = 120.0 * 80.0;
  const double step = 10.0 * 10.0;
  const double round = 100.0 - std::numbers::pi / 4 * 100.0;
  const double square_cut = std::pow(std::sqrt(200.0) - 10.0, 2);
  CHECK(signed_area(square.graded.cut.path) == Approx(mitred - step - round - square_cut).epsilon(1e-12));
  CHECK(distance_to(square.graded.cut.path, {100, 0}) < 1e-9);    // the step comes back to its corner
  CHECK(distance_to(square.graded.cut.path, {-10, -10}) < 1e-9);  // the mitre's tip
}

TEST_CASE("a piece cut double takes the forms of its corners on both halves", "[allowance]") {
  // Half a box of 40 by 60 on a fold along the left side, unfolded: corners 0 and 3 lie on the fold.
  PieceSpec spec;
  spec.fold = "fold";
  for (const char* name : {"foot", "low", "high", "top"}) spec.corners.push_back({name, Vec2{}});
  spec.corners[1].form = CornerForm::kRound;
  const char* corners[] = {"foot", "low", "high", "top"};
  const char* names[] = {"bottom", "side", "head", "fold"};
  for (int i = 0; i < 4; ++i) {
    EdgeSpec edge;
    edge.name = names[i];
    edge.from = corners[i];
    edge.to = corners[(i + 1) % 4];
    spec.edges.push_back(edge);
  }
  GradedPiece piece;
  piece.net.path = polygon_path({{0, 0}, {40, 0}, {40, 60}, {0, 60}, {-40, 60}, {-40, 0}});
  piece.net.edge = {0, 1, 2, 2, 1, 0};
  REQUIRE(apply_allowances(spec, widths({8, 8, 8, 0}), piece).ok());
  CHECK(signed_area(piece.cut.path) == Approx(96 * 76 - 2 * (64 - std::numbers::pi * 16)).epsilon(1e-12));
}

TEST_CASE("allowances grow by steps in size groups", "[allowance]") {
  PieceSpec spec;
  EdgeSpec feather;
  feather.allowance = Millimetres(18.0);
  feather.allowance_from = {{"11", Millimetres(20.0)}, {"8.5", Millimetres(19.0)}};
  spec.edges = {feather, EdgeSpec{}};
  SizeRun run;
  run.named = {{"8.5", Fraction(43, 2)}, {"11", 24}};
  const std::vector<EdgeAllowance> all = edge_allowances(spec, run);
  const auto at = [&](Fraction position) { return all[0].at({position, ""}).value(); };
  CHECK(at(5) == 18.0);
  CHECK(at(21) == 18.0);
  CHECK(at(Fraction(43, 2)) == 19.0);
  CHECK(at(Fraction(47, 2)) == 19.0);
  CHECK(at(24) == 20.0);
  CHECK(at(100) == 20.0);
  CHECK(all[1].at({24, ""}).value() == 0.0);
}

TEST_CASE("a style keeps its corner forms and allowance steps", "[allowance]") {
  std::string text = testing::kSmallStyle;
  const auto change = [&](const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
  };
  change(R"("throat": [150.25, 60.5], "wing")",
         R"("throat": {"at": [150.25, 60.5], "form": "step"}, "wing")");
  change(R"("allowance": "18 mm")", R"("allowance": 18, "allowance_from": {"8.5": "19 mm", "11": 20})");
  const StyleRead read = read_style(text, "s.json");
  for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(read.ok());
  const PieceSpec& vamp = read.style->pieces[0];
  CHECK(vamp.corners[1].form == CornerForm::kStep);
  CHECK(std::get<Vec2>(vamp.corners[1].at) == Vec2{150.25, 60.5});
  REQUIRE(vamp.edges[2].allowance_from.size() == 2);
  CHECK(vamp.edges[2].allowance_from[0].from == "8.5");
  CHECK(vamp.edges[2].allowance_from[0].allowance == Millimetres(19.0));
  const StyleRead again = read_style(write_style(*read.style), "again");
  REQUIRE(again.ok());
  CHECK(write_style(*again.style) == write_style(*read.style));
  CHECK(again.style->pieces[0].corners[1].form == CornerForm::kStep);
  change(R"("11": 20)", R"("11": -1)");
  const StyleRead negative = read_style(text, "s.json");
  REQUIRE(negative.problems.size() == 1);
  CHECK(negative.problems[0].place.pointer == "/pieces/0/edges/2/allowance_from/11");
}

TEST_CASE("what does not fit is named with the largest that would", "[allowance]") {
  // A slot 10 mm wide, closed at its mouth by a lip: sides e3 and e5, the lip's tip e7 faces e3's foot.
  Cornered comb(polygon_path(
      {{0, 0}, {100, 0}, {100, 50}, {60, 50}, {60, 20}, {40, 20}, {40, 38}, {50, 38}, {50, 50}, {0, 50}}));
  // Edge 3 runs down the right side of the slot at x = 60, edge 7 up the lip's tip at x = 50.
  std::vector<Millimetres> asked(10, Millimetres(0.0));
  asked[3] = Millimetres(4.0);
  asked[7] = Millimetres(7.0);
  const Status status = apply_allowances(comb.spec, asked, comb.graded);
  REQUIRE_FALSE(status.ok());
  const Problem& problem = status.problem();
  INFO(to_text(problem));
  // Reduced alone, the lip's 7 mm fit up to 6 and the side's 4 mm up to 3: less is taken from the lip.
  CHECK(problem.value == 7.0);
  REQUIRE(problem.limit);
  CHECK(*problem.limit <= 6.0);
  CHECK(*problem.limit >= 5.98);
  const auto& named = problem.place.named;
  REQUIRE(named.size() == 2);
  CHECK(named[0] == std::pair<std::string, std::string>("piece", "test piece"));
  CHECK(named[1] == std::pair<std::string, std::string>("edge", "e7"));
  asked[7] = Millimetres(*problem.limit);
  CHECK(apply_allowances(comb.spec, asked, comb.graded).ok());
}

TEST_CASE("a wide allowance never runs over the whole of a narrower edge, however wide it is",
          "[allowance][random]") {
  // A shaft: its side is raw, and the edge above it, at a hollow corner, goes under a vamp.
  int fits = 0;
  int refused = 0;
  test::holds_for_all(
      "wider than what does not fit does not fit",
      [&] {
        const double foot = *rc::gen::inRange(80, 140);
        const double high = *rc::gen::inRange(30, 80);
        const double reach = *rc::gen::inRange(30, 90);
        const double rise = *rc::gen::inRange(-10, 20);
        Cornered piece(polygon_path({{0, 0},
                                     {foot, -4},
                                     {foot + 2, high},
                                     {foot + reach, high + rise},
                                     {foot, high + 120},
                                     {20, high + 118}}));
        const double raw = *rc::gen::inRange(0, 3);
        bool before = true;
        for (double wide = 4.0; wide < 600.0; wide *= 1.25) {
          const std::vector<Millimetres> all = widths({18, raw, wide, 2, 6, 2});
          const Status applied = apply_allowances(piece.spec, all, piece.graded);
          RC_ASSERT(before || !applied.ok());
          before = applied.ok();
          (before ? fits : refused) += 1;
          if (!before) {
            // What is said to fit does, and a little more does not.
            const Problem& problem = applied.problem();
            std::vector<Millimetres> said = all;
            const auto set = [&](double value) {
              if (problem.message.find("in proportion") != std::string::npos) {
                for (std::size_t e = 0; e < said.size(); ++e)
                  said[e] = Millimetres(all[e].value() * value / *problem.value);
              } else {
                const auto edge = std::stoul(problem.place.named.back().second.substr(1));
                RC_ASSERT(all[edge].value() == *problem.value);
                said[edge] = Millimetres(value);
              }
            };
            set(*problem.limit);
            RC_ASSERT(apply_allowances(piece.spec, said, piece.graded).ok());
            set(*problem.limit + 0.05);
            RC_ASSERT(!apply_allowances(piece.spec, said, piece.graded).ok());
            continue;
          }
          // Somewhere the raw edge is cut as it was asked for.
          double least = 1e9;
          for (int k = 0; k <= 40; ++k) {
            const Vec2 place = lerp(Vec2{foot, -4}, Vec2{foot + 2, high}, k / 40.0);
            least = std::min(least, distance_to(piece.graded.cut.path, place) - raw);
          }
          RC_ASSERT(least < 1.0 + 1e-6);
        }
      },
      40);
  CHECK(fits > 100);
  CHECK(refused > 100);
}

TEST_CASE("random allowances stand off their net line as the definition says", "[allowance][random]") {
  int built = 0;
  int asked = 0;
  test::holds_for_all("a cut line stands off its net line by the allowance", [&] {
    Cornered piece(*outlines());
    RC_PRE(proper(piece.graded.net.path));
    std::vector<Millimetres> allowances;
    for (std::size_t i = 0; i < piece.spec.edges.size(); ++i)
      allowances.emplace_back(*rc::gen::element(0.0, 1.5, 4.0, 8.0, 18.0));
    const bool round = *rc::gen::element(true, false);
    for (CornerSpec& corner : piece.spec.corners) {
      corner.form = round ? CornerForm::kRound
                          : *rc::gen::element(CornerForm::kMitre, CornerForm::kSquare, CornerForm::kRound);
    }
    ++asked;
    const Status fits = apply_allowances(piece.spec, allowances, piece.graded);
    if (!fits) {
      RC_ASSERT(*fits.problem().limit < *fits.problem().value);
      return;
    }
    ++built;
    const test::AllowanceError error = test::allowance_error(piece.graded.net, piece.graded.cut, allowances);
    RC_ASSERT(error.off < 0.01);
    RC_ASSERT(error.inside < 1e-6);
    if (round) RC_ASSERT(error.nearer < 0.01);
  });
  CHECK(built > asked / 2);
}
