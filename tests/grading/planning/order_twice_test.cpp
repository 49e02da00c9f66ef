// What an order states twice, and cases of one number.
#include "grading/planning/order_twice.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "grading/planning/tickets.hpp"
#include "tests/support/read_order.hpp"

namespace lastwright {

using test::order_of;
using test::short_run;

TEST_CASE("what an order states twice is counted and told", "[planning]") {
  const auto lines = [](const Order& order) {
    std::vector<std::pair<long, std::string>> told;
    for (const Problem& one : order.told) told.emplace_back(one.place.line, one.message);
    return told;
  };
  const std::string header = "size,width,pairs,case,period\n";
  const Order same = order_of(header + "7,F,2,C1,3\n8,G,1,C1,3\n7,F,2,C1,3\n");
  CHECK(same.pairs == 5);
  REQUIRE(lines(same).size() == 1);
  CHECK(lines(same)[0].first == 4);
  CHECK(lines(same)[0].second.find("the same as that in line 2") != std::string::npos);
  const Order other = order_of(header + "7,F,2,C1,3\n7.0,F,5,C1,3\n");
  CHECK(other.pairs == 7);
  REQUIRE(lines(other).size() == 1);
  CHECK(lines(other)[0].second.find("orders 7 F of the same style, case, period and date as line 2") !=
        std::string::npos);
  // Another size, width or case, or another period of pairs without a case, is another row.
  CHECK(lines(order_of(header + "7,F,2,C1,3\n8,F,2,C1,3\n7,G,2,C1,3\n7,F,2,C2,3\n7,F,2,,3\n7,F,2,,4\n"))
            .empty());
  const Order late = order_of(header + "7,F,2,C1,3\n8,F,2,C1,4\n");
  REQUIRE(lines(late).size() == 1);
  CHECK(lines(late)[0].second.find("several periods: 3, 4; each pair is planned in its own") !=
        std::string::npos);
  WorksSpec works;
  works.assortments["odd"] = {{"7", "F", 4}, {"8", "F", 1}, {"7.0", "F", 4}};
  for (const Order& within : {order_of("assortment,cases\nodd,2\n", works), order_of("7 F,7.0 F\n4,4\n")}) {
    REQUIRE(lines(within).size() == 1);
    CHECK(lines(within)[0].second.find("orders 7 F more than once") != std::string::npos);
  }
  CHECK(lines(order_of("7 F,7.0 F\n4,\n")).empty());
  CHECK(order_of("7 F,7.0 F\n4,x\n8,\n").bad_rows.size() ==
        1);  // of a cell that is no number nothing else is said
  // Two numbers of one size and width: which is meant is not guessed.
  works.assortments["apart"] = {{"7", "F", 4}, {"8", "F", 1}, {"7.0", "F", 8}};
  const std::string cases = "assortment,cases,size,width,pairs,7 F,7.0 f,9 F\n";
  for (const char* const row : {"apart,2,,,,,,", ",,,,,4,8,", ",,,,,4,0,", ",,7,F,8,4,,"}) {
    INFO(row);
    const Order apart = order_of(cases + row + "\n,,8,G,3,,,0\n", works);
    CHECK(apart.pairs == 3);
    REQUIRE(apart.bad_rows.size() == 1);
    CHECK(apart.bad_rows[0].place.line == 2);
    CHECK(apart.bad_rows[0].message.find("states 7 F more than once and not alike (") != std::string::npos);
  }
  const Order alike = order_of(header + "7,F,2,C 1,3\n8,F,2,c1,3\n7,G,2,c1,3\n");
  REQUIRE(lines(alike).size() == 1);
  CHECK(lines(alike)[0].first == 3);
  CHECK(lines(alike)[0].second.find("another than \"C 1\" in line 2") != std::string::npos);
  // As leading zeros are, each further one in its own line; ten is not one, and a decimal is not a number.
  const Order zeros = order_of(header + "7,F,2,1,3\n8,F,2,10,3\n7,G,2,01,3\n8,G,1,001,3\n8,G,1,01,3\n" +
                               "8,G,2,0,3\n7,G,1,1.5,3\n7,G,1,1.05,3\n7,F,1,C-21,3\n7,F,1,c-021,3\n");
  REQUIRE(lines(zeros).size() == 3);
  CHECK(lines(zeros)[0] ==
        std::pair{4L, std::string("case \"01\" is another than \"1\" in line 2: they differ "
                                  "in capitals, blanks or leading zeros only")});
  CHECK(lines(zeros)[1].first == 5);
  CHECK(lines(zeros)[2].first == 11);
}

TEST_CASE("no two cases have one number", "[planning]") {
  WorksSpec works;
  works.assortments["dozen"] = {{"7", "F", 4}, {"8", "G", 8}};
  const std::string header = "style,size,width,pairs,case,assortment,cases\n";
  // A second case of an assortment under a number that is taken, and pairs added to a whole one.
  for (const std::string rows :
       {"boot,,,,C1,dozen,1\nboot,,,,C1,dozen,1\n", "boot,7,F,2,C1,,\nboot,,,,C1,dozen,1\n",
        "boot,,,,C1,dozen,1\nboot,7,F,2,C1,,\n"}) {
    const Order order = order_of(header + rows, works);
    REQUIRE(order.bad_rows.size() == 1);
    CHECK(order.bad_rows[0].place.line == 3);
    CHECK(order.bad_rows[0].message.find("line 2: give this one a number") != std::string::npos);
  }
  CHECK(order_of(header + "boot,,,,C,dozen,2\nboot,,,,C,dozen,2\nboot,7,F,2,D,,\nboot,8,F,2,D,,\n", works)
            .bad_rows.empty());
  // Numbers that a row gives are passed over where cases are numbered, before it and behind it.
  const Order given = order_of(
      header + "boot,,,,C,dozen,2\nboot,7,F,2,C 2,,\nboot,8,F,1,dozen 1,,\nboot,,,,,dozen,2\n", works);
  CHECK(given.bad_rows.empty());
  std::set<std::string> all;
  for (const OrderLine& line : given.lines) all.insert(line.case_number);
  CHECK(all == std::set<std::string>{"C 1", "C 3", "C 2", "dozen 1", "dozen 2", "dozen 3"});
  // As are numbers that differ from them in leading zeros only, of pairs without a case too.
  const Order like =
      order_of(header + "boot,7,F,1,Dozen 01,,\nboot,7,F,1,02,,\nboot,8,F,3,,,\nboot,,,,,dozen,1\n", works);
  std::vector<std::string> own;
  for (const OrderCase& one : cases_of(like, 2)) own.push_back(one.number);
  CHECK(own == std::vector<std::string>{"Dozen 01", "02", "dozen 2", "1", "3"});
  // Pairs of two styles under one number: one case for each style, with numbers of their own.
  const Result<TextTable> table = parse_csv_table(
      header + "boot,7,F,2,C1,,\nmule,7,F,3,C1,,\nboot,8,F,4,C1,,\nmule,7,F,1,C1 mule,,\n", "order.csv");
  REQUIRE(table.ok());
  const Result<Order> both = read_order(*table, {{"boot", short_run()}, {"mule", short_run()}}, works);
  REQUIRE(both.ok());
  REQUIRE(both->lines.size() == 4);
  CHECK(both->lines[0].case_number == "C1 boot");
  CHECK(both->lines[2].case_number == "C1 boot");
  CHECK(both->lines[1].case_number != both->lines[3].case_number);
  REQUIRE(both->told.size() == 1);
  CHECK(both->told[0].place.line == 2);
  const std::vector<OrderCase> cases = cases_of(*both, 12);
  std::set<std::string> numbers;
  for (const OrderCase& one : cases) numbers.insert(one.number);
  CHECK(numbers.size() == cases.size());
}

}  // namespace lastwright
