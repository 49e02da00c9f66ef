// Figures, marks and soles of a low shoe that cannot be meant: each is told.
#include <catch2/catch.hpp>

#include <string>
#include <vector>

#include "grading/checks/features/said_words.hpp"
#include "grading/checks/lasting/sole_check.hpp"
#include "tests/support/low_shoe.hpp"

using namespace lastwright;
using lastwright::test::features;
using lastwright::test::findings_named;
using lastwright::test::kVampFold;
using lastwright::test::low_shoe_findings;
using lastwright::test::TextChanges;
using lastwright::test::told_of;

TEST_CASE("numbers of bottoms, groups of sizes, skives and texts that cannot be meant are told",
          "[silence][low]") {
  const auto insole = [](const char* words) {
    return TextChanges{{"\"layer\": \"INSOLE\"}", std::string("\"layer\": \"INSOLE\"}, ") + words}};
  };
  CHECK(told_of("piece number", insole(R"("per_pair": 4)")) == 1);
  CHECK(told_of("piece number", insole(R"("per_pair": 2)")) == 0);
  const auto tied = [](const char* ties) {
    return TextChanges{
        {"\"layer\": \"QUARTER\"}", std::string("\"layer\": \"QUARTER\"}, \"sizes_tied\": ") + ties}};
  };
  CHECK(told_of("tied sizes",
                tied(R"([{"from": "6", "to": "7", "as": "7"}, {"from": "8", "to": "10", "as": "9"}])")) == 0);
  CHECK(told_of("tied sizes",
                tied(R"([{"from": "6", "to": "7", "as": "7"}, {"from": "9", "to": "10", "as": "9"}])")) == 1);
  CHECK(told_of("tied sizes", tied(R"([{"from": "6", "to": "7", "as": "7"}])")) == 0);
  CHECK(told_of("tied sizes", tied(R"([{"from": "6", "to": "10", "as": "8"}])")) == 1);
  const auto lap = [](const char* skive, const char* material) {
    return TextChanges{
        {R"({"name": "side", "from": "side top", "to": "side foot"})",
         R"({"name": "side", "from": "side top", "to": "side foot", "treatment": "lap", "allowance": 8})"},
        {kVampFold, std::string(kVampFold) + ", \"material\": \"" + material +
                        "\", \"features\": [{\"skive\": \"s\", \"edges\": [\"side\"], " + skive + "}]"}};
  };
  CHECK(told_of("skive width", lap(R"("width": 11, "depth": 0.8)", "calf 1.4 mm")) == 1);
  CHECK(told_of("skive width", lap(R"("width": 10, "depth": 0.8)", "calf 1.4 mm")) == 0);
  const auto fold = [&](const char* width) {
    TextChanges all = lap(width, "calf 1.4 mm");
    all[0].second.replace(all[0].second.find("\"lap\", \"allowance\": 8"), 21, "\"fold\", \"allowance\": 4");
    return all;
  };
  CHECK(told_of("skive width", fold(R"("width": 10.5, "depth": 0.8)")) == 1);
  CHECK(told_of("skive width", fold(R"("width": 10, "depth": 0.8)")) == 0);
  const auto bound = [](const char* allowance) {
    return TextChanges{{R"({"name": "side", "from": "side top", "to": "side foot"})",
                        R"({"name": "side", "from": "side top", "to": "side foot", "treatment": "bound", )"
                        R"("allowance": )" +
                            std::string(allowance) + "}"}};
  };
  CHECK(told_of("allowance size", bound("4")) == 1);
  CHECK(told_of("allowance size", bound("1")) == 0);
  CHECK(told_of("skive depth", lap(R"("width": 8, "depth": 1.4)", "calf 1.4 mm")) == 1);
  CHECK(told_of("skive depth", lap(R"("width": 8, "depth": 1.3)", "calf 1.4 mm")) == 0);
  CHECK(told_of("skive depth", lap(R"("width": 8, "depth": 1.3)", "calf 14")) == 0);
  CHECK(told_of("text height",
                features(R"({"text": "t", "at": [200, 10], "says": "vamp", "height": 1.4})")) == 1);
  CHECK(told_of("text height",
                features(R"({"text": "t", "at": [200, 10], "says": "vamp", "height": 1.5})")) == 0);
}

TEST_CASE("an outsole that its insole runs out beyond is told", "[silence][low]") {
  const auto with_sole = [](const char* name) {
    return TextChanges{
        {R"("INSOLE": "boundary")", "\"INSOLE\": \"boundary\", \"SOLE\": \"boundary\""},
        {R"("pieces": [)",
         std::string(R"("pieces": [{"name": ")") + name +
             R"(", "forme": "bottom", "outline": {"drawing": "d", "layer": "SOLE"}, "lies": "as drawn",
     "corners": {"back": [-4, 200], "front": [284, 200]}, "edges": [{"name": "one", "from": "back", "to": "front"},
     {"name": "other", "from": "front", "to": "back"}]}, )"}};
  };
  const auto drawn = [](double wide, double front = 284) {
    return test::polyline({{-4, 200}, {190, 200 - wide}, {front, 200}, {190, 200 + wide}}, "SOLE");
  };
  CHECK(told_of("sole size", with_sole("outsole"), drawn(50)) == 0);
  CHECK(told_of("sole size", with_sole("outsole"), drawn(45)) == 0);
  CHECK(told_of("sole size", with_sole("outsole"), drawn(40)) == 1);
  CHECK(told_of("sole size", with_sole("Mid-sole"), drawn(40)) == 1);
  CHECK(told_of("sole size", with_sole("sock"), drawn(40)) == 0);
  // What is left of it is reported, and told where the sole lies to one side.
  const auto rim = [&](double aside) {
    TextChanges all = with_sole("outsole");
    for (const char* corner : {"[-4, 200]", "[284, 200]"}) {
      std::string& text = all[1].second;
      text.replace(text.find(corner) + std::string(corner).find("200"), 3, fmt::format("{}", 200 + aside));
    }
    return findings_named(
        low_shoe_findings(
            all,
            test::polyline({{-4, 200 + aside}, {190, 150 + aside}, {284, 200 + aside}, {190, 250 + aside}},
                           "SOLE")),
        "sole rim");
  };
  REQUIRE(rim(0.0).size() == 1);
  CHECK_FALSE(rim(0.0)[0].doubtful);
  CHECK_THAT(rim(0.0)[0].note, Catch::Contains("4.00 mm at heel and 4.60 mm at toe"));
  REQUIRE(rim(1.7).size() == 1);
  CHECK(rim(1.7)[0].doubtful);
  CHECK(rim(12.0).empty());  // told by its size
  // Of what is cut, too: an allowance of the insole may run out beyond the outsole's.
  const auto allowed = [&](const char* insole, const char* sole) {
    TextChanges all = with_sole("outsole");
    const auto trim = [](const char* mm) {
      return std::string(", \"treatment\": \"trim\", \"allowance\": ") + mm;
    };
    for (const char* edge : {R"("from": "back", "to": "front")", R"("from": "front", "to": "back")"})
      all[1].second.insert(all[1].second.find(edge) + std::string(edge).size(), trim(sole));
    for (const char* edge : {R"("from": "heel", "to": "inside")", R"("from": "inside", "to": "toe")",
                             R"("from": "toe", "to": "outside")", R"("from": "outside", "to": "heel")"})
      all.emplace_back(edge, edge + trim(insole));
    return all;
  };
  CHECK(told_of("sole size", allowed("8", "0"), drawn(50)) == 1);
  CHECK(told_of("sole size", allowed("8", "8"), drawn(50)) == 0);
  CHECK(told_of("sole size", allowed("0", "8"), drawn(40)) == 1);  // the finished edges cross
  // A half sole is no sole of the whole shoe.
  TextChanges half = with_sole("sole");
  half[1].second.replace(half[1].second.find("284"), 3, "240");
  CHECK(told_of("sole size", half, drawn(50, 240)) == 0);
  CHECK(sole_name("INNER_SOLE 37") == SoleName::kInsole);
  CHECK(sole_name("insole cover") == SoleName::kOther);
  CHECK(sole_name("outsole") == SoleName::kSole);
  CHECK(sole_name("storm welt") == SoleName::kEdge);
  CHECK(sole_name("consoles") == SoleName::kOther);
}

TEST_CASE("a margin round the insole that grows with it is told with its figures", "[silence][low]") {
  // The insole, 3 mm wider all round: between parallel lines, joined where they cross.
  const auto round_it = [](double mm) {
    const std::vector<Vec2> insole{{0, 200}, {190, 155}, {279.4, 200}, {190, 245}};
    std::vector<Vec2> sole;
    for (std::size_t i = 0; i < insole.size(); ++i) {
      const Vec2 in = unit(insole[i] - insole[(i + 3) % 4]);
      const Vec2 out = unit(insole[(i + 1) % 4] - insole[i]);
      const Vec2 off = -1.0 * (left_of(in) + left_of(out));
      sole.push_back(insole[i] + (2.0 * mm / dot(off, off)) * off);
    }
    return sole;
  };
  const std::vector<Vec2> even = round_it(3.0);
  const auto with_sole = [&](const std::string& more, const std::vector<Vec2>& sole) {
    return TextChanges{
        {R"("INSOLE": "boundary")", "\"INSOLE\": \"boundary\", \"SOLE\": \"boundary\""},
        {R"("pieces": [)",
         fmt::format(R"("pieces": [{{"name": "outsole", "forme": "bottom", "outline": {{"drawing": "d",
           "layer": "SOLE"}}, "lies": "as drawn", {0} "corners": {{"back": [{2}, {3}], "front": [{4}, {5}]}},
           "edges": [{{"name": "one", "from": "back", "to": "front"{1}}},
           {{"name": "other", "from": "front", "to": "back"{1}}}]}}, )",
                     more, more.empty() ? "" : R"(, "treatment": "trim", "allowance": 3)", sole[0].x,
                     sole[0].y, sole[2].x, sole[2].y)}};
  };
  const auto told = [&](const TextChanges& changes, const std::vector<Vec2>& sole) {
    return findings_named(low_shoe_findings(changes, test::polyline(sole, "SOLE")), "margin growth");
  };
  const std::vector<StyleFinding> grown = told(with_sole("", even), even);
  REQUIRE(grown.size() == 1);
  // The bottom has proportional rules: size 6, width E is the base times these two figures.
  const Vec2 times{1.0 - 2.0 / 3.0 * 25.4 / 279.4, 1.0 - 3.0 / 12.0 * 25.4 / 90.0};
  const Vec2 along = unit(Vec2{190, 45});
  const double kept = times.x * times.y / norm(Vec2{times.x * along.x, times.y * along.y});
  CHECK(grown[0].worst == Catch::Detail::Approx(3.0 * (1.0 - kept)).margin(0.002));
  CHECK(to_text(grown[0].where) == "size 6, width E");
  CHECK_FALSE(grown[0].doubtful);
  CHECK_THAT(grown[0].note, Catch::Contains("3.00 mm") && Catch::Contains("2.79 to 3.1"));
  // With an allowance it stays, as the note says.
  const std::vector<Vec2> net = round_it(0.0);
  CHECK(told(with_sole(R"("drawn": "net",)", net), net).empty());
  // An insole's allowance stays too: what the margin just covers in the base it does not in the smallest
  // size.
  const auto beyond = [&](const char* mm) {
    TextChanges all = with_sole("", even);
    for (const char* edge : {R"("from": "heel", "to": "inside")", R"("from": "inside", "to": "toe")",
                             R"("from": "toe", "to": "outside")", R"("from": "outside", "to": "heel")"})
      all.emplace_back(edge, fmt::format(R"({}, "treatment": "trim", "allowance": {})", edge, mm));
    all.emplace_back(R"({"heel": "heel", "inside": "inside", "toe": "toe")",
                     R"({"heel": {"at": "heel", "form": "round"}, "inside": "inside",
                         "toe": {"at": "toe", "form": "round"})");
    return findings_named(low_shoe_findings(all, test::polyline(even, "SOLE")), "sole size");
  };
  CHECK(beyond("3.7").empty());
  const std::vector<StyleFinding> small = beyond("3.9");
  REQUIRE(small.size() == 1);
  CHECK(to_text(small[0].where) == "size 6, width E");
  // A little more at the corners of its sides, where its allowance is mitred.
  CHECK(small[0].worst > 3.9 - 3.0 * kept - 0.01);
  CHECK(small[0].worst < 3.9 - 3.0 * kept + 0.1);
  CHECK(beyond("4.1").at(0).where.empty());  // in the base already
  // Drawn otherwise, there is no margin to keep.
  std::vector<Vec2> odd = even;
  odd[1].y -= 2.0;
  odd[3].y += 2.0;
  CHECK(told(with_sole("", odd), odd).empty());
  // A quarter of it and more has to be read.
  TextChanges wide = with_sole("", even);
  wide.push_back({R"("tread": {"base": "90 mm", "per_size": "1/12 in")",
                  R"("tread": {"base": "90 mm", "per_size": "1/2 in")"});
  const std::vector<StyleFinding> much = told(wide, even);
  REQUIRE(much.size() == 1);
  CHECK(much[0].doubtful);
}

TEST_CASE("what was rubbed out of a drawing since the style was drafted fails", "[silence][low]") {
  const auto kept = [](const std::string& stated, int holes) {
    std::string drawn = test::polyline({{240, 5}, {250, 5}, {250, 10}}, "11") +
                        test::tags("0 LINE|8 8|10 150|20 5|11 160|21 5");
    for (int i = 0; i < holes; ++i)
      drawn += test::tags(fmt::format("0 CIRCLE|8 13|10 {}|20 12|40 1.5", 190 + 10 * i));
    const std::vector<StyleFinding> all = findings_named(
        low_shoe_findings({{kVampFold, std::string(kVampFold) + stated}}, drawn), "marks kept");
    REQUIRE(all.size() <= 1);
    return all.empty() || all.front().passed;
  };
  CHECK(kept(R"(, "drawn_marks": {"holes": 2, "cut_outs": 1, "nicks": 0})", 2));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"holes": 2})", 1));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"holes": 2})", 3));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"cut_outs": 2})", 2));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"nicks": 1})", 2));
  CHECK(kept(R"(, "drawn_marks": {"lines": 1})", 1));
  CHECK_FALSE(kept(R"(, "drawn_marks": {"lines": 2})", 1));
  CHECK(kept(R"(, "drawn_marks": {"cut_outs": 1})", 1));  // what is not stated does not fail
  CHECK(kept("", 1));
}

TEST_CASE("rows on one half, a bottom that is lasted and a fold unlike its like are told", "[silence][low]") {
  const std::string row = R"({"stitch_line": "row", "edges": ["top line"], "inset": 4, "both_halves": )";
  CHECK(told_of("half alone", [&] {
          TextChanges all = features(row + "false}");
          all[0].second += R"(, "hand": "symmetric")";
          return all;
        }()) == 1);
  CHECK(told_of("half alone", features(row + "true}")) == 0);
  CHECK(
      told_of(
          "bottom lasted",
          {{R"({"name": "a", "from": "heel", "to": "inside"})",
            R"({"name": "a", "from": "heel", "to": "inside", "treatment": "lasting", "allowance": 12})"}}) ==
      1);
}

TEST_CASE("holes beside the middle of a strap are told", "[silence][low]") {
  // A strap on a forme of its own, its holes at this height above its lower edge.
  const auto strap = [](const char* from, const char* to, const char* more = "") {
    return TextChanges{
        {R"("INSOLE": "boundary")", R"("INSOLE": "boundary", "STRAP": "boundary")"},
        {R"("bottom": {)",
         R"("strap": {"points": {"start": [0, 300], "end": [120, 300], "side": [0, 316]}, "base_line": ["start", "end"],
      "fixed": "start", "length_line": "length", "girth_line": "width",
      "rules": [{"measure_line": "length", "from": "start", "to": "end", "carries": {"stick length": "3/7"}},
                {"measure_line": "width", "from": "start", "to": "side", "carries": {"tread": "1/6"}}]},
    "bottom": {)"},
        {R"("pieces": [)",
         std::string(
             R"("pieces": [{"name": "strap", "forme": "strap", "outline": {"drawing": "d", "layer": "STRAP"},
     "features": [{"eyelets": "e", "through": [)") +
             from + ", " + to + R"(], "count": 4, "diameter": 2.5})" + more +
             R"(], "corners": {"a": "start", "b": "end", "c": [120, 316], "d": "side"},
     "edges": [{"name": "low", "from": "a", "to": "b"}, {"name": "tip", "from": "b", "to": "c"},
               {"name": "high", "from": "c", "to": "d"}, {"name": "end", "from": "d", "to": "a"}]}, )"}};
  };
  const std::string drawn = test::polyline({{0, 300}, {120, 300}, {120, 316}, {0, 316}}, "STRAP");
  CHECK(told_of("off the middle", strap("[70, 308]", "[110, 308]"), drawn) == 0);
  const std::vector<StyleFinding> told =
      findings_named(low_shoe_findings(strap("[70, 309.5]", "[110, 309.5]"), drawn), "off the middle");
  REQUIRE(told.size() == 1);
  CHECK(told[0].worst == Catch::Detail::Approx(1.5).margin(0.01));
  CHECK(told_of("off the middle", strap("[70, 313]", "[110, 313]"), drawn) == 0);  // along its edge
  CHECK(told_of("off the middle", strap("[70, 307]", "[110, 310]"), drawn) == 0);  // a slanting row is meant
  CHECK(
      told_of("off the middle",
              strap("[70, 306]", "[110, 306]",
                    R"(, {"eyelets": "f", "through": [[70, 310], [110, 310]], "count": 4, "diameter": 2.5})"),
              drawn) == 0);
}

TEST_CASE("a text says a size by its last two words, or after a word for it", "[silence]") {
  SizeRun run;
  run.sizes = {{Fraction(8), "8"}, {Fraction(17, 2), "8.5"}};
  run.widths = {{Fraction(1), "F"}};
  run.base = {run.sizes[0], run.widths[0]};
  CHECK(said_size("VAMP 8.5 F", run).size == "8.5");
  CHECK(said_size("vamp-8/F", run).width == "F");
  CHECK(said_size("size 8", run).size == "8");
  CHECK(said_size("8 F calf", run).size.empty());
  CHECK(said_size("part 8", run).size.empty());
  CHECK(said_size("8", run).size.empty());
  CHECK(said_size("", run).size.empty());
}

TEST_CASE("a text says the base's size or width by a word of its own", "[silence]") {
  SizeRun run;
  run.sizes = {{Fraction(27), "27"}, {Fraction(28), "28"}};
  run.widths = {{Fraction(1), "M"}, {Fraction(2), "W"}};
  run.base = {run.sizes[1], run.widths[0]};
  const auto said = [&](const std::string& text) {
    const SaidSize one = said_alone(text, run, {"T-28 boot", "quarter"});
    return one.size + "|" + one.width;
  };
  for (const char* text : {"28", "PT 28", "28 {width}", "VAMP-28", "VAMP, 28", "{style} 28", "28.0"}) {
    INFO(text);
    CHECK(said(text) == "28|");
  }
  for (const char* text : {"28M", "28-M", "28/M", "M28", "VAMP 28M left"}) {
    INFO(text);
    CHECK(said(text) == "28|M");
  }
  for (const char* text : {"{size} M", "lining M", "M {size}"}) {
    INFO(text);
    CHECK(said(text) == "|M");
  }
  // Numbers of styles and parts, counts and measures, other sizes, and what is filled in.
  for (const char* text : {"28114", "T-28", "style 28", "cut 28", "28 mm", "no. 28", "28 x", "27", "X28",
                           "128", "QUARTER", "T-28 boot", "{size} {width}", "{size} W", "{width}", ""}) {
    INFO(text);
    CHECK(said(text) == "|");
  }
  run.base.width = {Fraction(3), "3"};  // a width that is a number is known only after its size
  CHECK(said("row 3") == "|");
  CHECK(said("3") == "|");
}

TEST_CASE("a text that says the base's size alone is told where the run has more", "[silence][low]") {
  const auto says = [](const char* text) {
    return features(std::string(R"({"text": "t", "at": [200, 10], "says": ")") + text + "\"}");
  };
  for (const char* text : {"8 {width}", "{size} F", "8"}) {
    INFO(text);
    const std::vector<StyleFinding> told = findings_named(low_shoe_findings(says(text)), "text and size");
    REQUIRE(told.size() == 1);
    CHECK(told.front().doubtful);
    CHECK(told.front().worst > 0.0);
    CHECK(told.front().note.find(text) != std::string::npos);
  }
  CHECK(told_of("text and size", says("Low shoe 28114 {size} {width}")) == 0);
}

TEST_CASE("sizes or widths that are all one last are told", "[silence][low]") {
  const auto told = [](const char* length, const char* girth, const char* tread) {
    const TextChanges changes{{R"({"from_scale": true})", length},
                              {R"("per_size": "1/4 in", "per_width": "1/4 in")", girth},
                              {R"("per_size": "1/12 in", "per_width": "1/12 in")", tread}};
    std::string subjects;
    for (const StyleFinding& one : findings_named(low_shoe_findings(changes), "measure step"))
      if (one.subject.find("all measures") == 0) subjects += one.subject + ";";
    return subjects;
  };
  const char* const scale = R"({"from_scale": true})";
  const char* const none = R"({"base": "279.4 mm", "per_size": "0 mm", "per_width": "0 mm"})";
  const char* const quarter = R"("per_size": "1/4 in", "per_width": "0 mm")";
  const char* const twelfth = R"("per_size": "1/12 in", "per_width": "0 mm")";
  CHECK(told(scale, quarter, twelfth) == "all measures, by width;");
  CHECK(told(scale, quarter, R"("per_size": "1/12 in", "per_width": "1/12 in")") == "");
  CHECK(told(none, R"("per_size": "0 mm", "per_width": "1/4 in")",
             R"("per_size": "0 mm", "per_width": "1/12 in")") == "all measures, by size;");
  CHECK(told(none, quarter, twelfth) == "all measures, by width;");
}

TEST_CASE("an edge that nobody could cut is told", "[silence][low]") {
  const auto parted = [](double length) {
    return TextChanges{
        {R"({"name": "feather", "from": "side foot", "to": "toe"})",
         R"({"name": "feather", "from": "side foot", "to": "one"},
          {"name": "bit", "from": "one", "to": "two"}, {"name": "front", "from": "two", "to": "toe"})"},
        {R"("side foot": "side foot"})",
         fmt::format(R"("side foot": "side foot", "one": [230, 0], "two": [{}, 0]}})", 230.0 + length)}};
  };
  const std::vector<StyleFinding> told = findings_named(low_shoe_findings(parted(0.45)), "short edge");
  REQUIRE(told.size() == 1);
  CHECK(told[0].doubtful);
  CHECK(told[0].subject == "vamp: bit");
  CHECK(told[0].worst == Catch::Detail::Approx(0.45).margin(1e-6));
  CHECK_THAT(told[0].note, Catch::Contains("from one to two at (230.000, 0.000)"));
  CHECK(told_of("short edge", parted(0.55)) == 0);
}
