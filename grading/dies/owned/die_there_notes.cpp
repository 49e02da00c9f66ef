#include "grading/dies/owned/die_there_notes.hpp"

#include <fmt/format.h>

#include <map>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

std::vector<std::string> quantity_notes(const DieOrder& order) {
  DieNames names;
  int missing = 0;
  for (const DieOrderLine& line : order.lines) {
    for (const DieThere& one : line.there) {
      if (one.quantity >= line.quantity) continue;
      missing += line.quantity - one.quantity;
      names.add(fmt::format("{}{}{} ({}): {} of {}", one.number, one.hand.empty() ? "" : " ", one.hand,
                            line.piece, one.quantity, line.quantity));
    }
  }
  if (missing == 0) return {};
  return {
      fmt::format("the quantity is not met: {} fewer than are asked for of dies that are there already, and "
                  "this order makes none of them: order these besides, or count them ({})",
                  counted(static_cast<std::size_t>(missing), "die"), names.text(kDiesThereFile))};
}

std::vector<std::string> stamp_notes(const DieOrder& order) {
  DieNames names;
  DieNames keep;
  std::size_t dies = 0;
  for (const DieOrderLine& line : order.lines) {
    for (const DieThere& one : line.there) {
      if (one.keeps) keep.add(one.number);
      if (!one.restamp()) continue;
      names.add(fmt::format("{}{}{} ({}) bears \"{}\", restamp as \"{}\"", one.number,
                            one.hand.empty() ? "" : " ", one.hand, line.piece, one.bears, one.stamp));
      ++dies;
    }
  }
  std::vector<std::string> notes;
  if (!keep.list.empty())
    notes.push_back(
        "dies that are there already bear sizes and widths besides those that this order is for: they keep "
        "their "
        "stamp (" +
        keep.text(kDiesThereFile) + ")");
  if (dies > 0)
    notes.push_back(counted(dies, "die that is there already bears", "dies that are there already bear") +
                    " another stamp than what this order cuts with " + (dies == 1 ? "it" : "them") + ": " +
                    names.text(kDiesThereFile, "; "));
  return notes;
}

std::vector<std::string> number_notes(const DieOrder& order) {
  DieNames two;
  std::map<std::string, DieNames> lines_of;  // by number: the dies that bear it
  for (const DieOrderLine& line : order.lines) {
    for (const DieThere& one : line.there) lines_of[one.number].add(line.piece + " " + line.drawn_as);
    if (line.there.size() < 2 || line.there[0].number == line.there[1].number) continue;
    std::string which;
    for (std::size_t k = 0; k < 2; ++k) {
      const std::string& hand = line.there[k].hand;
      which += fmt::format("{}{} is {}", k == 0 ? "" : ", ",
                           hand.empty()  ? "as drawn"
                           : hand == "M" ? "mirrored (M)"
                                         : hand,
                           line.there[k].number);
    }
    two.add(fmt::format("{} {}: {}", line.piece, line.drawn_as, which));
  }
  std::vector<std::string> notes;
  if (!two.list.empty())
    notes.push_back("the two dies of a pair that come from orders of their own keep their two numbers (" +
                    two.text(kDiesThereFile) + ")");
  DieNames shared;
  for (const auto& [number, lines] : lines_of) {
    if (lines.list.size() > 1) shared.add(number + ": " + lines.text(kDiesThereFile));
  }
  if (!shared.list.empty())
    notes.push_back(
        "dies that are there already from several orders bear one number: tell them apart by the piece, size "
        "and width stamped with it (" +
        shared.text(kDiesThereFile, "; ") + ")");
  return notes;
}

}  // namespace lastwright
