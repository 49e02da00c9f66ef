// The fields of a DriverField do what its header says: each meets its own condition and no other, the
// derivatives are those of the displacements, and the wide kernel is mirrored in the axis.
#include "geometry/map/driver_field.hpp"

#include <catch2/catch.hpp>
#include <vector>

#include "geometry/map/field_part.hpp"

namespace lastwright {
namespace {

const Vec2 kAxis = unit(Vec2{4.0, 3.0});

DriverField tilted(bool with_local) {
  std::vector<Condition> conditions{{{{40.0, 60.0}, {0.3, 1.0}}, {{10.0, 5.0}, {-0.3, -1.0}}},
                                    {{{90.0, 20.0}, {1.0, 0.2}}},
                                    {{{30.0, 30.0}, {0.0, 1.0}}, {{38.0, 33.0}, {0.0, -1.0}}}};
  std::vector<LocalSpace> local;
  if (with_local) local.push_back({Millimetres(30.0), {2}, {conditions[0], conditions[1]}});
  return DriverField({{3.0, -2.0}, kAxis, Millimetres(80.0)}, std::move(conditions), local);
}

double met(const DriverField& field, const Condition& condition, std::size_t driver) {
  std::vector<Vec2> moved(field.drivers());
  double sum = 0.0;
  for (const ConditionTerm& term : condition) {
    field.displacements(term.at, moved);
    sum += dot(term.weight, moved[driver]);
  }
  return sum;
}

}  // namespace

TEST_CASE("each field meets its own condition with 1 and every other with 0", "[field]") {
  const bool with_local = GENERATE(false, true);
  const DriverField field = tilted(with_local);
  for (std::size_t i = 0; i < field.conditions().size(); ++i) {
    for (std::size_t j = 0; j < field.conditions().size(); ++j) {
      CAPTURE(with_local, i, j);
      CHECK(met(field, field.conditions()[i], 2 + j) == Approx(i == j ? 1.0 : 0.0).margin(1e-6));
    }
  }
}

TEST_CASE("the derivatives of a field are those of its displacements", "[field]") {
  const DriverField field = tilted(GENERATE(false, true));
  constexpr double kStep = 1e-4;
  std::vector<DriverValue> here(field.drivers());
  std::vector<Vec2> after(field.drivers());
  std::vector<Vec2> before(field.drivers());
  for (const Vec2 p : {Vec2{33.0, 37.0}, Vec2{28.0, 18.0}, Vec2{70.0, -20.0}, Vec2{35.0, 24.0}}) {
    field.evaluate(p, here);
    for (const bool in_x : {true, false}) {
      const Vec2 step = in_x ? Vec2{kStep, 0.0} : Vec2{0.0, kStep};
      field.displacements(p + step, after);
      field.displacements(p - step, before);
      for (std::size_t j = 0; j < field.drivers(); ++j) {
        CAPTURE(p.x, p.y, in_x, j);
        const Vec2 slope = (after[j] - before[j]) / (2.0 * kStep);
        CHECK(norm(slope - (in_x ? here[j].ux : here[j].uy)) < 1e-7);
      }
    }
  }
}

TEST_CASE("a wide field is mirrored in the axis and leaves the axis on itself", "[field]") {
  const DriverField field = tilted(false);
  std::vector<Vec2> left(field.drivers());
  std::vector<Vec2> right(field.drivers());
  const Vec2 foot = Vec2{3.0, -2.0} + 50.0 * kAxis;
  for (const double off : {0.0, 7.0, 45.0}) {
    field.displacements(foot + off * left_of(kAxis), left);
    field.displacements(foot - off * left_of(kAxis), right);
    for (std::size_t j = 0; j < field.drivers(); ++j) {
      CAPTURE(off, j);
      CHECK(dot(left[j], kAxis) == Approx(dot(right[j], kAxis)).margin(1e-9));
      CHECK(cross(kAxis, left[j]) == Approx(-cross(kAxis, right[j])).margin(1e-9));
    }
  }
}

}  // namespace lastwright
