#include "grading/jobs/load_style.hpp"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/support/places.hpp"
#include "tests/support/small_style.hpp"

using namespace lastwright;

namespace {

// A folder of its own, gone at the end.
struct StyleFolder {
  std::filesystem::path path;
  explicit StyleFolder(const std::string& name)
      : path(std::filesystem::temp_directory_path() / ("lastwright-" + name)) {
    std::filesystem::remove_all(path);
    std::filesystem::create_directories(path);
  }
  ~StyleFolder() { std::filesystem::remove_all(path); }
  std::string put(const std::string& name, const std::string& text) const {
    std::ofstream(path / name, std::ios::binary) << text;
    return (path / name).string();
  }
};

std::string changed(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("the demo loads with its tables and drawings", "[style_files]") {
  const StyleLoad load = load_style(test::demo_style());
  for (const Problem& problem : load.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(load.ok());
  CHECK(load.style->pieces.size() == load.style->spec.pieces.size());
  CHECK(load.style->run.count() == 85);
  CHECK(load.style->measures.size() == load.style->spec.measures.size());
  CHECK(load.style->inputs.size() == 3);
  CHECK(load.style->notes.empty());
}

TEST_CASE("a style that cannot be loaded says where and why", "[style_files]") {
  const StyleFolder folder("style-files");
  const std::string missing = (folder.path / "none.json").string();
  const StyleLoad nothing = load_style(missing);
  REQUIRE(nothing.problems.size() == 1);
  CHECK(nothing.problems[0].trouble == Trouble::kNotFound);
  CHECK(nothing.problems[0].place.file == missing);

  const std::string plain = changed(testing::kSmallStyle, R"(  "tables": ["own.json"],)", "");
  const StyleLoad scale = load_style(folder.put("scale.json", changed(plain, "\"english\"", "\"englisch\"")));
  REQUIRE(scale.problems.size() == 1);
  CHECK(scale.problems[0].place.pointer == "/scale");
  CHECK(scale.problems[0].place.line == 6);

  const StyleLoad tables = load_style(folder.put("tables.json", testing::kSmallStyle));
  REQUIRE(tables.problems.size() == 1);
  CHECK_THAT(tables.problems[0].place.file, Catch::EndsWith("own.json"));

  const StyleLoad breaks =
      load_style(folder.put("breaks.json", changed(plain, R"("to": "7")", R"("to": "7.3")")));
  REQUIRE(breaks.problems.size() == 1);
  CHECK(breaks.problems[0].place.pointer == "/measures/ball girth/breaks/0/to");
  CHECK(breaks.problems[0].place.line > 10);

  const StyleLoad drawing = load_style(folder.put("drawing.json", plain));
  REQUIRE(drawing.problems.size() == 1);
  CHECK_THAT(drawing.problems[0].place.file, Catch::EndsWith("shell.dxf"));
  CHECK(load_style(folder.put("drawing.json", plain), {.tables = {}, .drawings = false, .limits = {}}).ok());

  folder.put("shell.dxf", "%PDF-1.4");
  const StyleLoad not_dxf = load_style(folder.put("drawing.json", plain));
  REQUIRE(not_dxf.problems.size() == 1);
  CHECK(not_dxf.problems[0].trouble == Trouble::kSyntax);
}

TEST_CASE("a unit that overrides what the drawing says is told", "[style_files]") {
  LoadStyleOptions options;
  options.unit = DrawingUnit::kMillimetre;
  const StyleLoad as_it_says = load_style(test::demo_style(), options);
  REQUIRE(as_it_says.ok());
  CHECK(as_it_says.style->notes.empty());
  const StyleFolder folder("style-units");
  std::filesystem::copy(std::filesystem::path(test::demo_style()).parent_path(), folder.path,
                        std::filesystem::copy_options::recursive);
  std::size_t changed_files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder.path)) {
    const std::string file = entry.path().filename().string();
    if (file != "shell.dxf" && file != "bottom.dxf") continue;  // the others are not the style's drawings
    std::ifstream in(entry.path(), std::ios::binary);
    std::string text((std::istreambuf_iterator<char>(in)), {});
    in.close();
    const auto header = text.find("$INSUNITS");
    REQUIRE(header != std::string::npos);
    const auto value = text.find('4', text.find("70", header));
    REQUIRE(value != std::string::npos);
    text[value] = '1';  // inches
    folder.put(file, text);
    ++changed_files;
  }
  const StyleLoad told = load_style((folder.path / "style.json").string(), options);
  REQUIRE(told.ok());
  REQUIRE(told.style->notes.size() == changed_files);
  CHECK_THAT(told.style->notes[0],
             Catch::EndsWith(".dxf: the drawing says its unit is in, and mm was asked for: taken as mm"));
}

TEST_CASE("names are found beside the file that names them", "[style_files]") {
  CHECK(file_beside("a/b/style.json", "x.dxf") == "a/b/x.dxf");
  CHECK(file_beside("style.json", "x.dxf") == "x.dxf");
  CHECK(file_beside("a/style.json", "/x.dxf") == "/x.dxf");
}
