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
#pragma once

#include <rapidcheck.h>

#include <source_location>
#include <string>

namespace lastwright::test {

// Draws `cases` inputs and asserts that the law holds for each; a law that refuses nearly all inputs, or says
// nothing of one, has not held. `law` is a function with RC_ASSERT in it, its arguments drawn.
void assert_law(const std::string& name, const rc::detail::Property& law, int cases,
                std::source_location stated);

template <class Law>
void holds_for_all(const std::string& name, Law&& law, int cases = 100,
                   std::source_location stated = std::source_location::current()) {
  assert_law(name, rc::detail::toProperty(std::forward<Law>(law)), cases, stated);
}

}  // namespace lastwright::test
