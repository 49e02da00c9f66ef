#include "grading/sizes/scale.hpp"

#include <catch2/catch.hpp>

using namespace lastwright;

namespace {

Scale english_scale() {
  Scale scale;
  scale.key = "english";
  scale.zero_length = Fraction(508, 5);  // 4 in
  scale.step = Fraction(127, 15);        // 1/3 in
  scale.runs = {{"child ", 0, Fraction(27, 2), 0, 1, Fraction(1, 2)}, {"", 1, 15, 14, 1, Fraction(1, 2)}};
  return scale;
}

Scale truncated() {
  Scale scale;
  scale.key = "mondopoint-7.5";
  scale.step = Fraction(15, 2);
  scale.truncated_labels = true;
  scale.runs = {{"", 165, Fraction(615, 2), 22, Fraction(15, 2), 1}};
  return scale;
}

std::string labels(const std::vector<Size>& sizes) {
  std::string text;
  for (const Size& size : sizes) text += (text.empty() ? "" : " ") + size.label;
  return text;
}

}  // namespace

TEST_CASE("the adult sizes go on where the child's end", "[scale]") {
  const Scale scale = english_scale();
  CHECK(scale.size("child 13")->position == 13);
  CHECK(scale.size("1")->position == 14);
  CHECK((*scale.size("8") - *scale.size("child 8")).count == 13);
  CHECK(scale.length(*scale.size("8")) == Fraction(11 * 127, 5));  // 11 in
  CHECK(scale.size("8½")->label == "8.5");
  CHECK(labels(*scale.run("child 12", "2", Fraction(1, 2))) ==
        "child 12 child 12.5 child 13 child 13.5 1 1.5 2");
  CHECK(labels(*scale.run("child 12.5", "1.5", 1)) == "child 12.5 child 13.5 1.5");
}

TEST_CASE("labels that are not made are refused with what would do", "[scale]") {
  const Scale scale = english_scale();
  CHECK(scale.size("8.25").problem().message.find("8 or 8.5") != std::string::npos);
  CHECK(scale.size("16").problem().message.find("child 0 to child 13.5, 1 to 15") != std::string::npos);
  CHECK(scale.size("0").problem().trouble == Trouble::kBadValue);
  for (const char* label : {"", "child", "child  8", "adult 8", "8,5", "-1", "8 mm"})
    CHECK_FALSE(scale.size(label));
  CHECK_FALSE(scale.run("8", "5", 1));
  CHECK_FALSE(scale.run("5", "8", 0));
  CHECK_FALSE(scale.run("5", "8", -1));
  CHECK_FALSE(scale.run("5", "8.5", 1));
  CHECK_FALSE(scale.run("5", "8", Fraction(1, 4)));
  CHECK_FALSE(scale.run("5", "8", Fraction(1, 1000000)));
}

TEST_CASE("a truncated label stands for its exact length", "[scale]") {
  const Scale scale = truncated();
  CHECK(labels(*scale.run("165", "195", 1)) == "165 172 180 187 195");
  CHECK(scale.length(*scale.size("172")) == Fraction(345, 2));
  CHECK(scale.size("172.5")->label == "172");
  CHECK_FALSE(scale.size("173"));
  CHECK(scale.size("307")->position == 41);
}

TEST_CASE("a width is found by its letter", "[ladder]") {
  Ladder ladder;
  ladder.key = "english-letters";
  ladder.labels = {"D", "E", "F"};
  CHECK(ladder.width("F")->position == 2);
  CHECK((*ladder.width("D") - *ladder.width("F")).count == -2);
  CHECK(ladder.width("EE").problem().message.find("D, E, F") != std::string::npos);
}
