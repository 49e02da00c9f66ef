#include "grading/redraw/corner_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "geometry/tolerance.hpp"
#include "grading/redraw/like_joint.hpp"

namespace lastwright {

namespace {

using Vertex = OutlineRuler::Vertex;
constexpr double kNoCost = std::numeric_limits<double>::infinity();
constexpr double kTouches = 1e-6;                    // mm: the same point
constexpr std::size_t kMostVertexPairs = 4'000'000;  // of an old vertex and a new one
constexpr double kUnsure = 3.0;                      // mm: a joint this near may be the one that is gone
constexpr double kSeenBend = 6.0;                    // degrees that it bends more on one side than the other

std::string at_place(Vec2 p) {
  return fmt::format("({:.3f}, {:.3f})", p.x, p.y);
}

// Whether a corner that turns so may be the other, drawn again.
bool turns_alike(const Vertex& one, const Vertex& other) {
  const double most = std::max(25.0, 0.3 * std::abs(one.turn));
  return one.turn * other.turn > 0.0 && std::abs(one.turn - other.turn) <= most;
}

class CornerMatch {
 public:
  CornerMatch(const OutlineRuler& was, const OutlineRuler& now, const std::vector<Vec2>& places,
              const CornerMatchOptions& options)
      : was_(was), now_(now), places_(places), options_(options) {}

  CornersFound run() {
    order_breaks();
    pair_breaks();
    count_joints();
    out_.corners.resize(places_.size());
    std::vector<std::size_t> smooth;
    for (std::size_t i = 0; i < places_.size(); ++i) {
      if (const auto which = break_at(places_[i])) {
        out_.corners[i] = found_break(*which);
      } else {
        smooth.push_back(i);
      }
    }
    for (const std::size_t i : smooth) out_.corners[i] = at_joint_near(found_smooth(places_[i]));
    check_order();
    for (std::size_t j = 0; j < new_.size(); ++j) {
      if (!old_of_[j]) out_.added.push_back(new_[j].at);
    }
    return std::move(out_);
  }

 private:
  // Both lists start in the longest stretch of the old outline without a break.
  void order_breaks() {
    std::vector<double> at;
    for (const Vertex& one : was_.vertices()) {
      if (one.corner) at.push_back(one.s);
    }
    double cut = 0.0;
    double widest = -1.0;
    for (std::size_t i = 0; i < at.size(); ++i) {
      double gap = was_.onward(at[i], at[(i + 1) % at.size()]);
      if (at.size() == 1) gap = was_.length();
      if (gap <= widest) continue;
      widest = gap;
      cut = at[i] + 0.5 * gap;
    }
    const auto ordered = [](const OutlineRuler& ruler, double from) {
      std::vector<Vertex> breaks;
      for (const Vertex& one : ruler.vertices()) {
        if (one.corner) breaks.push_back(one);
      }
      std::sort(breaks.begin(), breaks.end(), [&](const Vertex& a, const Vertex& b) {
        return ruler.onward(from, a.s) < ruler.onward(from, b.s);
      });
      return breaks;
    };
    old_ = ordered(was_, cut);
    new_ = ordered(now_, now_.nearest(was_.at(cut)).s);
    new_of_.resize(old_.size());
    old_of_.resize(new_.size());
  }

  [[nodiscard]] double cost(std::size_t i, std::size_t j) const {
    const double off = distance(old_[i].at, new_[j].at);
    // What is drawn at the same place is the same corner, though its neighbours may have moved.
    if (off <= kSameDrawn) return old_[i].turn * new_[j].turn > 0.0 ? -10.0 : kNoCost;
    if (off > options_.reach || !turns_alike(old_[i], new_[j])) return kNoCost;
    return off / options_.reach + std::abs(old_[i].turn - new_[j].turn) / 60.0;
  }

  // The pairs in order with the least cost; what has no partner costs too.
  void pair_breaks() {
    constexpr double kLeft = 1.5;   // an old break without a partner
    constexpr double kAdded = 0.2;  // a new one
    const std::size_t n = old_.size();
    const std::size_t m = new_.size();
    if (n * m > kMostVertexPairs) return;  // no outline of a piece: nothing is paired, all is refused
    std::vector<double> best((n + 1) * (m + 1), 0.0);
    const auto at = [&](std::size_t i, std::size_t j) -> double& { return best[i * (m + 1) + j]; };
    for (std::size_t i = n + 1; i-- > 0;) {
      for (std::size_t j = m + 1; j-- > 0;) {
        if (i == n && j == m) continue;
        double least = kNoCost;
        if (i < n) least = std::min(least, kLeft + at(i + 1, j));
        if (j < m) least = std::min(least, kAdded + at(i, j + 1));
        if (i < n && j < m) least = std::min(least, cost(i, j) + at(i + 1, j + 1));
        at(i, j) = least;
      }
    }
    std::size_t i = 0;
    std::size_t j = 0;
    while (i < n && j < m) {
      if (at(i, j) == cost(i, j) + at(i + 1, j + 1)) {
        new_of_[i] = j;
        old_of_[j] = i;
        ++i;
        ++j;
      } else if (at(i, j) == kLeft + at(i + 1, j)) {
        ++i;
      } else {
        ++j;
      }
    }
  }

  [[nodiscard]] std::optional<std::size_t> break_at(Vec2 place) const {
    for (std::size_t i = 0; i < old_.size(); ++i) {
      if (distance(old_[i].at, place) <= kTouches) return i;
    }
    return std::nullopt;
  }

  static CornerFound refused(std::string why) { return {FoundHow::kSame, {}, std::move(why), {}}; }

  [[nodiscard]] CornerFound found_break(std::size_t i) const {
    const Vertex& was = old_[i];
    if (!new_of_[i]) return refused(not_there(was));
    const std::size_t j = *new_of_[i];
    const double off = distance(was.at, new_[j].at);
    if (off <= kSameDrawn) return {FoundHow::kSame, new_[j].at, {}, {}};
    // What else it might be, or what else might be there.
    const double near = std::max(2.0 * off, off + 2.0);
    for (std::size_t k = 0; k < new_.size(); ++k) {
      if (k == j || old_of_[k] || !turns_alike(was, new_[k]) || distance(was.at, new_[k].at) > near) continue;
      return refused(fmt::format("it may be the corner at {} or the one at {}", at_place(new_[j].at),
                                 at_place(new_[k].at)));
    }
    for (std::size_t k = 0; k < old_.size(); ++k) {
      if (k == i || new_of_[k] || !turns_alike(old_[k], new_[j]) || distance(old_[k].at, new_[j].at) > near)
        continue;
      return refused(fmt::format("the corner at {} may be it or the one that was at {}", at_place(new_[j].at),
                                 at_place(old_[k].at)));
    }
    return {FoundHow::kMoved, new_[j].at, {}, {}};
  }

  [[nodiscard]] std::string not_there(const Vertex& was) const {
    const Vertex* nearest = nullptr;
    for (const Vertex& one : now_.vertices()) {
      if (one.corner && (nearest == nullptr || distance(one.at, was.at) < distance(nearest->at, was.at)))
        nearest = &one;
    }
    std::string text =
        fmt::format("the new outline has no corner for it, in its order round the outline, within {:g} mm",
                    options_.reach);
    if (nearest != nullptr) {
      text += fmt::format(
          "; its nearest, at {}, is {:.3f} mm away and turns by {:.0f} degrees where it turned by {:.0f}",
          at_place(nearest->at), distance(nearest->at, was.at), nearest->turn, was.turn);
    }
    return text;
  }

  // Where the old outline does not break: a joint of smooth curves, or a place on one.
  [[nodiscard]] CornerFound found_smooth(Vec2 place) const {
    const Vertex* joint = nullptr;
    for (const Vertex& one : now_.vertices()) {
      if (made(one)) continue;
      if (joint == nullptr || distance(one.at, place) < distance(joint->at, place)) joint = &one;
    }
    const bool drawn = has(was_, place);
    if (joint != nullptr && distance(joint->at, place) <= kSameDrawn) {
      if (drawn && !joint->corner && joint_moved_on(place, joint->s)) return moved_or_refused(place);
      return {FoundHow::kSame, joint->at, {}, {}};
    }
    const OutlineRuler::Foot foot = now_.nearest(place);
    if (foot.distance <= kSameDrawn) return kept_on_line(place, foot.at, drawn);
    if (options_.faired && !drawn) {
      // By the count of the joints only where the line runs there as it did: the count may be the fairing's.
      const auto like = shift_ ? place_by_shift(was_, now_, *shift_, place) : std::nullopt;
      if (like && unlike(was_, place, now_, *like) <= kSameDrawn) return {FoundHow::kMoved, *like, {}, {}};
      return slid_or_refused(place, foot);
    }
    if (const Vertex* dragged = same_joint(place)) return {FoundHow::kMoved, dragged->at, {}, {}};
    if (const auto like = like_joint(place, drawn)) return {FoundHow::kMoved, *like, {}, {}};
    return slid_or_refused(place, foot);
  }

  // A style's corner is snapped to a joint near by, and so to one that fairing made: it goes there.
  [[nodiscard]] CornerFound at_joint_near(CornerFound found) const {
    if (!options_.faired || !found.problem.empty()) return found;
    const auto nearest = std::min_element(now_.vertices().begin(), now_.vertices().end(),
                                          [&](const Vertex& one, const Vertex& other) {
                                            return distance(one.at, found.at) < distance(other.at, found.at);
                                          });
    const double off = distance(nearest->at, found.at);
    if (off > tolerance::kCornerSnap.value()) return found;
    found.at = nearest->at;
    if (off > kSameDrawn) found.how = FoundHow::kMoved;
    return found;
  }

  [[nodiscard]] CornerFound slid_or_refused(Vec2 place, const OutlineRuler::Foot& foot) const {
    const std::optional<Vec2> slid = same_share(place);
    const Vec2 there = slid.value_or(foot.at);
    if (options_.slide && slid && distance(there, place) <= options_.reach)
      return {FoundHow::kSlid, there, {}, {}};
    return refused(fmt::format(
        "the line under it has moved by {:.3f} mm, and it is no corner of the outline that could be seen; {} "
        "is {}",
        foot.distance, slid ? "at the same share of the line it" : "the nearest place of the line",
        at_place(there)));
  }

  // Nothing is drawn there in the new outline, and its line runs on.
  [[nodiscard]] CornerFound kept_on_line(Vec2 place, Vec2 foot, bool drawn) const {
    const Change beside = changed_beside(place);
    if (drawn) {
      if (const Vertex* moved = gone_joint(place)) {
        const auto like = beside.most > kSameDrawn ? like_joint(place, drawn) : std::nullopt;
        if (like) return {FoundHow::kMoved, *like, {}, {}};
        return refused(
            fmt::format("the joint that was drawn there is gone, and there is a new one at {}, {:.3f} mm "
                        "off: put the corner "
                        "where it is meant",
                        at_place(moved->at), distance(moved->at, place)));
      }
    }
    CornerFound kept{FoundHow::kOnLine, foot, {}, {}};
    if (beside.most <= kSameDrawn) {
      if (drawn)
        kept.told =
            fmt::format("nothing is drawn at {} any more; the line runs there as it did", at_place(place));
      return kept;
    }
    if (drawn) return moved_or_refused(place);
    kept.told = fmt::format(
        "it stays at {}, where nothing is drawn and the line runs as it did; the outline beside it has "
        "changed, as at {}",
        at_place(place), at_place(beside.at));
    return kept;
  }

  // The breaks and the joints between them must have been counted alike.
  void count_joints() {
    shift_ = joint_shift(was_, now_, options_.reach);
    const std::size_t n = was_.vertices().size();
    for (std::size_t i = 0; shift_ && i < n; ++i) {
      const auto which = was_.vertices()[i].corner ? break_at(was_.vertices()[i].at) : std::nullopt;
      if (!which) continue;
      const Vec2 there = now_.vertices()[(i + *shift_) % n].at;
      if (!new_of_[*which] || distance(new_[*new_of_[*which]].at, there) > kTouches) shift_.reset();
    }
  }

  [[nodiscard]] std::optional<Vec2> like_joint(Vec2 place, bool drawn) const {
    if (shift_) return place_by_shift(was_, now_, *shift_, place);
    return drawn ? joint_alike(was_, now_, place, options_.reach) : std::nullopt;
  }
  [[nodiscard]] CornerFound moved_or_refused(Vec2 place) const {
    if (const auto like = like_joint(place, true)) return {FoundHow::kMoved, *like, {}, {}};
    return refused(moved_on(place));
  }

  // Of a joint whose line runs on as before, while what followed it lies elsewhere.
  [[nodiscard]] std::string moved_on(Vec2 place) const {
    const Change beside = changed_beside(place);
    std::string text = fmt::format(
        "the joint that was drawn there is gone, though a line still runs there: the outline beside it has "
        "changed, as at {}",
        at_place(beside.at));
    // The joint that bends as it did, among those that are new.
    const double bend = bend_at(was_, was_.nearest(place).s);
    const Vertex* like = nullptr;
    for (const Vertex& one : now_.vertices()) {
      if (made(one) || distance(one.at, place) > options_.reach || has(was_, one.at)) continue;
      if (std::abs(bend_at(now_, one.s) - bend) > 0.3 * std::abs(bend)) continue;
      if (like == nullptr || distance(one.at, place) < distance(like->at, place)) like = &one;
    }
    if (like != nullptr && std::abs(bend) >= kSeenBend)
      text += fmt::format("; a joint like it is drawn at {}, {:.3f} mm off", at_place(like->at),
                          distance(like->at, place));
    return text + ": put the corner where it is meant";
  }

  // A vertex is drawn there still, and is that joint no more: the line runs on through it, or a joint that is
  // new is much more like the old one.
  [[nodiscard]] bool joint_moved_on(Vec2 place, double now_s) const {
    constexpr std::size_t kMostCurves = 20'000;
    const double here = unlike(was_, place, now_, place);
    if (here <= kSameDrawn) return false;
    const double bend = bend_at(was_, was_.nearest(place).s);
    const bool seen = std::abs(bend) >= kSeenBend;
    if (seen && std::abs(bend_at(now_, now_s)) <= 0.5 * std::abs(bend)) return true;
    if (now_.curves().size() > kMostCurves) return true;  // no outline of a piece
    const double reach = seen ? options_.reach : kUnsure;
    return std::any_of(now_.vertices().begin(), now_.vertices().end(), [&](const Vertex& one) {
      return !made(one) && distance(one.at, place) <= reach && !has(was_, one.at) &&
             unlike(was_, place, now_, one.at, 0.5 * here) < 0.5 * here;
    });
  }

  struct Change {
    double most = 0.0;  // mm that the outlines leave each other
    Vec2 at;            // there, on the new one
  };
  // Of the stretch round a place, to the next places and breaks on either side and as far as corners are
  // looked for at least.
  [[nodiscard]] Change changed_beside(Vec2 place) const {
    constexpr double kBeyond = 2.0;                   // mm
    constexpr double kStep = 0.5;                     // mm
    constexpr std::size_t kMostLooks = 400;           // of either outline
    constexpr std::size_t kMostCompared = 2'000'000;  // of a look and a curve
    const double s = was_.nearest(place).s;
    double back = was_.length();
    double ahead = was_.length();
    const auto stop_at = [&](Vec2 at, double there) {
      if (distance(at, place) <= kSameDrawn) return;
      back = std::min(back, was_.onward(there, s));
      ahead = std::min(ahead, was_.onward(s, there));
    };
    for (const Vertex& one : old_) stop_at(one.at, one.s);
    for (const Vec2 other : places_) stop_at(other, was_.nearest(other).s);
    const double least = std::min(options_.reach, 0.25 * was_.length());
    // A little beyond them, where they show that they have moved along the line.
    back = std::min(std::max(back + kBeyond, least), 0.5 * was_.length());
    ahead = std::min(std::max(ahead + kBeyond, least), 0.5 * was_.length());
    Change out;
    const auto look = [&](const OutlineRuler& along, double from, double length, const OutlineRuler& other,
                          bool is_new) {
      const std::size_t most =
          std::clamp<std::size_t>(kMostCompared / (1 + other.curves().size()), 16, kMostLooks);
      const auto looks = std::clamp<std::size_t>(static_cast<std::size_t>(length / kStep), 16, most);
      for (std::size_t i = 0; i <= looks; ++i) {
        const Vec2 p = along.at(from + length * static_cast<double>(i) / static_cast<double>(looks));
        const OutlineRuler::Foot foot = other.nearest(p);
        if (foot.distance > out.most) out = {foot.distance, is_new ? p : foot.at};
      }
    };
    look(was_, s - back, back + ahead, now_, false);
    const double start = now_.nearest(was_.at(s - back)).s;
    look(now_, start, now_.onward(start, now_.nearest(was_.at(s + ahead)).s), was_, true);
    return out;
  }

  // A joint that fairing put where it liked.
  [[nodiscard]] bool made(const Vertex& one) const { return options_.faired && one.smooth; }

  // A vertex of an outline that is drawn there.
  [[nodiscard]] bool has(const OutlineRuler& ruler, Vec2 p) const {
    return std::any_of(ruler.vertices().begin(), ruler.vertices().end(),
                       [&](const Vertex& one) { return !made(one) && distance(one.at, p) <= kSameDrawn; });
  }

  // A joint that the new outline has near by and the old one had not.
  [[nodiscard]] const Vertex* gone_joint(Vec2 place) const {
    const Vertex* nearest = nullptr;
    for (const Vertex& one : now_.vertices()) {
      if (made(one) || distance(one.at, place) > kUnsure || has(was_, one.at)) continue;
      if (nearest == nullptr || distance(one.at, place) < distance(nearest->at, place)) nearest = &one;
    }
    return nearest;
  }

  // The joint in the same place of the round, where both outlines are made of as many curves and only one way
  // to count them brings every joint near the old one, those beside it to where they were or as far as it.
  [[nodiscard]] const Vertex* same_joint(Vec2 place) const {
    const auto& was = was_.vertices();
    const auto& now = now_.vertices();
    const std::size_t n = was.size();
    constexpr std::size_t kMost = 400;  // an outline of more is drawn in short lines
    if (now.size() != n || n < 3 || n > kMost) return nullptr;
    std::optional<std::size_t> which;
    for (std::size_t shift = 0; shift < n; ++shift) {
      bool near = true;
      std::size_t same = 0;
      for (std::size_t i = 0; near && i < n; ++i) {
        const double off = distance(was[i].at, now[(i + shift) % n].at);
        near = off <= options_.reach;
        if (off <= kSameDrawn) ++same;
      }
      if (!near) continue;
      if (which || 2 * same < n) return nullptr;
      which = shift;
    }
    if (!which) return nullptr;
    for (std::size_t i = 0; i < n; ++i) {
      if (distance(was[i].at, place) <= kTouches) return &now[(i + *which) % n];
    }
    return nullptr;
  }

  // Between what was found on either side of it: breaks, and joints that are drawn where they were.
  [[nodiscard]] std::optional<Vec2> same_share(Vec2 place) const {
    struct Anchor {
      double was;
      double now;
    };
    std::vector<Anchor> anchors;
    for (std::size_t i = 0; i < old_.size(); ++i) {
      if (new_of_[i]) anchors.push_back({old_[i].s, new_[*new_of_[i]].s});
    }
    const bool few = was_.vertices().size() * now_.vertices().size() <= kMostVertexPairs;
    for (const Vertex& was : was_.vertices()) {
      for (const Vertex& now : now_.vertices()) {
        if (!few) break;
        if (!was.corner && !made(was) && !made(now) && distance(was.at, now.at) <= kSameDrawn)
          anchors.push_back({was.s, now.s});
      }
    }
    const double s = was_.nearest(place).s;
    const Anchor* before = nullptr;
    const Anchor* after = nullptr;
    for (const Anchor& one : anchors) {
      if (before == nullptr || was_.onward(one.was, s) < was_.onward(before->was, s)) before = &one;
      if (after == nullptr || was_.onward(s, one.was) < was_.onward(s, after->was)) after = &one;
    }
    if (before == nullptr || before == after) return std::nullopt;
    const double share = was_.onward(before->was, s) / was_.onward(before->was, after->was);
    return now_.nearest(now_.at(before->now + share * now_.onward(before->now, after->now))).at;
  }

  // The corners must follow each other round the new outline as they did round the old.
  void check_order() {
    struct Pair {
      double was;
      double now;
      std::size_t corner;
    };
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < places_.size(); ++i) {
      if (!out_.corners[i].problem.empty()) continue;
      pairs.push_back({was_.nearest(places_[i]).s, now_.nearest(out_.corners[i].at).s, i});
    }
    std::sort(pairs.begin(), pairs.end(), [](const Pair& a, const Pair& b) { return a.was < b.was; });
    double round = 0.0;
    for (std::size_t i = 0; i < pairs.size(); ++i)
      round += now_.onward(pairs[i].now, pairs[(i + 1) % pairs.size()].now);
    if (pairs.size() < 2 || round < 1.5 * now_.length()) return;
    for (const Pair& one : pairs)
      out_.corners[one.corner] =
          refused("the corners do not follow each other round the new outline as they did");
  }

  const OutlineRuler& was_;
  const OutlineRuler& now_;
  const std::vector<Vec2>& places_;
  const CornerMatchOptions& options_;
  std::vector<Vertex> old_;  // breaks, in order from the same place
  std::vector<Vertex> new_;
  std::vector<std::optional<std::size_t>> new_of_;  // by old break
  std::vector<std::optional<std::size_t>> old_of_;  // by new break
  std::optional<std::size_t> shift_;                // where all joints are counted again
  CornersFound out_;
};

}  // namespace

CornersFound match_corners(const OutlineRuler& was, const OutlineRuler& now, const std::vector<Vec2>& places,
                           const CornerMatchOptions& options) {
  return CornerMatch(was, now, places, options).run();
}

}  // namespace lastwright
