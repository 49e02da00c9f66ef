// Drafts of whole shoes: what lastwright new writes passes
// lastwright check, and grades as a style made by hand does.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "cli/exit_codes.hpp"
#include "grading/jobs/check_job.hpp"
#include "grading/json/json_text.hpp"
#include "tests/support/invented_court.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"
#include "tests/support/same_nets.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;
using namespace lastwright::test;
namespace fs = std::filesystem;

namespace {

struct DraftFolder {
  fs::path path;
  explicit DraftFolder(const std::string& name) : path(fs::temp_directory_path() / ("lastwright-" + name)) {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~DraftFolder() { fs::remove_all(path); }
  [[nodiscard]] std::string file(const std::string& name) const { return (path / name).string(); }
  std::string put(const std::string& name, const std::string& text) const {
    std::ofstream(path / name, std::ios::binary) << text;
    return file(name);
  }
};

void passes(const std::string& style) {
  const BinaryRun checked = run_binary("check " + style);
  INFO(checked.output);
  CHECK(checked.exit_code == 0);
}

const std::string kDemoFolder = (fs::path(test::project_dir()) / "demo-patterns/cindergarth").string();

}  // namespace

TEST_CASE("a draft of the demo's drawings passes its checks and has its seams", "[new][draft]") {
  const DraftFolder folder("draft-demo");
  const BinaryRun run = run_binary(
      fmt::format("new {0}/shell.dxf {0}/bottom.dxf --measures {0}/style.json --kind derby --out {1}",
                  kDemoFolder, folder.file("demo.json")));
  INFO(run.output);
  REQUIRE(run.exit_code == 0);
  CHECK_THAT(run.output, Catch::Contains("17 pieces") && Catch::Contains("2 formes") &&
                             Catch::Contains("sure:") && Catch::Contains("likely:") &&
                             Catch::Contains("guess:"));
  const Checked<LoadedStyle> draft = load_style(folder.file("demo.json"));
  REQUIRE(draft.ok());
  CHECK(draft->spec.scale == "english");
  for (const BoundPiece& piece : draft->pieces) {  // what is rubbed out or added later is noticed
    INFO(piece.spec.name);
    REQUIRE(piece.spec.drawn_marks);
    const DrawnMarks& marks = *piece.spec.drawn_marks;
    CHECK(marks.holes == std::optional(static_cast<int>(piece.holes.size())));
    CHECK(marks.nicks == std::optional(static_cast<int>(piece.nicks.size())));
    CHECK(marks.cut_outs == std::optional(static_cast<int>(piece.cut_outs.size())));
    CHECK(marks.lines == std::optional(static_cast<int>(piece.lines.size() + piece.loops.size())));
  }
  CHECK(draft->spec.run_to == "13");
  // Nothing is doubted that the draft itself put in.
  const Result<CheckedStyle> checked = check_loaded(*draft, false, 1);
  REQUIRE(checked.ok());
  for (const StyleFinding& one : checked->found.findings) {
    INFO(one.check + " " + one.subject + ": " + one.note);
    CHECK(one.passed);
    CHECK_FALSE(one.doubtful);
  }
  for (const std::string& note : draft->notes) {
    INFO(note);
    CHECK(note.find("lies between the ends") == std::string::npos);
  }
  const auto per_pair = [&](const std::string& name) {
    const auto& all = draft->spec.pieces;
    return std::find_if(all.begin(), all.end(), [&](const PieceSpec& one) { return one.name == name; })
        ->per_pair;
  };
  for (const char* both : {"counter", "facing", "quarter lining", "heel lining"}) CHECK(per_pair(both) == 4);
  for (const char* one : {"quarter outside", "quarter inside", "vamp", "tongue", "insole"})
    CHECK(per_pair(one) == 2);
  CHECK(draft->spec.proposed.size() > 100);
}

// Pieces, corners and edges of the draft under the rules of the style that was made by hand: the points of
// both, all else of the formes from that style.
TEST_CASE("under the same rules a draft's pieces are graded as those of the style made by hand",
          "[new][draft]") {
  const DraftFolder folder("draft-near");
  const BinaryRun run =
      run_binary(fmt::format("new {0}/shell.dxf {0}/bottom.dxf --measures {0}/style.json --out {1}",
                             kDemoFolder, folder.file("demo.json")));
  REQUIRE(run.exit_code == 0);
  Json draft = parse_json(read_bytes(folder.file("demo.json")), "demo.json")->root;
  Json made = parse_json(read_bytes(kDemoFolder + "/style.json"), "style.json")->root;
  for (const char* forme : {"shell", "bottom"}) {
    Json points = draft["formes"][forme]["points"];
    draft["formes"][forme] = made["formes"][forme];
    for (const auto& [name, at] : points.items()) {
      if (!draft["formes"][forme]["points"].contains(name)) draft["formes"][forme]["points"][name] = at;
    }
  }
  draft["girths"] = made["girths"];
  for (Json& piece : made["pieces"])
    piece.erase("sizes_tied");  // which sizes share a stiffener, no drawing says
  for (const char* drawing : {"shell", "bottom"})
    made["drawings"][drawing]["file"] = kDemoFolder + "/" + drawing + ".dxf";
  folder.put("demo.json", draft.dump());
  folder.put("made.json", made.dump());
  const Checked<LoadedStyle> one = load_style(folder.file("made.json"));
  const Checked<LoadedStyle> other = load_style(folder.file("demo.json"));
  for (const Problem& problem : other.problems()) UNSCOPED_INFO(to_text(problem));
  REQUIRE((one.ok() && other.ok()));
  const auto apart = nets_apart(
      *one, *other, {{"outside quarter", "quarter outside"}, {"inside quarter", "quarter inside"}});
  CHECK(apart.size() == 17);
  for (const auto& [piece, mm] : apart) {
    INFO(piece);
    CHECK(mm <= 0.01);
  }
}

namespace {

// Upper, bottom and straps of the invented court, each at its place, and what a draft of them says.
BinaryRun drafted_court(const DraftFolder& folder, const std::string& upper, const std::string& more = "") {
  folder.put("upper.dxf", upper);
  folder.put("bottom.dxf", court_drawing(court_bottom(), {}));
  folder.put("straps.dxf", court_drawing(court_straps(), {}));
  return run_binary(fmt::format(
      "new {0}/upper.dxf {0}/bottom.dxf {0}/straps.dxf --scale paris-point --size 36 --widths N,M,W "
      "--kind court,strap --force --out {0}/court.json {1}",
      folder.path.string(), more));
}

// Each piece where it was drawn, most of them turned, one of them turned over.
std::string loose_upper() {
  std::string blocks;
  std::string inserts;
  std::size_t n = 0;
  for (const DrawnPiece& piece : court_upper()) {
    SheetPlace place;
    place.degrees = n == 0 ? 0.0 : 37.0 * static_cast<double>(n);
    place.over = n == 2;
    place.shift = {400.0 * static_cast<double>(n % 3), 400.0 * static_cast<double>(n / 3)};
    blocks += block_of(piece, place);
    inserts += tags("0 INSERT|8 0|2 " + piece.name + "|10 0|20 0");
    ++n;
  }
  return section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) + section("BLOCKS", blocks) +
         section("ENTITIES", inserts) + "0\nEOF\n";
}

}  // namespace

TEST_CASE("a draft of an invented court with widths of its own passes its checks", "[new][draft]") {
  const DraftFolder folder("draft-court");
  const BinaryRun run = drafted_court(folder, court_drawing(court_upper(), {}));
  INFO(run.output);
  REQUIRE(run.exit_code == 0);
  CHECK(fs::exists(folder.file("court-widths.json")));
  CHECK_THAT(run.output, Catch::Contains("no known ladder has these widths"));
  passes(folder.file("court.json"));
  const Checked<LoadedStyle> load = load_style(folder.file("court.json"));
  REQUIRE(load.ok());
  CHECK(load->spec.run_widths == std::vector<std::string>{"N", "M", "W"});
  CHECK(load->spec.base_width == "M");
  CHECK(load->spec.proposed.size() > 50);
}

TEST_CASE("a draft's lines grow as they are drawn, also where a measure has no figure", "[new][draft]") {
  // No bottom is drawn, so nothing says what the tread is; the strap is a share of the girth.
  const DraftFolder folder("draft-shares");
  folder.put("upper.dxf", court_drawing(court_upper(), {}));
  folder.put("strap.dxf", court_drawing(court_straps(), {}));
  const BinaryRun run = run_binary("new " + folder.file("upper.dxf") + " " + folder.file("strap.dxf") +
                                   " --out " + folder.file("a.json"));
  INFO(run.output);
  CHECK_THAT(run.output, Catch::Contains("no bottom is drawn, so nothing shows the ball girth"));
  const BinaryRun checked = run_binary("check " + folder.file("a.json") + " --all");
  INFO(checked.output);
  CHECK_THAT(checked.output, Catch::Contains("base share"));
  CHECK_THAT(checked.output, !Catch::Contains("LOOK base share") && !Catch::Contains("FAIL base share"));
  const Checked<LoadedStyle> load = load_style(folder.file("a.json"));
  REQUIRE(load.ok());
  const MeasureTable& table = load->measures;
  int shares = 0;
  for (const FormeSpec& forme : load->spec.formes) {
    const auto at = [&](const std::string& name) {
      return std::find_if(forme.points.begin(), forme.points.end(),
                          [&](const NamedPoint& one) { return one.name == name; })
          ->at;
    };
    for (const Rule& rule : forme.rules) {
      const auto* line = std::get_if<MeasureLine>(&rule);
      if (line == nullptr || line->carries.size() != 1 || forme.name != "ankle strap") continue;
      const auto& [measure, share] = line->carries.front();
      INFO(forme.name + ": " + line->name);
      CHECK(share.value() * table.value(*table.index(measure), table.base().at) ==
            Approx(distance(at(line->from), at(line->to))).margin(0.02));
      ++shares;
    }
  }
  CHECK(shares > 1);
}

TEST_CASE("pieces side by side, turned and turned over are laid onto the forme only when asked",
          "[new][draft]") {
  const DraftFolder folder("draft-loose");
  REQUIRE(drafted_court(folder, court_drawing(court_upper(), {})).exit_code == 0);
  const Checked<LoadedStyle> in_place = load_style(folder.file("court.json"));
  REQUIRE(in_place.ok());
  const BinaryRun told = drafted_court(folder, loose_upper());
  INFO(told.output);
  CHECK_THAT(told.output, Catch::Contains("--lay lays it so"));
  CHECK(told.output.find("is laid on") == std::string::npos);
  const BinaryRun laid = drafted_court(folder, loose_upper(), "--lay");
  INFO(laid.output);
  REQUIRE(laid.exit_code == 0);
  CHECK_THAT(laid.output, Catch::Contains("turned over") && Catch::Contains("miss each other by 0.000 mm"));
  const Checked<LoadedStyle> load = load_style(folder.file("court.json"));
  REQUIRE(load.ok());
  CHECK(load->spec.formes.size() == 3);
  // As large and as long all round in every size as where they were drawn in place.
  const auto sizes = net_sizes(*load);
  std::size_t compared = 0;
  for (const auto& [piece, wanted] : net_sizes(*in_place)) {
    INFO(piece);
    REQUIRE(sizes.contains(piece));
    for (std::size_t cell = 0; cell < wanted.size(); ++cell) {
      CHECK(sizes.at(piece)[cell].first == Approx(wanted[cell].first).margin(0.5));
      CHECK(sizes.at(piece)[cell].second == Approx(wanted[cell].second).margin(0.01));
      ++compared;
    }
  }
  CHECK(compared == 9 * 18);
}

TEST_CASE("a text beside a mark names a point of the forme, and the rules stand on it", "[new][draft]") {
  const DraftFolder folder("draft-marks");
  const auto mark = [](const char* name, Vec2 at) {
    return tags(fmt::format("0 POINT|8 MARKS|10 {0}|20 {1}|0 TEXT|8 MARKS|10 {2}|20 {1}|40 2.5|1 {3}", at.x,
                            at.y, at.x + 2, name));
  };
  const BinaryRun run = drafted_court(
      folder,
      court_drawing(court_upper(), {}, "1",
                    mark("JOINT", {160, -6.5}) + mark("buckle place", {60, 20}) + mark("bow", {200, 90})));
  INFO(run.output);
  // The joint was marked where the pieces do not carry all of the girth: said, and no success.
  REQUIRE(run.exit_code == 1);
  CHECK(run_binary("check " + folder.file("court.json")).exit_code == 1);
  CHECK_THAT(run.output,
             Catch::Contains("fails: girth in pieces, ball girth") && Catch::Contains("checks fail"));
  CHECK_THAT(run.output, Catch::Contains("the point joint is marked in the drawing"));
  // One that lies in no piece is used as well.
  CHECK_THAT(run.output, Catch::Contains("2 by points of the formes, 0 left out"));
  CHECK(run.output.find("left out:") == std::string::npos);
  const Checked<LoadedStyle> load = load_style(folder.file("court.json"));
  REQUIRE(load.ok());
  const auto& points = load->spec.formes.front().points;
  const auto at = [&](const std::string& name) {
    return std::find_if(points.begin(), points.end(),
                        [&](const NamedPoint& one) { return one.name == name; });
  };
  REQUIRE(at("joint") != points.end());
  CHECK(at("joint")->at == Vec2{160, -6.5});
  REQUIRE(at("buckle place") != points.end());
}

TEST_CASE("without a bottom no ball girth is stated, but what lies over the upper", "[new][draft]") {
  const DraftFolder folder("draft-upper-alone");
  const std::string upper = folder.put("upper.dxf", court_drawing(court_upper(), {}));
  const std::string bottom = folder.put("bottom.dxf", court_drawing(court_bottom(), {}));
  const auto named = [&](const std::string& drawings, const std::string& more = "") {
    const BinaryRun run =
        run_binary(fmt::format("new {} --scale paris-point --size 36 --widths 2,3,4 --out {} --force {}",
                               drawings, folder.file("first.json"), more));
    INFO(run.output);
    REQUIRE(run.exit_code == 0);
    const Checked<LoadedStyle> load = load_style(folder.file("first.json"));
    REQUIRE(load.ok());
    return load->spec;
  };
  const auto find = [](const StyleSpec& spec, const std::string& name) {
    return std::find_if(spec.measures.begin(), spec.measures.end(),
                        [&](const MeasureSpec& one) { return one.name == name; });
  };
  const StyleSpec alone = named(upper);
  CHECK(find(alone, "ball girth") == alone.measures.end());
  CHECK(find(alone, "tread") == alone.measures.end());
  CHECK(alone.girths.empty());
  const auto part = find(alone, "ball girth over the upper");
  REQUIRE(part != alone.measures.end());
  // With the bottom: the girth is this and the tread, and so are its steps.
  const StyleSpec whole = named(upper + " " + bottom);
  CHECK(find(whole, "ball girth over the upper") == whole.measures.end());
  const auto girth = find(whole, "ball girth");
  const auto tread = find(whole, "tread");
  REQUIRE(girth != whole.measures.end());
  REQUIRE(tread != whole.measures.end());
  CHECK(girth->base.millimetres.value() ==
        Approx(part->base.millimetres.value() + tread->base.millimetres.value()).margin(0.02));
  CHECK(girth->per_size.millimetres == part->per_size.millimetres + tread->per_size.millimetres);
  CHECK(girth->per_width.millimetres == part->per_width.millimetres + tread->per_width.millimetres);
  // Figures that are given are used as they are.
  const StyleSpec given = named(
      upper, "--measures " +
                 folder.put("house.json",
                            R"({"ball girth": {"base": "214 mm", "per_size": "5 mm", "per_width": "5 mm"},
                                            "tread": {"base": "76 mm", "per_size": "1.6 mm", "per_width": "1.5 mm"}})"));
  CHECK(find(given, "ball girth") != given.measures.end());
  CHECK(find(given, "ball girth over the upper") == given.measures.end());
}

TEST_CASE("measures are taken from a style, from an object, and refused with their place", "[new][draft]") {
  const DraftFolder folder("draft-measures");
  const std::string upper = court_drawing(court_upper(), {});
  const std::string bare = folder.put(
      "bare.json",
      R"({"ball girth": {"base": "180 mm", "per_size": "4.5 mm", "per_width": "6 mm", "source": "house"}})");
  BinaryRun run = drafted_court(folder, upper, "--measures " + bare);
  INFO(run.output);
  REQUIRE(run.exit_code == 0);
  const Checked<LoadedStyle> load = load_style(folder.file("court.json"));
  REQUIRE(load.ok());
  const auto& measures = load->spec.measures;
  const auto girth = std::find_if(measures.begin(), measures.end(),
                                  [](const MeasureSpec& one) { return one.name == "ball girth"; });
  REQUIRE(girth != measures.end());
  CHECK(girth->per_width.written == "6 mm");
  passes(folder.file("court.json"));
  // Another shoe's figure is not made this one's by an extra: the checks of the draft fail.
  const std::string other = folder.put(
      "other.json", R"({"ball girth": {"base": "214 mm", "per_size": "4.5 mm", "per_width": "6 mm"}})");
  run = drafted_court(folder, upper, "--measures " + other);
  CHECK(run.exit_code == static_cast<int>(ExitCode::kCheckFailed));
  CHECK_THAT(run.output, Catch::Contains("so no extra is stated. Is the figure right?") &&
                             Catch::Contains("fails: girth in pieces, ball girth"));
  const std::string wrong = folder.put(
      "wrong.json", "{\n \"ball girth\": {\"base\": \"lots\", \"per_size\": 5, \"per_width\": 5}\n}");
  run = drafted_court(folder, upper, "--measures " + wrong);
  CHECK(run.exit_code == static_cast<int>(ExitCode::kBadInput));
  CHECK_THAT(run.output, Catch::Contains("wrong.json:2") && Catch::Contains("/measures/ball girth/base"));
  run = drafted_court(folder, upper, "--size 99");
  CHECK(run.exit_code != 0);
  run = drafted_court(folder, upper, "--kind derbi");
  CHECK(run.exit_code == static_cast<int>(ExitCode::kUsage));
}
