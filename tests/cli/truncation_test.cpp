// A good file cut off after any byte is refused, or reads
// as the whole: never as a smaller file that looks sound.
#include <catch2/catch.hpp>
#include <functional>

#include "cli/files/manifest.hpp"
#include "cli/tables/readings_csv.hpp"
#include "geometry/io/sewn/sewn_dxf.hpp"
#include "grading/dies/die_rules_json.hpp"
#include "grading/dies/order/ordered_die.hpp"
#include "grading/lasts/last_spec.hpp"
#include "grading/measures/reference_tables.hpp"
#include "grading/style/style_json.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

struct Reader {
  const char* file;  // of the fuzz corpus
  // The file as it was understood, written out again; empty when it was refused.
  std::function<std::optional<std::string>(std::string_view)> read;
};

std::optional<std::string> as_style(std::string_view text) {
  const StyleRead read = read_style(text, "a.json");
  return read.ok() ? std::optional(write_style(*read.style)) : std::nullopt;
}

std::optional<std::string> as_table(std::string_view text) {
  ReferenceTables tables;
  return tables.add(text, "a.json") ? std::optional<std::string>("added") : std::nullopt;
}

std::optional<std::string> as_last(std::string_view text) {
  const auto read = read_last_spec(text, "a.json");
  return read ? std::optional(read->bases.front().file) : std::nullopt;
}

std::optional<std::string> as_die_rules(std::string_view text) {
  StyleSpec style;
  style.pieces.emplace_back().name = "vamp";
  const Checked<DieRules> read = read_die_rules(text, "a.json", style);
  for (const Problem& problem : read.problems()) {
    if (problem.trouble == Trouble::kSyntax) return std::nullopt;
  }
  return "understood";
}

std::optional<std::string> as_manifest(std::string_view text) {
  const auto read = parse_manifest(text);
  return read ? std::optional(to_json(*read)) : std::nullopt;
}

std::optional<std::string> as_order(std::string_view text) {
  const auto read = read_die_order(text, "a.json");
  return read ? std::optional(std::to_string(read->size())) : std::nullopt;
}

std::optional<std::string> as_grade_rules(std::string_view text) {
  const auto read = read_grade_rules(text);
  return read ? std::optional(*write_grade_rules(*read)) : std::nullopt;
}

std::optional<std::string> as_sewn(std::string_view text) {
  const auto read = read_sewn_dxf(text);
  return read ? std::optional(*write_sewn_dxf(*read)) : std::nullopt;
}

}  // namespace

TEST_CASE("a file cut off after any byte is refused or whole", "[damage]") {
  const Reader reader =
      GENERATE(Reader{"style/small.json", as_style}, Reader{"table/scale-english.json", as_table},
               Reader{"table/measures-jis-men.json", as_table}, Reader{"last/small.json", as_last},
               Reader{"die-rules/small.json", as_die_rules},
               Reader{"written-json/manifest.json", as_manifest}, Reader{"written-json/order.json", as_order},
               Reader{"grade-rules/two.txt", as_grade_rules}, Reader{"sewn/two-vamps.dxf", as_sewn});
  const std::string good = bytes_of(test::project_dir() + "/tests/fuzz/corpus/" + reader.file);
  const auto whole = reader.read(good);
  INFO(reader.file);
  REQUIRE(whole);
  std::size_t refused = 0;
  for (std::size_t cut = 0; cut < good.size(); ++cut) {
    const auto read = reader.read(std::string_view(good).substr(0, cut));
    INFO("cut off after " << cut << " of " << good.size() << " bytes");
    if (read) REQUIRE(*read == *whole);
    if (!read) ++refused;
  }
  CHECK(refused > good.size() / 2);
}

// A CSV says nowhere how long it is: cut between two rows it is a sound, shorter file. Cut within a row, that
// row is refused; the report says how many readings there were.
TEST_CASE("readings cut off within a row are refused", "[damage][readings]") {
  const std::string header = "id,size,width,hand,measure,value,unit\n";
  const std::string row = "L1,8,F,left,ball girth,247.1,mm";
  for (std::size_t cut = 1; cut < row.size(); ++cut) {
    const auto read = parse_readings(header + row.substr(0, cut), "a.csv");
    REQUIRE(read);
    INFO(row.substr(0, cut));
    const bool unit_cut = read->rows.size() == 1 && read->rows.front().unit != "mm";
    CHECK((read->bad_rows.size() == 1 || unit_cut));  // "m" and "" are no units
  }
}
