#include "grading/draft/standing_upper.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "grading/draft/piece_groups.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostTriedCorners = 250;  // each is tried with each as heel and toe

constexpr double kShortestFoot = 85.0;  // mm: an infant's first
// What is higher than half the length is a shaft. Seen from heel to toe it leans back, by the pitch of a high
// heel and its own: by less than 24 degrees.
constexpr double kMostBehind = 0.12;  // of the length that what is no shaft lies behind the heel
constexpr double kShaftFrom = 0.5;
constexpr double kShaftLean = 0.45;
// The lower edge leaves the straight from heel to toe upward by a little: the waist. What leaves it by more
// is the front of a shaft.
constexpr double kMostHollow = 0.12;
constexpr std::size_t kStrips = 12;  // across the length, in which the lowest place is looked for

struct HeelAndToe {
  Vec2 heel;
  Vec2 toe;
  double side = 1.0;  // of heel to toe, where the pieces lie: 1 left
  double cost = INFINITY;
};

class UpperFinder {
 public:
  UpperFinder(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which,
              std::optional<double> stick)
      : pieces_(pieces), which_(which), stick_(stick) {
    for (const std::size_t i : which) {
      for (const DraftCorner& corner : pieces[i].corners) add_corner(corner.at);
      for (const DraftEdge& edge : pieces[i].edges)
        all_.insert(all_.end(), edge.samples.begin(), edge.samples.end());
    }
  }

  std::optional<DraftForme> run() {
    if (corners_.size() > kMostTriedCorners) return std::nullopt;
    straights_ = straights();
    longest_ = farthest_points(all_).distance;
    HeelAndToe best;
    for (const auto& [heel, heel_touches] : corners_) {
      for (const auto& [toe, toe_touches] : corners_) {
        if (heel == toe) continue;
        const HeelAndToe one = judged(heel, toe, std::min<std::size_t>(heel_touches + toe_touches, 6));
        if (one.cost < best.cost) best = one;
      }
    }
    if (!std::isfinite(best.cost)) return std::nullopt;
    DraftForme forme;
    forme.kind = DraftKind::kUpper;
    forme.pieces = which_;
    forme.standing_cost = best.cost;
    stand(best, forme);
    find_front(best, forme);
    find_back(forme);
    return forme;
  }

 private:
  void add_corner(Vec2 at) {
    if (corners_.size() > kMostTriedCorners) return;
    for (auto& [place, touches] : corners_) {
      if (distance(place, at) > kDraftSame) continue;
      ++touches;
      return;
    }
    corners_.emplace_back(at, 1);
  }

  // The lower edge of a shell bends below the straight from heel
  // to toe by up to a seventh of it, where the toe springs.
  [[nodiscard]] HeelAndToe judged(Vec2 heel, Vec2 toe, std::size_t touches) const {
    HeelAndToe one{heel, toe, 1.0, INFINITY};
    const double d = distance(heel, toe);
    if (d < kShortestFoot) return one;
    if (stick_ && (d < 0.85 * *stick_ || d > 1.2 * *stick_)) return one;
    const Vec2 along = (toe - heel) / d;
    double lowest = 0.0;
    double highest = 0.0;
    double behind = 0.0;
    double before = 0.0;
    double at_heel = 0.0;  // the highest near the heel, signed later
    double at_heel_low = 0.0;
    double at_toe = 0.0;
    double at_toe_low = 0.0;
    double leaning = 0.0;
    std::array<double, kStrips> lows{};  // by strip
    std::array<double, kStrips> highs{};
    lows.fill(INFINITY);
    highs.fill(-INFINITY);
    for (const Vec2 p : all_) {
      const double x = dot(p - heel, along);
      const double h = cross(along, p - heel);
      lowest = std::min(lowest, h);
      highest = std::max(highest, h);
      leaning = std::max(leaning, -x);
      behind = std::max(behind, -x - kShaftLean * std::max(0.0, std::abs(h) - kShaftFrom * d));
      if (x > 0.0 && x < d) {
        const auto strip = std::min(kStrips - 1, static_cast<std::size_t>(x / d * kStrips));
        lows[strip] = std::min(lows[strip], h);
        highs[strip] = std::max(highs[strip], h);
      }
      before = std::max(before, x - d);
      if (x < 0.12 * d) {
        at_heel = std::max(at_heel, h);
        at_heel_low = std::min(at_heel_low, h);
      }
      if (x > 0.9 * d) {
        at_toe = std::max(at_toe, h);
        at_toe_low = std::min(at_toe_low, h);
      }
    }
    if (-lowest > highest) {
      one.side = -1.0;
      std::swap(lowest, highest);
      std::swap(at_heel, at_heel_low);
      std::swap(at_toe, at_toe_low);
      lowest = -lowest;
      highest = -highest;
      at_heel = -at_heel;
      at_toe = -at_toe;
    }
    if (leaning > kMostBehind * d && hollow(one.side > 0.0 ? lows : highs, kMostHollow * d)) return one;
    const double under = std::abs(lowest) / d;
    if (under > 0.15 || behind > kMostBehind * d || before > 0.06 * d) return one;
    if (std::abs(at_heel) < 0.12 * d || std::abs(at_toe) > 0.16 * d || std::abs(highest) < 0.15 * d)
      return one;
    one.cost =
        under + (behind + before) / d + 0.15 * std::abs(at_toe) / d - 0.02 * static_cast<double>(touches);
    if (stick_) one.cost += 0.5 * std::abs(d / *stick_ - 1.0);
    one.cost -= 0.3 * d / longest_;
    // A straight front line that rises from the toe over the pieces tells which way up they lie.
    if (front_from(toe, along, one.side * left_of(along))) one.cost -= 0.15;
    return one;
  }

  // Whether the nearest place of a strip, not of those at the ends, is farther off than that.
  static bool hollow(const std::array<double, kStrips>& nearest, double most) {
    return std::any_of(nearest.begin() + 1, nearest.end() - 1,
                       [&](double h) { return std::isfinite(h) && std::abs(h) > most; });
  }

  [[nodiscard]] bool front_from(Vec2 toe, Vec2 along, Vec2 up) const {
    return std::any_of(straights_.begin(), straights_.end(), [&](const std::pair<Vec2, Vec2>& one) {
      const bool at_from = distance(one.first, toe) <= kDraftSame;
      if (!at_from && distance(one.second, toe) > kDraftSame) return false;
      const Vec2 way = (at_from ? one.second : one.first) - toe;
      const double rise = std::atan2(dot(way, up), -dot(way, along));
      return rise > from_degrees(3.0).value() && rise < from_degrees(80.0).value();
    });
  }

  // Along what is written where that is nearly the way from heel to toe: a pattern is lettered along its base
  // line. Not where pieces contradict each other: then they are lettered level on the sheet, however they
  // lie.
  void stand(const HeelAndToe& found, DraftForme& forme) const {
    const Vec2 chord = unit(found.toe - found.heel);
    forme.frame.origin = found.heel;
    forme.frame.along = chord;
    forme.base_from = "the base line runs from the heel to the toe";
    std::map<long, std::size_t> directions;  // thousandths of a degree
    for (const std::size_t i : which_) {
      for (const double degrees : pieces_[i].text_degrees) {
        if (std::abs(cross(direction_of(degrees), chord)) < std::sin(from_degrees(15.0).value()))
          ++directions[std::lround(degrees * 1000.0) % 180000];
      }
    }
    const auto most = std::max_element(directions.begin(), directions.end(),
                                       [](const auto& a, const auto& b) { return a.second < b.second; });
    if (most != directions.end()) {
      const double degrees = static_cast<double>(most->first) / 1000.0;
      if (const auto other = lettered_otherwise(degrees)) {
        forme.base_from += ": " + *other;
        forme.base_sure = Sureness::kGuess;
      } else {
        const Vec2 way = direction_of(degrees);
        forme.frame.along = dot(way, chord) < 0.0 ? -way : way;
        forme.base_from = "the base line runs from the heel along what is written in the pieces";
      }
    }
    forme.frame.up = found.side * left_of(forme.frame.along);
    const double reach = forme.frame.in(found.toe).x;
    forme.length = reach;
    forme.points["heel"] = found.heel;
    forme.points["toe"] = found.toe;
    const Vec2 stick_end = forme.frame.out({reach, 0.0});
    if (distance(stick_end, found.toe) > 1.0) forme.points["stick end"] = stick_end;
  }

  static Vec2 direction_of(double degrees) {
    const long thousandths = std::lround(degrees * 1000.0) % 180000;
    if (thousandths == 0) return {1.0, 0.0};
    if (thousandths == 90000) return {0.0, 1.0};
    const double radians = from_degrees(degrees).value();
    return {std::cos(radians), std::sin(radians)};
  }

  // A piece, as the pieces lie now, in which nothing is written in this direction or square to it, while
  // others have texts: in words.
  [[nodiscard]] std::optional<std::string> lettered_otherwise(double degrees) const {
    constexpr double kSameWay = 1.0;  // degrees
    const auto off = [&](double text) { return std::abs(std::remainder(text - degrees, 90.0)); };
    const DraftPiece* along = nullptr;
    const DraftPiece* otherwise = nullptr;
    double least = 0.0;
    for (const std::size_t i : which_) {
      const std::vector<double>& texts = pieces_[i].text_degrees;
      if (texts.empty()) continue;
      const double here = off(
          *std::min_element(texts.begin(), texts.end(), [&](double a, double b) { return off(a) < off(b); }));
      if (here <= kSameWay) {
        if (along == nullptr) along = &pieces_[i];
      } else if (otherwise == nullptr || here > least) {
        otherwise = &pieces_[i];
        least = here;
      }
    }
    if (otherwise == nullptr || along == nullptr) return std::nullopt;
    return fmt::format(
        "what is written in {} and in {} runs {:.0f} degrees apart as the pieces lie, and so "
        "tells of no base line",
        along->name, otherwise->name, least);
  }

  // The longest straight edge or mirror line that starts at the toe, with all that lies in line with it.
  void find_front(const HeelAndToe& found, DraftForme& forme) const {
    double longest_front = 0.0;
    for (const auto& [from, to] : straights_) {
      const bool at_from = distance(from, found.toe) <= kDraftSame;
      if (!at_from && distance(to, found.toe) > kDraftSame) continue;
      const Vec2 far = at_from ? to : from;
      const Vec2 way = forme.frame.in(far)-forme.frame.in(found.toe);
      const double rise = std::atan2(way.y, -way.x);
      if (rise < from_degrees(5.0).value() || rise > from_degrees(85.0).value() || norm(way) <= longest_front)
        continue;
      longest_front = norm(way);
      forme.front = {found.toe, far};
    }
    if (forme.front.empty()) return;
    for (const auto& [from, to] : straights_) {  // the vamp behind a toe cap
      for (const Vec2 end : {from, to}) {
        const Vec2 other = end == from ? to : from;
        if (off_line(forme.front[0], forme.front[1], end) > kDraftSame ||
            off_line(forme.front[0], forme.front[1], other) > kDraftSame)
          continue;
        if (distance(found.toe, end) > distance(found.toe, forme.front[1]) &&
            dot(end - found.toe, forme.front[1] - found.toe) > 0.0)
          forme.front[1] = end;
      }
    }
    forme.points["vamp point"] = forme.front[1];
  }

  [[nodiscard]] std::vector<std::pair<Vec2, Vec2>> straights() const {
    std::vector<std::pair<Vec2, Vec2>> all;
    for (const std::size_t i : which_) {
      // One on an edge may run on beyond it, and the edge stands for it.
      if (!mirrored_edge(pieces_[i]))
        all.insert(all.end(), pieces_[i].mirrors.begin(), pieces_[i].mirrors.end());
      for (const DraftEdge& edge : pieces_[i].edges) {
        if (edge.straight && edge.length > 8.0) all.emplace_back(edge.samples.front(), edge.samples.back());
      }
    }
    return all;
  }

  // The highest corner above the heel, or up a shaft that leans back; where an edge leads from it straight on
  // behind, as a top line does that rises to the front, the end of that.
  void find_back(DraftForme& forme) const {
    std::optional<Vec2> back;
    double highest = 0.12 * forme.length;
    for (const auto& [at, touches] : corners_) {
      const Vec2 q = forme.frame.in(at);
      const double lean = kShaftLean * std::max(0.0, q.y - kShaftFrom * forme.length);
      if (q.x < -0.1 * forme.length - lean || q.x > 0.1 * forme.length || q.y <= highest) continue;
      highest = q.y;
      back = at;
    }
    if (!back) return;
    for (std::size_t i = 0; i < corners_.size(); ++i) {
      const std::optional<Vec2> next = behind(forme, *back);
      if (!next) break;
      back = next;
    }
    forme.points["back top"] = *back;
  }
  // Where an edge that is not steep leads to from here.
  [[nodiscard]] std::optional<Vec2> behind(const DraftForme& forme, Vec2 at) const {
    for (const std::size_t i : which_) {
      for (const DraftEdge& edge : pieces_[i].edges) {
        const bool from_start = distance(edge.samples.front(), at) <= kDraftSame;
        if (!from_start && distance(edge.samples.back(), at) > kDraftSame) continue;
        const Vec2 there = from_start ? edge.samples.back() : edge.samples.front();
        const Vec2 way = forme.frame.in(there)-forme.frame.in(at);
        if (way.x < -1.0 && std::abs(way.y) < 1.7 * -way.x) return there;
      }
    }
    return std::nullopt;
  }

  const std::vector<DraftPiece>& pieces_;
  const std::vector<std::size_t>& which_;
  std::optional<double> stick_;
  std::vector<std::pair<Vec2, std::size_t>> corners_;
  std::vector<Vec2> all_;
  double longest_ = 1.0;  // mm, from end to end
  std::vector<std::pair<Vec2, Vec2>> straights_;
};

}  // namespace

std::optional<DraftForme> standing_upper(const std::vector<DraftPiece>& pieces,
                                         const std::vector<std::size_t>& which, std::optional<double> stick) {
  if (auto forme = UpperFinder(pieces, which, stick).run()) return forme;
  return std::nullopt;
}

}  // namespace lastwright
