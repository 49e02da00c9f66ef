// What lines are drawn as against the base of what they carry.
#include <catch2/catch.hpp>
#include <cmath>

#include "grading/checks/style_checks.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// Size 37 of a scale of 20/3 mm a size.
const Base kSampleBase{{{37, "37"}, {1, "M"}}, Fraction(740, 3), Fraction(20, 3)};

struct Sample {
  StyleSpec style;
  std::vector<Measure> measures;

  void add(const std::string& name, Fraction base, bool from_scale = false) {
    MeasureSpec spec;
    spec.name = name;
    spec.from_scale = from_scale;
    style.measures.push_back(spec);
    Measure measure;
    measure.name = name;
    measure.base = {base, ""};
    measures.push_back(measure);
  }
  MeasureLine& line(const std::string& forme, const std::string& name, double drawn, Carries carries) {
    auto here = std::find_if(style.formes.begin(), style.formes.end(),
                             [&](const FormeSpec& one) { return one.name == forme; });
    if (here == style.formes.end()) {
      here = style.formes.emplace(here);
      here->name = forme;
      here->base_line = {name + " from", name + " to"};
    }
    FormeSpec& on = *here;
    on.points.push_back({name + " from", {3, 4}});
    on.points.push_back({name + " to", {3 + 0.6 * drawn, 4 - 0.8 * drawn}});
    on.rules.emplace_back(MeasureLine{name, name + " from", name + " to", std::move(carries), {}});
    return std::get<MeasureLine>(on.rules.back());
  }
  [[nodiscard]] std::vector<StyleFinding> findings() const {
    return check_base(style, *MeasureTable::build(measures, kSampleBase));
  }
  [[nodiscard]] StyleFinding finding(const std::string& subject) const {
    for (const StyleFinding& one : findings()) {
      if (one.subject == subject) return one;
    }
    FAIL("no finding of " + subject);
    return {};
  }
};

bool names(const StyleFinding& finding, const std::string& text) {
  return finding.note.find(text) != std::string::npos;
}

// A court: its stick drawn with a pointed toe, a heel cover that grows as the seat does.
Sample court() {
  Sample s;
  s.add("stick length", Fraction(740, 3), true);
  s.add("ball girth", 222);
  s.add("tread", 78);
  s.add("seat", 55);
  s.add("back height", 58);
  s.line("shell", "stick", 262, {{"stick length", 1}});
  s.line("shell", "ball line", 64, {{"ball girth", Fraction(1, 2)}, {"tread", Fraction(-1, 2)}});
  s.line("shell", "back height", 58.04, {{"back height", 1}});
  s.line("bottom", "tread line", 78.64, {{"tread", 1}});
  s.line("bottom", "seat line", 55, {{"seat", 1}});
  s.line("heel", "spread", 66.27, {{"seat", 1}});
  s.style.girths = {{"ball girth", {{"shell", "ball line", 2}, {"bottom", "tread line", 1}}}};
  return s;
}

}  // namespace

TEST_CASE(
    "a court with a pointed toe passes where that is stated, and what is doubtful is told with both figures",
    "[base]") {
  Sample s = court();
  CHECK_FALSE(s.finding("shell: stick").passed);  // the toe might as well be two sizes
  CHECK(names(s.finding("shell: stick"), "drawn 262.00 mm"));
  CHECK(names(s.finding("shell: stick"), "size 37 of the scale is 246.67 mm: 15.33 mm or 2.3 sizes longer"));
  CHECK(names(s.finding("shell: stick"), "\"extra\": \"15.33 mm\""));
  std::get<MeasureLine>(s.style.formes[0].rules[0]).extra = Millimetres(15.33);
  for (const StyleFinding& one : s.findings()) {
    INFO(one.subject << ": " << one.note);
    CHECK(one.passed);
  }
  CHECK_FALSE(s.finding("shell: stick").doubtful);
  const StyleFinding spread = s.finding("heel: spread");
  CHECK(spread.doubtful);
  CHECK(names(spread, "bottom: seat line"));
  CHECK_FALSE(s.finding("bottom: seat line").doubtful);
  const StyleFinding girth = s.finding("ball girth");
  CHECK(girth.doubtful);
  CHECK(names(girth, "drawn 206.64 mm long together, and its base is 222.00 mm: 6.9 percent less"));
  CHECK(names(s.finding("shell: ball line"), "drawn 64.00 mm long, and the base says 72.00 mm"));
  // A bottom's copy of a sprung last is shorter; where the shell's stick is right the size is.
  Sample boot = court();
  boot.style.formes[0].points[1].at = {3 + 0.6 * 246.67, 4 - 0.8 * 246.67};
  boot.line("bottom", "length", 240, {{"stick length", 1}});
  CHECK(boot.finding("bottom: length").passed);
  CHECK_FALSE(boot.finding("bottom: length").doubtful);
}

TEST_CASE("how fast a line grows beside what it carries a share of is told, and fails beyond twice",
          "[base][random]") {
  int told = 0;
  int failed = 0;
  test::holds_for_all("pace of a share", [&] {
    Sample s;
    s.add("girth", Fraction(*rc::gen::inRange(1500, 30000), 10));
    s.add("tread", Fraction(*rc::gen::inRange(300, 1200), 10));
    const Fraction part(*rc::gen::inRange(1, 8), 8);
    const double said =
        part.value() * (s.measures[0].base.millimetres.value() - s.measures[1].base.millimetres.value());
    RC_PRE(said > 5.0);
    const double pace = *rc::gen::inRange(20, 500) / 100.0;
    // At a limit itself either verdict will do.
    RC_PRE(std::abs(pace - 1.25) > 1e-6 && std::abs(pace - 0.8) > 1e-6 && std::abs(pace - 2.0) > 1e-6);
    const double drawn = said / pace;
    MeasureLine& line = s.line("shell", "some", drawn, {{"girth", part}, {"tread", Fraction(-1) * part}});
    const StyleFinding finding = s.finding("shell: some");
    const bool off = std::abs(said - drawn) > 1.0;
    RC_ASSERT(finding.passed == !(off && pace > 2.0));
    RC_ASSERT(finding.doubtful == (off && pace <= 2.0 && (pace > 1.25 || pace < 0.8)));
    RC_ASSERT(names(finding, "times as fast as what it carries") == (finding.doubtful || !finding.passed));
    told += finding.doubtful ? 1 : 0;
    failed += finding.passed ? 0 : 1;
    // The remedy that is named is one.
    line.extra = Millimetres(drawn - said);
    RC_ASSERT(s.finding("shell: some").passed);
    RC_ASSERT(!s.finding("shell: some").doubtful);
  });
  CHECK(told > 10);
  CHECK(failed > 10);
}

TEST_CASE("a share of a girth that is mistyped is told with both figures", "[base]") {
  Sample s = court();
  s.style.girths.clear();
  const auto ball = [&](Fraction girth) {
    s.measures[1].base = {girth, ""};
    return s.finding("shell: ball line");
  };
  CHECK(ball(222).passed);
  CHECK_FALSE(ball(222).doubtful);
  CHECK_FALSE(ball(Fraction(222) * Fraction(254, 10)).passed);
  CHECK(names(ball(Fraction(222) * Fraction(254, 10)), "drawn 64.00 mm long, and the base says 2780.40 mm"));
  CHECK(ball(80).passed);  // 1 mm: a line may take a small share in what it grows by, and that is told
  CHECK(ball(80).doubtful);
  // A quarter of the girth where it is half.
  s = court();
  s.style.girths.clear();
  std::get<MeasureLine>(s.style.formes[0].rules[1]).carries = {{"ball girth", Fraction(1, 4)},
                                                               {"tread", Fraction(-1, 4)}};
  CHECK(names(s.finding("shell: ball line"), "it grows 0.56 times as fast"));
  CHECK(s.finding("shell: ball line").doubtful);
}

TEST_CASE("a share beyond the whole of a measure is told", "[base]") {
  Sample more = court();
  more.line("heel", "double", 112, {{"seat", Fraction(2)}});
  CHECK(more.finding("heel: double").passed);
  CHECK(more.finding("heel: double").doubtful);
  CHECK(names(more.finding("heel: double"), "2 times seat is more than the whole of it"));
  more.line("heel", "most", 66, {{"seat", Fraction(1)}, {"tread", Fraction(-1)}});
  CHECK_FALSE(names(more.finding("heel: most"), "more than the whole"));
}

TEST_CASE("of a short line a millimetre is told, though it passes", "[base]") {
  Sample s;
  s.add("strap width", 12);
  s.line("strap", "width", 12.9, {{"strap width", 1}});
  const StyleFinding wide = s.finding("strap: width");
  CHECK(wide.passed);
  CHECK(wide.doubtful);
  CHECK(names(wide, "a deviation of 7.5 percent"));
  Sample near;
  near.add("strap width", 12);
  near.line("strap", "width", 12.5, {{"strap width", 1}});
  CHECK_FALSE(near.finding("strap: width").doubtful);
}

TEST_CASE("where all lines are off by one factor, it is said once", "[base][random]") {
  test::holds_for_all("a scaled drawing is known by its lines", [] {
    const double factor = *rc::gen::element(25.4, 1.0 / 25.4, 10.0, 1.03, 0.9, 1.0, 1.005);
    Sample s;
    const int lines = *rc::gen::inRange(2, 5);
    for (int i = 0; i < lines; ++i) {
      const Fraction base(*rc::gen::inRange(500, 3000), 10);
      s.add("m" + std::to_string(i), base);
      s.line("f", "l" + std::to_string(i), factor * base.value(), {{"m" + std::to_string(i), 1}});
    }
    int said = 0;
    for (const StyleFinding& one : s.findings()) {
      said += names(one, "every line that carries a whole measure");
      if (factor > 25.0 && names(one, "every line")) RC_ASSERT(names(one, "inches taken for mm"));
    }
    RC_ASSERT(said == (std::abs(factor - 1.0) > 0.02 ? 1 : 0));
    // One line that is right says that the drawing is.
    s.add("right", 100);
    s.line("f", "right", 100, {{"right", 1}});
    for (const StyleFinding& one : s.findings()) RC_ASSERT(!names(one, "every line"));
  });
}

TEST_CASE("a girth line along the base line and a length line across it are told", "[base]") {
  Sample s = court();
  FormeSpec& shell = s.style.formes[0];
  shell.points.push_back({"base from", {0, 0}});
  shell.points.push_back({"base to", {6, -8}});  // as all lines of this sample run
  shell.base_line = {"base from", "base to"};
  shell.length_line = "stick";
  shell.girth_line = "ball line";
  const auto directions = [&] {
    std::vector<StyleFinding> all;
    for (const StyleFinding& one : s.findings()) {
      if (one.check == "line direction") all.push_back(one);
    }
    return all;
  };
  REQUIRE(directions().size() == 1);
  CHECK(directions().front().subject == "shell: ball line");
  CHECK(directions().front().doubtful);
  shell.points.back().at = {8, 6};  // square to them
  REQUIRE(directions().size() == 1);
  CHECK(directions().front().subject == "shell: stick");
  shell.points.back().at = {2, 10};
  shell.length_line = "";
  CHECK(directions().empty());
}

TEST_CASE("a base that is not what the line is drawn as fails with both figures", "[base]") {
  Sample height = court();
  height.measures[4].base = {Fraction(58, 10), ""};
  const StyleFinding off = height.finding("shell: back height");
  CHECK_FALSE(off.passed);
  CHECK(names(off, "drawn 58.04 mm long, and the base of back height is 5.80 mm"));

  Sample tread = court();
  tread.measures[2].base = {8, ""};
  CHECK_FALSE(tread.finding("bottom: tread line").passed);
  tread.measures[2].base = {75, ""};
  CHECK_FALSE(tread.finding("bottom: tread line").passed);

  Sample inches = court();
  inches.measures[1].base = {Fraction(2220), ""};
  CHECK_FALSE(inches.finding("ball girth").passed);
  inches.measures[1].base = {Fraction(222, 10), ""};
  CHECK_FALSE(inches.finding("ball girth").passed);
  const StyleFinding share = inches.finding("shell: ball line");  // half of 22.2 - 78
  CHECK_FALSE(share.passed);
  CHECK(names(share, "-27.90 mm"));

  // A measure whose only agreeing line is gone.
  Sample seat = court();
  std::get<MeasureLine>(seat.style.formes[1].rules[1]).carries = {{"tread", Fraction(7, 10)}};
  CHECK_FALSE(seat.finding("heel: spread").passed);
}

TEST_CASE("a base size that is not the drawing's fails; a stated extra makes it sharp", "[base]") {
  Sample s = court();
  s.measures[0].base = {Fraction(34) * Fraction(20, 3), ""};
  CHECK_FALSE(s.finding("shell: stick").passed);
  CHECK(names(s.finding("shell: stick"), "5.3 sizes longer"));
  s.measures[0].base = {Fraction(42) * Fraction(20, 3), ""};  // shorter than its size
  CHECK_FALSE(s.finding("shell: stick").passed);
  CHECK(names(s.finding("shell: stick"), "shorter"));
  // With the toe stated, a size more or less shows.
  for (const auto& [size, right] : {std::pair{36, false}, {37, true}, {38, false}}) {
    Sample stated = court();
    std::get<MeasureLine>(stated.style.formes[0].rules[0]).extra = Millimetres(15.33);
    stated.measures[0].base = {Fraction(size) * Fraction(20, 3), ""};
    const StyleFinding stick = stated.finding("shell: stick");
    CHECK(stick.passed == right);
    CHECK_FALSE(stick.doubtful);
  }
  Sample close = court();
  close.style.base_limit = 1.0;
  CHECK_FALSE(close.finding("shell: stick").passed);
  close.style.base_limit = 7.0;
  CHECK(close.finding("shell: stick").passed);
}

TEST_CASE("a line that stands for the size is told from half a size off, and fails from a whole one",
          "[base][law]") {
  int failed = 0;
  int told = 0;
  test::holds_for_all("sizes off", [&] {
    const bool scale = *rc::gen::arbitrary<bool>();  // else the stick has a base and a step of its own
    const double step = scale ? 20.0 / 3.0 : *rc::gen::inRange(50, 90) / 10.0;
    const double off = *rc::gen::inRange(-14, 15) / 10.0 * step;  // tenths of a size, whole ones among them
    Sample s;
    s.add("stick length", Fraction(740, 3), scale);
    if (!scale) s.measures[0].per_size = {Fraction(std::llround(step * 10.0), 10), ""};
    s.style.formes.clear();
    MeasureLine& line = s.line("shell", "stick", 740.0 / 3.0 + off, {{"stick length", 1}});
    s.style.formes[0].length_line = "stick";
    const double sizes = std::abs(off) / step;
    const StyleFinding stick = s.finding("shell: stick");
    const bool fails = scale ? sizes > 0.999 : std::abs(off) > 0.02 * 740.0 / 3.0;
    RC_ASSERT(stick.passed == !fails);
    RC_ASSERT(stick.doubtful == (!fails && sizes > 0.499));
    failed += fails ? 1 : 0;
    told += stick.doubtful ? 1 : 0;
    if (fails || stick.doubtful) RC_ASSERT(names(stick, "\"extra\": "));
    // Another line of the upper that is right shows the size; a bottom's, which is shorter on a sprung last,
    // none.
    Sample bottom = s;
    bottom.line("bottom", "length", 740.0 / 3.0, {{"stick length", 1}});
    if (scale) RC_ASSERT(bottom.finding("shell: stick").passed == !fails);
    Sample upper = s;
    upper.line("shell", "again", 740.0 / 3.0, {{"stick length", 1}});
    RC_ASSERT(upper.finding("shell: stick").passed);
    line.extra = Millimetres(off);
    RC_ASSERT(s.finding("shell: stick").passed);
    RC_ASSERT(!s.finding("shell: stick").doubtful);
  });
  CHECK(failed > 10);
  CHECK(told > 10);
}

TEST_CASE("a whole measure passes when its line is drawn within the limit, and fails outside",
          "[base][random]") {
  test::holds_for_all("the limit", [] {
    Sample s;
    const int tenths = *rc::gen::inRange(100, 4000);
    s.add("m", Fraction(tenths, 10));
    const double base = tenths / 10.0;
    const double extra = *rc::gen::inRange(-40, 200) / 10.0;
    const double percent = *rc::gen::inRange(0, 80) / 10.0;
    const bool stated = *rc::gen::arbitrary<bool>();
    const double limit = std::max(1.0, (stated ? percent : 2.0) / 100.0 * base);
    const double off = *rc::gen::inRange(-2000, 2000) / 1000.0 * limit;
    RC_PRE(base + extra + off > 1.0);
    RC_PRE(std::abs(std::abs(off) - limit) > 1e-6);
    s.line("f", "l", base + extra + off, {{"m", 1}});
    std::get<MeasureLine>(s.style.formes[0].rules[0]).extra = Millimetres(extra);
    if (stated) s.style.base_limit = percent;
    const StyleFinding found = s.finding("f: l");
    RC_ASSERT(found.passed == (std::abs(off) <= limit));
    RC_ASSERT(std::abs(found.worst - std::abs(off)) < 1e-9);
    RC_ASSERT(std::abs(*found.limit - limit) < 1e-9);
  });
}
