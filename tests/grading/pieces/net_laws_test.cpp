// A piece that is drawn cut is the piece that is drawn net: outlines of every kind, cut by the program with
// every form of corner and read again, as exactly as drawings are written.
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <numbers>

#include "geometry/check/hausdorff.hpp"
#include "geometry/check/simple.hpp"
#include "geometry/curve/biarc.hpp"
#include "geometry/offset/offset.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/net/net_recovery.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

Curve curve_of(const ArcSegment& s) {
  if (s.straight()) return Line{s.a, s.b};
  return Arc{s.a, s.b, s.bulge};
}

// Edges e0, e1, ... from corner c0 to c1, c1 to c2, ...; none where an edge is too short to be drawn.
std::optional<BoundPiece> piece_drawn_cut(const std::vector<std::vector<Curve>>& edges,
                                          const std::vector<CornerForm>& forms) {
  BoundPiece piece;
  piece.spec.name = "law";
  piece.spec.drawn = Drawn::kCut;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    EdgeSpec spec;
    spec.name = "e" + std::to_string(e);
    spec.from = "c" + std::to_string(e);
    spec.to = "c" + std::to_string((e + 1) % edges.size());
    piece.spec.corners.push_back({spec.from, start_of(edges[e].front()), forms[e]});
    piece.spec.edges.push_back(spec);
    const Result<OpenChain> chain = make_open_chain({edges[e]}, Millimetres(1e-6));
    if (!chain) return std::nullopt;
    piece.edges.push_back({spec, *chain});
  }
  return piece;
}

enum class Shape { kConvex, kHollow, kCurved };

struct NetCase {
  ClosedArcPath net;
  std::vector<Millimetres> allowances;
  std::vector<CornerForm> forms;
};

rc::Gen<NetCase> net_cases(Shape shape, std::vector<CornerForm> forms) {
  return rc::gen::exec([=] {
    NetCase made;
    const int count = *rc::gen::inRange(3, shape == Shape::kConvex ? 7 : 9);
    for (int i = 0; i < count; ++i) {
      const double angle = 2 * std::numbers::pi * (i + *rc::gen::inRange(0, 60) / 100.0) / count;
      const double r = shape == Shape::kConvex ? 42.0 : *rc::gen::inRange(350, 800) / 10.0;
      const double bulge =
          shape == Shape::kCurved ? *rc::gen::element(0.0, 0.0, 0.1, -0.1, 0.2, -0.15, 0.05) : 0.0;
      made.net.vertices.push_back(
          {{(shape == Shape::kConvex ? 1.2 : 1.6) * r * std::cos(angle), r * std::sin(angle)}, bulge});
      made.allowances.emplace_back(*rc::gen::element(0.0, 0.0, 1.5, 4.0, 5.0, 8.0, 12.0, 16.0, 18.0));
      made.forms.push_back(forms[*rc::gen::inRange<std::size_t>(0, forms.size())]);
    }
    return made;
  });
}

OffsetCorner offset_form(CornerForm form) {
  PieceSpec spec;
  spec.corners.push_back({"c", {}, form});
  return corner_form(spec, "c");
}

// The cut line of a case as a drawing shows it, to so many places of a millimetre; each corner named at one
// of the joints of what its form makes. None where an edge has gone: which it was is in no drawing.
std::optional<BoundPiece> drawing_of(const NetCase& from, double places) {
  const std::size_t n = from.net.size();
  OffsetOptions options;
  for (const CornerForm form : from.forms) options.corners.push_back(offset_form(form));
  const Result<OffsetOutline> cut = offset(from.net, from.allowances, options);
  if (!cut) return std::nullopt;
  const std::size_t m = cut->path.size();
  std::vector<std::size_t> named;
  for (std::size_t e = 0; e < n; ++e) {
    const std::size_t before = (e + n - 1) % n;
    std::size_t last = m;
    std::size_t first = m;
    for (std::size_t v = 0; v < m; ++v) {
      const auto own = [&](std::size_t at, std::size_t edge) {
        return !cut->source[at].corner && cut->source[at].segment == edge;
      };
      if (own(v, before) && !own((v + 1) % m, before)) last = v;
      if (own(v, e) && !own((v + m - 1) % m, e)) first = v;
    }
    if (last == m || first == m) return std::nullopt;
    const std::size_t joints = (first + m - last - 1) % m;
    if (joints > 4) return std::nullopt;
    named.push_back((last + 1 + *rc::gen::inRange<std::size_t>(0, joints + 1)) % m);
  }
  const auto as_written = [&](Vec2 p) {
    return Vec2{std::round(p.x * places) / places, std::round(p.y * places) / places};
  };
  std::vector<std::vector<Curve>> edges(n);
  std::size_t walked = 0;
  for (std::size_t e = 0; e < n; ++e) {
    const std::size_t to = named[(e + 1) % n];
    if (named[e] == to) return std::nullopt;
    for (std::size_t v = named[e]; v != to; v = (v + 1) % m, ++walked) {
      ArcSegment s = cut->path.segment(v);
      s.a = as_written(s.a);
      s.b = as_written(s.b);
      edges[e].push_back(curve_of(s));
    }
  }
  if (walked != m) return std::nullopt;
  return piece_drawn_cut(edges, from.forms);
}

struct Told {
  int asked = 0;
  int refused = 0;
};

// The same net line within 0.01 mm, or a refusal that says where.
void comes_back(const NetCase& from, double places, Told& told) {
  SimpleOptions apart;
  apart.touch = Millimetres(1.0);
  RC_PRE(check_simple(from.net, apart).ok() && signed_area(from.net) > 0.0);
  std::optional<BoundPiece> piece = drawing_of(from, places);
  RC_PRE(piece.has_value());
  ++told.asked;
  for (std::size_t i = 0; i < from.net.size(); ++i) {
    const ArcVertex& v = from.net.vertices[i];
    RC_LOG() << "(" << v.at.x << ", " << v.at.y << ") bulge " << v.bulge << ", " << from.allowances[i].value()
             << " mm, " << name_of(from.forms[i]) << "\n";
  }
  const Status found = recover_net(*piece, from.allowances);
  if (!found) {
    ++told.refused;
    const std::string text = to_text(found.problem());
    RC_ASSERT(text.find("at (") != std::string::npos || text.find("edge") != std::string::npos);
    return;
  }
  ClosedArcPath net;
  for (const BoundEdge& edge : piece->edges) {
    const OpenArcPath path = arc_fit(edge.chain, Millimetres(1e-5));
    net.vertices.insert(net.vertices.end(), path.vertices.begin(), path.vertices.end() - 1);
  }
  RC_ASSERT(hausdorff(MeasuredOutline(from.net), MeasuredOutline(net)).value <= 0.01);
}

}  // namespace

TEST_CASE("a piece drawn cut is the piece drawn net, with every form of corner", "[net]") {
  const std::vector<CornerForm> all(std::begin(kCornerForms), std::end(kCornerForms));
  for (const Shape shape : {Shape::kConvex, Shape::kHollow, Shape::kCurved}) {
    for (std::size_t f = 0; f <= all.size(); ++f) {
      const std::vector<CornerForm> forms = f < all.size() ? std::vector{all[f]} : all;
      const std::string name = (f < all.size() ? name_of(all[f]) : "mixed") + std::string(", shape ") +
                               std::to_string(static_cast<int>(shape));
      Told told;
      test::holds_for_all(
          name, [&] { comes_back(*net_cases(shape, forms), 1e6, told); }, 60);
      INFO(name << ": " << told.refused << " of " << told.asked << " refused");
      CHECK(50 * told.refused <= told.asked);
    }
  }
}

TEST_CASE("nor is it another one where its drawing has three decimals", "[net]") {
  const std::vector<CornerForm> all(std::begin(kCornerForms), std::end(kCornerForms));
  Told told;
  for (const Shape shape : {Shape::kHollow, Shape::kCurved}) {
    test::holds_for_all(
        "three decimals", [&] { comes_back(*net_cases(shape, all), 1e3, told); }, 150);
  }
  INFO(told.refused << " of " << told.asked << " refused");
  CHECK(10 * told.refused <= told.asked);
}

namespace {

std::vector<Millimetres> net_allowances(const std::vector<double>& allowances) {
  std::vector<Millimetres> widths;
  for (const double one : allowances) widths.emplace_back(one);
  return widths;
}

// `named` says which of its vertices are corners.
std::optional<BoundPiece> polygon_drawn_cut(const std::vector<Vec2>& cut,
                                            const std::vector<std::size_t>& named, CornerForm form) {
  std::vector<std::vector<Curve>> edges(named.size());
  for (std::size_t e = 0; e < named.size(); ++e) {
    for (std::size_t v = named[e]; v != named[(e + 1) % named.size()]; v = (v + 1) % cut.size())
      edges[e].push_back(Line{cut[v], cut[(v + 1) % cut.size()]});
  }
  return piece_drawn_cut(edges, std::vector<CornerForm>(named.size(), form));
}

std::vector<Vec2> net_of(const std::vector<Vec2>& cut, const std::vector<std::size_t>& named,
                         const std::vector<double>& allowances, CornerForm form) {
  std::optional<BoundPiece> piece = polygon_drawn_cut(cut, named, form);
  REQUIRE(piece.has_value());
  const Status found = recover_net(*piece, net_allowances(allowances));
  INFO((found ? std::string() : to_text(found.problem())));
  REQUIRE(found.ok());
  std::vector<Vec2> corners;
  for (const BoundEdge& edge : piece->edges) {
    for (const Curve& curve : edge.chain.curves()) corners.push_back(start_of(curve));
  }
  return corners;
}

void check_same_corners(const std::vector<Vec2>& found, const std::vector<Vec2>& wanted) {
  REQUIRE(found.size() == wanted.size());
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    INFO("corner " << i << " at (" << found[i].x << ", " << found[i].y << ")");
    CHECK(distance(found[i], wanted[i]) < 0.01);
  }
}

}  // namespace

TEST_CASE("a step that an edge is too short for makes no notch in the net line", "[net]") {
  const std::vector<Vec2> net{{100, 0}, {240, 0}, {240, 48}, {150, 62}, {104, 40}};
  const std::vector<double> allowances{0, 0, 16, 14, 0};
  // Each leg of the step at (150, 62) cuts 46 % off the edge beside it. Where no more than 40 % may be, its
  // foot is drawn 0.03 mm off the corner, and a net line with a notch gives just this cut line.
  SECTION("drawn with its foot off the corner") {
    const std::vector<Vec2> cut{{100, 0},
                                {240, 0},
                                {240, 48},
                                {240, 64.192423},
                                {175.505093, 74.224964},
                                {150.001841, 62.027756},
                                {125.559623, 65.829879},
                                {105.629824, 56.298236},
                                {104, 40}};
    std::optional<BoundPiece> piece = polygon_drawn_cut(cut, {0, 1, 2, 5, 8}, CornerForm::kStep);
    REQUIRE(piece.has_value());
    const Status found = recover_net(*piece, net_allowances(allowances));
    REQUIRE_FALSE(found.ok());
    CHECK_THAT(to_text(found.problem()),
               Catch::Contains("two net lines") && Catch::Contains("draw the net line"));
  }
  SECTION("as the program cuts it") {
    NetCase made;
    for (std::size_t i = 0; i < net.size(); ++i) {
      made.net.vertices.push_back({net[i], 0.0});
      made.allowances.emplace_back(allowances[i]);
    }
    OffsetOptions options;
    options.corners.assign(5, OffsetCorner::kStep);
    const Result<OffsetOutline> cut = offset(made.net, made.allowances, options);
    REQUIRE(cut.ok());
    std::vector<Vec2> points;
    std::vector<std::size_t> named(5, 0);
    for (std::size_t v = 0; v < cut->path.size(); ++v) {
      points.push_back(cut->path.vertices[v].at);
      for (std::size_t c = 0; c < 5; ++c) {
        if (distance(points[v], net[c]) < distance(points[named[c]], net[c])) named[c] = v;
      }
    }
    check_same_corners(net_of(points, named, allowances, CornerForm::kStep), net);
  }
}

TEST_CASE("a mitre meets where its lines do as long as a tenth of its edges is left", "[net]") {
  // The true meeting of the lines at (139.075, 42.98), by 8 mm and 0, is (127.81, 37.80).
  const std::vector<Vec2> net{
      {213.612, 49.614}, {175.77, 59.857}, {139.075, 42.98}, {130.278, 24.209}, {189.34, -19.296}};
  const std::vector<double> allowances{12, 0, 8, 1.5, 18};
  std::vector<Vec2> cut;
  for (std::size_t i = 0; i < 5; ++i) {
    const Vec2 in = unit(net[i] - net[(i + 4) % 5]);
    const Vec2 out = unit(net[(i + 1) % 5] - net[i]);
    const double before = allowances[(i + 4) % 5];
    const double run = (allowances[i] - before * dot(in, out)) / cross(in, out);
    cut.push_back(net[i] - before * left_of(in) + run * in);
  }
  check_same_corners(net_of(cut, {0, 1, 2, 3, 4}, allowances, CornerForm::kMitre), net);
}

TEST_CASE("of a piece cut double the drawn half is told where its cut line is off", "[net]") {
  // Half a box on a fold along x = 0, its corners mitred and stated as round.
  std::optional<BoundPiece> piece =
      polygon_drawn_cut({{0, -8}, {48, -8}, {48, 68}, {0, 68}}, {0, 1, 2, 3}, CornerForm::kRound);
  REQUIRE(piece.has_value());
  piece->spec.fold = "e3";
  const Status found = recover_net(*piece, net_allowances({8, 8, 8, 0}));
  REQUIRE_FALSE(found.ok());
  INFO(to_text(found.problem()));
  const std::string text = found.problem().message;
  double x = -1.0;
  REQUIRE(std::sscanf(text.c_str() + text.find("at (") + 4, "%lf", &x) == 1);
  CHECK(x >= 0.0);
}
