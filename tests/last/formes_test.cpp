#include "geometry/solid/kernel/made_forms.hpp"
#include "grading/lasts/formes/forme_nicks.hpp"
#include "grading/lasts/formes/last_formes.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <numbers>

#include "geometry/flatten/flatten.hpp"
#include "geometry/solid/body_plan.hpp"
#include "grading/lasts/base_last.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/roles.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

constexpr SkinOptions kSmall{41, 21};

struct Flat {
  StandingLast last;
  LastSkin skin;
  std::vector<MeasureDefinition> definitions;
  std::vector<Measured> values;
  LastFormes formes;
};

// Coarser than the program takes it, so that the tests are quick: lengths lack up to a tenth of a millimetre.
LastSkin skin_of(const StandingLast& last) {
  Result<Body> fine = to_body(*last.shape, 0.15);
  REQUIRE(fine.ok());
  move(*fine, last.standing.motion);
  for (std::size_t f = 0; f < fine->faces.size(); ++f) fine->faces[f].role = last.body.faces[f].role;
  const Result<LastSkin> skin =
      last_skin(*fine, last.standing.foot, last.body.at(last.standing.toe).p, kSmall);
  INFO((skin.ok() ? std::string() : to_text(skin.problem())));
  REQUIRE(skin.ok());
  return *skin;
}

void measure_all(Flat& flat, const Body& body) {
  flat.definitions = default_last_definitions();
  flat.values.clear();
  const Form form = make_form(body);
  for (const MeasureDefinition& d : flat.definitions) {
    const Result<Measured> m = measure(d, form, flat.last.landmarks);
    REQUIRE(m.ok());
    flat.values.push_back(*m);
  }
}

Flat flat_of(StandingLast last, const FormeOptions& options = {}) {
  Flat flat{std::move(last), {}, {}, {}, {}};
  flat.skin = skin_of(flat.last);
  measure_all(flat, flat.last.body);
  const FormedLast formed{&flat.skin,        nullptr,      &flat.last.body,          &flat.last.landmarks,
                          &flat.definitions, &flat.values, flat.last.standing.length};
  const Result<LastFormes> formes = make_formes(formed, nullptr, options);
  INFO((formes.ok() ? std::string() : to_text(formes.problem())));
  REQUIRE(formes.ok());
  flat.formes = *formes;
  return flat;
}

const Flat& demo_flat() {
  static const Flat flat = flat_of(demo_standing());
  return flat;
}

const FormeLine& line_of(const LastForme& forme, const std::string& name) {
  for (const std::vector<FormeLine>* some : {&forme.rims, &forme.lines}) {
    for (const FormeLine& line : *some) {
      if (line.name == name) return line;
    }
  }
  FAIL("no line is named " << name);
  return forme.rims.front();
}

double farthest(const std::vector<Vec2>& one, const std::vector<Vec2>& other) {
  REQUIRE(one.size() == other.size());
  double most = 0.0;
  for (std::size_t i = 0; i < one.size(); ++i) most = std::max(most, distance(one[i], other[i]));
  return most;
}

}  // namespace

TEST_CASE("formes keep back curve, front line and girths, and no triangle turns over", "[formes]") {
  const Flat& flat = demo_flat();
  for (const LastForme* forme :
       {&flat.formes.outside, &flat.formes.inside, &flat.formes.mean, &flat.formes.bottom}) {
    CHECK(turned_triangles(forme->mesh.triangles, forme->nodes) == 0);
    std::size_t kept = 0;
    for (const std::vector<FormeLine>* some : {&forme->rims, &forme->lines}) {
      for (const FormeLine& line : *some) {
        if (!line.kept) continue;
        ++kept;
        CHECK(line.flat == Approx(line.on_last).margin(0.05));
        CHECK(length(line.path) == Approx(line.flat).margin(1e-9));
      }
    }
    CHECK(kept == (forme == &flat.formes.bottom ? 3 : 5));
  }
  CHECK(flat.formes.outside.stretch.high < 0.09);
  CHECK(flat.formes.inside.stretch.high < 0.10);
  CHECK(flat.formes.bottom.stretch.worst < 0.01);
}

TEST_CASE("the formes' shares of a girth are the whole skin of its section, the mean half the upper",
          "[formes]") {
  const Flat& flat = demo_flat();
  for (std::size_t i = 0; i < flat.definitions.size(); ++i) {
    for (const char* name : {"ball", "waist", "instep"}) {
      if (flat.definitions[i].measure != name + std::string(" girth")) continue;
      const std::string line = name + std::string(" line");
      const double sides = line_of(flat.formes.outside, line).flat + line_of(flat.formes.inside, line).flat;
      CHECK(sides + line_of(flat.formes.bottom, line).flat == Approx(flat.values[i].skin).margin(0.03));
      CHECK(2.0 * line_of(flat.formes.mean, line).flat == Approx(sides).margin(0.03));
    }
  }
}

TEST_CASE("the bottom forme is the insole of the demo", "[formes]") {
  const LastForme& bottom = demo_flat().formes.bottom;
  double round = 0.0;
  for (const FormeLine& rim : bottom.rims) round += rim.flat;
  CHECK(round == Approx(622.4).margin(0.5));
  CHECK(bottom.points[0].at.x == Approx(0.0).margin(1e-9));
  CHECK(bottom.points[1].at.x == Approx(272.0).margin(0.3));
  CHECK(bottom.points[1].at.y == Approx(0.0).margin(1e-9));
  // Of a left last, seen from above with the toe to the right, the outside is above.
  for (const FormePoint& p : bottom.points) {
    if (p.name == "outside joint") CHECK(p.at.y > 30.0);
    if (p.name == "inside joint") CHECK(p.at.y < -30.0);
  }
}

TEST_CASE("the mean forme has the mean lengths of the sides, and its rims go round it", "[formes]") {
  const LastFormes& formes = demo_flat().formes;
  CHECK(formes.mean.stretch.surface ==
        Approx(0.5 * (formes.outside.stretch.surface + formes.inside.stretch.surface)).epsilon(2e-3));
  for (const char* name : {"feather", "top line"}) {
    CHECK(line_of(formes.mean, name).on_last ==
          Approx(0.5 * (line_of(formes.outside, name).on_last + line_of(formes.inside, name).on_last)));
  }
  // Of a left last, seen from above, the inside of the feather runs below the outside.
  const auto middle = [&](const char* name) {
    const OpenArcPath& path = line_of(formes.bottom, name).path;
    return path.vertices[path.vertices.size() / 2].at;
  };
  CHECK(middle("inside feather").y < 0.0);
  CHECK(middle("outside feather").y > 0.0);
  for (const LastForme* forme : {&formes.outside, &formes.inside, &formes.mean, &formes.bottom}) {
    for (std::size_t i = 0; i < forme->rims.size(); ++i) {
      const OpenArcPath& next = forme->rims[(i + 1) % forme->rims.size()].path;
      CHECK(distance(forme->rims[i].path.vertices.back().at, next.vertices.front().at) < 1e-9);
    }
  }
}

TEST_CASE("a right last has the formes of its left mate", "[formes]") {
  const Flat& left = demo_flat();
  // The skin mirrored in its middle plane, as a right last's is cut; girths are taken on the left.
  LastSkin skin = left.skin;
  skin.foot = LastFoot::kRight;
  struct Mirror final : SpaceMap {
    Vec3 operator()(Vec3 p) const override { return {p.x, -p.y, p.z}; }
    Vec3 with_jacobian(Vec3 p, Jacobian& j) const override {
      j = {{1, 0, 0}, {0, -1, 0}, {0, 0, 1}};
      return (*this)(p);
    }
  };
  const Mirror mirror;
  Body body = left.last.body;
  Motion over;
  over.rows[1] = {0, -1, 0};
  move(body, over);
  for (BodyFace& face : body.faces) face.outward = !face.outward;
  for (Triangle& t : body.mesh.triangles) {
    std::swap(t.node[1], t.node[2]);
    std::swap(t.side[0], t.side[2]);
  }
  for (Corners& t : skin.bottom.triangles) std::swap(t[1], t[2]);
  std::reverse(skin.feather.begin(), skin.feather.end());
  Flat right{left.last, skin, {}, {}, {}};
  measure_all(right, body);
  const FormedLast formed{&skin,
                          &mirror,
                          &body,
                          &right.last.landmarks,
                          &right.definitions,
                          &right.values,
                          left.last.standing.length};
  const Result<LastFormes> formes = make_formes(formed, nullptr);
  INFO((formes.ok() ? std::string() : to_text(formes.problem())));
  REQUIRE(formes.ok());
  CHECK(farthest(formes->outside.nodes, left.formes.outside.nodes) < 1e-3);
  CHECK(farthest(formes->inside.nodes, left.formes.inside.nodes) < 1e-3);
  CHECK(farthest(formes->mean.nodes, left.formes.mean.nodes) < 1e-3);
  std::vector<Vec2> bottom = formes->bottom.nodes;
  for (Vec2& p : bottom) p.y = -p.y;
  CHECK(farthest(bottom, left.formes.bottom.nodes) < 1e-3);
}

TEST_CASE("a larger last has larger formes, whichever forme the search begins with", "[formes]") {
  const Flat& flat = demo_flat();
  AxisMap map = identity_map(Result<AxisFrame>([&] {
                               Body body = flat.last.body;
                               return axis_frame_of(body, flat.last.standing, flat.last.landmarks);
                             }())
                                 .value());
  map.stretch = 1.05;
  for (AxisSpline* field : {&map.bottom_width, &map.upper_width, &map.height}) {
    for (double& c : field->coefficients) c *= 1.05;
  }
  const SpaceMap* extremes[] = {&map};
  const BodyPlan plan(flat.last.body, extremes, 2e-3);
  double error = 0.0;
  const Body body = plan.image(map, error);
  Flat large{flat.last, flat.skin, {}, {}, {}};
  measure_all(large, body);
  const FormedLast formed{&large.skin,
                          &map,
                          &body,
                          &large.last.landmarks,
                          &large.definitions,
                          &large.values,
                          1.05 * flat.last.standing.length};
  const Result<LastFormes> warm = make_formes(formed, &flat.formes);
  const Result<LastFormes> cold = make_formes(formed, nullptr);
  REQUIRE(warm.ok());
  REQUIRE(cold.ok());
  // Searches end within some hundredths of a millimetre of where they would go.
  CHECK(farthest(warm->outside.nodes, cold->outside.nodes) < 0.1);
  CHECK(farthest(warm->mean.nodes, cold->mean.nodes) < 0.1);
  CHECK(line_of(warm->mean, "ball line").flat / line_of(flat.formes.mean, "ball line").flat ==
        Approx(1.05).margin(0.012));
}

TEST_CASE("the featherline is kept where that is asked, and free where it is not", "[formes]") {
  FormeOptions options;
  options.keep_feather = true;
  const Flat kept = flat_of(demo_standing(), options);
  const FormeLine& feather = line_of(kept.formes.outside, "feather");
  CHECK(feather.flat == Approx(feather.on_last).margin(0.05));
  const FormeLine& free = line_of(demo_flat().formes.outside, "feather");
  CHECK(free.flat - free.on_last > 5.0);
  CHECK(kept.formes.outside.stretch.middle > demo_flat().formes.outside.stretch.middle);
}

TEST_CASE("an upper forme is nicked where its feather is longer than the last's, and takes in that much",
          "[formes]") {
  const FormeNicks usual;
  for (const LastForme* forme :
       {&demo_flat().formes.outside, &demo_flat().formes.inside, &demo_flat().formes.mean}) {
    INFO(forme->name);
    const FormeLine& feather = line_of(*forme, "feather");
    double taken = 0.0;
    double before = -1.0;
    for (const FormeNick& nick : forme->nicks) {
      taken += nick.takes_in;
      CHECK(nick.along > before);
      before = nick.along;
      // From the feather, square to it, into the forme.
      const Vec2 from = nick.path.vertices.front().at;
      const Vec2 to = nick.path.vertices.back().at;
      CHECK(distance_to(feather.path, from) < 1e-6);
      CHECK(distance(from, to) == Approx(usual.depth));
      CHECK(distance_to(feather.path, to) == Approx(usual.depth).margin(0.6));
      CHECK(to.y > from.y - 0.5 * usual.depth);
    }
    CHECK(before < feather.on_last);
    CHECK(taken == Approx(feather.flat - feather.on_last).margin(usual.each));
  }
  CHECK(demo_flat().formes.bottom.nicks.empty());
}

TEST_CASE("nicks of a fan: a ring of paper wider than its cone takes in what it has more", "[formes]") {
  // A quarter of a circle of radius 100 that lay as one of 90 on the last.
  HeldLine feather;
  std::vector<Vec2> flat;
  constexpr int kSteps = 90;
  for (int i = 0; i <= kSteps; ++i) {
    const double angle = i * std::numbers::pi / (2.0 * kSteps);
    flat.push_back({100.0 * std::sin(angle), -100.0 * std::cos(angle)});
    feather.places.push_back({static_cast<std::uint32_t>(i), static_cast<std::uint32_t>(i), 0.0});
    if (i > 0) feather.steps.push_back(0.9 * distance(flat[static_cast<std::size_t>(i) - 1], flat.back()));
  }
  feather.length = 0.9 * 50.0 * std::numbers::pi;
  const std::vector<FormeNick> nicks = forme_nicks(feather, flat, {1.5, 10.0});
  // It has 157.08 - 141.37 = 15.7 mm more: ten nicks, evenly, each towards the middle of the circle.
  REQUIRE(nicks.size() == 10);
  for (std::size_t i = 0; i < nicks.size(); ++i) {
    CHECK(nicks[i].along == Approx(141.37 * (static_cast<double>(i) + 0.5) * 1.5 / 15.708).margin(0.05));
    CHECK(norm(nicks[i].path.vertices.back().at) == Approx(90.0).margin(0.01));
  }
  // Shorter than on the last it opens.
  for (double& step : feather.steps) step /= 0.81;
  const std::vector<FormeNick> open = forme_nicks(feather, flat, {1.5, 10.0});
  CHECK(open.size() > 8);
  for (const FormeNick& nick : open) CHECK(nick.takes_in == -1.5);
}

TEST_CASE("a cone that is cut through has no ring of upper, and is refused; a pin hole is bridged",
          "[formes]") {
  const StandingLast& demo = simple_standing();
  const double x = 0.3 * demo.standing.length;
  const Result<KernelShape> slotted = kernel_with_slot(*demo.shape, x, 4.0, 60.0);
  REQUIRE(slotted.ok());
  const StandingLast cut = standing_last(*slotted);
  Result<Body> fine = to_body(*cut.shape, 0.15);
  REQUIRE(fine.ok());
  move(*fine, cut.standing.motion);
  for (std::size_t f = 0; f < fine->faces.size(); ++f) fine->faces[f].role = cut.body.faces[f].role;
  const Result<LastSkin> refused =
      last_skin(*fine, cut.standing.foot, cut.body.at(cut.standing.toe).p, kSmall);
  REQUIRE(!refused.ok());
  CHECK(refused.problem().message.find("ring") != std::string::npos);

  const Result<KernelShape> drilled = kernel_with_hole(*demo.shape, x, 70.0, 4.0);
  REQUIRE(drilled.ok());
  const LastSkin skin = skin_of(standing_last(*drilled));
  CHECK(skin.notes.size() == 2);
}

TEST_CASE("a girth that the sides do not have, and a limit that is not kept, are refused", "[formes]") {
  const Flat& flat = demo_flat();
  FormedLast formed{&flat.skin,        nullptr,      &flat.last.body,          &flat.last.landmarks,
                    &flat.definitions, &flat.values, flat.last.standing.length};
  FormeOptions strict;
  strict.line_limit = 1e-9;
  const Result<LastFormes> missed = make_formes(formed, nullptr, strict);
  REQUIRE(!missed.ok());
  CHECK(missed.problem().trouble == Trouble::kCheck);
  CHECK(to_text(missed.problem()).find("forme outside, line ") != std::string::npos);

  // The skin of another, larger last.
  struct Larger final : SpaceMap {
    Vec3 operator()(Vec3 p) const override { return 1.02 * p; }
    Vec3 with_jacobian(Vec3 p, Jacobian& j) const override {
      j = {{1.02, 0, 0}, {0, 1.02, 0}, {0, 0, 1.02}};
      return 1.02 * p;
    }
  };
  const Larger larger;
  formed.map = &larger;
  const Result<LastFormes> unlike = make_formes(formed, nullptr);
  REQUIRE(!unlike.ok());
  CHECK(unlike.problem().message.find("girth") != std::string::npos);
  formed.map = nullptr;

  std::vector<Measured> elsewhere = flat.values;
  for (Measured& m : elsewhere) {
    if (m.plane) m.plane->offset += 400.0;
  }
  formed.values = &elsewhere;
  CHECK(!make_formes(formed, nullptr).ok());
}
