// A set of lasts on the report's page: what a file that anybody may have changed can do there.
#include "cli/report/report_lasts.hpp"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "tests/support/small_style.hpp"

namespace lastwright {

namespace {

const std::filesystem::path& lasts_folder() {
  static const std::filesystem::path path = [] {
    std::filesystem::path made =
        std::filesystem::temp_directory_path() / ("lastwright-report-lasts-" + std::to_string(getpid()));
    std::filesystem::create_directories(made);
    return made;
  }();
  return path;
}

void put_part(const char* name, const std::string& text) {
  std::ofstream(lasts_folder() / name, std::ios::binary) << text;
}

LoadedStyle lasts_style() {
  put_part("style.json",
           R"({"lastwright_style": 1, "name": "alone", "scale": "english", "ladder": "english-letters",
    "base": {"size": "8", "width": "F"}, "run": {"from": "7", "to": "8", "widths": ["F", "G"]},
    "measures": {"stick length": {"from_scale": true}, "ball girth": {"base": 240, "per_size": 6, "per_width": 5}}})");
  Checked<LoadedStyle> load = load_style((lasts_folder() / "style.json").string(),
                                         {.tables = {}, .drawings = false, .unit = {}, .limits = {}});
  REQUIRE(load.ok());
  return *std::move(load);
}

std::string last_row(const char* size, const char* width, double girth) {
  return R"({"size": ")" + std::string(size) + R"(", "width": ")" + width +
         R"(", "measures": [{"measure": "ball girth", "mm": )" + std::to_string(girth) +
         R"(, "asked_mm": 240.0, "driven": true}]})";
}
std::string last_outline(const char* size, const char* width, const std::string& data = "M0 0l100 -50 20 3") {
  return R"({"size": ")" + std::string(size) + R"(", "width": ")" + width + R"(", "views": {"side": ")" +
         data + R"("}})";
}
void put_set(const std::string& rows, const std::string& outlines, const std::string& more = "") {
  put_part("lasts.json", R"({"style": "alone", "bases": [], "lasts": [)" + rows + "]" + more + "}");
  put_part("outlines.json",
           R"({"lastwright_last_outlines": 1, "units_per_mm": 10, "lasts": [)" + outlines + "]}");
}

}  // namespace

TEST_CASE("lasts on the page are those of the style as it is now, and what is not is said",
          "[report][last]") {
  const LoadedStyle loaded = lasts_style();
  put_set(last_row("8", "F", 240.0) + "," + last_row("7", "F", 234.005),
          last_outline("8", "F") + "," + last_outline("7", "F"));
  Result<ReportLasts> sound = report_lasts(lasts_folder().string(), loaded);
  INFO((sound.ok() ? "" : to_text(sound.problem())));
  REQUIRE(sound.ok());
  CHECK(sound->failed.empty());
  REQUIRE(sound->look.size() == 1);
  CHECK(sound->look[0].find("2 sizes and widths have no last") != std::string::npos);
  CHECK(sound->look[0].find("7 G, 8 G") != std::string::npos);
  CHECK(sound->html.find("d=\"M0 0l100 -50 20 3\"") != std::string::npos);
  // The table asks 234 in size 7 now, whatever it asked when the lasts were made.
  put_set(last_row("8", "F", 240.0) + "," + last_row("7", "F", 235.0),
          last_outline("8", "F") + "," + last_outline("7", "F"),
          R"(, "refused": ["size 7, width G: <b>folds</b>"])");
  const Result<ReportLasts> off = report_lasts(lasts_folder().string(), loaded);
  REQUIRE(off.ok());
  REQUIRE(off->failed.size() == 2);
  CHECK(off->failed[1].find(
            "1 of 2 lasts was made to another ball girth than the style asks, by up to +1.00 mm (7 F)") !=
        std::string::npos);
  // A last of a size that is not made is not shown, which is said.
  put_set(last_row("8", "F", 240.0) + "," + last_row("9", "F", 246.0),
          last_outline("8", "F") + "," + last_outline("9", "F"));
  const Result<ReportLasts> beside = report_lasts(lasts_folder().string(), loaded);
  REQUIRE(beside.ok());
  CHECK(beside->look[0].find("1 last of the set is of sizes and widths that the style does not make") !=
        std::string::npos);
}

TEST_CASE("a set of lasts that is none, or of another style, is refused", "[report][last]") {
  const LoadedStyle loaded = lasts_style();
  const auto refused = [&] {
    const Result<ReportLasts> read = report_lasts(lasts_folder().string(), loaded);
    REQUIRE_FALSE(read.ok());
    return to_text(read.problem());
  };
  put_set(last_row("8", "F", 240.0) + "," + last_row("8", "F", 240.0), last_outline("8", "F"));
  CHECK(refused().find("the last 8 F stands here twice") != std::string::npos);
  put_set(last_row("8", "F", 240.0), last_outline("7", "F"));
  CHECK(refused().find("no outline of the last 8 F") != std::string::npos);
  for (const char* data :
       {"M0 0\\\"/><script>", "l1 2", "M1", "M0 0l9999999 1", "M0 0C1 2 3 4 5 6", "M0 nan"}) {
    INFO(data);
    put_set(last_row("8", "F", 240.0), last_outline("8", "F", data));
    CHECK(refused().find("the view \"side\" is no outline") != std::string::npos);
  }
  put_part("lasts.json", R"({"style": "another", "bases": [], "lasts": []})");
  CHECK(refused().find("the lasts are of the style \"another\", not of \"alone\"") != std::string::npos);
  put_part("lasts.json", "[1]");
  CHECK(refused().find("this is not what lastwright last grade writes") != std::string::npos);
}

}  // namespace lastwright
