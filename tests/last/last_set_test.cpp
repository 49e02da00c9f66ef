// The run of a last as values: its file and style, targets, ties to the formes, verdicts.
#include "grading/lasts/last_set.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "grading/lasts/style_told.hpp"
#include "grading/lasts/ties.hpp"
#include "grading/lasts/verify_last.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

const std::string kDemo = test::project_dir() + "/demo-patterns/cindergarth";

const LastSet& demo_set() {
  static const LastSet set = [] {
    Checked<LastSet> load = load_last_set(kDemo + "/last.json", {"8", "9"}, {"F", "G"}, {});
    REQUIRE(load.ok());
    return *std::move(load);
  }();
  return set;
}

}  // namespace

TEST_CASE("the targets of a size and width are the table's, and the bottom's shares follow the style",
          "[last][set]") {
  const LastSet& set = demo_set();
  REQUIRE(set.jobs.size() == 4);
  CHECK(set.jobs_of_run.size() > 40);
  const LastJob& job = set.jobs.back();  // 9 G
  CHECK(job.size_steps == 1.0);
  CHECK(job.width_steps == 1.0);
  CHECK_FALSE(job.beyond);
  const auto target = [&job](const std::string& measure) {
    for (const MeasureTarget& t : job.targets) {
      if (t.definition.measure == measure) return t.value;
    }
    return std::nan("");
  };
  // The style's own steps: a quarter of an inch of ball girth for a size and for a width.
  CHECK(target("ball girth") == Approx(247.0 + 12.7));
  CHECK(target("tread") == Approx(94.0 + 25.4 / 12 + 25.4 / 9));
  CHECK(std::isfinite(target("waist width")));
  CHECK(job.prior.stretch == Approx(1.0 + 25.4 / 3 / 279.4));
  CHECK(job.unlike.contains("short heel"));
}

TEST_CASE("the last's girth falls on upper and bottom as the formes' lines do", "[last][set]") {
  const LastSet& set = demo_set();
  const BaseLast& base = set.bases.front();
  const std::vector<GirthTie> ties = ties_of(set.style, base.at, base.definitions, base.values);
  REQUIRE(ties.size() == 3);
  for (const GirthTie& tie : ties) {
    INFO(tie.girth);
    CHECK(std::abs(tie.last_upper - tie.formes_upper) < 0.1);
    CHECK(std::abs(tie.last_bottom - tie.formes_bottom) < 0.1);
  }
  StyleSpec style = set.style.spec;
  CHECK(girths_have_roles(style).ok());
  for (FormeSpec& forme : style.formes) {
    forme.name = forme.name == "bottom" ? "sole" : forme.name;
    forme.stated_role.reset();
  }
  for (GirthSpec& girth : style.girths) {
    for (GirthPart& part : girth.parts) part.forme = part.forme == "bottom" ? "sole" : part.forme;
  }
  const Status refused = girths_have_roles(style);
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.problem().place.pointer == "/formes/sole");
}

TEST_CASE(
    "what the loading of a last's style notes is counted among the notes of its base, and the last's own "
    "told",
    "[last][set]") {
  CHECK(told_of_style(demo_set().style, "style.json").empty());
  LoadedStyle noted = demo_set().style;
  noted.notes = {"not used: the measure 'toe'", "forme shell: 2 points follow the last last.json"};
  const std::vector<std::string> told = told_of_style(noted, "style.json");
  REQUIRE(told.size() == 2);
  CHECK(told[0] == "style style.json: forme shell: 2 points follow the last last.json");
  CHECK(told[1] == "style style.json: 2 notes on what it states, which lastwright check style.json shows");
  // Of a loaded set they stand with its first base: a proposed value that nobody has confirmed is one.
  const std::string folder =
      (std::filesystem::temp_directory_path() / fmt::format("lastwright-noted-{}", ::getpid())).string();
  std::filesystem::create_directories(folder);
  std::filesystem::copy_file(kDemo + "/last.step", folder + "/last.step",
                             std::filesystem::copy_options::overwrite_existing);
  std::filesystem::copy_file(kDemo + "/last.json", folder + "/last.json",
                             std::filesystem::copy_options::overwrite_existing);
  std::ifstream in(kDemo + "/style.json");
  Json style = test::parsed_json(in);
  style["proposed"] = Json::array({{{"sure", "guess"}, {"what", "the ball girth"}}});
  std::ofstream(folder + "/style.json") << style;
  const Checked<LastSet> load = load_last_set(folder + "/last.json", {"8"}, {"F"}, {});
  REQUIRE(load.ok());
  const std::vector<std::string>& notes = load->bases.front().body.notes;
  std::filesystem::remove_all(folder);
  REQUIRE_FALSE(notes.empty());
  CHECK(notes.back().find("1 note on what it states, which lastwright check ") != std::string::npos);
}

TEST_CASE("a fault in the style of a last keeps its line", "[last][set]") {
  const Checked<LastSet> load = load_last_set(kDemo + "/no-such.json", {}, {}, {});
  CHECK_FALSE(load.ok());
  REQUIRE(load.problems().size() == 1);
  CHECK(load.problems().front().place.file == kDemo + "/no-such.json");
}

TEST_CASE("a verdict says pass or fail only where the uncertainty allows it", "[last][verify]") {
  CHECK(verdict_of(0.3, 0.1, 0.5, 1.0) == LastVerdict::kPass);
  CHECK(verdict_of(-0.3, 0.25, 0.5, 1.0) == LastVerdict::kInconclusive);
  CHECK(verdict_of(-0.7, 0.1, 0.5, 1.0) == LastVerdict::kFail);
  CHECK(verdict_of(0.55, 0.1, 0.5, 1.0) == LastVerdict::kInconclusive);
  CHECK(verdict_of(0.0, 0.0, 0.5, 0.9) == LastVerdict::kInconclusive);
  CHECK(verdict_of(std::nan(""), 0.0, 0.5, 1.0) == LastVerdict::kInconclusive);
}

TEST_CASE("what was measured names the size and width whose table it fits", "[last][verify]") {
  const LastSet& set = demo_set();
  const BaseLast& base = set.bases.front();
  GradedLast nominal;
  nominal.at = set.jobs.front().at;  // claimed: 8 F
  std::vector<VerifiedMeasure> rows;
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const auto in_table = set.style.measures.index(base.definitions[i].measure);
    const bool told = in_table && base.definitions[i].measure != "back height";
    nominal.asked.push_back(told ? set.style.measures.value(*in_table, nominal.at) : std::nan(""));
    nominal.values.push_back(base.values[i]);
    if (!told) continue;
    VerifiedMeasure row;
    row.index = i;
    row.scanned.value = set.style.measures.value(*in_table, set.jobs.back().at);  // and is 9 G
    rows.push_back(row);
  }
  const std::optional<BestFit> best = best_fit(set, rows, base, nominal, 0.5);
  REQUIRE(best.has_value());
  CHECK_FALSE(best->as_claimed);
  CHECK(best->at.size.label == "9");
  CHECK(best->at.width.label == "G");
  CHECK(best->misses < 1e-9);
  judge_measures(rows, base, nominal, 0.5);
  for (const VerifiedMeasure& row : rows) {
    const std::string& measure = base.definitions[row.index].measure;
    if (measure == "ball girth") CHECK(row.verdict == LastVerdict::kFail);
    if (measure == "ball girth") CHECK(row.wanted == Approx(247.0));
  }
}
