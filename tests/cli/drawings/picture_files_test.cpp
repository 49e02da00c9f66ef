#include "cli/drawings/picture_files.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "cli/app.hpp"
#include "grading/grade/lay.hpp"
#include "grading/jobs/load_style.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

const std::string kDemo = test::demo_style();

int grade(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), {"lastwright", "grade", kDemo});
  std::vector<const char*> argv;
  for (const std::string& argument : arguments) argv.push_back(argument.c_str());
  return run_lastwright(static_cast<int>(argv.size()), argv.data());
}

std::vector<std::string> names_below(const ScratchFolder& scratch, const std::string& folder) {
  std::vector<std::string> names;
  for (const auto& [name, bytes] : contents(scratch / folder)) names.push_back(name);
  return names;
}

}  // namespace

TEST_CASE("pieces cut double lie fold on fold, level or upright, in every size and at true scale", "[lay]") {
  const Checked<LoadedStyle> read = load_style(kDemo);
  REQUIRE(read.ok());
  const auto style = grade_style(read->spec, read->measures, read->run, read->pieces);
  REQUIRE(style.ok());
  int doubled = 0;
  for (std::size_t piece = 0; piece < style->pieces.size(); ++piece) {
    const auto corner = pinned_corner(*style, piece);
    CHECK(corner.has_value() == style->pieces[piece].bound.spec.fold.has_value());
    for (std::size_t cell = 0; cell < style->run_cells(); cell += 7) {
      const GradedPiece drawn = style->drawn_piece(piece, cell);
      const GradedPiece lying = laid(drawn, lay_of(*style, piece, cell));
      if (!corner) {
        CHECK(lying.net.path.vertices == drawn.net.path.vertices);
        continue;
      }
      ++doubled;
      CHECK(std::abs(signed_area(lying.net.path) - signed_area(drawn.net.path)) < 1e-8);
      CHECK(std::abs(length(lying.net.path) - length(drawn.net.path)) < 1e-9);
      // One end of the fold at the origin, the other on an axis.
      const auto& edges = style->pieces[piece].bound.edges;
      Box2 fold;
      for (std::size_t i = 0; i < lying.net.path.size(); ++i) {
        if (edges[lying.net.edge[i]].spec.name != style->pieces[piece].bound.spec.fold) continue;
        fold.add(lying.net.path.segment(i).a);
        fold.add(lying.net.path.segment(i).b);
      }
      CHECK(std::min(fold.width(), fold.height()) < 1e-9);
      CHECK(std::max(fold.width(), fold.height()) > 20.0);
      CHECK(std::min(norm(fold.low), norm(fold.high)) < 1e-9);
    }
  }
  CHECK(doubled > 50);
}

TEST_CASE("sheets and nests follow the selection, the same whatever the threads", "[grade]") {
  const ScratchFolder scratch;
  const std::vector<std::string> part = {"--pieces", "vamp,tongue", "--sizes", "6,9.5,10", "--widths", "G"};
  const auto with = [&](std::vector<std::string> more) {
    more.insert(more.end(), part.begin(), part.end());
    return more;
  };
  REQUIRE(grade(with({"--out", scratch / "one", "--threads", "1"})) == 0);
  CHECK(names_below(scratch, "one/nests") ==
        std::vector<std::string>{"tongue sizes in G.svg", "tongue widths of 9.5.svg", "vamp sizes in G.svg",
                                 "vamp widths of 9.5.svg"});
  // The base, 8 F, is not among them: the nearest stands in for it.
  CHECK(names_below(scratch, "one/sheets") == std::vector<std::string>{"tongue 9.5 G.svg", "vamp 9.5 G.svg"});
  CHECK(names_below(scratch, "one/pieces").size() == 12);
  REQUIRE(grade(with({"--out", scratch / "two", "--threads", "4"})) == 0);
  CHECK(contents(scratch / "one") == contents(scratch / "two"));

  REQUIRE(grade(with({"--out", scratch / "all", "--sheets", "all", "--nest-line", "net"})) == 0);
  CHECK(names_below(scratch, "all/sheets").size() == 6);
  CHECK(contents(scratch / "all/nests") != contents(scratch / "one/nests"));
  REQUIRE(grade(with({"--out", scratch / "dxf", "--sheets", "none", "--pictures", "none"})) == 0);
  CHECK(names_below(scratch, "dxf/sheets").empty());
  const std::vector<std::string> bare = names_below(scratch, "dxf/pieces");
  CHECK(bare.size() == 6);
  CHECK(
      std::all_of(bare.begin(), bare.end(), [](const std::string& name) { return name.ends_with(".dxf"); }));
  CHECK(contents(scratch / "dxf/nests") == contents(scratch / "one/nests"));
  CHECK(grade(with({"--out", scratch / "wrong", "--sheets", "some"})) == static_cast<int>(ExitCode::kUsage));
}

TEST_CASE("sizes that are tied are one outline of a nest with one name", "[lay]") {
  const ScratchFolder scratch;
  REQUIRE(grade({"--pieces", "stiffener", "--widths", "F", "--out", scratch / "nest"}) == 0);
  std::string nest;
  for (const auto& [name, bytes] : contents(scratch / "nest/nests")) {
    if (name.find("sizes in F") != std::string::npos) nest = bytes;
  }
  // The demo ties the stiffener's sizes in four groups.
  for (const char* label :
       {">5 to 6.5<", ">7 to 8.5<", ">9 to 10.5<", ">11 to 13<", "sizes 5 to 13 in width F"})
    CHECK(nest.find(label) != std::string::npos);
  CHECK(nest.find(">5.5<") == std::string::npos);
}
