// The parts of the report's page that can be wrong without looking wrong; the page itself is tried in a
// browser by tests/outside/report.
#include <catch2/catch.hpp>

#include "cli/report/girth_chart.hpp"
#include "cli/report/nest_data.hpp"
#include "cli/report/page_template.hpp"
#include "cli/report/report_sections.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

// Read as the header describes it, not as the program writes it.
std::vector<std::int64_t> unpacked(const std::string& text) {
  const std::string digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  std::vector<std::int64_t> numbers;
  std::uint64_t sum = 0;
  unsigned shift = 0;
  for (const char c : text) {
    const std::uint64_t five = digits.find(c);
    sum |= (five & 31) << shift;
    shift += 5;
    if ((five & 32) != 0) continue;
    const auto size = static_cast<std::int64_t>(sum >> 1);
    numbers.push_back((sum & 1) != 0 ? -size : size);
    sum = 0;
    shift = 0;
  }
  return numbers;
}

}  // namespace

TEST_CASE("packed numbers come back", "[report]") {
  CHECK(packed(std::vector<std::int64_t>{0, 1, -1, 15, 16}) == "ACDegB");
  test::holds_for_all("unpacked(packed(numbers)) = numbers", [] {
    const auto numbers = *rc::gen::container<std::vector<std::int64_t>>(
        rc::gen::inRange<std::int64_t>(-(1LL << 50), 1LL << 50));
    RC_ASSERT(unpacked(packed(numbers)) == numbers);
  });
}

TEST_CASE("a sheet becomes numbers in hundredths of a millimetre", "[report]") {
  Sheet sheet;
  // A half circle of radius 10 on its diameter, drawn counter-clockwise: the rise of its arc is its radius.
  sheet.outlines.push_back({{{{{-10, 0}, 0.0}, {{10, 0}, 1.0}}}, Operation::kCut});
  sheet.holes.push_back({{1.234, -5.678}, 1.5, Operation::kHole});
  sheet.texts.push_back({{0, 1}, 3.0, Radians(0.0), "8 F", Operation::kText});
  std::vector<std::string> texts{"VAMP"};
  const std::vector<std::int64_t> numbers = numbers_of(sheet, texts);
  CHECK(numbers == std::vector<std::int64_t>{5142,        157,  // pi * 10 + 20 mm, pi * 10² / 2 mm²
                                             0,           2,    -1000, 0,   0, 2000,
                                             0,           1000,                      // closed path, cut line
                                             16 * 2 + 2,  123,  -568,  150,          // hole
                                             16 * 3 + 12, 0,    100,   300, 0, 1});  // text number 1
  CHECK(texts == std::vector<std::string>{"VAMP", "8 F"});
}

TEST_CASE("rounding does not add up along a path", "[report]") {
  Sheet sheet;
  sheet.lines.push_back({{}, Operation::kStitch});
  for (int i = 0; i <= 1000; ++i) sheet.lines.front().path.vertices.push_back({{0.0149 * i, 0.0}, 0.0});
  std::vector<std::string> texts;
  const std::vector<std::int64_t> numbers = numbers_of(sheet, texts);
  std::int64_t x = 0;
  for (std::size_t i = 4; i < numbers.size(); i += 3) x += numbers[i];
  CHECK(x == 1490);
}

TEST_CASE("slots are filled once", "[report]") {
  CHECK(filled("a<!--slot:x-->b<!--slot:y-->", {{"x", "<!--slot:y-->"}, {"y", "Y"}}) == "a<!--slot:y-->bY");
  CHECK_THROWS(filled("<!--slot:x-->", {}));
}

TEST_CASE("JSON cannot end its element", "[report]") {
  CHECK(json_in_html("\"</script><!--&\"") == "\"\\u003c/script\\u003e\\u003c!--\\u0026\"");
}

TEST_CASE("a script's digest is as the policy wants it", "[report]") {
  // SHA-256 of nothing, FIPS 180-4 test value, in base64 (RFC 4648).
  CHECK(script_digest("") == "sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=");
}

TEST_CASE("steps of a chart are round", "[report]") {
  CHECK(chart_step(210.0, 295.0, 6) == Approx(20.0));
  CHECK(chart_step(0.0, 1.0, 6) == Approx(0.2));
  CHECK(chart_step(0.0, 3000.0, 6) == Approx(500.0));
}

TEST_CASE("what the die order says to look at is said of the style that it is for", "[report]") {
  const Checked<LoadedStyle> loaded =
      load_style(test::project_dir() + "/demo-patterns/cindergarth/style.json",
                 {.tables = {}, .drawings = false, .limits = {}});
  REQUIRE(loaded.ok());
  LoadedStyle style = *loaded;
  style.notes = {"left out: 1 CIRCLE"};
  DiePlan plan;
  plan.notes = {"tolerance 0.3 mm"};
  DieOrder order;
  order.notes = {"left out: 1 CIRCLE", "the rule height of these dies is not known"};
  const ReportDies dies{plan, order};
  const StyleGrade grade{};
  const std::vector<StyleFinding> findings;
  const std::vector<PieceOutlines> outlines;
  const ReportInput input{style, grade, findings, outlines, &dies, {}, {}};
  const std::string html = attention_html(input);
  CHECK(html.find("<li>the rule height of these dies is not known</li><li>tolerance 0.3 mm</li>") !=
        std::string::npos);
  const std::string once = "<li>left out: 1 CIRCLE</li>";
  CHECK(html.find(once) != std::string::npos);
  CHECK(html.find(once) == html.rfind(once));
}
