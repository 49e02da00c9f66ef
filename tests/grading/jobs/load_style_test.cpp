#include "grading/jobs/load_style.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>

#include "grading/jobs/style_files.hpp"
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
  const Checked<LoadedStyle> load = load_style(test::demo_style());
  for (const Problem& problem : load.problems()) UNSCOPED_INFO(to_text(problem));
  REQUIRE(load.ok());
  CHECK(load->pieces.size() == load->spec.pieces.size());
  CHECK(load->run.count() == 85);
  CHECK(load->measures.size() == load->spec.measures.size());
  CHECK(load->inputs.size() == 3);
  CHECK(load->notes.empty());
}

TEST_CASE("a style that cannot be loaded says where and why", "[style_files]") {
  const StyleFolder folder("style-files");
  const std::string missing = (folder.path / "none.json").string();
  const Checked<LoadedStyle> nothing = load_style(missing);
  REQUIRE(nothing.problems().size() == 1);
  CHECK(nothing.problems()[0].trouble == Trouble::kNotFound);
  CHECK(nothing.problems()[0].place.file == missing);

  const std::string plain = changed(testing::kSmallStyle, R"(  "tables": ["own.json"],)", "");
  const Checked<LoadedStyle> scale =
      load_style(folder.put("scale.json", changed(plain, "\"english\"", "\"englisch\"")));
  REQUIRE(scale.problems().size() == 1);
  CHECK(scale.problems()[0].place.pointer == "/scale");
  CHECK(scale.problems()[0].place.line == 6);

  const Checked<LoadedStyle> tables = load_style(folder.put("tables.json", testing::kSmallStyle));
  REQUIRE(tables.problems().size() == 1);
  CHECK_THAT(tables.problems()[0].place.file, Catch::EndsWith("own.json"));

  const Checked<LoadedStyle> breaks =
      load_style(folder.put("breaks.json", changed(plain, R"("to": "7")", R"("to": "7.3")")));
  REQUIRE(breaks.problems().size() == 1);
  CHECK(breaks.problems()[0].place.pointer == "/measures/ball girth/breaks/0/to");
  CHECK(breaks.problems()[0].place.line > 10);

  const Checked<LoadedStyle> drawing = load_style(folder.put("drawing.json", plain));
  REQUIRE(drawing.problems().size() == 1);
  CHECK_THAT(drawing.problems()[0].place.file, Catch::EndsWith("shell.dxf"));
  CHECK(load_style(folder.put("drawing.json", plain), {.tables = {}, .drawings = false, .limits = {}}).ok());

  folder.put("shell.dxf", "%PDF-1.4");
  const Checked<LoadedStyle> not_dxf = load_style(folder.put("drawing.json", plain));
  REQUIRE(not_dxf.problems().size() == 1);
  CHECK(not_dxf.problems()[0].trouble == Trouble::kSyntax);
}

TEST_CASE("a unit that overrides what the drawing says is told", "[style_files]") {
  LoadStyleOptions options;
  options.unit = DrawingUnit::kMillimetre;
  const Checked<LoadedStyle> as_it_says = load_style(test::demo_style(), options);
  REQUIRE(as_it_says.ok());
  CHECK(as_it_says->notes.empty());
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
  const Checked<LoadedStyle> told = load_style((folder.path / "style.json").string(), options);
  REQUIRE(told.ok());
  REQUIRE(told->notes.size() == changed_files);
  CHECK_THAT(told->notes[0],
             Catch::EndsWith(".dxf: the drawing says its unit is in, and mm was asked for: taken as mm"));
}

TEST_CASE("names are found beside the file that names them", "[style_files]") {
  CHECK(file_beside("a/b/style.json", "x.dxf") == "a/b/x.dxf");
  CHECK(file_beside("style.json", "x.dxf") == "x.dxf");
  CHECK(file_beside("a/style.json", "/x.dxf") == "/x.dxf");
  // A name that a file gives is never standard input.
  for (const char* style : {"style.json", "./style.json", "a/style.json", "-"})
    CHECK(file_beside(style, "-") != "-");
  CHECK(file_beside("style.json", "-") == "./-");
}

TEST_CASE("a style without pieces is a table of measures, and says why it is no more", "[style_files]") {
  const StyleFolder folder("style-no-pieces");
  std::string text = changed(testing::kSmallStyle, R"(  "tables": ["own.json"],)", "");
  const auto pieces = text.find("\"pieces\": [");
  const auto limits = text.find("\"limits\": {\"seam\"");
  REQUIRE((pieces < limits && limits < text.size()));
  const std::string file = folder.put("table.json", text.substr(0, pieces) + text.substr(limits));
  const Checked<LoadedStyle> refused = load_style(file);
  REQUIRE(refused.problems().size() == 1);
  CHECK_THAT(refused.problems()[0].message, Catch::StartsWith("the style has no \"pieces\""));
  const Checked<LoadedStyle> table = load_style(file, {.tables = {}, .may_lack_pieces = true, .limits = {}});
  for (const Problem& problem : table.problems()) UNSCOPED_INFO(to_text(problem));
  REQUIRE(table.ok());
  REQUIRE(table->no_pieces);
  CHECK(to_text(*table->no_pieces) == to_text(refused.problems()[0]));
  const Checked<LoadedStyle> as_girths = load_style(file, {.tables = {}, .drawings = false, .limits = {}});
  REQUIRE(as_girths.ok());
  CHECK(table->measures.size() == as_girths->measures.size());
  CHECK(table->inputs == as_girths->inputs);
  CHECK(table->notes == as_girths->notes);
  // One with pieces is not excused from its drawings.
  CHECK_FALSE(
      load_style(folder.put("pieces.json", changed(testing::kSmallStyle, R"(  "tables": ["own.json"],)", "")),
                 {.tables = {}, .may_lack_pieces = true, .limits = {}})
          .ok());
}

TEST_CASE("the files that a style is read from are known before it is read", "[style_files]") {
  const StyleFolder folder("style-names");
  for (const char* place : {"a/style", "a/shared", "a/last"})
    std::filesystem::create_directories(folder.path / place);
  const auto demo = std::filesystem::path(test::demo_style()).parent_path();
  const auto text_of = [](const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return std::string((std::istreambuf_iterator<char>(in)), {});
  };
  std::filesystem::copy_file(demo / "shell.dxf", folder.path / "a/shared/shell.dxf");
  std::filesystem::copy_file(demo / "bottom.dxf", folder.path / "a/style/bottom.dxf");
  const auto ladder =
      std::filesystem::path(test::project_dir() + "/reference-tables/ladder-english-letters.json");
  folder.put("a/own.json", changed(text_of(ladder), "\"english-letters\"", "\"own-letters\""));
  folder.put("a/more.json", changed(text_of(ladder), "\"english-letters\"", "\"more-letters\""));
  folder.put(
      "a/last/rules.json",
      R"({"lastwright_rules": 1, "last": "last.json", "fitted_on": {"sizes": ["5", "13"], "widths": ["D", "H"]},
  "formes": {"shell": {"points": {"stiffener top": {"drawn": [-1.583665, 49], "per_size": [0, 0], "per_width": [0, 0],
  "residual": 0}}}}})");
  std::string text = changed(text_of(demo / "style.json"), "\"shell.dxf\"", "\"../shared/shell.dxf\"");
  text = changed(text, "\"scale\":", "\"tables\": [\"../own.json\"],\n  \"scale\":");
  text = changed(text, "\"base_line\": [\"heel\", \"stick end\"],",
                 R"("base_line": ["heel", "stick end"],
      "rules_from_last": {"file": "../last/rules.json", "points": ["stiffener top"]},)");
  const std::string style = folder.put("a/style/style.json", text);
  const std::string more = (folder.path / "a/more.json").string();
  const Result<std::vector<std::string>> files = style_files(style, {more});
  REQUIRE(files.ok());
  CHECK(files->size() == 6);
  const Checked<LoadedStyle> load = load_style(style, {.tables = {more}, .limits = {}});
  for (const Problem& problem : load.problems()) UNSCOPED_INFO(to_text(problem));
  REQUIRE(load.ok());
  // The rules of an older file, without their table.
  CHECK(std::count_if(load->notes.begin(), load->notes.end(), [](const std::string& note) {
          return note.find("rules.json cannot say to which table") != std::string::npos;
        }) == 1);
  CHECK(std::set<std::string>(files->begin(), files->end()) ==
        std::set<std::string>(load->inputs.begin(), load->inputs.end()));
  // Each of them is read, and nothing else of the folder.
  for (const std::string& file : *files) {
    INFO(file);
    std::filesystem::rename(file, file + ".away");
    CHECK_FALSE(load_style(style, {.tables = {more}, .limits = {}}).ok());
    std::filesystem::rename(file + ".away", file);
  }
  std::size_t there = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder.path))
    there += entry.is_regular_file() ? 1 : 0;
  CHECK(there == files->size());
  CHECK(style_files((folder.path / "none.json").string(), {}).problem().trouble == Trouble::kNotFound);
}
