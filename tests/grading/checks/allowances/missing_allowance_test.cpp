// What is missing of an allowance, against figures by hand and against looking at every place.
#include "grading/checks/allowances/missing_allowance.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/curve/intersect.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/style/style_json.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;

namespace {

struct Cut {
  PieceSpec spec;
  GradedPiece piece;
  std::vector<Millimetres> allowances;
};

// Every segment an edge, every corner of one form.
Cut cut_piece(const ClosedArcPath& net, const std::vector<double>& widths, CornerForm form) {
  Cut cut;
  for (std::size_t i = 0; i < net.size(); ++i) {
    const std::string n = std::to_string(i);
    cut.spec.corners.push_back({"c" + n, net.vertices[i].at, form});
    EdgeSpec edge;
    edge.name = "e" + n;
    edge.from = "c" + n;
    edge.to = "c" + std::to_string((i + 1) % net.size());
    cut.spec.edges.push_back(edge);
    cut.piece.net.edge.push_back(static_cast<std::uint16_t>(i));
    cut.allowances.emplace_back(widths[i]);
  }
  cut.piece.net.path = net;
  return cut;
}

ClosedArcPath closed_through(const std::vector<Vec2>& corners) {
  ClosedArcPath path;
  for (const Vec2 p : corners) path.vertices.push_back({p, 0.0});
  return path;
}

// What is missing at a place of an edge, by the first crossing on the way out.
double lack_at(const GradedPiece& piece, std::size_t segment, double t, double allowance) {
  const ArcSegment s = piece.net.path.segment(segment);
  const Vec2 p = s.point_at(t);
  const ArcSegment way{p, p - allowance * left_of(s.tangent_at(t)), 0.0};
  double first = allowance;
  for (std::size_t j = 0; j < piece.cut.path.size(); ++j) {
    for (const Contact& c : contacts(way, piece.cut.path.segment(j), 1e-7))
      first = std::min(first, distance(p, c.at));
  }
  return allowance - first;
}

}  // namespace

TEST_CASE("a mitre beside a narrower allowance costs the wider one its end", "[missing]") {
  // At (100, 0) the outline turns by 60 degrees; 10 mm below, none beside it: the line of the other edge cuts
  // the 10 mm off over 10 / tan 60 mm.
  const double rise = 50.0 * std::sqrt(3.0);
  Cut cut = cut_piece(closed_through({{0, 0}, {100, 0}, {150, rise}, {0, rise}}), {10, 0, 0, 0},
                      CornerForm::kMitre);
  REQUIRE(apply_allowances(cut.spec, cut.allowances, cut.piece).ok());
  const std::vector<MissingAllowance> missing = missing_allowances(cut.piece, cut.allowances, false);
  REQUIRE(missing.size() == 1);
  CHECK(missing[0].edge == 0);
  const double over = 10.0 / std::sqrt(3.0);
  CHECK(missing[0].worst == Approx(10.0).margin(0.02));  // met just beside the corner
  CHECK(missing[0].length == Approx(over).margin(0.1));
  CHECK(missing[0].edge_length == Approx(100.0));
  CHECK(missing[0].shared == Approx(0.0).margin(0.1));
  CHECK(distance(missing[0].at, {100, 0}) < 0.02);
}

TEST_CASE("nothing is missing where a cut line has all of its allowances", "[missing]") {
  const ClosedArcPath convex = closed_through({{0, 0}, {100, 0}, {130, 70}, {-20, 60}});
  for (const CornerForm form : {CornerForm::kMitre, CornerForm::kSquare, CornerForm::kRound}) {
    Cut cut = cut_piece(convex, {10, 10, 10, 10}, form);
    REQUIRE(apply_allowances(cut.spec, cut.allowances, cut.piece).ok());
    CHECK(missing_allowances(cut.piece, cut.allowances, false).empty());
  }
}

TEST_CASE("at a hollow corner allowances share their material and none is missing", "[missing]") {
  // An L; its hollow corner at (40, 40) turns by a right angle: 6 mm of either edge beside it.
  Cut cut = cut_piece(closed_through({{0, 0}, {100, 0}, {100, 40}, {40, 40}, {40, 100}, {0, 100}}),
                      {6, 6, 6, 6, 6, 6}, CornerForm::kMitre);
  REQUIRE(apply_allowances(cut.spec, cut.allowances, cut.piece).ok());
  const std::vector<MissingAllowance> found = missing_allowances(cut.piece, cut.allowances, false);
  REQUIRE(found.size() == 2);
  for (const MissingAllowance& one : found) {
    CHECK(one.worst == 0.0);
    CHECK(one.length == 0.0);
    CHECK(one.shared == Approx(6.0).margin(1e-6));
  }
  CHECK(found[0].edge == 2);
  CHECK(found[1].edge == 3);
}

TEST_CASE("a cut line that is too near is found whoever made it", "[missing]") {
  const ClosedArcPath box = closed_through({{0, 0}, {100, 0}, {100, 60}, {0, 60}});
  Cut cut = cut_piece(box, {8, 8, 8, 8}, CornerForm::kMitre);
  // The lower side half a millimetre short.
  cut.piece.cut.path = closed_through({{-8, -7.5}, {108, -7.5}, {108, 68}, {-8, 68}});
  cut.piece.cut.edge = {0, 1, 2, 3};
  std::vector<MissingAllowance> missing = missing_allowances(cut.piece, cut.allowances, false);
  REQUIRE(missing.size() == 1);
  CHECK(missing[0].worst == Approx(0.5).margin(1e-9));
  CHECK(missing[0].length == Approx(100.0));
  // No allowance at all.
  cut.piece.cut = cut.piece.net;
  missing = missing_allowances(cut.piece, cut.allowances, false);
  REQUIRE(missing.size() == 4);
  CHECK(missing[1].worst == Approx(8.0));
  CHECK(missing[1].length == Approx(60.0));
  // Of a piece that is cut double only the drawn half.
  missing = missing_allowances(cut.piece, cut.allowances, true);
  CHECK(missing.size() == 2);
}

TEST_CASE("what is missing is what a look at every place finds", "[missing]") {
  int built = 0;
  test::holds_for_all("missing allowances", [&] {
    ClosedArcPath net;
    const int count = *rc::gen::inRange(3, 9);
    std::vector<double> widths;
    for (int i = 0; i < count; ++i) {
      const double angle = 2 * std::numbers::pi * (i + *rc::gen::inRange(0, 60) / 100.0) / count;
      const double r = *rc::gen::inRange(5000, 9000) / 100.0;
      net.vertices.push_back(
          {{1.6 * r * std::cos(angle), r * std::sin(angle)}, *rc::gen::element(0.0, 0.0, 0.1, -0.1, 0.2)});
      widths.push_back(*rc::gen::element(0.0, 1.5, 4.0, 12.0));
    }
    RC_PRE(check_simple(net).ok() && signed_area(net) > 0.0);
    Cut cut = cut_piece(
        net, widths,
        *rc::gen::elementOf(std::vector<CornerForm>(std::begin(kCornerForms), std::end(kCornerForms))));
    RC_PRE(apply_allowances(cut.spec, cut.allowances, cut.piece).ok());
    ++built;
    const std::vector<MissingAllowance> found = missing_allowances(cut.piece, cut.allowances, false);
    for (std::size_t i = 0; i < net.size(); ++i) {
      constexpr int kPlaces = 400;
      double worst = 0.0;
      int lacking = 0;
      for (int k = 0; k < kPlaces; ++k) {
        const double lack = widths[i] == 0.0 ? 0.0 : lack_at(cut.piece, i, (k + 0.5) / kPlaces, widths[i]);
        worst = std::max(worst, lack);
        lacking += lack > 0.01;
      }
      double told = 0.0;
      double length = 0.0;
      for (const MissingAllowance& one : found) {
        if (one.edge != i) continue;
        told = one.worst;
        length = one.length;
      }
      const double edge = net.segment(i).length();
      // What lacks less than its limit between two places, or over a few micrometres, is not told of.
      RC_ASSERT(told >= worst - 0.05 * std::max(1.0, widths[i]) || worst <= 0.02);
      RC_ASSERT(std::abs(length - edge * lacking / kPlaces) <= 0.02 * edge + 0.1);
    }
  });
  CHECK(built > 50);
}

TEST_CASE("how much may be missing depends on the treatment, the corners, and the style", "[missing]") {
  PieceSpec piece;
  piece.corners = {{"a", Vec2{}, CornerForm::kRound},
                   {"b", Vec2{}, CornerForm::kSquare},
                   {"m", Vec2{}, CornerForm::kMitre}};
  const auto most = [&](const StyleSpec& style, Treatment treatment, const std::string& to,
                        double allowance) {
    EdgeSpec edge;
    edge.from = "a";
    edge.to = to;
    edge.treatment = treatment;
    return most_missing(style, piece, edge, Millimetres(allowance));
  };
  const StyleSpec none;
  CHECK(most(none, Treatment::kClosedSeam, "b", 1.5) == 0.1);
  CHECK(most(none, Treatment::kLasting, "b", 18.0) == 9.0);
  CHECK_FALSE(most(none, Treatment::kClosedSeam, "m", 1.5).has_value());
  std::string text = testing::kSmallStyle;
  const std::string limits = R"("limits": {"seam": 0.2})";
  const auto at = text.find(limits);
  REQUIRE(at != std::string::npos);
  text.replace(at, limits.size(),
               R"("limits": {"seam": 0.2, "missing_allowance": {"closed seam": 0.5, "lasting": "2 mm"}})");
  const StyleRead read = read_style(text, "s.json");
  for (const Problem& problem : read.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(read.ok());
  CHECK(most(*read.style, Treatment::kClosedSeam, "m", 1.5) == 0.5);
  CHECK(most(*read.style, Treatment::kLasting, "b", 18.0) == 2.0);
  CHECK(most(*read.style, Treatment::kLap, "b", 18.0) == 0.1);
  const StyleRead again = read_style(write_style(*read.style), "again");
  REQUIRE(again.ok());
  CHECK(again.style->missing_limits == read.style->missing_limits);
  text.replace(text.find("\"2 mm\""), 6, "\"-2 mm\"");
  const StyleRead negative = read_style(text, "s.json");
  REQUIRE(negative.problems.size() == 1);
  CHECK(negative.problems[0].place.pointer == "/limits/missing_allowance/lasting");
}

TEST_CASE("where a wider line runs on beside a narrow edge at a hollow corner that turns little it is told",
          "[missing]") {
  const auto look = [](double degrees, double narrow, double wide) {
    // From (0, 0) to the hollow corner at (100, 0), on by 100 mm turned to the right, and back above.
    const double angle = degrees * std::numbers::pi / 180.0;
    const Vec2 far{100.0 + 100.0 * std::cos(angle), -100.0 * std::sin(angle)};
    Cut cut = cut_piece(closed_through({{0, 0}, {100, 0}, far, {far.x, 120}, {0, 120}}),
                        {narrow, wide, 0, 0, 0}, CornerForm::kFull);
    REQUIRE(apply_allowances(cut.spec, cut.allowances, cut.piece).ok());
    for (const MissingAllowance& one : missing_allowances(cut.piece, cut.allowances, false)) {
      if (one.edge == 0) return one;
    }
    return MissingAllowance{};
  };
  for (const auto& [narrow, wide] : {std::pair{4.0, 17.0}, {0.0, 8.0}, {3.0, 7.0}}) {
    INFO(narrow << " beside " << wide);
    for (const double degrees : {25.0, 27.0, 29.0}) {
      INFO(degrees << " degrees");
      const MissingAllowance found = look(degrees, narrow, wide);
      // The wide line crosses the narrow one where its distance from the narrow edge has come down to that.
      const double angle = degrees * std::numbers::pi / 180.0;
      const double over = std::min(100.0, (wide - narrow * std::cos(angle)) / std::sin(angle));
      CAPTURE(over);
      CHECK(found.more > 0.8 * (wide / std::cos(angle) - narrow) - 0.3);
      CHECK(found.more <= wide / std::cos(angle) - narrow + 1e-6);
      CHECK(found.more_over > 0.4 * over);  // some joins cut it short
      CHECK(found.more_over < over + 1.0);
      CHECK(found.worst <= 1e-6);
    }
    // Steeper corners share their material, as they must; where both are as wide nothing runs on.
    CHECK(look(60.0, narrow, wide).more == 0.0);
    CHECK(look(25.0, wide, wide).more < 0.3 + 0.02 * wide);
    CHECK(look(10.0, narrow, wide).more_over <= wide * std::sin(0.1746));  // it steps down at its end
  }
}
