#include "grading/planning/ticket_count.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {

namespace {

using PairKind = std::tuple<std::string, std::string, std::string>;  // style, size, width

std::string words_of(const PairKind& kind) {
  const auto& [style, size, width] = kind;
  return fmt::format("{} {} {}", style, size, width);
}

Status same_count(const std::string& what, int counted, int ordered) {
  if (counted == ordered) return Done{};
  return Problem{Trouble::kInternal,
                 fmt::format("the tickets do not count as the order does: {}", what),
                 {},
                 static_cast<double>(counted),
                 static_cast<double>(ordered)};
}

// The number of each pair of the cases, by the kind of pair it is.
Result<std::map<int, PairKind>> numbered_pairs(const Order& order, const Tickets& tickets) {
  std::map<PairKind, int> ordered;
  int pairs = 0;
  for (const OrderLine& line : order.lines) {
    ordered[{line.style, line.size, line.width}] += line.pairs;
    pairs += line.pairs;
  }
  std::map<PairKind, int> found;
  std::map<int, PairKind> numbers;
  for (const OrderCase& one : tickets.cases) {
    for (const NumberedPair& pair : one.pairs) {
      ++found[{pair.style, pair.size, pair.width}];
      if (pair.style == one.style && pair.case_number == one.number)
        numbers.emplace(pair.number, PairKind{pair.style, pair.size, pair.width});
    }
  }
  for (const auto& [kind, count] : ordered) {
    if (Status same = same_count("pairs of " + words_of(kind), found[kind], count); !same)
      return same.problem();
  }
  const int last = numbers.empty() ? 0 : numbers.rbegin()->first;
  if (Status same = same_count("numbers of pairs", static_cast<int>(numbers.size()), pairs); !same)
    return same.problem();
  if (Status same = same_count("the last pair's number", last, pairs); !same) return same.problem();
  return numbers;
}

}  // namespace

Status check_ticket_count(const Order& order, const std::vector<OrderedStyle>& styles,
                          const Tickets& tickets) {
  const Result<std::map<int, PairKind>> numbers = numbered_pairs(order, tickets);
  if (!numbers) return numbers.problem();
  std::map<std::pair<int, std::string>, int> cut;  // pieces by pair and piece
  for (const CuttingTicket& ticket : tickets.tickets) {
    for (const TicketRow& row : ticket.rows) {
      const int of_each = row.pairs > 0 ? row.pieces() / row.pairs : 0;
      if (Status same = same_count(row.piece + " on ticket " + ticket.number, row.pieces(),
                                   of_each * (row.last_pair - row.first_pair + 1));
          !same)
        return same;
      for (int pair = row.first_pair; pair <= row.last_pair; ++pair) {
        const auto there = numbers->find(pair);
        const bool its_own =
            there != numbers->end() && there->second == PairKind{ticket.style, row.size, row.width};
        if (its_own) cut[{pair, row.piece}] += of_each;
      }
    }
  }
  std::map<std::pair<PairKind, std::string>, int> wanted;
  for (const ComponentCount& count : tickets.components)
    wanted[{{count.style, count.size, count.width}, count.piece}] += count.wanted;
  std::map<std::pair<PairKind, std::string>, int> ordered;
  for (const auto& [number, kind] : *numbers) {
    const auto style = std::find_if(styles.begin(), styles.end(),
                                    [&](const OrderedStyle& each) { return each.name == std::get<0>(kind); });
    if (style == styles.end()) return same_count("styles called " + std::get<0>(kind), 0, 1);
    for (const PieceSpec& piece : style->spec->pieces) {
      ordered[{kind, piece.name}] += piece.per_pair;
      if (Status same = same_count(fmt::format("{} of pair {}", piece.name, number),
                                   cut[{number, piece.name}], piece.per_pair);
          !same)
        return same;
    }
  }
  for (const auto& [at, count] : ordered) {
    if (Status same = same_count(fmt::format("the component count of {} {}", at.second, words_of(at.first)),
                                 wanted[at], count);
        !same)
      return same;
  }
  return Done{};
}

}  // namespace lastwright
