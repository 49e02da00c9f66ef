#include "grading/sizes/size_conversion.hpp"

#include <catch2/catch.hpp>

#include "grading/measures/reference_tables.hpp"

using namespace lastwright;

namespace {

Scale scale(const char* key) {
  return *ReferenceTables().find_scale(key);
}
std::vector<Size> one(const Scale& on, const char* label) {
  return {*on.size(label)};
}
Allowance allowance(const char* text) {
  return *parse_allowance(text);
}

}  // namespace

TEST_CASE("an allowance has a name, a length with a unit, and whoever says so", "[size_conversion]") {
  const Allowance toe = allowance("toe cap room 20 mm; works practice");
  CHECK(toe.name == "toe cap room");
  CHECK(toe.amount.millimetres == 20);
  CHECK(toe.source == "works practice");
  CHECK(allowance("back -5 mm").amount.millimetres == -5);
  CHECK(allowance("toe 5/6 in").amount.millimetres == Fraction(127, 6));
  for (const char* text : {"", "20 mm", "toe", "toe 20", "toe 20 m", "toe 2,0 mm", "toe mm", "; source"}) {
    INFO(text);
    CHECK(parse_allowance(text).problem().trouble == Trouble::kUsage);
  }
}

TEST_CASE("foot and last are compared only through an allowance, like and like only without",
          "[size_conversion]") {
  const Scale foot = scale("mondopoint-5");
  const Scale last = scale("english");
  const std::vector<Allowance> toe{allowance("toe 20 mm")};
  CHECK(convert_sizes(foot, one(foot, "250"), last, {}).problem().trouble == Trouble::kUsage);
  CHECK(convert_sizes(last, one(last, "8"), foot, {}).problem().trouble == Trouble::kUsage);
  CHECK(convert_sizes(last, one(last, "8"), scale("paris-point"), toe).problem().trouble == Trouble::kUsage);
  CHECK(convert_sizes(foot, one(foot, "250"), last, toe));
}

// Worked oracle O15: Golding 1902, "Classed Standard Measures": a lady's foot of 1 1/2 sizes, 2 1/2 sizes of
// length allowance: last size 4; joint 8 in less 1/8 is 7 7/8 in, instep 8 1/2 in less 1/4 is 8 1/4 in.
TEST_CASE("a foot of one and a half sizes takes a last of size four", "[size_conversion]") {
  Scale foot = scale("english");
  foot.sizes = Sizes::kFoot;  // the same stick, read on the foot
  const std::vector<Allowance> length{allowance("length 5/6 in; F. Y. Golding 1902: 2 1/2 sizes")};
  const auto last = convert_sizes(foot, one(foot, "1.5"), scale("english"), length);
  REQUIRE(last);
  CHECK(last->front().to->label == "4");
  CHECK(last->front().off == 0);
  const std::vector<Allowance> joint{allowance("joint -1/8 in")};
  const std::vector<Allowance> instep{allowance("instep -1/4 in")};
  CHECK(parse_quantity("8 in")->millimetres + total(joint) == parse_quantity("7 7/8 in")->millimetres);
  CHECK(parse_quantity("8 1/2 in")->millimetres + total(instep) == parse_quantity("8 1/4 in")->millimetres);
}

// Worked oracle O16: two public pages agree on toe 20 and
// back 5 mm for men's 250, 16.5 and 4.5 mm for women's 230.
TEST_CASE("a last is its foot, the toe allowance and less the back tolerance", "[size_conversion]") {
  const Scale foot = scale("mondopoint-5");
  const Scale last = scale("paris-point");
  const std::vector<Allowance> men{allowance("toe 20 mm"), allowance("back -5 mm")};
  const std::vector<Allowance> women{allowance("toe 16.5 mm"), allowance("back -4.5 mm")};
  CHECK(convert_sizes(foot, one(foot, "250"), last, men)->front().wanted_length == 265);
  CHECK(convert_sizes(foot, one(foot, "230"), last, women)->front().wanted_length == 242);
}

TEST_CASE("allowances that no foot and last can differ by are refused, and one name twice",
          "[size_conversion]") {
  for (const char* text : {"toe 500 mm", "toe -200 mm", "toe 20 in"})
    CHECK(parse_allowance(text).problem().message.find("at most 100 mm") != std::string::npos);
  const Scale last = scale("english");
  const Scale foot = scale("mondopoint-5");
  const auto refused = [&](const std::vector<Allowance>& allowances, const char* why) {
    const auto made = convert_sizes(last, one(last, "8"), foot, allowances);
    return !made && made.problem().trouble == Trouble::kUsage &&
           made.problem().message.find(why) != std::string::npos;
  };
  CHECK(refused({allowance("toe 20 mm"), allowance("toe 20 mm")}, "two allowances called toe"));
  CHECK(refused({allowance("toe 80 mm"), allowance("back 80 mm")}, "come to 160.00 mm"));
}

TEST_CASE("the nearest made size is taken, half way up, none beyond the ends", "[size_conversion]") {
  const Scale english = scale("english");
  const Scale paris = scale("paris-point");
  const auto eight = convert_sizes(english, one(english, "8"), paris, {});  // 279.4 mm = 41.91 points
  REQUIRE(eight);
  CHECK(eight->front().to->label == "42");
  CHECK(eight->front().off == Fraction(3, 5));
  // 245 mm is 36 3/4 points: half way between the made 36.5 and 37.
  Scale metric = scale("mondopoint-5");
  metric.sizes = Sizes::kLast;
  const auto half_way = convert_sizes(metric, one(metric, "245"), paris, {});
  CHECK(half_way->front().to->label == "37");
  REQUIRE(half_way->front().as_near);
  CHECK(half_way->front().as_near->label == "36.5");
  CHECK_FALSE(eight->front().as_near);
  CHECK_FALSE(convert_sizes(english, one(english, "child 0"), scale("american-men"), {})->front().to);
  // The restart is crossed without a jump.
  const auto restart = convert_sizes(paris, one(paris, "33"), english, {});  // 220 mm, adult 1 is 220.13
  CHECK(restart->front().to->label == "1");
  // There and back.
  const Scale men = scale("american-men");
  const std::vector<Size> all = *men.run("2", "15", Fraction(1, 2));
  for (const Size& size : all) {
    const std::vector<Size> there{*convert_sizes(men, std::vector<Size>{size}, english, {})->front().to};
    CHECK(convert_sizes(english, there, men, {})->front().to->label == size.label);
  }
}
