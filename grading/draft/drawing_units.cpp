#include "grading/draft/drawing_units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>
#include <utility>

#include "geometry/counted.hpp"
#include "grading/draft/like_edges.hpp"
#include "grading/pieces/unit_words.hpp"

namespace lastwright {

namespace {

// Shares of the stick length (common practice, drawn wide).
struct LengthShares {
  double least = 0.0;
  double most = 0.0;
  double usual = 0.0;
  [[nodiscard]] bool fit(double share) const { return share >= least && share <= most; }
};
constexpr LengthShares kSoleShares{0.5, 1.6, 1.05};
constexpr LengthShares kUpperShares{0.15, 3.2,
                                    0.6};  // from a sandal's vamp to a quarter as high as the thigh
constexpr double kMostOfAny = 4.0;         // anything but a lace or a binding
constexpr double kLeastStick = 80.0;       // mm: of any shoe, from a baby's first
constexpr double kMostStick = 400.0;

// A sole or a main part of an upper, by a name that says nothing else: a "quarter tab" is none.
std::optional<LengthShares> main_part(const std::string& name) {
  constexpr std::array kSoles{"insole", "outsole", "midsole", "sole"};
  constexpr std::array kUppers{"vamp", "quarter", "quarters", "upper", "shaft", "leg"};
  constexpr std::array kBeside{"inside", "outside", "inner", "outer", "left", "right", "lining", "linings"};
  const auto in = [](const auto& words, const std::string& word) {
    return std::find(words.begin(), words.end(), word) != words.end();
  };
  std::string plain;
  for (const char c : name) {
    const bool letter =
        (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || static_cast<unsigned char>(c) > 127;
    plain += letter ? static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c) : ' ';
  }
  std::optional<LengthShares> found;
  std::istringstream words(plain);
  for (std::string word; words >> word;) {
    if (in(kSoles, word)) {
      found = kSoleShares;
    } else if (in(kUppers, word)) {
      if (!found) found = kUpperShares;
    } else if (!in(kBeside, word)) {
      return std::nullopt;
    }
  }
  return found;
}

// The longest and the shortest it is across, however it is turned.
std::pair<double, double> extents(const std::vector<Vec2>& polygon) {
  double most = 0.0;
  double least = INFINITY;
  for (int i = 0; i < 36; ++i) {
    const Vec2 way = turned(Vec2{1, 0}, i * std::acos(-1.0) / 36.0);
    double low = INFINITY;
    double high = -INFINITY;
    for (const Vec2 p : polygon) {
      low = std::min(low, dot(p, way));
      high = std::max(high, dot(p, way));
    }
    most = std::max(most, high - low);
    least = std::min(least, high - low);
  }
  return {most, least};
}

struct SizedPiece {
  const DraftPiece* piece = nullptr;
  double length = 0.0;
  double width = 0.0;
  std::optional<LengthShares> main;
};

struct WrongUnit {
  std::size_t drawing = 0;
  std::vector<double> factors;  // what its lengths are to be multiplied by, the likeliest first
  std::string shown;            // what shows it
};

class UnitJudge {
 public:
  UnitJudge(const std::vector<UnitAsRead>& drawings, const std::vector<DraftPiece>& pieces,
            const std::optional<BaseStick>& base)
      : drawings_(drawings), pieces_(pieces), base_(base), sized_(drawings.size()) {
    for (const DraftPiece& piece : pieces) {
      const auto [length, width] = extents(piece.polygon);
      sized_[drawing_of(piece)].push_back({&piece, length, width, main_part(piece.name)});
    }
    for (auto& of_drawing : sized_) {
      std::stable_sort(of_drawing.begin(), of_drawing.end(),
                       [](const SizedPiece& a, const SizedPiece& b) { return a.length > b.length; });
    }
    if (base) {
      sticks_ = {base->length};
    } else {
      for (double stick = kLeastStick; stick < kMostStick; stick *= 1.02) sticks_.push_back(stick);
    }
  }

  Status judge() const {
    std::vector<WrongUnit> wrong;
    for (std::size_t d = 0; d < drawings_.size(); ++d) {
      if (auto one = by_main_parts(d)) wrong.push_back(*std::move(one));
    }
    if (wrong.empty()) wrong = by_other_parts();
    if (!wrong.empty()) return refusal(wrong);
    return by_edges();
  }

 private:
  [[nodiscard]] std::size_t drawing_of(const DraftPiece& piece) const {
    const auto found = std::find_if(drawings_.begin(), drawings_.end(),
                                    [&](const UnitAsRead& one) { return one.key == piece.drawing; });
    return static_cast<std::size_t>(found - drawings_.begin());
  }

  // Whether at least half of the main parts that it has, made so many times as long, go with the stick
  // length: one may have got its name from a text that says something else.
  [[nodiscard]] bool fits(std::size_t drawing, double times, double stick) const {
    std::size_t yes = 0;
    std::size_t no = 0;
    for (const SizedPiece& one : sized_[drawing]) {
      if (!one.main) continue;
      ++(one.main->fit(one.length * times / stick) ? yes : no);
    }
    return yes >= no;
  }
  [[nodiscard]] std::vector<double> fitting(std::size_t drawing, double times,
                                            const std::vector<double>& among) const {
    std::vector<double> found;
    std::copy_if(among.begin(), among.end(), std::back_inserter(found),
                 [&](double stick) { return fits(drawing, times, stick); });
    return found;
  }
  [[nodiscard]] const SizedPiece* longest_main(std::size_t drawing) const {
    const auto& all = sized_[drawing];
    const auto found = std::find_if(all.begin(), all.end(), [](const SizedPiece& one) { return !!one.main; });
    return found == all.end() ? nullptr : &*found;
  }

  [[nodiscard]] std::optional<WrongUnit> by_main_parts(std::size_t d) const {
    const SizedPiece* longest = longest_main(d);
    if (longest == nullptr) return std::nullopt;
    std::vector<double> sticks = sticks_;
    std::optional<std::size_t> beside;
    if (!base_) {
      for (std::size_t other = 0; other < drawings_.size(); ++other) {
        if (other == d || longest_main(other) == nullptr) continue;
        if (!beside) beside = other;
        sticks = fitting(other, 1.0, sticks);
      }
      if (!beside) return std::nullopt;
    }
    if (sticks.empty() || !fitting(d, 1.0, sticks).empty()) return std::nullopt;
    std::vector<std::pair<double, double>> ways;  // how unusual, times
    for (const double step : kUnitSteps) {
      if (!base_ && step == 2.54) continue;  // too near to 1 for a stick length that is itself guessed
      for (const double times : {step, 1.0 / step}) {
        const std::vector<double> left = fitting(d, times, sticks);
        if (left.empty()) continue;
        const double stick = std::sqrt(left.front() * left.back());
        ways.emplace_back(std::abs(std::log(longest->length * times / (longest->main->usual * stick))),
                          times);
      }
    }
    if (ways.empty()) return std::nullopt;
    std::sort(ways.begin(), ways.end());
    for (const SizedPiece& one : sized_[d]) {  // the longest that is wrong by itself
      const auto fit = [&](double stick) { return one.main->fit(one.length / stick); };
      if (!one.main || std::any_of(sticks.begin(), sticks.end(), fit)) continue;
      longest = &one;
      break;
    }
    WrongUnit wrong{d, {}, said_length(*longest) + ", and " + (base_ ? said_stick() : "")};
    if (!base_) {
      const SizedPiece& other = *longest_main(*beside);
      wrong.shown += fmt::format("{} of {} {:.1f} mm: no shoe has both", other.piece->name,
                                 drawings_[*beside].file, other.length);
    }
    for (const auto& [unusual, times] : ways) wrong.factors.push_back(times);
    return wrong;
  }

  // What has no name of a main part: too small only where all of all drawings is, too large where half of a
  // drawing's pieces are, for one may be a frame around them.
  [[nodiscard]] std::vector<WrongUnit> by_other_parts() const {
    std::vector<WrongUnit> wrong;
    if (!base_) return wrong;
    const double stick = base_->length;
    const SizedPiece* longest = nullptr;
    bool of_a_shoe = false;
    for (std::size_t d = 0; d < drawings_.size(); ++d) {
      if (sized_[d].empty()) continue;
      const SizedPiece& here = sized_[d].front();
      if (longest == nullptr || here.length > longest->length) longest = &here;
      for (const SizedPiece& one : sized_[d]) {
        of_a_shoe = of_a_shoe || one.piece->words.part == PartOfShoe::kUpper ||
                    one.piece->words.part == PartOfShoe::kBottom;
      }
      const SizedPiece& middle = sized_[d][sized_[d].size() / 2];
      if (longest_main(d) != nullptr || here.length <= kMostOfAny * stick || here.width <= 0.25 * stick ||
          middle.length <= 1.7 * stick)
        continue;
      add_where_whole(here, d, wrong);
    }
    if (wrong.empty() && longest != nullptr && of_a_shoe && longest->length < 0.25 * stick)
      add_where_whole(*longest, drawing_of(*longest->piece), wrong);
    return wrong;
  }
  void add_where_whole(const SizedPiece& longest, std::size_t drawing, std::vector<WrongUnit>& wrong) const {
    WrongUnit one{drawing, {}, said_length(longest) + ", and " + said_stick()};
    for (const double times : {25.4, 1.0 / 25.4, 10.0, 0.1}) {
      const double share = longest.length * times / base_->length;
      if (share > 0.6 && share < 1.7) one.factors.push_back(times);
    }
    if (!one.factors.empty()) wrong.push_back(std::move(one));
  }

  // Which of the two it is, is shown by main parts that would no longer fit, or by a third drawing.
  [[nodiscard]] Status by_edges() const {
    const AlikeDrawings alike = alike_drawings(pieces_);
    std::vector<WrongUnit> wrong;
    for (const LikeEdges& one : alike.apart) {
      const std::size_t large = drawing_of(pieces_[one.large]);
      const std::size_t small = drawing_of(pieces_[one.small]);
      const auto has_a_like = [&](std::size_t drawing) {
        return std::any_of(alike.same.begin(), alike.same.end(), [&](const auto& two) {
          return two.first == drawings_[drawing].key || two.second == drawings_[drawing].key;
        });
      };
      bool large_may = !fitting(large, 1.0 / one.times, sticks_).empty();
      bool small_may = !fitting(small, one.times, sticks_).empty();
      if (large_may && small_may && has_a_like(large) != has_a_like(small))
        (has_a_like(large) ? large_may : small_may) = false;
      const auto tell = [&](bool of_large) {
        const std::size_t mine = of_large ? one.large : one.small;
        const std::size_t other = of_large ? one.small : one.large;
        std::string text = fmt::format(
            "an edge of {} comes out {:.2f} mm long, and one of {} of {}, of the same shape, {:.2f} mm",
            pieces_[mine].name, of_large ? one.length : one.small_length, pieces_[other].name,
            drawings_[of_large ? small : large].file, of_large ? one.small_length : one.length);
        if (one.pairs > 1) text += fmt::format(" ({} are alike so)", counted(one.pairs, "pair"));
        text += fmt::format(": {:g} times, as if in two units", one.times);
        wrong.push_back({of_large ? large : small, {of_large ? 1.0 / one.times : one.times}, text});
      };
      if (!large_may && !small_may) continue;  // their main parts are right as they are
      if (large_may && small_may) {
        tell(false);
        return refusal(wrong, WrongUnit{large, {1.0 / one.times}, ""});
      }
      tell(large_may);
      return refusal(wrong);
    }
    return Done{};
  }

  static std::string said_length(const SizedPiece& longest) {
    return fmt::format("{} comes out {:.1f} mm long", longest.piece->name, longest.length);
  }
  [[nodiscard]] std::string said_stick() const {
    return fmt::format("the stick length of size {} is {:.1f} mm", base_->size, base_->length);
  }

  // "it would fit in centimetres. Put $INSUNITS 5 (centimetres) into its header ..."
  [[nodiscard]] std::string remedy(const WrongUnit& wrong) const {
    struct Known {
      const char* option;
      const char* word;
      double unit;
      int insunits;
    };
    constexpr std::array<Known, 3> kKnown{
        {{"mm", "millimetres", 1.0, 4}, {"cm", "centimetres", 10.0, 5}, {"in", "inches", 25.4, 1}}};
    const UnitAsRead& drawing = drawings_[wrong.drawing];
    std::string all;
    const Known* first = nullptr;
    for (const double times : wrong.factors) {
      for (const Known& one : kKnown) {
        if (std::abs(drawing.unit_in_mm * times / one.unit - 1.0) > 1e-6) continue;
        all += (first == nullptr ? "" : ", or in ") + std::string(one.word);
        if (first == nullptr) first = &one;
      }
    }
    if (first == nullptr) {
      const double times = wrong.factors.front();
      const std::string size = times > 1.0 ? fmt::format("{:g} times as large", times)
                                           : fmt::format("1/{:g} as large", 1.0 / times);
      return fmt::format(
          "it would fit if it were {0}, and no unit makes it so: write it anew where it was drawn, "
          "or scale it to be {0}",
          size);
    }
    std::string text = fmt::format("it would fit in {}. ", all);
    if (!drawing.from_file && drawing.file_unit_in_mm == first->unit)
      return text + fmt::format("Leave --units out: its header says {}", first->word);
    const std::string header =
        fmt::format("ut $INSUNITS {} ({}) into its header", first->insunits, first->word);
    if (drawings_.size() == 1) return text + fmt::format("Say --units {}, or p{}", first->option, header);
    if (drawing.from_file) return text + fmt::format("P{}; --units would be taken for every drawing", header);
    return text + fmt::format(
                      "P{} and leave --units out, for it is taken for every drawing; the others must then "
                      "state their units too",
                      header);
  }

  [[nodiscard]] Problem refusal(const std::vector<WrongUnit>& wrong,
                                const std::optional<WrongUnit>& or_else = std::nullopt) const {
    const WrongUnit& first = wrong.front();
    const UnitAsRead& drawing = drawings_[first.drawing];
    std::string text = fmt::format(
        "the unit seems wrong: it is read in {}, as {}, and so {}; {}", unit_name(drawing.unit_in_mm),
        drawing.from_file ? "its header says ($INSUNITS)" : "--units says", first.shown, remedy(first));
    if (or_else)
      text += fmt::format(". Or it is {}, read in {}, that is wrong: {}", drawings_[or_else->drawing].file,
                          unit_name(drawings_[or_else->drawing].unit_in_mm), remedy(*or_else));
    for (std::size_t i = 1; i < wrong.size(); ++i)
      text +=
          fmt::format(". And {}, read in {}: {}; {}", drawings_[wrong[i].drawing].file,
                      unit_name(drawings_[wrong[i].drawing].unit_in_mm), wrong[i].shown, remedy(wrong[i]));
    return bad_value(text).in_file(drawing.file);
  }

  const std::vector<UnitAsRead>& drawings_;
  const std::vector<DraftPiece>& pieces_;
  const std::optional<BaseStick>& base_;
  std::vector<std::vector<SizedPiece>> sized_;  // by drawing, the longest first
  std::vector<double> sticks_;                  // that the shoe may have
};

}  // namespace

Status units_hold(const std::vector<UnitAsRead>& drawings, const std::vector<DraftPiece>& pieces,
                  const std::optional<BaseStick>& base) {
  return UnitJudge(drawings, pieces, base).judge();
}

}  // namespace lastwright
