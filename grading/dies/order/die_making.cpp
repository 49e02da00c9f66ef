#include "grading/dies/order/die_making.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "geometry/check/segment_gap.hpp"
#include "geometry/curve/path_station.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

constexpr double kShownDepth = 0.1;  // mm

double to_step(double value, double unit) {
  return std::round(value / unit) * unit;
}

// Farthest of the path from its mouth: the line between its ends, for a slit its first end.
std::pair<double, Vec2> farthest_from_mouth(const OpenArcPath& path) {
  const Vec2 a = path.vertices.front().at;
  const Vec2 b = path.vertices.back().at;
  const bool slit = path.size() == 1;
  const auto off = [&](Vec2 p) {
    const Vec2 along = b - a;
    if (slit || norm(along) <= tolerance::kSamePoint.value()) return distance(p, a);
    return std::abs(cross(unit(along), p - a));
  };
  std::pair<double, Vec2> farthest{0.0, a};
  for (std::size_t i = 0; i < path.size(); ++i) {
    for (int k = 1; k <= 8; ++k) {
      const Vec2 p = path.segment(i).point_at(k / 8.0);
      if (off(p) > farthest.first) farthest = {off(p), p};
    }
  }
  return farthest;
}

NickFacts nick_facts(const GradedLine& mark, const ClosedArcPath& outline) {
  NickFacts nick;
  const OpenArcPath& path = mark.path;
  const Vec2 a = path.vertices.front().at;
  const Vec2 b = path.vertices.back().at;
  const bool bowed = std::any_of(path.vertices.begin(), path.vertices.end(),
                                 [](const ArcVertex& v) { return v.bulge != 0.0; });
  nick.kind = path.size() == 1   ? NickKind::kSlit
              : bowed            ? NickKind::kRound
              : path.size() == 2 ? NickKind::kVee
                                 : NickKind::kOther;
  const auto [depth, tip] = farthest_from_mouth(path);
  nick.depth = to_step(depth, kShownDepth);
  nick.mouth = path.size() == 1 ? 0.0 : to_step(distance(a, b), kShownDepth);
  nick.at = path.size() == 1 ? a : lerp(a, b, 0.5);
  nick.outward = !contains(outline, lerp(nick.at, tip, 0.5));
  nick.tells = mark.tells;
  return nick;
}

constexpr double kStraightish = 300.0;  // mm: rule of this radius or more lies like a straight one

// Where along the outline a joint would be in the way.
class Along {
 public:
  explicit Along(const ClosedArcPath& path) : path_(path) {
    for (std::size_t i = 0; i < path.size(); ++i) {
      starts_.push_back(whole_);
      whole_ += path.segment(i).length();
      straight_.push_back(path.segment(i).straight() || path.segment(i).radius() >= kStraightish);
    }
    for (std::size_t i = 0; i < path.size(); ++i) {
      const ArcSegment here = path.segment(i);
      const ArcSegment before = path.segment((i + path.size() - 1) % path.size());
      const double turn = std::abs(angle_between(before.tangent_at(1.0), here.tangent_at(0.0)));
      if (turn >= kKink.value()) hazards_.push_back(starts_[i]);
      if (turn >= kKink.value() || straight_[i] != straight_[(i + path.size() - 1) % path.size()])
        straight_ends_.push_back(starts_[i]);
      if (!tight(here)) continue;
      hazards_.push_back(starts_[i]);
      hazards_.push_back(starts_[i] + here.length());
    }
  }

  static bool tight(const ArcSegment& arc) {
    const double bow = 0.5 * std::abs(arc.bulge) * arc.chord();
    return !arc.straight() && bow >= tolerance::kFlatBow.value() && arc.radius() < kGentle.value();
  }

  void avoid(Vec2 place) { hazards_.push_back(nearest_station(path_, place).along); }

  // Room on either side counts up to a length, on a straight that to its ends too: so it is the middle of one
  // that is long enough, not where it runs into a curve.
  [[nodiscard]] std::optional<JointPlace> best() const {
    constexpr double kStep = 1.0;     // mm between the places that are looked at
    constexpr double kEnough = 25.0;  // mm either side
    std::optional<JointPlace> best;
    double best_worth = -1.0;
    for (std::size_t i = 0; i < path_.size(); ++i) {
      const ArcSegment segment = path_.segment(i);
      if (tight(segment)) continue;
      // Odd, so that the middle is one of them.
      const int steps = std::max(1, static_cast<int>(std::ceil(segment.length() / kStep))) | 1;
      for (int k = 0; k < steps; ++k) {
        const double t = (k + 0.5) / steps;
        const double at = starts_[i] + t * segment.length();
        const double clear = clearance(at, hazards_);
        const double straight = straight_[i] ? clearance(at, straight_ends_) : 0.0;
        const double room = straight_[i] ? std::min(clear, straight) : clear;
        const double worth = std::min(clear, kEnough) + std::min(straight, kEnough) + 1e-3 * room;
        if (worth <= best_worth + 1e-9) continue;
        best_worth = worth;
        best = JointPlace{segment.point_at(t), segment.tangent_at(t), straight_[i], clear};
      }
    }
    return best;
  }

 private:
  [[nodiscard]] double clearance(double s, const std::vector<double>& places) const {
    double least = 0.5 * whole_;
    for (const double hazard : places) {
      const double apart = std::abs(s - hazard);
      least = std::min(least, std::min(apart, whole_ - apart));
    }
    return least;
  }

  const ClosedArcPath& path_;
  std::vector<double> starts_;
  std::vector<double> hazards_;
  std::vector<bool> straight_;         // by segment
  std::vector<double> straight_ends_;  // where straights end: at a curve, a corner
  double whole_ = 0.0;
};

}  // namespace

const char* name_of(NickKind kind) {
  switch (kind) {
    case NickKind::kSlit:
      return "slit";
    case NickKind::kVee:
      return "vee";
    case NickKind::kRound:
      return "round nick";
    case NickKind::kOther:
      return "nick as drawn";
  }
  return "";
}

bool NickFacts::like(const NickFacts& other) const {
  return kind == other.kind && std::abs(depth - other.depth) < 0.01 && std::abs(mouth - other.mouth) < 0.01 &&
         outward == other.outward && tells == other.tells;
}

std::vector<NickFacts> nicks_of(const DieShape& shape) {
  std::vector<NickFacts> nicks;
  for (const std::vector<GradedLine>* marks : {&shape.marks, &shape.size_marks}) {
    for (const GradedLine& mark : *marks) {
      if (mark.operation == Operation::kNick && mark.path.size() > 0)
        nicks.push_back(nick_facts(mark, shape.cut.path));
    }
  }
  return nicks;
}

std::optional<JointPlace> proposed_joint(const DieShape& shape) {
  if (shape.cut.path.size() == 0) return std::nullopt;
  Along along(shape.cut.path);
  for (const NickFacts& nick : nicks_of(shape)) along.avoid(nick.at);
  return along.best();
}

DieWork die_work(const DieShape& shape, const DieFacts& facts, const DieLimits& limits, Millimetres every,
                 std::optional<Radians> box_turn) {
  DieWork work;
  std::map<long, int> punches;  // by diameter in hundredths
  for (const GradedHole& hole : shape.holes) {
    if (hole.radius > 0.0) ++punches[std::lround(200.0 * hole.radius)];
  }
  for (auto it = punches.rbegin(); it != punches.rend(); ++it)
    work.punches.push_back({it->second, static_cast<double>(it->first) / 100.0});
  std::map<std::pair<long, long>, int> special;  // by length and width in tenths
  for (const CutOutFacts& cut_out : facts.cut_out_facts) {
    if (is_special_punch(cut_out, limits)) {
      ++special[{std::lround(10.0 * cut_out.length), std::lround(10.0 * cut_out.across)}];
    } else {
      ++work.cut_outs;
      work.rule_inner += cut_out.rule;
    }
  }
  for (auto it = special.rbegin(); it != special.rend(); ++it)
    work.special_punches.push_back({it->second, static_cast<double>(it->first.first) / 10.0,
                                    static_cast<double>(it->first.second) / 10.0});
  work.nicks = nicks_of(shape);
  work.joint = proposed_joint(shape);
  BridgePlan bridges = proposed_bridges(shape, facts, limits, every, box_turn);
  work.bridges = std::move(bridges.bridges);
  work.bridges_missing = std::move(bridges.missing);
  return work;
}

std::string punch_text(const PunchGroup& group) {
  return fmt::format("{:g} mm", group.diameter);
}

std::string punch_text(const SpecialPunchGroup& group) {
  return fmt::format("special {:.1f} x {:.1f} mm", group.length, group.width);
}

std::string punches_text(const DieWork& work) {
  std::string text;
  const auto add = [&text](const std::string& one) { text += (text.empty() ? "" : ", ") + one; };
  for (const PunchGroup& group : work.punches) add(fmt::format("{} x {}", group.count, punch_text(group)));
  for (const SpecialPunchGroup& group : work.special_punches)
    add(fmt::format("{} x {}", group.count, punch_text(group)));
  return text;
}

std::string nicks_text(const DieWork& work) {
  std::vector<std::pair<NickFacts, int>> groups;
  for (const NickFacts& nick : work.nicks) {
    const auto same =
        std::find_if(groups.begin(), groups.end(), [&](const auto& group) { return group.first.like(nick); });
    if (same == groups.end()) {
      groups.emplace_back(nick, 1);
    } else {
      ++same->second;
    }
  }
  std::string text;
  for (const auto& [nick, count] : groups) {
    text += fmt::format("{}{} x {} {:g} mm deep", text.empty() ? "" : "; ", count, name_of(nick.kind),
                        to_step(nick.depth, kShownDepth));
    if (nick.mouth > 0.0) text += fmt::format(", {:g} mm wide", nick.mouth);
    text += nick.outward ? ", out of the piece" : ", into the piece";
    if (nick.tells.any()) text += fmt::format(", {} {}", count == 1 ? "tells" : "tell", nick.tells.words());
  }
  return text;
}

std::string bridges_text(const DieWork& work) {
  const auto holding = std::count_if(work.bridges.begin(), work.bridges.end(),
                                     [](const Bridge& bridge) { return bridge.holds_cut_out; });
  const auto across = static_cast<std::ptrdiff_t>(work.bridges.size()) - holding;
  std::string text;
  if (across > 0) text = fmt::format("{} to stiffen it", across);
  if (holding > 0) text += fmt::format("{}{} to hold cut-outs", across > 0 ? ", " : "", holding);
  return text;
}

std::string joint_text(const DieWork& work) {
  if (!work.joint) return "";
  return fmt::format("at ({:.1f}, {:.1f}), {}, {:.0f} mm from the nearest corner, tight bend or nick",
                     to_step(work.joint->at.x, kShownDepth) + 0.0,
                     to_step(work.joint->at.y, kShownDepth) + 0.0,
                     work.joint->straight ? "on a straight" : "on a gentle curve", work.joint->clear);
}

}  // namespace lastwright
