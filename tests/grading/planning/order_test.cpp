#include "grading/planning/order.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "grading/json/json_text.hpp"
#include "grading/json/schema_outline.hpp"
#include "grading/planning/calendar.hpp"
#include "grading/planning/headings.hpp"
#include "grading/planning/tickets.hpp"
#include "grading/planning/works_calendar.hpp"
#include "grading/planning/works_json.hpp"
#include "tests/support/outline_keys.hpp"
#include "tests/support/read_order.hpp"

namespace lastwright {

using test::order_of;
using test::short_run;

TEST_CASE("an order is pairs by size and width", "[planning]") {
  const Order order =
      order_of("size,width,pairs,case\r\n7,F,12,C1\n# a note\n\n\"7 1/2\",G,3,\n8.0,F,5,C2\n");
  REQUIRE(order.lines.size() == 3);
  CHECK(order.bad_rows.empty());
  CHECK(order.pairs == 20);
  CHECK(order.lines[0] == OrderLine{"boot", "7", "F", 12, "C1", 0, 2});
  CHECK(order.lines[1].size == "7.5");
  CHECK(order.lines[1].line == 5);
  CHECK(order.lines[2].size == "8");
}

TEST_CASE("a row may be a run, or cases of an assortment", "[planning]") {
  const Order run = order_of("style;7 F;8 G\nboot;4;\nboot;0;6\n");
  REQUIRE(run.lines.size() == 2);
  CHECK(run.lines[0].pairs == 4);
  CHECK(run.lines[1].width == "G");
  WorksSpec works;
  works.assortments["dozen"] = {{"7", "F", 4}, {"8", "G", 8}};
  const Order cases = order_of("assortment,cases\ndozen,3\n", works);
  REQUIRE(cases.lines.size() == 6);
  CHECK(cases.lines[1].pairs == 8);
  CHECK(cases.lines[1].case_number == "dozen 1");
  CHECK(cases.lines[5].case_number == "dozen 3");
  CHECK(cases.pairs == 36);
}

// A row that is not understood gives nothing, not even the part of it that could be.
TEST_CASE("bad rows are listed with their lines and left out", "[planning]") {
  WorksSpec works;
  works.assortments["odd"] = {{"7", "F", 4}, {"11", "F", 8}};
  const Order order = order_of(
      "style,size,width,pairs,assortment,cases\n"
      "boot,7,F,12,,\n"     // good
      "boot,9,F,12,,\n"     // no such size
      "boot,7,K,12,,\n"     // no such width
      "boot,7,F,-3,,\n"     // not a count
      "boot,7,F,1.5,,\n"    // not whole
      "shoe,7,F,12,,\n"     // no such style
      "boot,7,F\n"          // too short
      "boot,,,,none,2\n"    // no such assortment
      "boot,,,,odd,1\n"     // half of it is not made
      "boot,,,,,\n"         // nothing asked
      "boot,\"7,F,12,,\n",  // a quote left open
      works);
  CHECK(order.lines.size() == 1);
  CHECK(order.pairs == 12);
  REQUIRE(order.bad_rows.size() == 10);
  for (std::size_t k = 0; k < order.bad_rows.size(); ++k)
    CHECK(order.bad_rows[k].place.line == static_cast<long>(k) + 3);
  CHECK(order.bad_rows[0].message.find("not made in size \"9\"") != std::string::npos);
}

// A row is read to its end: one slip does not hide the next.
TEST_CASE("every bad cell of a table is listed", "[planning]") {
  WorksSpec works;
  works.assortments["odd"] = {{"7", "F", 4}, {"11", "F", 8}, {"7", "K", 1}};
  const auto lines = [](const Order& order) {
    std::vector<long> at;
    for (const Problem& one : order.bad_rows) at.push_back(one.place.line);
    return at;
  };
  const std::string header = "style,size,width,pairs,period,assortment,cases\n";
  const Order cells =
      order_of(header + "boot,9,K,x,0,,\nboot,7,F,1,,,\nboot,,,,,odd,none\nshoe,7,F,-1,,,\n", works);
  CHECK(lines(cells) == std::vector<long>{2, 2, 2, 2, 4, 4, 4, 5, 5});
  CHECK(cells.rows_left_out() == 3);
  CHECK(cells.pairs == 1);
  CHECK(lines(order_of("7 F,8 G,9 F\n1,x,-\n,2,\n")) == std::vector<long>{2, 2, 2});
}

TEST_CASE("headings are known whatever their capitals and blanks, and wherever they stand", "[planning]") {
  const auto read = [](const std::string& csv) {
    const Result<TextTable> table = parse_csv_table(csv, "order.csv", {}, heads_order);
    REQUIRE(table.ok());
    return read_order(*table, {{"boot", short_run()}}, {});
  };
  const Result<Order> order =
      read("Spring order\nfor us;;\n SIZE ;Width; Pairs\xC2\xA0;Remark of ours;8  g\n7;F;3;urgent;\n;;;;2\n");
  REQUIRE(order.ok());
  CHECK(order->pairs == 5);
  CHECK(order->lines.at(1).width == "G");
  CHECK(order->lines.at(0).line == 4);
  REQUIRE(order->told.size() == 2);
  CHECK(order->told[0].place.line == 3);
  CHECK(order->told[0].message.find("lines 1, 2") != std::string::npos);
  CHECK(order->told[1].message.find("\"Remark of ours\"") != std::string::npos);
  // Sizes that are no headings, and what may be meant for a column that counts.
  for (const std::string csv : {"size,width,pears\n7 1/2,F,3\n", "size,width,pairs,7 1/2\n7,F,1,2\n",
                                "size,width,pairs,cas\n7,F,1,2\n", "title\nsize,width\n7,F\n"}) {
    INFO(csv);
    CHECK_FALSE(read(csv).ok());
  }
  // The words of other tables are no columns, but it is said what they may be meant for.
  for (const std::string word : {"Qty", "quantity", "Count", "No. of pairs"}) {
    INFO(word);
    const Result<Order> other = read("size,width," + word + "\n7,F,3\n");
    REQUIRE_FALSE(other.ok());
    CHECK(other.problem().message.ends_with("; \"" + word +
                                            "\" is not known: call it \"pairs\" if it is that"));
  }
  CHECK(nearly_heads_order({"Size", "fitting", "qty"}));
  CHECK_FALSE(nearly_heads_order({"Size", "remark", "qty"}));
  const Result<Order> dated = read("size,width,pairs,Delivery date,qty\n7,F,3,soon,4\n");
  REQUIRE(dated.ok());
  CHECK(dated->pairs == 3);
  CHECK(dated->told.at(0).message ==
        "2 columns are not read and in no figure: \"Delivery date\" (called \"due\", it would be read), "
        "\"qty\"");
  // Which order its rows are of.
  CHECK(read("size,width,pairs,order\n7,F,3,SO-7\n8,F,3,SO-7\n")->name == "SO-7");
  const Result<Order> two = read("size,width,pairs,order\n7,F,3,SO-7\n8,F,3,SO-8\n9,F,3,SO-9\n");
  REQUIRE(two.ok());
  CHECK(two->names == std::vector<std::string>{"SO-7", "SO-8"});
  CHECK(two->name.empty());
  CHECK(two->told.at(0).message == "there are rows of 2 orders, planned together: SO-7, SO-8");
  CHECK(
      read("title\nsize,width\n7,F\n").problem().message.find("none of the first 3 rows has the headings") !=
      std::string::npos);
}

TEST_CASE("a due date is a day of the works' calendar", "[planning]") {
  Checked<WorksSpec> works = read_works(
      R"({"lastwright_works": 1, "calendar": {"first": "2031-04-14", "working_days": 5, "week": ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday"], "holidays": ["2031-04-18", "2031-04-21"]}})",
      "works.json");
  REQUIRE(works.ok());
  const std::string header = "size,width,pairs,case,period,due\n";
  // Beside the days at the end of the week two more are free, so five working days end on Tuesday the 22nd.
  const Order order = order_of(
      header +
          "7,F,1,,,2031-04-14\n7,G,1,,,2031-04-21\n8,F,1,,2,2031-04-23\n8,G,1,C,,2031-04-30\n7,F,2,C,,\n"
          "7,F,1,,,2031-04-13\n7,F,1,,,17.4.31\n7,F,1,,3,2031-04-14\n7,F,1,,,2031-02-30\n",
      *works);
  REQUIRE(order.lines.size() == 6);
  CHECK(order.lines[0].period == 1);
  CHECK(order.lines[1].period == 1);
  CHECK(order.lines[2].period == 2);
  CHECK(order.lines[3].period == 3);
  CHECK(order.lines[4].due == "2031-04-30");  // as its case
  std::vector<long> bad;
  for (const Problem& one : order.bad_rows) bad.push_back(one.place.line);
  CHECK(bad == std::vector<long>{8, 9, 10});
  // Before the calendar begins: ordered, in no period, and told as too early.
  CHECK(order.lines[5].period == 0);
  CHECK(order.lines[5].due == "2031-04-13");
  REQUIRE(order.told.size() == 2);
  CHECK(order.told[1].message.find("due 2031-04-13 is too early: it lies in no period") != std::string::npos);
  CHECK(order.told[1].place.line == 7);
  CHECK(order.told[0].message.find("due 2031-04-21: by the calendar the works does not work") !=
        std::string::npos);
  const WorksCalendar& calendar = *works->calendar;
  CHECK(day_text(period_begins(calendar, 2)) == "2031-04-23");
  CHECK(day_text(period_begins(calendar, 3)) == "2031-04-30");
  CHECK(day_text(period_begins(calendar, 0)) == "2031-04-07");
  CHECK(day_text(working_day_by(calendar, *day_number("2031-04-21"))) == "2031-04-17");
  const std::vector<OrderCase> cases = cases_of(order, 12);
  CHECK(cases.at(0).due == "2031-04-30");
  CHECK(cases.at(1).due == "2031-04-14");
  const Order bare = order_of(header + "7,F,1,,,2031-04-14\n8,F,1,,,2031-04-15\n");
  CHECK(bare.pairs == 2);
  REQUIRE(bare.told.size() == 1);
  CHECK(bare.told[0].message.find("no calendar") != std::string::npos);
}

// A sum beyond what an int holds would be no sum.
TEST_CASE("what a row states beside what it orders is refused, not left out", "[planning]") {
  WorksSpec works;
  works.assortments["dozen"] = {{"7", "F", 12}};
  const std::string header = "size,width,pairs,assortment,cases,8 G\n";
  for (const char* row :
       {"7,F,4,dozen,2,", ",,4,dozen,2,", "7,,,dozen,2,", ",,,dozen,2,6", "7,F,4,,2,", "7,F,,,,6"}) {
    INFO(row);
    const Order order = order_of(header + row + "\n7,G,1,,,\n", works);
    CHECK(order.pairs == 1);
    REQUIRE(order.bad_rows.size() == 1);
    CHECK(order.bad_rows[0].place.line == 2);
  }
  CHECK(order_of(header + "7,F,4,,,6\n,,,dozen,2,\n,,,,,3\n", works).pairs == 37);
}

TEST_CASE("a line that begins with # and may be a row is not passed over", "[planning]") {
  const Order order =
      order_of("# order of May\ncase,size,width,pairs\n#12,7,F,4\n\"#13\",7,F,5\n# late, but sure\n#\n");
  CHECK(order.pairs == 5);
  CHECK(order.lines.at(0).case_number == "#13");
  REQUIRE(order.bad_rows.size() == 1);
  CHECK(order.bad_rows[0].place.line == 3);
}

TEST_CASE("orders are parted into rows as readings are", "[planning]") {
  // A separator named at the start, a comma in quotes beside semicolons, rows of separators alone.
  for (const char* csv :
       {"sep=|\nsize|width|pairs\n7|F|4\n", "\"sep=;\"\r\nsize;width;pairs\r\n7;F;4\r\n",
        "case;size;width;pairs;\"8,5 G\"\nC1;7;F;4;\n;;;;\n", "size\twidth\tpairs\n7\tF\t4\n\t\t\n",
        "\xEF\xBB\xBFsize,width,pairs\n\n7,\"F\",4\n,,\n"}) {
    INFO(csv);
    const Result<TextTable> table = parse_csv_table(csv, "order.csv");
    REQUIRE(table.ok());
    REQUIRE(table->rows.size() == 1);
    CHECK(table->rows[0].fault.empty());
    CHECK(table->header.fields.size() >= 3);
    CHECK(table->rows[0].fields.size() == table->header.fields.size());
  }
  const Result<TextTable> latin = parse_csv_table("size,width,pairs\n7,F\xe9,4\n7,\"F,4\n", "order.csv");
  REQUIRE(latin.ok());
  REQUIRE(latin->rows.size() == 2);
  CHECK(latin->rows[0].fault == "the line is not text in UTF-8: save the file so");
  CHECK(latin->rows[1].fault == "a quote does not close in its line");
}

TEST_CASE("an order has an end", "[planning]") {
  std::string csv = "size,width,pairs\n";
  for (int k = 0; k < 103; ++k) csv += "7,F,1000000\n";
  const Order order = order_of(csv);
  CHECK(order.pairs == 100'000'000);
  CHECK(order.bad_rows.size() == 3);
}

TEST_CASE("a header that is no order's is refused", "[planning]") {
  for (const char* csv :
       {"size,width\n7,F\n", "size,width,pears\n7,F,1\n", "size,size,width,pairs\n7,7,F,1\n"}) {
    const Result<TextTable> table = parse_csv_table(csv, "order.csv");
    REQUIRE(table.ok());
    CHECK(!read_order(*table, {{"boot", short_run()}}, {}).ok());
  }
  CHECK(!parse_csv_table("", "order.csv").ok());
}

TEST_CASE("the works file's outline names and explains every key", "[planning]") {
  const std::string outline = schema_outline(works_schema());
  CHECK(test::explained_keys(works_schema(), outline) > 60);
}

TEST_CASE("where a nap runs one way both hands have it so", "[planning]") {
  PieceSpec quarter;
  quarter.hand = Hand::kHanded;
  quarter.per_pair = 2;
  using enum LatticeKind;
  // Of the two mirror images the one in the grain line itself.
  CHECK(lattice_kinds_of(quarter, {.half_turned = false}) ==
        std::vector<LatticeKind>{kTranslated, kMirroredHalfTurned});
  CHECK(lattice_kinds_of(quarter, {}).size() == 3);
  CHECK(lattice_kinds_of(quarter, {.half_turned = false, .mixed_hands = false}).size() == 1);
}

TEST_CASE("counted pieces are read to the last row, and name their style where there are several",
          "[planning]") {
  StyleSpec spec;
  for (const char* name : {"vamp", "quarter"}) {
    spec.pieces.emplace_back();
    spec.pieces.back().name = name;
  }
  const StyleGrade none;
  Order order;
  order.lines = {{"boot", "7", "F", 3, "", 0, 2}, {"mule", "7", "F", 3, "", 0, 3}};
  const auto read = [&](const std::string& csv, std::size_t styles) {
    const Result<TextTable> table = parse_csv_table(csv, "counted.csv", {}, heads_counted);
    REQUIRE(table.ok());
    std::vector<OrderedStyle> ordered{{"boot", &spec, &none}, {"mule", &spec, &none}};
    ordered.resize(styles);
    return read_counted(*table, ordered, order);
  };
  const CountedList sum = read("cut today\nPiece,SIZE,width,count,basket\nvamp,7.0,F,3,a\nvamp,7,F,4,b\n", 1);
  CHECK(sum.problems.empty());
  CHECK(sum.pieces == CountedPieces{{{"boot", "vamp", "7", "F"}, {7}}});
  CHECK(sum.told.size() == 2);
  CHECK(read("style,piece,size,width,count\nmule,vamp,7,F,3\n", 2).problems.empty());
  const CountedList bad = read(
      "style,piece,size,width,count\nmule,vamp,7,F,3\nmule,vamp,7,F,x\nboot,vmp,8,F,-1\nshoe,vamp,7,F,2\n",
      2);
  std::vector<long> lines;
  for (const Problem& one : bad.problems) lines.push_back(one.place.line);
  CHECK(lines == std::vector<long>{3, 4, 4, 4, 5});
  const auto says = [&](const std::string& csv, const std::string& words) {
    const CountedList counted = read(csv, 2);
    REQUIRE_FALSE(counted.problems.empty());
    CHECK(counted.problems.front().message.find(words) != std::string::npos);
  };
  says("piece,size,width\nvamp,7,F\n",
       "column \"count\" is missing; the table has piece, size, width, count and, the");
  says("piece,size,width,count\nvamp,7,F,3\n", "name one in a column \"style\"");
  says("style,piece,size,width,count\nmul,vamp,7,F,3\n", "no style \"mul\" (did you mean \"mule\"?)");
  says("stile,piece,size,width,count\nmule,vamp,7,F,3\n", "no column \"stile\" (did you mean \"style\"?)");
  says("piece,size,width,qty\nvamp,7,F,3\n", "\"qty\" is not known: call it \"count\" if it is that");
  says("piece,size,width,count,foot\nvamp,7,F,3,L\n", "no column \"hand\"; \"foot\" is not known");
  says("piece,size,width,count,Side\nvamp,7,F,3,L\n",
       "\"Side\" is not known: call it \"hand\" if it is that");
  // With a column hand left and right are added up apart; of what serves both feet it counts for nothing.
  spec.pieces[0].hand = Hand::kSymmetric;
  spec.pieces[1].hand = Hand::kHanded;
  spec.pieces[1].per_pair = 2;
  const std::string by_hand = "style,piece,size,width,count,Hand\n";
  const CountedList hands =
      read(by_hand +
               "boot,quarter,7,F,2,L\nboot,quarter,7,F,4,right\nboot,quarter,7,F,1,Left\n"
               "boot,vamp,7,F,5,L\nboot,vamp,7,F,1,R\nboot,vamp,7,F,1,\n",
           2);
  CHECK(hands.problems.empty());
  CHECK(hands.pieces ==
        CountedPieces{{{"boot", "quarter", "7", "F"}, {7, true, 3, 4}}, {{"boot", "vamp", "7", "F"}, {7}}});
  REQUIRE(hands.told.size() == 1);
  CHECK(hands.told.front().message.starts_with("vamp serves either foot"));
  lines.clear();
  for (const Problem& one :
       read(by_hand + "boot,quarter,7,F,2,L\nboot,quarter,7,F,2,\nboot,quarter,7,F,2,both\n"
                      "boot,vamp,7,F,2,X\nboot,quarter,7,F,2,as drawn\n",
            2)
           .problems)
    lines.push_back(one.place.line);
  CHECK(lines == std::vector<long>{3, 4, 5, 6});  // the last: which foot is drawn is not known
  const CountedList empty = read("piece,size,width,count\n", 1);
  REQUIRE(empty.problems.size() == 1);
  CHECK(empty.problems.front().message.find("no row below") != std::string::npos);
  spec.drawn_foot = "right";
  const CountedList drawn = read(by_hand + "boot,quarter,7,F,2,as drawn\nboot,quarter,7,F,3,mirrored\n", 2);
  CHECK(drawn.pieces == CountedPieces{{{"boot", "quarter", "7", "F"}, {5, true, 3, 2}}});
  const std::string both_hands = by_hand + "boot,quarter,7,F,2,as drawn\nboot,quarter,7,F,3,mirrored\n";
  for (const char* foot : {"left", "both"}) {  // of the latter there is no left and right
    for (PieceSpec& piece : spec.pieces) piece.drawn_foot = foot;
    CHECK(read(both_hands, 2).pieces == CountedPieces{{{"boot", "quarter", "7", "F"}, {5, true, 2, 3}}});
  }
  CHECK(read(by_hand + "boot,quarter,7,F,2,left\n", 2).problems.size() == 1);
}

TEST_CASE("a works file is refused where it contradicts itself", "[planning]") {
  const auto problems = [](const std::string& text) {
    return read_works(text, "works.json").problems().size();
  };
  CHECK(problems(R"({"lastwright_works": 1})") == 0);
  CHECK(
      problems(
          R"({"lastwright_works": 1, "materials": {"x": {"hide": {"area_dm2": 200, "perimeter_mm": 6000}}}})") ==
      0);
  // A disc of 200 dm2 has 5013 mm round it.
  CHECK(
      problems(
          R"({"lastwright_works": 1, "materials": {"x": {"hide": {"area_dm2": 200, "perimeter_mm": 5000}}}})") ==
      1);
  CHECK(problems(R"({"lastwright_works": 1, "materials": {"x": {"bought_as": "roll"}}})") == 1);
  CHECK(problems(
            R"({"lastwright_works": 1, "materials": {"x": {"bought_as": "sheets", "width_mm": 900}}})") == 1);
  CHECK(problems(R"({"lastwright_works": 1, "supplies": {"x": {"of": {"y": 1}}}})") == 1);
  CHECK(problems(R"({"lastwright_works": 1, "material": {}})") == 1);
  CHECK(problems(R"({"lastwright_works": 1, "styles": []})") == 1);
  CHECK(problems(R"({"lastwright_works": 1, "supplies": {"x": {"styles": []}}})") == 1);
  // A supplier's lead time holds for what comes from him and states none.
  const Checked<WorksSpec> led = read_works(
      R"({"lastwright_works": 1, "suppliers": {"Mill": {"lead": 3}}, "supplies": {"a": {"supplier": "Mill"}, "b": {"supplier": "Mill", "lead": 0}, "c": {}}})",
      "works.json");
  REQUIRE(led.ok());
  CHECK(led->supplies[0].lead == 3);
  CHECK(led->supplies[1].lead == 0);
  CHECK_FALSE(led->supplies[2].lead.has_value());
  CHECK(
      problems(
          R"({"lastwright_works": 1, "suppliers": {"Mil": {"lead": 3}}, "supplies": {"a": {"supplier": "Mill"}}})") ==
      1);
  CHECK(problems(R"({"lastwright_works": 1, "calendar": {"first": "2031-03-03"}})") == 1);
  // A piece is of one part of the shoe, of all styles and of one; twice in one part it counts once.
  CHECK(problems(
            R"({"lastwright_works": 1, "labels": {"parts": {"upper": ["a", "a"], "outer sole": ["b"]}}})") ==
        0);
  CHECK(problems(R"({"lastwright_works": 1, "labels": {"parts": {"upper": ["a"], "outer sole": ["a"]}}})") ==
        1);
  CHECK(
      problems(
          R"({"lastwright_works": 1, "styles": {"s": "s.json"}, "labels": {"by_style": {"s": {"parts": {"upper": ["a"], "outer sole": ["a"]}}}}})") ==
      1);
  CHECK(
      problems(
          R"({"lastwright_works": 1, "calendar": {"first": "2031-03-03", "days": 7, "working_days": 5}})") ==
      1);
  CHECK(
      problems(
          R"({"lastwright_works": 1, "calendar": {"first": "2031-03-01", "working_days": 5, "week": ["Monday"]}})") ==
      1);
  CHECK(
      problems(
          R"({"lastwright_works": 1, "calendar": {"first": "2031-03-03", "days": 7, "holidays": ["2031-02-30", "2031-05-01", "2031-05-01"]}})") ==
      2);
}

}  // namespace lastwright
