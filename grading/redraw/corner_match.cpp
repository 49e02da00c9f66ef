#include "grading/redraw/corner_match.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "geometry/tolerance.hpp"
#include "grading/redraw/break_pairs.hpp"
#include "grading/redraw/like_joint.hpp"
#include "grading/redraw/outline_change.hpp"

namespace lastwright {

namespace {

using Vertex = OutlineRuler::Vertex;
constexpr double kTouches = 1e-6;  // mm: the same point
constexpr double kUnsure = 3.0;    // mm: a joint this near may be the one that is gone
constexpr double kSeenBend = 6.0;  // degrees that it bends more on one side than the other

std::string at_place(Vec2 p) {
  return fmt::format("({:.3f}, {:.3f})", p.x, p.y);
}

class CornerMatch {
 public:
  CornerMatch(const OutlineRuler& was, const OutlineRuler& now, const std::vector<Vec2>& places,
              const CornerMatchOptions& options)
      : was_(was),
        now_(now),
        places_(places),
        options_(options),
        breaks_(pair_breaks(was, now, options.reach)) {}

  CornersFound run() {
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
    for (std::size_t j = 0; j < breaks_.now.size(); ++j) {
      if (!breaks_.was_of[j]) out_.added.push_back(breaks_.now[j].at);
    }
    return std::move(out_);
  }

 private:
  [[nodiscard]] std::optional<std::size_t> break_at(Vec2 place) const {
    for (std::size_t i = 0; i < breaks_.was.size(); ++i) {
      if (distance(breaks_.was[i].at, place) <= kTouches) return i;
    }
    return std::nullopt;
  }

  static CornerFound refused(std::string why) { return {FoundHow::kSame, {}, std::move(why), {}}; }

  [[nodiscard]] CornerFound found_break(std::size_t i) const {
    const Vertex& was = breaks_.was[i];
    if (!breaks_.now_of[i]) return refused(not_there(was));
    const std::size_t j = *breaks_.now_of[i];
    const double off = distance(was.at, breaks_.now[j].at);
    if (off <= kSameDrawn) return {FoundHow::kSame, breaks_.now[j].at, {}, {}};
    // What else it might be, or what else might be there.
    const double near = std::max(2.0 * off, off + 2.0);
    for (std::size_t k = 0; k < breaks_.now.size(); ++k) {
      if (k == j || breaks_.was_of[k] || !turns_alike(was, breaks_.now[k]) ||
          distance(was.at, breaks_.now[k].at) > near)
        continue;
      return refused(fmt::format("it may be the corner at {} or the one at {}", at_place(breaks_.now[j].at),
                                 at_place(breaks_.now[k].at)));
    }
    for (std::size_t k = 0; k < breaks_.was.size(); ++k) {
      if (k == i || breaks_.now_of[k] || !turns_alike(breaks_.was[k], breaks_.now[j]) ||
          distance(breaks_.was[k].at, breaks_.now[j].at) > near)
        continue;
      return refused(fmt::format("the corner at {} may be it or the one that was at {}",
                                 at_place(breaks_.now[j].at), at_place(breaks_.was[k].at)));
    }
    return {FoundHow::kMoved, breaks_.now[j].at, {}, {}};
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
    const OutlineChange beside = changed_beside(place);
    if (drawn && !(beside.most <= kSameDrawn && cut_anew(place))) {
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
      if (!breaks_.now_of[*which] || distance(breaks_.now[*breaks_.now_of[*which]].at, there) > kTouches)
        shift_.reset();
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
    const OutlineChange beside = changed_beside(place);
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

  [[nodiscard]] OutlineChange changed_beside(Vec2 place) const {
    return change_beside(was_, now_, breaks_.was, places_, place, options_.reach);
  }

  // A joint that fairing put where it liked.
  [[nodiscard]] bool made(const Vertex& one) const { return options_.faired && one.smooth; }

  // A vertex of an outline that is drawn there.
  [[nodiscard]] bool has(const OutlineRuler& ruler, Vec2 p) const {
    return std::any_of(ruler.vertices().begin(), ruler.vertices().end(),
                       [&](const Vertex& one) { return !made(one) && distance(one.at, p) <= kSameDrawn; });
  }

  // Whether two or more of the joints beside one that is drawn no more are gone too: a smooth line is cut
  // into other chords, and no single joint has moved along it. Some may be drawn again by chance.
  [[nodiscard]] bool cut_anew(Vec2 place) const {
    constexpr std::size_t kBeside = 3;  // joints to either side
    const std::vector<Vertex>& joints = was_.vertices();
    const std::size_t n = joints.size();
    const auto here = std::find_if(joints.begin(), joints.end(),
                                   [&](const Vertex& one) { return distance(one.at, place) <= kSameDrawn; });
    if (here == joints.end() || n <= 2 * kBeside) return false;
    const auto i = static_cast<std::size_t>(here - joints.begin());
    std::size_t gone = 0;
    for (const std::size_t step : {std::size_t{1}, n - 1}) {
      std::size_t k = i;
      for (std::size_t looked = 0; looked < kBeside; ++looked) {
        k = (k + step) % n;
        if (joints[k].corner) break;
        if (!has(now_, joints[k].at)) ++gone;
      }
    }
    return gone >= 2;
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
    for (std::size_t i = 0; i < breaks_.was.size(); ++i) {
      if (breaks_.now_of[i]) anchors.push_back({breaks_.was[i].s, breaks_.now[*breaks_.now_of[i]].s});
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
  BreakPairs breaks_;
  std::optional<std::size_t> shift_;  // where all joints are counted again
  CornersFound out_;
};

}  // namespace

CornersFound match_corners(const OutlineRuler& was, const OutlineRuler& now, const std::vector<Vec2>& places,
                           const CornerMatchOptions& options) {
  return CornerMatch(was, now, places, options).run();
}

}  // namespace lastwright
