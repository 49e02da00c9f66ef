// The built-in tables against what the sources print. Each check names its source.
#include <catch2/catch.hpp>
#include <cmath>

#include "grading/measures/reference_tables.hpp"
#include "tests/support/reference_csv.hpp"

using namespace lastwright;
using lastwright::test::reference_csv;

namespace {

Fraction in_millimetres(const std::string& inches) {
  return parse_quantity(inches + " in")->millimetres;
}

}  // namespace

// Source: F. Y. Golding, The Manufacture of Boots and Shoes, London 1902,
// "Irregular Gradations", male scale, 3 fitting. 71 cells are undamaged; the
// 2 restored ones were restored from the very rules, so they are no evidence.
TEST_CASE("the rules reach every printed cell of the handbook's male scale", "[published]") {
  const ReferenceTables tables;
  const auto printed = tables.find_printed("golding-male-3");
  const auto ruled = tables.find_ruled("golding-male-3");
  REQUIRE(printed);
  REQUIRE(ruled);
  int evidence = 0;
  int restored = 0;
  for (const PrintedCell& cell : printed->cells) {
    INFO(cell.measure << " of " << cell.size.label << ": " << cell.printed << " in");
    const auto index = ruled->table.index(cell.measure);
    REQUIRE(index);
    const Fraction value = ruled->table.exact(*index, {cell.size, {}});
    if (!cell.not_evidence.empty()) {
      ++restored;
      continue;
    }
    ++evidence;
    const Fraction off = value < cell.millimetres ? cell.millimetres - value : value - cell.millimetres;
    CHECK(off <= cell.half_digit);
    CHECK(off == 0);  // stronger: the handbook's rows are exact
  }
  CHECK(evidence == 71);
  CHECK(restored == 2);
}

TEST_CASE("the handbook's cells were carried over without a slip", "[.shared]") {
  const ReferenceTables tables;
  const auto printed = tables.find_printed("golding-male-3");
  REQUIRE(printed);
  std::map<std::pair<std::string, std::string>, const PrintedCell*> cells;
  for (const PrintedCell& cell : printed->cells) cells[{cell.size.label, cell.measure}] = &cell;
  std::size_t compared = 0;
  for (const auto& row : reference_csv("golding-male-scale-3fitting.csv")) {
    const std::string size = (row.at("size_group") == "child" ? "child " : "") + row.at("size");
    for (const auto& [column, measure] : {std::pair{"joint", "ball girth"},
                                          {"instep", "instep girth"},
                                          {"tread", "tread"},
                                          {"seat", "seat"}}) {
      std::string text = row.at(std::string(column) + "_in");
      if (text.empty()) continue;
      INFO(size << " " << measure << " " << text);
      const bool damaged = text.back() == '*';
      if (damaged) text.pop_back();
      const auto found = cells.find({size, measure});
      REQUIRE(found != cells.end());
      CHECK(found->second->millimetres == in_millimetres(text));
      CHECK(found->second->not_evidence.empty() != damaged);
      CHECK(found->second->millimetres.value() ==
            Approx(std::stod(row.at(std::string(column) + "_mm"))).margin(0.0051));
      ++compared;
    }
  }
  if (compared > 0) CHECK(compared == printed->cells.size());
}

// Source: lengths derived from the published origins and steps of the scales (no independent table exists).
TEST_CASE("last lengths of the English and American scales are exact", "[.shared]") {
  const std::map<std::string, std::pair<std::string, std::string>> scales = {
      {"UK_child", {"english", "child "}},
      {"UK_adult", {"english", ""}},
      {"US_child_stick", {"american-stick", "child "}},
      {"US_adult_stick", {"american-stick", ""}},
      {"US_men_customary", {"american-men", ""}},
      {"US_women_customary", {"american-women", ""}}};
  const ReferenceTables tables;
  std::size_t compared = 0;
  for (const auto& row : reference_csv("last_length_scales_derived.csv")) {
    INFO(row.at("scale") << " " << row.at("size"));
    const auto& [key, prefix] = scales.at(row.at("scale"));
    const auto scale = tables.find_scale(key);
    REQUIRE(scale);
    const auto size = scale->size(prefix + row.at("size"));
    REQUIRE(size);
    CHECK(scale->length(*size) == in_millimetres(row.at("last_length_in")));
    CHECK(scale->length(*size).value() == Approx(std::stod(row.at("last_length_mm"))).margin(5e-5));
    ++compared;
  }
  if (compared > 0) CHECK(compared == 176);
}

// Source: scale origins collected from public trade notes; formulas S = 3L - c.
TEST_CASE("every scale starts where its published origin says", "[published]") {
  struct Case {
    const char* key;
    const char* label;
    const char* length_in;
  };
  const Case cases[] = {{"english", "child 0", "4"},
                        {"american-stick", "child 0", "3 11/12"},
                        {"american-stick", "child 1", "4 1/4"},
                        {"american-men", "1", "8 1/3"},
                        {"american-women", "3", "8 1/2"},
                        {"american-women-1", "1", "8"},
                        {"american-child", "0", "3 8/9"},
                        {"american-men-foot", "1", "7 2/3"}};
  const ReferenceTables tables;
  for (const Case& one : cases) {
    INFO(one.key);
    const auto scale = tables.find_scale(one.key);
    REQUIRE(scale);
    CHECK(scale->length(*scale->size(one.label)) == in_millimetres(one.length_in));
  }
  const auto english = tables.find_scale("english");
  const auto men = tables.find_scale("american-men");
  const auto women = tables.find_scale("american-women");
  const auto women_1 = tables.find_scale("american-women-1");
  const auto child = tables.find_scale("american-child");
  for (int s = 1; s <= 13; ++s) {
    const auto label = [](Fraction value) { return to_decimal(value); };
    const Fraction length = english->length(*english->size(label(s)));
    CHECK(men->length(*men->size(label(s + 1))) == length);          // American men's = English + 1
    CHECK(women_1->length(*women_1->size(label(s + 2))) == length);  // women's = men's + 1
    CHECK(women->length(*women->size(label(Fraction(2 * s + 5, 2)))) == length);  // women's = men's + 1.5
  }
  // American children's = American men's + 12 1/3.
  CHECK(child->length(*child->size("13")) == men->length({Fraction(2, 3), {}}));
  const auto paris = tables.find_scale("paris-point");
  for (int p = 16; p <= 50; ++p) {
    CHECK(paris->length(*paris->size(to_decimal(p))) == Fraction(20 * p, 3));  // S = 1.5 L in cm
  }
}

// Source: JIS S 5037:1998 cells quoted by six public pages;
// the other cells of the file follow the published steps.
TEST_CASE("JIS girths follow the published steps and reach every quoted cell", "[.shared]") {
  const ReferenceTables tables;
  for (const std::string group : {"men", "women"}) {
    const auto ruled = tables.find_ruled("jis-" + group);
    const auto printed = tables.find_printed("jis-" + group);
    REQUIRE(ruled);
    REQUIRE(printed);
    for (const PrintedCell& cell : printed->cells) {
      INFO(group << " " << cell.size.label << " " << cell.width->label);
      CHECK(ruled->table.exact(0, {cell.size, *cell.width}) == cell.millimetres);
    }
    const auto scale = tables.find_scale("jis-" + group);
    const auto ladder = tables.find_ladder(ruled->ladder);
    std::size_t quoted = 0;
    const auto rows = reference_csv("jis_s5037_" + group + "_girth.csv");
    for (const auto& row : rows) {
      INFO(row.at("foot_length_mm") << " " << row.at("letter"));
      if (row.at("basis").rfind("quoted", 0) == 0) ++quoted;
      const auto width = ladder->width(row.at("letter"));
      if (!width) continue;  // the women's F and G are disputed
      const auto size = scale->size(to_decimal(Fraction(std::stoi(row.at("foot_length_mm")), 10)));
      REQUIRE(size);
      CHECK(ruled->table.exact(0, {*size, *width}) == *parse_fraction(row.at("foot_girth_mm")));
    }
    if (!rows.empty()) CHECK(quoted == printed->cells.size());
  }
}

// Source: GOST 9155-88, size list of rubber sports shoes as
// copied on a legal information page: 7.5 mm, truncated.
TEST_CASE("7.5 mm sizes are marked with their half millimetre dropped", "[.shared]") {
  const ReferenceTables tables;
  const auto rubber = tables.find_scale("russian-rubber");
  const auto mondopoint = tables.find_scale("mondopoint-7.5");
  REQUIRE(rubber);
  REQUIRE(mondopoint);
  std::string all;
  for (const auto& row : reference_csv("gost9155_sizes.csv")) {
    const std::string list = row.at("sizes_mm");
    for (std::size_t start = 0; start < list.size(); start += 4) {
      const std::string label = list.substr(start, 3);
      INFO(row.at("group") << " " << label);
      const auto size = rubber->size(label);
      REQUIRE(size);
      CHECK(size->label == label);
      CHECK(rubber->length(*size).floor() == std::stoi(label));
      CHECK((rubber->length(*size) / Fraction(15, 2)).denominator() == 1);
      CHECK(mondopoint->length(*mondopoint->size(label)) == rubber->length(*size));
    }
    CHECK(rubber->size(row.at("base_size_mm")));
  }
}

// Source: fullness formula attributed to GOST 3927-88 by two public pages: N = 0.25 G - 0.15 L - A; table
// computed from it.
TEST_CASE("Russian girths follow the fullness formula", "[.shared]") {
  const ReferenceTables tables;
  const auto scale = tables.find_scale("russian");
  const auto ladder = tables.find_ladder("russian-fullness");
  for (const auto& row : reference_csv("gost3927_girth_derived.csv")) {
    INFO(row.at("group") << " " << row.at("foot_length_mm") << " " << row.at("fullness"));
    const auto ruled = tables.find_ruled("russian-" + row.at("group"));
    REQUIRE(ruled);
    const SizeWidth cell{*scale->size(row.at("foot_length_mm")), *ladder->width(row.at("fullness"))};
    CHECK(ruled->table.exact(0, cell) == *parse_fraction(row.at("ball_girth_mm")));
  }
}

// Source: recommended marking of ISO 19407:2023 through a secondary chain (a public source file, a second one
// agreeing on the rows it quotes); not checked against the standard's text.
TEST_CASE("ISO 19407 rows are held together by the published rules", "[.shared]") {
  const ReferenceTables tables;
  const auto adult = tables.find_marking("iso-19407-adult");
  REQUIRE(adult);
  const auto paris = tables.find_scale("paris-point");
  for (const auto& row : adult->rows) {
    INFO("foot " << row.size);
    const Fraction foot = *parse_fraction(row.size);
    // A named allowance of two points, 13 1/3 mm, from the
    // foot to the last, then half points rounded half down.
    const Fraction points = (foot + Fraction(40, 3)) / paris->step;
    const Fraction halves = points * 2;
    const Fraction rounded = -Fraction((Fraction(1, 2) - halves).floor()) / 2;
    CHECK(to_decimal(rounded) == row.labels[0]);
    const Fraction english = *parse_fraction(row.labels[1]);
    CHECK(*parse_fraction(row.labels[2]) == english + 1);  // American men
    CHECK(*parse_fraction(row.labels[3]) == english + 2);  // American women
    CHECK(english ==
          round_to((foot - Fraction(976, 5)) / Fraction(423, 50), Fraction(1, 2)));  // fit, not published
  }
  std::size_t row_index = 0;
  for (const auto& row : reference_csv("iso19407_adult_recommended.csv")) {
    REQUIRE(row_index < adult->rows.size());
    const auto& ours = adult->rows[row_index++];
    CHECK(ours.size == row.at("foot_length_mm"));
    CHECK(ours.labels ==
          std::vector<std::string>{row.at("eu"), row.at("uk"), row.at("us_men"), row.at("us_women")});
  }
  const auto child = tables.find_marking("iso-19407-child");
  REQUIRE(child);
  const auto english = tables.find_scale("english");
  Fraction before = -1;
  for (const auto& row : child->rows) {
    const auto size =
        english->size(row.labels[1]);  // the restart is carried: 13.5 is followed by the adult 1
    REQUIRE(size);
    CHECK(size->position > before);
    before = size->position;
  }
}

TEST_CASE("a derived limit of readings is what its words reckon", "[readings]") {
  const ReferenceTables tables;
  const Result<std::vector<LimitRow>> limits = tables.find_limits("common");
  REQUIRE(limits);
  const double together = std::hypot(0.3, 0.3);  // as made and as read
  int derived = 0;
  for (const LimitRow& row : *limits) {
    if (row.source.provenance != Provenance::kDerived) continue;
    INFO(row.measure << ": " << row.source.text);
    CHECK(row.source.text.find("3.5 times 0.42 mm") != std::string::npos);
    CHECK(row.source.text.find("made and read to 0.3 mm each") != std::string::npos);
    CHECK(together == Approx(0.42).margin(0.005));
    const double limit = row.above.millimetres.value();
    CHECK(limit == std::ceil(2.0 * 3.5 * together) / 2.0);
    CHECK(row.below.millimetres == row.above.millimetres);
    // "of 2,500 about 1": the two tails of a normal distribution.
    CHECK(1.0 / std::erfc(limit / together / std::sqrt(2.0)) == Approx(2500.0).margin(100.0));
    ++derived;
  }
  CHECK(derived == 4);
}
