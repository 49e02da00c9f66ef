// The demo last as it comes out of a file, standing and with landmarks; made once for all tests.
#pragma once

#include <catch2/catch.hpp>
#include <optional>
#include <string>

#include "geometry/solid/kernel/kernel.hpp"
#include "geometry/solid/step_write.hpp"
#include "grading/lasts/landmarks.hpp"
#include "tests/last/demo_last.hpp"

namespace lastwright {

// mm: how closely the splines of a last that is made quickly follow its formulas, and its faces their edges.
inline constexpr double kSimpleFit = 0.02;

struct StandingLast {
  std::optional<KernelShape> shape;
  Body body;
  Standing standing;
  Landmarks landmarks;
};

inline StandingLast standing_last(const KernelShape& shape, double deflection = 0.8) {
  StandingLast last;
  last.shape = shape;
  Result<Body> body = to_body(shape, deflection);
  REQUIRE(body.ok());
  last.body = std::move(*body);
  const Result<Standing> standing = stand(last.body);
  INFO((standing.ok() ? std::string() : to_text(standing.problem())));
  REQUIRE(standing.ok());
  last.standing = *standing;
  const Result<Landmarks> landmarks = propose_landmarks(last.body, last.standing);
  INFO((landmarks.ok() ? std::string() : to_text(landmarks.problem())));
  REQUIRE(landmarks.ok());
  last.landmarks = *landmarks;
  return last;
}

inline const StandingLast& demo_standing() {
  static const StandingLast last = [] {
    const Result<std::string> step = write_step(make_demo_last({}), {"demo last", ""});
    REQUIRE(step.ok());
    const Result<KernelShape> shape = read_step(*step);
    REQUIRE(shape.ok());
    return standing_last(*shape);
  }();
  return last;
}

// The same on coarser splines, which the kernel cuts in a tenth of the time.
inline const StandingLast& simple_standing() {
  static const StandingLast last = [] {
    DemoLast demo;
    demo.fit = kSimpleFit;
    const Result<std::string> step = write_step(make_demo_last(demo), {"simple", ""});
    REQUIRE(step.ok());
    const Result<KernelShape> shape = read_step(*step);
    REQUIRE(shape.ok());
    return standing_last(*shape);
  }();
  return last;
}

// A written last, found valid and closed by the kernel.
inline Body read_again(const std::string& step, double deflection) {
  const Result<KernelShape> shape = read_step(step);
  REQUIRE(shape.ok());
  const Result<KernelOpinion> opinion = check(*shape);
  REQUIRE(opinion.ok());
  CHECK(opinion->valid);
  CHECK(opinion->closed);
  Result<Body> body = to_body(*shape, deflection);
  REQUIRE(body.ok());
  return std::move(*body);
}

}  // namespace lastwright
