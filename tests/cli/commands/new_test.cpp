#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "cli/exit_codes.hpp"
#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/pieces/first/first_style.hpp"
#include "grading/style/style_schema.hpp"
#include "tests/support/dxf_maker.hpp"
#include "tests/support/outline_keys.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;
using namespace lastwright::test;
namespace fs = std::filesystem;

namespace {

struct Folder {
  fs::path path;
  explicit Folder(const std::string& name) : path(fs::temp_directory_path() / ("lastwright-" + name)) {
    fs::remove_all(path);
    fs::create_directories(path / "drawings");
  }
  ~Folder() { fs::remove_all(path); }
};

int code(ExitCode exit_code) {
  return static_cast<int>(exit_code);
}

// Loads the draft and grades every piece in every size and width, as it stands.
std::size_t graded_new(const std::string& style_file) {
  Checked<LoadedStyle> load = load_style(style_file);
  for (const Problem& problem : load.problems()) UNSCOPED_INFO(to_text(problem));
  REQUIRE(load.ok());
  const auto grade = grade_style(load->spec, load->measures, load->run, load->pieces);
  if (!grade) UNSCOPED_INFO(to_text(grade.problem()));
  REQUIRE(grade);
  std::size_t count = 0;
  for (std::size_t piece = 0; piece < grade->pieces.size(); ++piece) {
    for (std::size_t cell = 0; cell < grade->run_cells(); ++cell) {
      const auto cut = grade->cut_piece(piece, cell);
      if (!cut) UNSCOPED_INFO(to_text(cut.problem()));
      REQUIRE(cut);
      CHECK(signed_area(cut->net.path) > 0.0);
      ++count;
    }
  }
  return count;
}

const std::string kSquare = "|90 4|70 1|10 0|20 0|10 80|20 0|10 80|20 60|10 0|20 60";

}  // namespace

TEST_CASE("a first style of the demo's drawings loads and grades as it stands", "[new]") {
  const Folder folder("new-demo");
  for (const auto& [name, pieces] : {std::pair<const char*, std::size_t>{"shell", 13}, {"bottom", 4}}) {
    const fs::path drawing = folder.path / "drawings" / (std::string(name) + ".dxf");
    fs::copy_file(fs::path(test::project_dir()) / "demo-patterns/cindergarth" / drawing.filename(), drawing);
    const std::string style = (folder.path / (std::string(name) + ".json")).string();
    const BinaryRun run = run_binary("new " + drawing.string() + " --out " + style);
    INFO(run.output);
    REQUIRE(run.exit_code == 0);
    CHECK_THAT(run.output,
               Catch::Contains(std::to_string(pieces) + " pieces") && Catch::Contains("please confirm"));
    CHECK(load_style(style, {.tables = {}, .drawings = false, .limits = {}})->spec.drawings[0].file ==
          "drawings/" + drawing.filename().string());
    CHECK(graded_new(style) == pieces * 11 * 3);
  }
}

TEST_CASE("a draft never replaces a file unless it is told to", "[new]") {
  const Folder folder("new-force");
  const std::string drawing = (folder.path / "a.dxf").string();
  std::ofstream(drawing, std::ios::binary) << test::drawing(tags("0 LWPOLYLINE|8 1" + kSquare));
  REQUIRE(run_binary("new " + drawing).exit_code == 0);
  CHECK(fs::exists(folder.path / "a.json"));
  CHECK(graded_new((folder.path / "a.json").string()) == 33);
  CHECK(run_binary("new " + drawing).exit_code == code(ExitCode::kWouldReplace));
  CHECK(run_binary("new " + drawing + " --force").exit_code == 0);
  CHECK(run_binary("new " + drawing + " --out " + drawing + " --force").exit_code != 0);
  CHECK(read_bytes(drawing).size() > 100);
  CHECK(run_binary("new " + drawing + "x").exit_code == code(ExitCode::kFileSystem));
  CHECK(run_binary("new").exit_code == code(ExitCode::kUsage));
}

TEST_CASE("pieces are told apart by block, layer or place, and named", "[new]") {
  const Folder folder("new-names");
  const std::string drawing = (folder.path / "a.dxf").string();
  const std::string square = tags("0 LWPOLYLINE|8 1" + kSquare);
  const std::string entities = tags(
      "0 INSERT|8 0|2 TOE_CAP|10 0|20 0|0 INSERT|8 0|2 TOE_CAP|10 100|20 0|"
      "0 LWPOLYLINE|8 1|90 4|70 1|10 200|20 0|10 280|20 0|10 280|20 60|10 200|20 60|0 TEXT|8 15|10 210|20 "
      "10|40 5|1 Vamp|"
      "0 CIRCLE|8 1|10 350|20 30|40 25");
  std::ofstream(drawing, std::ios::binary) << test::drawing(entities, block("TOE_CAP", square));
  const BinaryRun run = run_binary("new " + drawing);
  INFO(run.output);
  REQUIRE(run.exit_code == 0);
  const Checked<LoadedStyle> load = load_style((folder.path / "a.json").string());
  REQUIRE(load.ok());
  std::vector<std::string> names;
  for (const PieceSpec& piece : load->spec.pieces) names.push_back(piece.name);
  CHECK(names == std::vector<std::string>{"toe cap", "toe cap-2", "vamp", "piece-4"});
  CHECK(load->pieces[0].edges.size() == 4);
  CHECK(load->pieces[3].edges.size() == 1);
  // All that is noted of a fresh draft is that nobody has confirmed it.
  REQUIRE(load->notes.size() == 1);
  CHECK_THAT(load->notes[0], Catch::Contains("not confirmed"));
  CHECK(graded_new((folder.path / "a.json").string()) == 4 * 33);
}

TEST_CASE("a drawing on layers of its own is understood", "[new]") {
  const Folder folder("new-layers");
  const std::string drawing = (folder.path / "a.dxf").string();
  std::ofstream(drawing, std::ios::binary)
      << test::drawing(tags("0 LWPOLYLINE|8 OUTLINE" + kSquare +
                            "|0 LWPOLYLINE|8 OUTLINE|90 3|70 1|10 10|20 10|10 20|20 10|10 20|20 20"));
  // What the line inside is, nobody can tell: the draft has
  // the piece, and the exit code says that one is missing.
  const BinaryRun run = run_binary("new " + drawing);
  INFO(run.output);
  CHECK(run.exit_code == code(ExitCode::kCheckFailed));
  CHECK_THAT(run.output, Catch::Contains("the layer OUTLINE holds boundaries") &&
                             Catch::Contains("1 closed line inside an outline of the same layer") &&
                             Catch::Contains("--inside"));
  CHECK(graded_new((folder.path / "a.json").string()) == 33);
  // Each answer that the message offers works.
  for (const auto& [answer, pieces] : {std::pair<const char*, std::size_t>{"cut-outs", 1},
                                       {"lines", 1},
                                       {"'sew lines'", 1},
                                       {"ignore", 1},
                                       {"pieces", 2}}) {
    const BinaryRun told = run_binary("new --force " + drawing + " --inside " + answer);
    INFO(told.output);
    CHECK(told.exit_code == 0);
    CHECK(graded_new((folder.path / "a.json").string()) == pieces * 33);
  }
}

TEST_CASE("a draft of a drawing with a fault in a piece names the fault and nothing else", "[new]") {
  const Folder folder("new-fault");
  const std::string drawing = (folder.path / "a.dxf").string();
  const std::string sound = "|0 LWPOLYLINE|8 1|90 4|70 1|10 200|20 0|10 280|20 0|10 280|20 60|10 200|20 60";
  // A cut-out and a hole over the outline, one over a corner, one that holds the whole piece.
  for (const char* fault : {"LWPOLYLINE|8 11|90 4|70 1|10 70|20 20|10 90|20 20|10 90|20 40|10 70|20 40",
                            "LWPOLYLINE|8 11|90 3|70 1|10 -5|20 -5|10 15|20 2|10 2|20 15",
                            "LWPOLYLINE|8 11|90 4|70 1|10 -5|20 -5|10 90|20 -5|10 90|20 70|10 -5|20 70",
                            "CIRCLE|8 11|10 40|20 60|40 9"}) {
    for (const std::string& other : {std::string(), sound}) {
      std::ofstream(drawing, std::ios::binary)
          << test::drawing(tags("0 LWPOLYLINE|8 1" + kSquare + other + "|0 " + fault));
      const BinaryRun run = run_binary("new --force " + drawing);
      INFO(fault << ": " << run.output);
      CHECK(run.exit_code == code(ExitCode::kCannotGrade));
      CHECK_THAT(run.output, Catch::Contains("layer 11") && !Catch::Contains("there is no forme"));
      CHECK_THAT(run.output, Catch::Contains("THE DRAFT DOES NOT LOAD until"));
      CHECK_FALSE(load_style((folder.path / "a.json").string()).ok());
    }
  }
}

TEST_CASE("a drawing without outlines is refused with how far it is open", "[new]") {
  const Folder folder("new-open");
  const std::string drawing = (folder.path / "a.dxf").string();
  std::ofstream(drawing, std::ios::binary) << test::drawing(tags("0 LINE|8 1|10 0|20 0|11 30|21 40"));
  const BinaryRun run = run_binary("new " + drawing);
  CHECK(run.exit_code == code(ExitCode::kCannotGrade));
  CHECK_THAT(run.output, Catch::Contains("no closed outline") && Catch::Contains("found 50"));
}

TEST_CASE("open outlines are named, and a hole is not taken for a piece", "[new]") {
  const Folder folder("new-gap");
  const std::string drawing = (folder.path / "a.dxf").string();
  // 280 mm long; the last corner misses the first by 0.35 mm. A hole of 4 mm in it, on the same layer.
  const std::string open =
      "0 LWPOLYLINE|8 1|90 5|70 0|10 0|20 0|10 280|20 0|10 280|20 60|10 0|20 60|10 0|20 0.35";
  const std::string hole = "|0 CIRCLE|8 1|10 30|20 30|40 2";
  std::ofstream(drawing, std::ios::binary) << test::drawing(tags(open + hole));
  const BinaryRun refused = run_binary("new " + drawing);
  INFO(refused.output);
  CHECK(refused.exit_code == code(ExitCode::kCannotGrade));
  CHECK_THAT(refused.output, Catch::Contains("at most 4.0 mm, too small for a piece") &&
                                 Catch::Contains("layer 1") && Catch::Contains("(0.000, 0.350)") &&
                                 Catch::Contains("gap 0.35 mm; --gap 0.36 joins it"));
  CHECK_FALSE(fs::exists(folder.path / "a.json"));
  const BinaryRun joined = run_binary("new " + drawing + " --gap 0.36");
  CHECK(joined.exit_code == 0);
  CHECK_THAT(joined.output,
             Catch::Contains("2 pieces") && Catch::Contains("a hole or a mark rather than a piece"));
  CHECK(load_style((folder.path / "a.json").string())->spec.drawings[0].chain_gap == Millimetres(0.36));

  // Beside a sound piece it is a warning; four lines that miss each other are told each with its gap.
  std::ofstream(drawing, std::ios::binary) << test::drawing(tags(
      "0 LWPOLYLINE|8 1|90 4|70 1|10 400|20 0|10 650|20 0|10 650|20 60|10 400|20 60|0 LINE|8 1|10 0|20 0|11 "
      "200|21 0|0 LINE|8 1|10 200.1|20 0|11 200|21 90|0 LINE|8 1|10 200|20 90.2|11 0|21 0.3"));
  const BinaryRun warned = run_binary("new --force " + drawing);
  CHECK(warned.exit_code == code(ExitCode::kCheckFailed));
  CHECK_THAT(warned.output, Catch::Contains("not in the draft: no piece, for it does not close") &&
                                Catch::Contains("gap 0.3 mm; --gap 0.31 joins it"));
}

TEST_CASE("a unit that cannot be is doubted", "[new]") {
  const Folder folder("new-units");
  const std::string drawing = (folder.path / "a.dxf").string();
  std::ofstream(drawing, std::ios::binary) << test::drawing(
      tags("0 LWPOLYLINE|8 1|90 4|70 1|10 0|20 0|10 280|20 0|10 280|20 60|10 0|20 60"));  // header: mm
  const BinaryRun sound = run_binary("new " + drawing);
  CHECK(sound.exit_code == 0);
  CHECK_THAT(sound.output, !Catch::Contains("warning"));
  CHECK_THAT(run_binary("new --force --units mm " + drawing).output, !Catch::Contains("warning"));
  const BinaryRun inches = run_binary("new --force --units in " + drawing);
  CHECK(inches.exit_code == code(ExitCode::kCheckFailed));  // so large a piece fails the draft's own checks
  // 280 in are 7112 mm; an English 8 is 279.4 mm long.
  CHECK_THAT(inches.output, Catch::Contains("the drawing says its unit is mm, and in was asked for") &&
                                Catch::Contains("7112.0 mm long, 25 times the stick length"));
}

namespace {

// How many drawings of a folder become a draft; the others give a reason.
std::size_t drafts_of(const fs::path& drawings, const std::string& scratch) {
  const Folder folder(scratch);
  std::size_t drafts = 0;
  for (const auto& entry : fs::directory_iterator(drawings)) {
    if (entry.path().extension() != ".dxf") continue;
    const std::string style = (folder.path / entry.path().filename()).string() + ".json";
    const BinaryRun run = run_binary("new " + entry.path().string() + " --units mm --out " + style);
    INFO(entry.path() << ": " << run.output);
    if (run.exit_code == 0 || run.exit_code == code(ExitCode::kCheckFailed)) {
      CHECK(load_style(style).ok());
      ++drafts;
    } else {
      CHECK((run.exit_code == code(ExitCode::kBadInput) || run.exit_code == code(ExitCode::kCannotGrade)));
      CHECK((!fs::exists(style) || !load_style(style).ok()));
    }
  }
  return drafts;
}

}  // namespace

TEST_CASE("sound and damaged drawings give a draft that loads, or a reason", "[new]") {
  CHECK(drafts_of(fs::path(test::project_dir()) / "tests" / "fuzz" / "corpus" / "dxf", "new-corpus") >= 6);
}

TEST_CASE("drawings nobody here made give a draft that loads, or a reason", "[.shared]") {
  const auto samples = shared_folder("dxf-samples");
  if (!samples) {
    WARN("skipped: no folder shared/dxf-samples beside the project");
    return;
  }
  CHECK(drafts_of(*samples, "new-samples") >= 8);
}

TEST_CASE("the explanation names every key of the schema", "[new]") {
  const BinaryRun run = run_binary("new --explain");
  REQUIRE(run.exit_code == 0);
  CHECK(test::explained_keys(style_schema(), run.output) > 80);
}
