// Where a finding stands: what is said in words is read back as it was.
#include "grading/grade/finding_place.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "grading/grade/finding.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// Names that hold each other and the words between them.
const std::vector<std::string> kPlaces = {"vamp", "vamp, of vamp", "of vamp", "vamp lining",
                                          "vamp, at (1.0, 2.0)"};

SizeRun run_with_like_names() {
  SizeRun run;
  for (const char* size : {"1", "10", "10.5", "10, width F"}) run.sizes.push_back({Fraction(1), size});
  for (const char* width : {"F", "FF", "F, of vamp", "1"}) run.widths.push_back({Fraction(1), width});
  return run;
}

}  // namespace

TEST_CASE("a finding's place is read back from its words", "[finding_place]") {
  const SizeRun run = run_with_like_names();
  int with_point = 0;
  test::holds_for_all("the words give the size, width, piece and point they were made of", [&] {
    // Three of the names hold the words between them: those of a style that has no such names are sure.
    const std::size_t s = *rc::gen::inRange<std::size_t>(0, 3);
    const std::size_t w = *rc::gen::element<std::size_t>(0, 1, 3);
    const std::string piece = *rc::gen::elementOf(kPlaces);
    const Vec2 point{*rc::gen::inRange(-9999, 9999) / 7.0, *rc::gen::inRange(-9999, 9999) / 7.0};
    const std::string tail =
        *rc::gen::element<std::string>("", ", 14 mm from the rule", ", were size 10, width F the base");
    const SizeWidth at{run.sizes[s], run.widths[w]};
    SizeRun plain = run;
    plain.sizes.pop_back();
    plain.widths.erase(plain.widths.begin() + 2);
    const std::vector<std::string> pieces = {"vamp", "vamp lining", piece};
    const FindingPlace all = place_of(where_on(at, piece, point) + tail, plain, pieces);
    RC_ASSERT(all.size == at.size.label);
    RC_ASSERT(all.width == at.width.label);
    RC_ASSERT(all.piece == piece);
    RC_ASSERT(all.point.has_value());
    RC_ASSERT(std::abs(all.point->x - point.x) < 0.051);
    RC_ASSERT(std::abs(all.point->y - point.y) < 0.051);
    ++with_point;
    const FindingPlace cell = place_of(where(at), plain, pieces);
    RC_ASSERT((cell.size == at.size.label && cell.width == at.width.label));
    RC_ASSERT((cell.piece.empty() && !cell.point));
    const FindingPlace size = place_of("size " + at.size.label, plain, pieces);
    RC_ASSERT((size.size == at.size.label && size.width.empty()));
  });
  CHECK(with_point > 50);
}

TEST_CASE("words that name no size of the run are no place", "[finding_place]") {
  const SizeRun run = run_with_like_names();
  for (const char* words : {"", "size 11, width F", "size 1x, width F", "the outside", "size ", "size"})
    CHECK(place_of(words, run, kPlaces).size.empty());
  CHECK(place_of("size 10, width G, of vamp, at (1.0, 2.0)", run, kPlaces).piece.empty());
  const FindingPlace cut = place_of("size 1, width FF, of vamp, at (1.0, ", run, {"vamp"});
  CHECK((cut.piece == "vamp" && !cut.point));
}
