// A law over random inputs, asserted: where it does not hold, the test that states it fails.
//
//   TEST_CASE("an outline turned round encloses minus its area", "[area]") {
//     test::holds_for_all("area(reversed) = -area", [] {
//       const ClosedArcPath path = *outlines();       // drawn
//       RC_PRE(proper(path));                         // not asked of this one
//       RC_ASSERT(signed_area(reversed(path)) == -signed_area(path));
//     });
//   }
//
// The same cases are drawn in every run, so that a run says something about the code and nothing about
// chance. For a long run: LAW_SEED=7 (or any other number) draws others, LAW_CASES=20 draws twenty times as
// many. What fails is made as small as it can be and printed with its seed. tests/layering forbids
// rapidcheck's own check, whose result is easily thrown away.
//
// A law that returns before it asserts anything has said nothing: cases that reach an assertion are counted,
// and a law of which too few do has not held.
#pragma once

#include <rapidcheck.h>

#include <string>

namespace lastwright::test {

// The case at hand has come to an assertion; RC_ASSERT says so.
void assertion_reached();

struct LawRun {
  bool holds = false;  // for every case
  int cases = 0;
  int reached = 0;   // cases that came to an assertion, or returned their verdict
  std::string told;  // why it does not hold
  [[nodiscard]] bool says_enough() const { return reached >= kLeastReached * cases; }
  static constexpr double kLeastReached = 0.1;  // chosen here
};
// So many rounds of a loop that is a law too, times LAW_CASES.
int law_rounds(int rounds);

LawRun run_law(const std::string& name, const rc::detail::Property& law, int cases);

// Draws `cases` inputs and asserts that the law holds for each; a law that refuses nearly all inputs, or says
// nothing of nearly all, has not held. `law` is a function with RC_ASSERT in it, its arguments drawn; `file`
// and `line` are where it is stated, by builtins: clang before 15, which compiles the sanitized build, has no
// std::source_location.
void assert_law(const std::string& name, const rc::detail::Property& law, int cases, const char* file,
                int line);

template <class Law>
void holds_for_all(const std::string& name, Law&& law, int cases = 100, const char* file = __builtin_FILE(),
                   int line = __builtin_LINE()) {
  assert_law(name, rc::detail::toProperty(std::forward<Law>(law)), cases, file, line);
}

}  // namespace lastwright::test

// As rapidcheck has them, and counted.
#undef RC_ASSERT
#define RC_ASSERT(expression)               \
  (::lastwright::test::assertion_reached(), \
   RC_INTERNAL_CONDITIONAL_RESULT(Failure, expression, true, "RC_ASSERT", ))
#undef RC_ASSERT_FALSE
#define RC_ASSERT_FALSE(expression)         \
  (::lastwright::test::assertion_reached(), \
   RC_INTERNAL_CONDITIONAL_RESULT(Failure, expression, false, "RC_ASSERT_FALSE", ))
