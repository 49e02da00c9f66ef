#include "grading/dies/order/die_numbers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"
#include "grading/dies/order/die_order.hpp"
#include "grading/dies/owned/owned_pairs.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kDoubted = 10;  // dies by name

bool plain(const OwnedDie& die) {
  return die.foot == OwnedFoot::kUnknown;
}

// As far as its name and its drawing say.
bool may_bear(const OwnedDie& die, const std::string& number) {
  return die.number == number || std::find(die.shown.begin(), die.shown.end(), number) != die.shown.end();
}

// Read from one file, or from copies of it.
bool same_drawing(const OwnedDie& one, const OwnedDie& other) {
  const std::vector<ArcVertex>& a = one.shape.cut.path.vertices;
  const std::vector<ArcVertex>& b = other.shape.cut.path.vertices;
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](const ArcVertex& p, const ArcVertex& q) {
    return distance(p.at, q.at) < 1e-6 && std::abs(p.bulge - q.bulge) < 1e-9;
  });
}

// As the other lies, or turned and moved onto it by the principal axes.
bool matches(const DieShape& one, const DieShape& other) {
  if (same_die(one, other)) return true;
  if (one.cut.path.size() < 2 || other.cut.path.size() < 2) return false;
  const PrincipalAxes there = principal_axes(one.cut.path);
  const PrincipalAxes here = principal_axes(other.cut.path);
  const auto laid = [&](double more) {
    const Radians turn(there.angle.value() - here.angle.value() + more);
    const Vec2 shift = there.centre - placed(here.centre, Placement{turn, {}});
    return same_die(one, placed(other, Placement{turn, shift}));
  };
  return laid(0.0) || laid(std::numbers::pi);
}

bool one_pair(const OwnedDie& one, const OwnedDie& other) {
  return matches(one.shape, other.shape) || matches(one.shape, mirrored(other.shape));
}

}  // namespace

std::optional<std::string> number_in(std::string_view text) {
  const auto figure = [](char c) { return c >= '0' && c <= '9'; };
  if (text.size() < 5 || text.front() != 'D' || !std::all_of(text.begin() + 1, text.end(), figure)) return {};
  return std::string(text);
}

std::string NewNumbers::next() {
  for (;;) {
    std::string number = fmt::format("D{:04}", next_++);
    const bool taken =
        std::any_of(owned_.begin(), owned_.end(), [&](const OwnedDie& die) { return may_bear(die, number); });
    if (!taken) return number;
  }
}

PairNumber pair_number(const PlannedDie& die, const std::vector<OwnedDie>& owned,
                       const std::vector<std::string>& given) {
  if (!die.owned || die.hands.mode != HandMode::kPair) return {};
  const OwnedDie& there = owned[*die.owned];
  if (!there.number_doubt.empty()) return {"", there.number_doubt};
  if (plain(there) && there.shown.empty()) return {"", "its drawing shows none"};
  if (!plain(there) && there.stamp.empty() && there.stamp_mirrored.empty())
    return {"", "its order does not say what it bears"};
  const bool shared = std::any_of(owned.begin(), owned.end(), [&](const OwnedDie& one) {
    return &one != &there && may_bear(one, there.number) &&
           !((plain(there) || plain(one)) && one_pair(there, one));
  });
  if (shared) return {"", there.number + " is that of another die too"};
  if (std::find(given.begin(), given.end(), there.number) != given.end())
    return {"", there.number + " is given to another pair that it serves"};
  return {there.number, ""};
}

bool same_kind(const OwnedDie& one, const OwnedDie& other) {
  if (one.number != other.number || one.piece != other.piece || one.drawn_as != other.drawn_as) return false;
  return !(plain(one) || plain(other)) || same_drawing(one, other);
}

int known_of(const OwnedDie& one, bool mirror, const std::vector<OwnedDie>& owned,
             const std::vector<bool>& elsewhere) {
  int count = 0;
  for (std::size_t k = 0; k < owned.size(); ++k) {
    const OwnedDie& other = owned[k];
    if (k < elsewhere.size() && elsewhere[k]) continue;
    const bool foot = other.foot == one.foot || other.foot == OwnedFoot::kBoth ||
                      other.foot == (mirror ? OwnedFoot::kMirrored : OwnedFoot::kDrawn);
    if (foot && same_kind(one, other)) count += other.quantity;
  }
  return count;
}

void read_numbers(std::vector<OwnedDie>& owned) {
  std::vector<std::string> doubts(owned.size());
  const auto number_of = [&](const OwnedDie& die) -> const std::string& {
    return plain(die) && die.shown.size() == 1 ? die.shown.front() : die.number;
  };
  for (std::size_t k = 0; k < owned.size(); ++k) {
    const OwnedDie& one = owned[k];
    if (!plain(one)) continue;
    if (one.shown.empty()) doubts[k] = "its drawing shows none";
    if (one.shown.size() > 1)
      doubts[k] = fmt::format("its drawing shows several: {}", some_of(one.shown, kDoubted));
    for (std::size_t other = 0; other < owned.size(); ++other) {
      if (other == k || number_of(owned[other]) != number_of(one) || one_pair(one, owned[other])) continue;
      doubts[k] = number_of(one) + (one.shown.size() == 1
                                        ? ", which its drawing shows, is that of another die too"
                                        : " is the number of another die too, and its drawing shows " +
                                              std::string(one.shown.empty() ? "none" : "several"));
      break;
    }
  }
  for (std::size_t k = 0; k < owned.size(); ++k) {
    if (!plain(owned[k])) continue;
    if (doubts[k].empty()) owned[k].number = owned[k].shown.front();
    owned[k].number_doubt = std::move(doubts[k]);
  }
}

std::vector<std::string> doubted_numbers(const std::vector<OwnedDie>& owned) {
  std::vector<std::string> names;
  for (const OwnedDie& die : owned) {
    if (die.number_doubt.empty()) continue;
    std::string name = die.number + ": " + die.number_doubt;
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
  }
  if (names.empty()) return {};
  return {
      "the numbers of these dies that are there already are not known, so they go by the names of their "
      "files: see that none bears the number of a new die (" +
      named_of(names, kDiesThereFile, "; ") + ")"};
}

std::vector<std::string> renumbered_notes(const DieOrder& order) {
  std::vector<std::string> pairs;
  for (const DieOrderLine& line : order.lines) {
    if (line.renumbered.empty() || line.there.empty()) continue;
    const DieThere& one = line.there.front();
    pairs.push_back(fmt::format("{} {}: {} for {}{}{}, as {}", line.piece, line.drawn_as, line.number,
                                one.number, one.hand.empty() ? "" : " ", one.hand, line.renumbered));
  }
  if (pairs.empty()) return {};
  return {
      "both dies of a pair bear one number, and these pairs get a new one: stamp it on the die that is there "
      "too, in place of any other (" +
      named_of(pairs, kDiesThereFile, "; ") + ")"};
}

}  // namespace lastwright
