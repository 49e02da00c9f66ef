// How the pieces of an order are kept together: cases of numbered pairs, a cutting ticket for each case and
// material, what is stamped on each pair, and what is missing.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "geometry/vec2.hpp"
#include "grading/planning/consumption.hpp"

namespace lastwright {

struct NumberedPair {
  int number = 0;  // from 1, through the whole order
  std::string case_number;
  std::string style;
  std::string size;
  std::string width;
};

// Pairs of a case that are wanted in one period.
struct CasePart {
  int period = 0;   // 0: none is stated, or the dates lie in none
  std::string due;  // the first date stated for them; empty: none
  int pairs = 0;
};

struct OrderCase {
  std::string number;
  std::string style;
  std::vector<NumberedPair> pairs;
  int period = 0;   // the first in which pairs of it are wanted; 0: none is stated
  std::string due;  // the first date stated for pairs of it; empty: none
  // By period, those without one last: dated ones that lie in none, then those of which nothing is stated.
  std::vector<CasePart> parts = {};
  std::string assortment = {};  // that it is filled with; empty: none
};

// A barcode that scanners read holds plain letters only, and so many of them across a page.
inline constexpr std::size_t kMostInBarcode = 40;
bool fits_barcode(const std::string& text);

// What a case's barcode says: "ORDER case NUMBER", so that no two orders' cases, no ticket and no pair of the
// order says the same; the number alone where that is too much for a barcode; nothing where it is too.
std::string case_code(const std::string& order, const std::string& number);

// The cases that the order numbers, then the pairs without a case in cases of `pairs_per_case`, by style and
// period in the order of its lines ("1", "2", ... where the order has none that is like these, as "01" is). A
// case that the order gives to two styles becomes one for each.
std::vector<OrderCase> cases_of(const Order& order, int pairs_per_case);

// Which dies cut a piece in a size and width: by the name that the style gives itself, piece, size, width.
using DieNumbers =
    std::map<std::tuple<std::string, std::string, std::string, std::string>, std::vector<std::string>>;

struct TicketRow {
  std::string piece;
  std::string size;
  std::string width;
  int pairs = 0;
  int first_pair = 0;           // numbers of its pairs
  int last_pair = 0;            // equal to first_pair + pairs - 1 where they are in sequence
  int as_drawn = 0;             // pieces for the foot that they are drawn for
  int mirrored = 0;             // for the other foot
  int either = 0;               // pieces that serve both
  std::string drawn_foot = {};  // grading/style/drawn_feet: which of L and R the pieces as drawn are
  std::vector<std::string> dies;
  bool without_die = false;  // the style's die order has none for it
  std::string zone;          // of a hide; empty: from anywhere, or laid on no hide
  double allowed = 0.0;      // mm^2: scale area of all, or with second waste where the hide is given
  [[nodiscard]] int pieces() const { return as_drawn + mirrored + either; }
};

struct CuttingTicket {
  std::string number;  // "T0001", behind the order's name
  std::string case_number;
  std::string style;
  std::string material;
  std::vector<TicketRow> rows;
  std::string rests_on;  // of the area allowed
  std::string due;       // the first date stated for pairs of the case; empty: none
  // The works file buys its material ready cut: its pieces are counted, and not cut, so no area is allowed
  // and no die named.
  bool ready_cut = false;
  [[nodiscard]] int pieces() const;
  [[nodiscard]] double allowed() const;
};

// Where a pair's number is stamped on a piece: the middle of its frame, in the drawing of that size.
struct PairMark {
  int pair = 0;
  std::string style;
  std::string piece;
  std::string text;  // "12 8 F": number, size, width
  Vec2 at;
  double degrees = 0.0;
};

// Pieces that are there, as counted.
struct CountedNumber {
  int all = 0;
  bool by_hand = false;
  int left = 0;  // by_hand; as right. Of a piece of which each shoe takes both: as drawn, and mirrored
  int right = 0;
  bool operator==(const CountedNumber&) const = default;
};
// By style, piece, size, width.
using CountedPieces = std::map<std::tuple<std::string, std::string, std::string, std::string>, CountedNumber>;

// One for each piece, size and width; two where it was counted by hand.
struct ComponentCount {
  std::string style;
  std::string piece;
  std::string size;
  std::string width;
  int wanted = 0;
  int counted = 0;  // 0 unless it was counted
  bool was_counted = false;
  std::string hand = {};  // "left", "right"; "as drawn", "mirrored" of a piece of which each shoe takes both;
                          // empty: of both together
  [[nodiscard]] int short_by() const { return was_counted && counted < wanted ? wanted - counted : 0; }
  [[nodiscard]] int over_by() const { return was_counted && counted > wanted ? counted - wanted : 0; }
};

// A piece for which its style's die order has no die in some sizes and widths of the order.
struct PieceWithoutDie {
  std::string style;
  std::string piece;
  std::vector<std::string> at;  // "7 F"
};

// Why the dies of a style's tickets are not to be relied on.
struct DieDoubt {
  std::string style;
  std::string words;
  bool stale = false;  // the order was made from other files than the style has now
};

struct Tickets {
  std::string order;  // its name; empty: none
  std::vector<OrderCase> cases;
  std::vector<CuttingTicket> tickets;  // by case, then by material
  std::vector<PairMark> marks;         // by pair
  std::vector<ComponentCount> components;
  std::vector<PieceWithoutDie> without_die;
  std::vector<DieDoubt> die_doubts;  // what is without a die, and what the user adds: a stale order
  std::vector<std::string> notes;
};

// Refuses a count of something that the order does not have. Tickets are numbered behind the order's name;
// numbers that a case of the order has are passed over.
Result<Tickets> tickets_of(const Order& order, const Needs& needs, const std::vector<OrderedStyle>& styles,
                           const WorksSpec& works, const DieNumbers& dies, const CountedPieces& counted);

// A list of what was cut: every bad cell of it is a problem with its line, and what the order does not have
// is one. `told`: columns that are not read.
struct CountedList {
  CountedPieces pieces;
  std::vector<Problem> problems;
  std::vector<Problem> told;
};
// Columns style (where there are several), piece, size, width, count, by name as in an order. Rows of one
// piece, size and width are added up. With a column hand each row of a piece that has hands says left or
// right (as drawn or mirrored where each shoe takes both), and they are added up apart; of one that serves
// both feet it counts for nothing, which is told.
CountedList read_counted(const TextTable& table, const std::vector<OrderedStyle>& styles, const Order& order);

}  // namespace lastwright
