#include "grading/planning/roll_rows.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lastwright {

namespace {

bool mixes_hands(LatticeKind kind) {
  return kind == LatticeKind::kMirrored || kind == LatticeKind::kMirroredHalfTurned;
}

enum class Which { kAll, kFirst, kSecond };

// Where the middles of one period lie along the roll, rising.
std::vector<double> middles(const StripRows& rows, Which which) {
  std::vector<double> at;
  for (const StripRow& row : rows.rows) {
    if (which == Which::kAll || row.second == (which == Which::kSecond))
      at.push_back(row.x - rows.period * std::floor(row.x / rows.period));
  }
  std::sort(at.begin(), at.end());
  return at;
}

// From `from`, which lies within the first period, to the middle of the last of so many pieces that lie there
// or behind it.
double reach(const std::vector<double>& at, double period, double from, int count) {
  if (count == 0) return 0.0;
  const auto first = std::lower_bound(at.begin(), at.end(), from) - at.begin();
  const auto last = static_cast<std::size_t>(first) + static_cast<std::size_t>(count) - 1;
  return at[last % at.size()] + period * static_cast<double>(last / at.size()) - from;
}

double shortest(const StripRows& rows, const std::vector<double>& first, int firsts,
                const std::vector<double>& second, int seconds) {
  double least = std::numeric_limits<double>::infinity();
  for (const std::vector<double>* starts : {&first, &second}) {
    for (const double from : *starts)
      least = std::min(least, std::max(reach(first, rows.period, from, firsts),
                                       reach(second, rows.period, from, seconds)));
  }
  return least + rows.length;
}

double of_like(const StripRows& rows, int count) {
  return count == 0 ? 0.0 : shortest(rows, middles(rows, Which::kAll), count, {}, 0);
}

constexpr int kByPairs = 256;  // up to which all ways to part the pairs are looked at

// The shortest way for the pieces of any number of pairs.
class RollSearch {
 public:
  RollSearch(const RollRows& rows, const RollPieces& of_pair) : of_pair_(of_pair) {
    add(rows.densest);
    for (const StripRows& other : rows.others) add(other);
    for (const Way& way : ways_) {
      if (way.rows->boxes) boxes_ = &way;
    }
  }

  RollLay lay(int pairs) {
    RollLay lay;
    if (pairs <= 0) return lay;
    const int table = std::min(pairs, kByPairs);
    least_.assign(static_cast<std::size_t>(table) + 1, {});
    for (int p = 1; p <= table; ++p) {
      Parted& best = least_[static_cast<std::size_t>(p)];
      best = {at_once(p), p};
      for (int k = 1; k <= p / 2; ++k) {
        const double both =
            least_[static_cast<std::size_t>(k)].length + least_[static_cast<std::size_t>(p - k)].length;
        if (both < best.length * kLess) best = {both, k};
      }
    }
    int rest = 0;
    int whole = pairs;
    if (pairs > table) {
      double best = at_once(pairs);
      for (int k = 1; k <= table; ++k) {
        const double both = least_[static_cast<std::size_t>(k)].length + at_once(pairs - k);
        if (both >= best * kLess) continue;
        best = both;
        rest = k;
      }
      whole = pairs - rest;
      add_parts(whole, lay);
    } else {
      rest = pairs;
    }
    add_parted(rest, lay);
    for (const RollPart& part : lay.parts) lay.length += part.count * part.length;
    return lay;
  }

 private:
  static constexpr double kLess = 1.0 - 1e-12;  // what is no shorter is not taken for what is simpler

  struct Way {
    const StripRows* rows;
    std::vector<double> all;
    std::vector<double> first;
    std::vector<double> second;
  };
  struct Shortest {
    double length = -1.0;  // not yet known
    const Way* way = nullptr;
  };
  struct Parted {
    double length = 0.0;
    int first = 0;  // so many pairs by themselves, and the others; all of them: not parted
  };
  // How the pieces of some pairs lie at once.
  struct AtOnce {
    double length = 0.0;
    const Way* mixed = nullptr;  // both hands in rows of both
    int boxed_as_drawn = 0;      // by the boxes, both hands together; the others in rows of their own
    int boxed_mirrored = 0;
  };

  void add(const StripRows& rows) {
    ways_.push_back(
        {&rows, middles(rows, Which::kAll), middles(rows, Which::kFirst), middles(rows, Which::kSecond)});
  }

  Shortest of_way(const Way& way, int count) const {
    return {count == 0 ? 0.0 : shortest(*way.rows, way.all, count, {}, 0), &way};
  }

  // Of so many pieces that are all alike.
  Shortest alike(int count) {
    if (static_cast<std::size_t>(count) >= alike_.size()) alike_.resize(static_cast<std::size_t>(count) + 1);
    Shortest& known = alike_[static_cast<std::size_t>(count)];
    if (known.length >= 0.0) return known;
    const bool handed = of_pair_.as_drawn > 0 && of_pair_.mirrored > 0;
    for (const Way& way : ways_) {
      if (handed && mixes_hands(way.rows->kind)) continue;
      const Shortest one = of_way(way, count);
      if (known.length < 0.0 || one.length < known.length * kLess) known = one;
    }
    return known;
  }

  AtOnce best_at_once(int pairs) {
    const RollPieces all = times(of_pair_, pairs);
    AtOnce best;
    const double either = alike(all.either).length;
    best.length = alike(all.as_drawn).length + alike(all.mirrored).length + either;
    if (all.as_drawn == 0 || all.mirrored == 0) return best;
    for (const Way& way : ways_) {
      if (!mixes_hands(way.rows->kind) || way.first.empty() || way.second.empty()) continue;
      const double mixed = shortest(*way.rows, way.first, all.as_drawn, way.second, all.mirrored) + either;
      if (mixed < best.length * kLess) best = {mixed, &way, 0, 0};
    }
    if (boxes_ == nullptr) return best;
    const auto boxed = [&](int as_drawn, int mirrored) {
      const double length = alike(all.as_drawn - as_drawn).length + alike(all.mirrored - mirrored).length +
                            of_way(*boxes_, as_drawn + mirrored).length + either;
      if (length < best.length * kLess) best = {length, nullptr, as_drawn, mirrored};
    };
    boxed(all.as_drawn, all.mirrored);
    const int most = static_cast<int>(boxes_->rows->rows.size());  // in a column that both hands share
    for (int one = 0; one <= std::min(most, all.as_drawn); ++one) {
      for (int other = 0; other <= std::min(most - one, all.mirrored); ++other) boxed(one, other);
    }
    return best;
  }
  double at_once(int pairs) { return best_at_once(pairs).length; }

  static void add_part(const Way& way, const RollPieces& pieces, double length, RollLay& lay) {
    if (pieces == RollPieces{}) return;
    for (RollPart& part : lay.parts) {
      if (part.rows == *way.rows && part.pieces == pieces) {
        ++part.count;
        return;
      }
    }
    lay.parts.push_back({*way.rows, pieces, length, 1});
  }

  void add_parts(int pairs, RollLay& lay) {
    const RollPieces all = times(of_pair_, pairs);
    const AtOnce best = best_at_once(pairs);
    const auto by_itself = [&](int count, RollPieces pieces) {
      const Shortest one = alike(count);
      add_part(*one.way, pieces, one.length, lay);
    };
    if (best.mixed != nullptr) {
      add_part(*best.mixed, {all.as_drawn, all.mirrored, 0}, best.length - alike(all.either).length, lay);
    } else {
      by_itself(all.as_drawn - best.boxed_as_drawn, {all.as_drawn - best.boxed_as_drawn, 0, 0});
      by_itself(all.mirrored - best.boxed_mirrored, {0, all.mirrored - best.boxed_mirrored, 0});
      const int boxed = best.boxed_as_drawn + best.boxed_mirrored;
      if (boxed > 0)
        add_part(*boxes_, {best.boxed_as_drawn, best.boxed_mirrored, 0}, of_way(*boxes_, boxed).length, lay);
    }
    by_itself(all.either, {0, 0, all.either});
  }

  void add_parted(int pairs, RollLay& lay) {
    if (pairs == 0) return;
    const int first = least_[static_cast<std::size_t>(pairs)].first;
    if (first == pairs) {
      add_parts(pairs, lay);
      return;
    }
    add_parted(first, lay);
    add_parted(pairs - first, lay);
  }

  RollPieces of_pair_;
  std::vector<Way> ways_;
  const Way* boxes_ = nullptr;
  std::vector<Shortest> alike_;
  std::vector<Parted> least_;
};

}  // namespace

double stretch_of(const StripRows& rows, const RollPieces& pieces) {
  const bool both = pieces.as_drawn > 0 && pieces.mirrored > 0;
  if (both && mixes_hands(rows.kind)) {
    const std::vector<double> first = middles(rows, Which::kFirst);
    const std::vector<double> second = middles(rows, Which::kSecond);
    if (!first.empty() && !second.empty())
      return shortest(rows, first, pieces.as_drawn, second, pieces.mirrored) + of_like(rows, pieces.either);
  }
  return of_like(rows, pieces.as_drawn) + of_like(rows, pieces.mirrored) + of_like(rows, pieces.either);
}

RollPieces times(const RollPieces& of_pair, int pairs) {
  return {pairs * of_pair.as_drawn, pairs * of_pair.mirrored, pairs * of_pair.either};
}

std::vector<StripRows> worth_keeping(const StripRows& densest, const std::vector<StripRows>& others,
                                     const StripRows& boxes) {
  std::vector<const StripRows*> all{&densest};
  std::size_t most = std::max(densest.rows.size(), boxes.rows.size());
  for (const StripRows& other : others) {
    all.push_back(&other);
    most = std::max(most, other.rows.size());
  }
  all.push_back(&boxes);
  std::vector<bool> kept(all.size(), false);
  for (const bool mixed : {false, true}) {
    for (std::size_t n = 1; n <= 4 * most; ++n) {
      const auto half = static_cast<int>(n);
      std::size_t best = all.size();
      double least = std::numeric_limits<double>::infinity();
      for (std::size_t k = 0; k < all.size(); ++k) {
        if (mixes_hands(all[k]->kind) != mixed || all[k]->rows.empty()) continue;
        const double length = stretch_of(*all[k], mixed ? RollPieces{half, half, 0} : RollPieces{0, 0, half});
        if (length >= least * (1.0 - 1e-9)) continue;
        least = length;
        best = k;
      }
      if (best < all.size()) kept[best] = true;
    }
  }
  std::vector<StripRows> worth;
  for (std::size_t k = 1; k < all.size(); ++k) {
    if (kept[k] || (all[k] == &boxes && !boxes.rows.empty())) worth.push_back(*all[k]);
  }
  return worth;
}

RollLay laid_on_roll(const RollRows& rows, const RollPieces& of_pair, int pairs) {
  return RollSearch(rows, of_pair).lay(pairs);
}

}  // namespace lastwright
