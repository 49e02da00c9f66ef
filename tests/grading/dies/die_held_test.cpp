// Which seams are said to hold the number of a piece's dies.
#include <algorithm>
#include <catch2/catch.hpp>

#include "grading/dies/plan/die_plan.hpp"
#include "tests/support/blob_style.hpp"

using namespace lastwright;
using namespace lastwright::test;

TEST_CASE("the seams that are said to hold a piece are those without which it needs fewer outlines",
          "[die_plan]") {
  BlobStyle blobs;
  blobs.add("vamp", 3, 40);
  blobs.add("tongue", 5, 12);
  blobs.add("loop", 8, 8);
  const auto sewn = [&](const char* name, const char* one, const char* other, const char* edge) {
    SeamSpec seam;
    seam.name = name;
    seam.one = {one, edge};
    seam.other = {other, edge};
    blobs.style.seams.push_back(seam);
  };
  sewn("tongue to vamp", "vamp", "tongue", "front");
  sewn("loop to tongue", "tongue", "loop", "top");
  DieRules rules;
  rules.curve.clear();
  rules.between = false;
  rules.tolerance = 0.5;
  rules.seam_limit = 2.0;
  rules.seam_limits = {{"tongue to vamp", 0.6}};
  const SizeRun run = run_of(5, 2);
  const auto planned = [&] {
    const Result<DiePlan> plan = plan_dies(input_of(blobs, rules, run));
    REQUIRE(plan.ok());
    return *plan;
  };
  const auto outlines = [](const DiePlan& plan, const std::string& piece) {
    for (const PieceSummary& one : plan.pieces) {
      if (one.name == piece) return one.outlines;
    }
    return -1;
  };
  const DiePlan whole = planned();
  REQUIRE_FALSE(whole.held.empty());
  const std::vector<SeamSpec> seams = blobs.style.seams;
  std::size_t named = 0;
  for (const PieceHeld& held : whole.held) {
    CHECK(held.outlines == outlines(whole, held.piece));
    CHECK(held.alone < held.outlines);
    for (std::size_t s = 0; s < seams.size(); ++s) {
      blobs.style.seams = seams;
      blobs.style.seams.erase(blobs.style.seams.begin() + static_cast<std::ptrdiff_t>(s));
      const int without = outlines(planned(), held.piece);
      const auto told = std::find_if(held.seams.begin(), held.seams.end(),
                                     [&](const PieceHeld::Seam& one) { return one.name == seams[s].name; });
      CHECK((told != held.seams.end()) == (without < held.outlines));
      if (told == held.seams.end()) continue;
      ++named;
      CHECK(told->without == without);
      CHECK(told->mate == (seams[s].one.piece == held.piece ? seams[s].other.piece : seams[s].one.piece));
    }
    blobs.style.seams = seams;
  }
  CHECK(named > 0);
}
