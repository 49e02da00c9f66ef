// A piece that lies beside its mates by more than what is taken as a seam: each seam that is lost by that is
// told with its distance.
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <set>

#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"
#include "tests/support/invented_court.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

Draft upper_draft(const std::vector<test::DrawnPiece>& upper) {
  Result<Drawing> drawing = read_dxf(test::court_drawing(upper, {}), {});
  REQUIRE(drawing);
  DraftOptions options;
  options.basis.scale = "paris-point";
  options.basis.size = "36";
  options.kind = *shoe_kind({"court"});
  Result<Draft> draft = draft_style({{*std::move(drawing), "upper", "upper.dxf"}}, options, {});
  REQUIRE(draft);
  return *std::move(draft);
}

std::vector<test::DrawnPiece> shifted(const std::string& name, Vec2 by) {
  std::vector<test::DrawnPiece> upper = test::court_upper();
  for (test::DrawnPiece& piece : upper) {
    if (piece.name != name) continue;
    piece.from = piece.from + by;
    piece.text = piece.text + by;
    for (test::Stroke& stroke : piece.strokes) {
      stroke.to = stroke.to + by;
      for (Vec2& pole : stroke.inner) pole = pole + by;
    }
  }
  return upper;
}

using Mates = std::pair<std::string, std::string>;
Mates mates(const std::string& one, const std::string& other) {
  return {std::min(one, other), std::max(one, other)};
}
std::map<Mates, int> seams_of(const Draft& draft) {
  std::map<Mates, int> seams;
  for (const SeamSpec& seam : draft.style.seams) ++seams[mates(seam.one.piece, seam.other.piece)];
  return seams;
}

// "no seam of A, a, with B, b: the two edges run up to D mm apart over L mm, ...": the distances by mates.
std::map<Mates, std::vector<double>> near_told(const Draft& draft) {
  std::map<Mates, std::vector<double>> told;
  for (const Proposed& one : draft.style.proposed) {
    const std::string start = "no seam of ";
    const auto run = one.what.find("the two edges run up to ");
    if (!one.what.starts_with(start) || run == std::string::npos) continue;
    const auto with = one.what.find(", with ");
    const std::string first = one.what.substr(start.size(), one.what.find(", ") - start.size());
    const std::string second = one.what.substr(with + 7, one.what.find(", ", with + 7) - with - 7);
    told[mates(first, second)].push_back(std::stod(one.what.substr(run + 24)));
  }
  return told;
}

}  // namespace

TEST_CASE("each seam that a shifted piece loses is told with its distance", "[draft][law]") {
  const std::map<Mates, int> whole = seams_of(upper_draft(test::court_upper()));
  CHECK(near_told(upper_draft(test::court_upper())).empty());
  REQUIRE(whole.size() >= 4);
  int lost = 0;
  test::holds_for_all(
      "no seam is lost in silence",
      [&] {
        const std::string name = *rc::gen::element<std::string>("QUARTER_INSIDE", "QUARTER_OUTSIDE",
                                                                "VAMP_LINING", "QUARTER_LINING");
        const double by = *rc::gen::inRange(10, 160) / 100.0;
        const double way = *rc::gen::inRange(0, 360) * 3.14159265358979323846 / 180.0;
        const Draft draft = upper_draft(shifted(name, by * Vec2{std::cos(way), std::sin(way)}));
        const std::map<Mates, int> seams = seams_of(draft);
        std::map<Mates, std::vector<double>> told = near_told(draft);
        for (const auto& [pair, count] : whole) {
          const auto left = seams.find(pair);
          const int gone = count - (left == seams.end() ? 0 : left->second);
          UNSCOPED_INFO(name << " by " << by << " at " << way << ": " << pair.first << " and "
                             << pair.second);
          RC_ASSERT(static_cast<int>(told[pair].size()) >= gone);
          for (const double apart : told[pair]) RC_ASSERT((apart > 0.06 && apart <= by + 0.01));
          lost += gone;
        }
      },
      6);
  CHECK(lost > 6);
}

}  // namespace lastwright
