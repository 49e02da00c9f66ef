#include "grading/planning/ticket_count.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

// Two styles without drawings: what is counted does not depend on how it lies.
struct CountedShop {
  StyleSpec boot;
  StyleSpec mule;
  StyleGrade none;
  WorksSpec works;
  Order order;
  Needs needs;

  CountedShop() {
    boot.name = "a boot";
    boot.pieces = {piece("vamp", "calf", 2, Hand::kSymmetric), piece("quarter", "calf", 4, Hand::kHanded),
                   piece("sock", "felt", 3, Hand::kSymmetric)};
    mule.name = "a mule";
    mule.pieces = {piece("strap", "calf", 1, Hand::kSymmetric)};
  }
  static PieceSpec piece(const char* name, const char* material, int per_pair, Hand hand) {
    PieceSpec spec;
    spec.name = name;
    spec.material = material;
    spec.per_pair = per_pair;
    spec.hand = hand;
    return spec;
  }
  void line(const std::string& style, const std::string& size, int pairs, const std::string& in_case) {
    order.lines.push_back({style, size, "F", pairs, in_case, 0, 0});
    order.pairs += pairs;
  }
  [[nodiscard]] std::vector<OrderedStyle> styles() const {
    return {{"boot", &boot, &none}, {"mule", &mule, &none}};
  }
  // What needs_of would say of the counts.
  void count_needs() {
    std::map<std::pair<std::string, std::string>, int> pairs;
    for (const OrderLine& each : order.lines) pairs[{each.style, each.size}] += each.pairs;
    for (const auto& [at, count] : pairs) {
      for (const PieceSpec& spec : (at.first == "boot" ? boot : mule).pieces) {
        PieceNeed need;
        need.style = at.first;
        need.piece = spec.name;
        need.size = at.second;
        need.width = "F";
        need.material = spec.material;
        need.pairs = count;
        need.pieces = count * spec.per_pair;
        needs.pieces.push_back(need);
      }
    }
  }
  [[nodiscard]] Result<Tickets> tickets(const CountedPieces& counted = {}) const {
    return tickets_of(order, needs, styles(), works, {}, counted);
  }
};

}  // namespace

TEST_CASE("every pair of an order is on the tickets with all its pieces, none twice", "[planning]") {
  test::holds_for_all(
      "read = numbered = cut",
      [] {
        CountedShop shop;
        shop.works.pairs_per_case = *rc::gen::inRange(1, 9);
        const int lines = *rc::gen::inRange(1, 9);
        for (int k = 0; k < lines; ++k) {
          shop.line(*rc::gen::element<std::string>("boot", "mule"),
                    *rc::gen::element<std::string>("7", "7.5", "8"), *rc::gen::inRange(1, 20),
                    *rc::gen::element<std::string>("", "1", "C2"));
        }
        shop.count_needs();
        const Result<Tickets> tickets = shop.tickets();
        RC_ASSERT(tickets.ok());
        // By own arithmetic: pieces of a style over all its pairs.
        int pieces = 0;
        for (const OrderLine& line : shop.order.lines) pieces += line.pairs * (line.style == "boot" ? 9 : 1);
        int found = 0;
        for (const CuttingTicket& ticket : tickets->tickets) found += ticket.pieces();
        RC_ASSERT(found == pieces);
        // Whatever is taken away, doubled or changed is seen.
        const auto refused = [&](const Tickets& spoilt) {
          return !check_ticket_count(shop.order, shop.styles(), spoilt).ok();
        };
        const auto at =
            static_cast<std::size_t>(*rc::gen::inRange(0, static_cast<int>(tickets->tickets.size())));
        Tickets spoilt = *tickets;
        spoilt.tickets[at].rows.pop_back();
        RC_ASSERT(refused(spoilt));
        spoilt = *tickets;
        spoilt.tickets.push_back(spoilt.tickets[at]);
        RC_ASSERT(refused(spoilt));
        spoilt = *tickets;
        spoilt.tickets[at].rows.front().either += 1;
        RC_ASSERT(refused(spoilt));
        spoilt = *tickets;
        spoilt.tickets[at].rows.front().size = "9";
        RC_ASSERT(refused(spoilt));
        spoilt = *tickets;
        spoilt.cases.back().pairs.pop_back();
        RC_ASSERT(refused(spoilt));
        spoilt = *tickets;
        spoilt.cases.front().pairs.front().number = spoilt.cases.back().pairs.back().number + 1;
        RC_ASSERT(refused(spoilt));
        spoilt = *tickets;
        spoilt.components.back().wanted -= 1;
        RC_ASSERT(refused(spoilt));
      },
      60);
}

TEST_CASE("pairs that no mark can be stamped on are told by style", "[planning]") {
  CountedShop shop;
  shop.line("boot", "7", 5, "");
  shop.line("mule", "8", 3, "");
  shop.count_needs();
  const Result<Tickets> tickets = shop.tickets();
  REQUIRE(tickets.ok());
  for (const char* const note :
       {"boot: 5 of its 5 pairs have no mark: no piece has a frame for the pair's number",
        "mule: 3 of its 3 pairs have no mark: no piece has a frame for the pair's number"})
    CHECK(std::count(tickets->notes.begin(), tickets->notes.end(), note) == 1);
}

// Of 3 pairs with an odd number of quarters a pair, 2 as drawn and 1 mirrored.
TEST_CASE("a shortage of one hand is told, whatever there is of the other", "[planning]") {
  CountedShop shop;
  shop.boot.pieces[1].per_pair = 3;
  shop.boot.drawn_foot = "right";
  shop.line("boot", "7", 3, "");
  shop.count_needs();
  const auto of_quarter = [&](const CountedNumber& counted) {
    const Result<Tickets> tickets = shop.tickets({{{"boot", "quarter", "7", "F"}, counted}});
    REQUIRE(tickets.ok());
    CHECK(check_ticket_count(shop.order, shop.styles(), *tickets).ok());
    std::vector<std::pair<std::string, int>> shorts;
    for (const ComponentCount& one : tickets->components) {
      if (one.was_counted) shorts.emplace_back(one.hand, one.short_by() - one.over_by());
    }
    const bool told = std::any_of(tickets->notes.begin(), tickets->notes.end(), [](const std::string& note) {
      return note.starts_with("boot: left and right were counted together of quarter");
    });
    CHECK(told != counted.by_hand);
    return shorts;
  };
  using Shorts = std::vector<std::pair<std::string, int>>;
  CHECK(of_quarter({9}) == Shorts{{"", 0}});
  CHECK(of_quarter({9, true, 3, 6}) == Shorts{{"left", 0}, {"right", 0}});
  CHECK(of_quarter({9, true, 4, 5}) == Shorts{{"left", -1}, {"right", 1}});
  CHECK(of_quarter({20, true, 0, 20}) == Shorts{{"left", 3}, {"right", -14}});
}

TEST_CASE("a ticket's number has the order's name before it, and none of its cases' numbers", "[planning]") {
  CountedShop shop;
  shop.order.name = "SO-7";
  shop.line("mule", "7", 1, "T0001");
  shop.line("mule", "7", 1, "so-7 t0003");
  shop.line("mule", "7", 1, "C1");
  shop.count_needs();
  const Result<Tickets> tickets = shop.tickets();
  REQUIRE(tickets.ok());
  std::vector<std::string> numbers;
  for (const CuttingTicket& one : tickets->tickets) numbers.push_back(one.number);
  CHECK(numbers == std::vector<std::string>{"SO-7 T0002", "SO-7 T0004", "SO-7 T0005"});
}

TEST_CASE("what is bought ready cut is on a ticket and in the count, with no area and no die", "[planning]") {
  CountedShop shop;
  shop.line("boot", "8", 3, "");
  shop.count_needs();
  for (PieceNeed& need : shop.needs.pieces) need.scale = 100.0;
  shop.works.materials["felt"].bought_as = BoughtAs::kPieces;
  shop.works.zones["sock"] = "back";
  const DieNumbers dies{{{"a boot", "sock", "8", "F"}, {"D1"}}, {{"a boot", "vamp", "8", "F"}, {"D2"}}};
  const Result<Tickets> tickets = tickets_of(shop.order, shop.needs, shop.styles(), shop.works, dies, {});
  REQUIRE(tickets.ok());
  CHECK(check_ticket_count(shop.order, shop.styles(), *tickets).ok());
  REQUIRE(tickets->tickets.size() == 2);
  const CuttingTicket& calf = tickets->tickets[0];
  const CuttingTicket& felt = tickets->tickets[1];
  CHECK(!calf.ready_cut);
  CHECK(calf.allowed() == 100.0 * 18);
  CHECK(calf.rows[0].dies == std::vector<std::string>{"D2"});
  CHECK(felt.ready_cut);
  CHECK(felt.allowed() == 0.0);
  CHECK(felt.rests_on == "bought ready cut, not laid out: no area is allowed");
  CHECK(felt.rows[0].dies.empty());
  CHECK(felt.rows[0].zone.empty());
  CHECK(felt.pieces() == 9);
  CHECK(std::any_of(tickets->components.begin(), tickets->components.end(),
                    [](const ComponentCount& one) { return one.piece == "sock" && one.wanted == 9; }));
  CHECK(std::any_of(tickets->notes.begin(), tickets->notes.end(), [](const std::string& note) {
    return note.starts_with("felt is bought ready cut, not laid out: its tickets, for sock,");
  }));
}

TEST_CASE("a ticket names the zones of the hide unless the works has words of its own", "[planning]") {
  CountedShop shop;
  shop.line("boot", "8", 3, "");
  shop.count_needs();
  shop.works.cutting["vamp"].zones = {"back", "side"};
  shop.works.cutting["quarter"].zones = {"back"};
  shop.works.zones["quarter"] = "second cut";
  const Result<Tickets> tickets = shop.tickets();
  REQUIRE(tickets.ok());
  const std::vector<TicketRow>& rows = tickets->tickets.front().rows;
  CHECK(rows.at(0).zone == "back or side");
  CHECK(rows.at(1).zone == "second cut");
}

TEST_CASE("zones are parts of a hide: what is cut from a roll or sheets comes from none", "[planning]") {
  for (const auto& [bought, zone] : std::map<BoughtAs, std::string>{{BoughtAs::kHides, "butt, back"},
                                                                    {BoughtAs::kRoll, ""},
                                                                    {BoughtAs::kSheets, ""},
                                                                    {BoughtAs::kPieces, ""}}) {
    CountedShop shop;
    shop.mule.pieces = {CountedShop::piece("vamp", "felt", 2, Hand::kSymmetric),
                        CountedShop::piece("quarter", "felt", 2, Hand::kHanded)};
    shop.line("boot", "8", 3, "");
    shop.line("mule", "8", 1, "");
    shop.count_needs();
    shop.works.zones["vamp"] = "butt";
    shop.works.cutting["quarter"].zones = {"back"};
    shop.works.materials["felt"].bought_as = bought;
    const Result<Tickets> tickets = shop.tickets();
    REQUIRE(tickets.ok());
    std::map<std::pair<std::string, std::string>, std::string> zones;  // by style and material
    for (const CuttingTicket& ticket : tickets->tickets) {
      std::string& all = zones[{ticket.style, ticket.material}];
      for (const TicketRow& row : ticket.rows)
        all += (all.empty() || row.zone.empty() ? "" : ", ") + row.zone;
    }
    CHECK(zones.at({"boot", "calf"}) == "butt, back");  // the works file does not state it
    CHECK(zones.at({"boot", "felt"}).empty());
    INFO(name_of(bought));
    CHECK(zones.at({"mule", "felt"}) == zone);
  }
}

TEST_CASE("a row of a ticket is for the feet that its piece is drawn for", "[planning]") {
  CountedShop shop;
  shop.boot.drawn_foot = "left";
  shop.boot.pieces.push_back(CountedShop::piece("strap", "calf", 2, Hand::kHanded));
  shop.boot.pieces.back().drawn_foot = "right";
  shop.line("boot", "7", 3, "");
  shop.count_needs();
  const auto told = [&](const std::string& words) {
    const Result<Tickets> tickets = shop.tickets();
    REQUIRE(tickets.ok());
    return std::count_if(tickets->notes.begin(), tickets->notes.end(),
                         [&](const std::string& note) { return note.find(words) != std::string::npos; });
  };
  const Result<Tickets> tickets = shop.tickets();
  REQUIRE(tickets.ok());
  for (const TicketRow& row : tickets->tickets.front().rows)
    CHECK(row.drawn_foot == (row.piece == "strap" ? "right" : "left"));
  CHECK(
      told(
          "the left foot is drawn of quarter: as drawn is L, mirrored R; the right foot is drawn of strap") ==
      1);
  shop.boot.pieces[1].drawn_foot = "both";
  const Result<Tickets> both = shop.tickets({{{"boot", "quarter", "7", "F"}, {12, true, 7, 5}}});
  REQUIRE(both.ok());
  std::map<std::string, int> shorts;
  for (const ComponentCount& one : both->components) {
    if (one.was_counted) shorts[one.hand] = one.short_by() - one.over_by();
  }
  CHECK(shorts == std::map<std::string, int>{{"as drawn", -1}, {"mirrored", 1}});
  shop.boot.pieces[1].drawn_foot.clear();
  shop.boot.pieces.back().drawn_foot.clear();
  CHECK(told("foot") == 0);  // all of them for one foot, which every row says
}

}  // namespace lastwright
