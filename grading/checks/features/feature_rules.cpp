#include "grading/checks/features/feature_rules.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/check/segment_gap.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/features/stitch_crossings.hpp"
#include "grading/checks/lasting/outline_depth.hpp"
#include "grading/features/feature_count.hpp"

namespace lastwright {

namespace {

constexpr double kNone = std::numeric_limits<double>::infinity();  // nothing is near

// Where the corners of an outline lie along it.
class Corners {
 public:
  explicit Corners(const ClosedArcPath& path) {
    double s = 0.0;
    for (std::size_t i = 0; i < path.size(); ++i) {
      starts_.push_back(s);
      const ArcSegment before = path.segment((i + path.size() - 1) % path.size());
      if (std::abs(angle_between(before.end_tangent(), path.segment(i).start_tangent())) >
          tolerance::kCorner.value())
        corners_.push_back(s);
      s += path.segment(i).length();
    }
    whole_ = s;
  }
  [[nodiscard]] double nearest(const ClosedArcPath& path, const OutlinePlace& at) const {
    const double here = starts_[at.segment] + at.t * path.segment(at.segment).length();
    double nearest = kNone;
    for (const double corner : corners_) {
      const double off = std::abs(corner - here);
      nearest = std::min({nearest, off, whole_ - off});
    }
    return nearest;
  }

 private:
  std::vector<double> starts_;
  std::vector<double> corners_;
  double whole_ = 0.0;
};

OutlinePlace place_nearest(const ClosedArcPath& path, Vec2 p) {
  constexpr double kRounding = 1e-6;  // mm: far more than the distance and that of the point found differ by
  OutlinePlace nearest;
  double least = kNone;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const ArcSegment segment = path.segment(i);
    if (segment.distance_to(p) > least + kRounding) continue;
    const double t = segment.nearest(p);
    const double off = distance(segment.point_at(t), p);
    if (off >= least) continue;
    least = off;
    nearest = {segment.point_at(t), i, t};
  }
  return nearest;
}

bool removes(FootprintKind kind) {
  return kind == FootprintKind::kHole || kind == FootprintKind::kCutOut;
}

// Marks that are of no use where there is no material.
bool needs_ground(FootprintKind kind) {
  return kind == FootprintKind::kStitch || kind == FootprintKind::kPrick || kind == FootprintKind::kText ||
         kind == FootprintKind::kFrame;
}

// Measures one piece in one size and width by every rule.
class RuleMeasurer {
 public:
  RuleMeasurer(const GradedPiece& piece, const PieceSpec& spec, const std::vector<PlacedFeature>& features)
      : piece_(piece),
        features_(features),
        drawn_(static_cast<std::uint16_t>(features.size())),
        allowed_(piece.net.path.vertices != piece.cut.path.vertices),
        cut_(piece.cut.path),
        net_(piece.net.path),
        found_(footprints_of(piece, spec, features)),
        met_((features.size() + 1) * kFeatureRules) {
    for (const Footprint& one : found_.all) {
      if (removes(one.kind())) removed_.push_back(&one);
    }
    nicks();
    edges();
    holes();
    for (const Footprint& one : found_.all) against_removed(one);
    texts();
    stitches();
    halves(spec);
  }

  FeatureLook result() && {
    FeatureLook look;
    for (std::optional<FeatureMet>& met : met_) {
      if (met) look.push_back(*met);
    }
    return look;
  }

 private:
  std::optional<FeatureMet>& met(FeatureRule rule, std::uint16_t feature) {
    return met_[feature * kFeatureRules + static_cast<std::size_t>(rule)];
  }

  void take(FeatureRule rule, const FeatureMet& value) {
    if (!std::isfinite(value.value)) return;
    std::optional<FeatureMet>& so_far = met(rule, value.feature);
    const bool worse =
        !so_far || (least_of(rule) ? value.value < so_far->value : value.value > so_far->value);
    if (!worse) return;
    so_far = value;
    so_far->rule = rule;
  }
  void take(FeatureRule rule, const Footprint& one, double value, Vec2 at) {
    take(rule, {value, at, one.feature(), FeatureMet::kNothing, rule, one.kind(), one.kind()});
  }
  // Measured only where it can be worse than what was met.
  void take_gap(FeatureRule rule, const Footprint& one, const Footprint& other) {
    const std::optional<FeatureMet>& so_far = met(rule, one.feature());
    if (so_far && box_gap(one, other) >= std::max(0.0, so_far->value)) return;
    const FootprintGap gap = gap_between(one, other);
    take(rule, {gap.value, gap.at, one.feature(), other.feature(), rule, one.kind(), other.kind()});
  }

  struct Nick {
    Vec2 mouth;
    double half = 0.0;  // of the mouth's width
    std::uint16_t feature;
  };

  void take_nick(FeatureRule rule, std::uint16_t feature, double value, Vec2 at,
                 std::uint16_t other = FeatureMet::kNothing) {
    take(rule, {value, at, feature, other, rule, FootprintKind::kNick, FootprintKind::kNick});
  }

  void depth(std::uint16_t f, double deep, double allowance, Vec2 mouth) {
    if (allowance > 2.0 * tolerance::kMapped.value())
      take_nick(FeatureRule::kNickToNet, f, allowance - deep, mouth);
    else
      take_nick(FeatureRule::kNickInEdge, f, deep, mouth);
  }

  void nicks() {
    std::optional<Corners> corners;      // of the cut line
    std::optional<Corners> net_corners;  // which lie elsewhere: a nick must name neither
    const auto to_corner = [&](const OutlinePlace& at) {
      if (!corners) corners.emplace(piece_.cut.path);
      const double on_cut = corners->nearest(piece_.cut.path, at);
      if (!allowed_) return on_cut;
      if (!net_corners) net_corners.emplace(piece_.net.path);
      return std::min(on_cut, net_corners->nearest(piece_.net.path, place_nearest(piece_.net.path, at.at)));
    };
    std::vector<Nick> all;
    for (std::uint16_t f = 0; f < drawn_; ++f) {
      for (const PlacedNick& nick : features_[f].nicks) {
        const std::vector<ArcVertex>& ends = nick.path.vertices;
        const bool slit = nick.shape.form == NickForm::kSlit;
        const double half = slit ? 0.0 : 0.5 * nick.shape.width.value();
        all.push_back({slit ? ends.front().at : lerp(ends.front().at, ends.back().at, 0.5), half, f});
        if (nick.mirrored) continue;  // as far off as the nick it mirrors
        take_nick(FeatureRule::kNickToCorner, f, to_corner(nick.at) - half, nick.at.at);
        if (nick.shape.form != NickForm::kOutward)
          depth(f, nick.shape.depth.value(), nick.allowance, nick.at.at);
      }
    }
    for (const GradedLine& line : piece_.lines) {  // the drawn ones: slits from the cut line inward
      if (line.operation != Operation::kNick || line.path.size() != 1) continue;
      const Vec2 mouth = line.path.vertices.front().at;
      const Vec2 tip = line.path.vertices.back().at;
      all.push_back({mouth, 0.0, drawn_});
      const double off = std::abs(cut_(mouth));
      if (off > tolerance::kSamePoint.value()) take_nick(FeatureRule::kNickAtCut, drawn_, off, mouth);
      const std::optional<OutlinePlace> at =
          first_meeting(piece_.cut.path, tip, unit(mouth - tip), 2.0 * distance(mouth, tip));
      if (at) take_nick(FeatureRule::kNickToCorner, drawn_, to_corner(*at), mouth);
      depth(drawn_, distance(mouth, tip), std::max(0.0, -net_(mouth)), mouth);
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      for (std::size_t k = 0; k < all.size(); ++k) {
        if (k == i) continue;
        take_nick(FeatureRule::kNickToNick, all[i].feature,
                  distance(all[i].mouth, all[k].mouth) - all[i].half - all[k].half, all[i].mouth,
                  all[k].feature);
      }
    }
  }

  // What is removed keeps inside the finished edge, or whole in the allowance.
  void edges() {
    for (const Footprint& one : found_.all) {
      const FootprintKind kind = one.kind();
      if (kind == FootprintKind::kHole) {
        const double to_net = net_(one.centre());
        const bool in_allowance = to_net <= tolerance::kSamePoint.value() - one.radius();
        take(FeatureRule::kHoleToEdge, one, (in_allowance ? cut_(one.centre()) : to_net) - one.radius(),
             one.centre());
        if (in_allowance) take(FeatureRule::kHoleInAllowance, one, -to_net - one.radius(), one.centre());
      } else if (kind == FootprintKind::kCutOut) {
        cut_out_to_edge(one);
      }
      inside(one);
    }
    for (std::uint16_t f = 0; f < drawn_; ++f) {
      if (features_[f].outside <= kToldOut) continue;
      take(FeatureRule::kSkiveBeyond,
           {features_[f].outside, features_[f].lines.front().path.vertices.front().at, f,
            FeatureMet::kNothing, FeatureRule::kSkiveBeyond, FootprintKind::kSkive, FootprintKind::kSkive});
    }
  }

  void cut_out_to_edge(const Footprint& one) {
    const PathGap to_net = gap_between(*one.boundary(), net_.path());
    const bool crosses = to_net.distance <= tolerance::kSamePoint.value();
    const bool holds_net = one.holds(net_.path().vertices.front().at);
    if (!crosses && !holds_net && net_(to_net.on_first) >= 0.0) {
      take(FeatureRule::kCutOutToEdge, one, to_net.distance, to_net.on_first);
      return;
    }
    const StandsOut out = stands_out(*one.boundary(), net_);
    if (!crosses && !holds_net) {  // in the allowance
      take(FeatureRule::kHoleInAllowance, one, to_net.distance, to_net.on_first);
      const PathGap to_cut = gap_between(*one.boundary(), cut_.path());
      const StandsOut of_cut = stands_out(*one.boundary(), cut_);
      if (of_cut.value <= tolerance::kSamePoint.value()) {
        take(FeatureRule::kCutOutToEdge, one, to_cut.distance, to_cut.on_first);
      } else {
        take(FeatureRule::kCutOutToEdge, one, -of_cut.value, of_cut.at);
      }
      return;
    }
    take(FeatureRule::kCutOutToEdge, one, -out.value, out.value > 0.0 ? out.at : to_net.on_first);
  }

  StandsOut out_of(const Footprint& one, OutlineDepth& outline) {
    if (one.is_round()) return {std::max(0.0, one.radius() - outline(one.centre())), one.centre()};
    return one.boundary() != nullptr ? stands_out(*one.boundary(), outline)
                                     : stands_out(*one.path(), outline);
  }

  void inside(const Footprint& one) {
    const FootprintKind kind = one.kind();
    if (kind == FootprintKind::kNick) return;  // starts on the cut line, or stands out of it
    const StandsOut out = out_of(one, cut_);
    const bool only_told = one.feature() == drawn_ && !removes(kind) && kind != FootprintKind::kPrick &&
                           kind != FootprintKind::kStitch;
    if (!only_told) {
      // Drawn holes are told with a figure of their own.
      if (one.feature() != drawn_ || out.value > 0.0) take(FeatureRule::kInside, one, out.value, out.at);
    } else if (out.value > kToldOut) {
      take(FeatureRule::kDrawnOutside, one, out.value, out.at);
    }
    const bool on_finished_face =
        kind == FootprintKind::kStitch || kind == FootprintKind::kText || kind == FootprintKind::kFrame;
    if (!allowed_ || !on_finished_face) return;
    const StandsOut over = out_of(one, net_);
    if (over.value > kToldOut) take(FeatureRule::kInAllowance, one, over.value, over.at);
  }

  void holes() {
    for (std::size_t i = 0; i < removed_.size(); ++i) {
      const Footprint& one = *removed_[i];
      const bool round = one.kind() == FootprintKind::kHole;
      for (std::size_t k = 0; k < removed_.size(); ++k) {
        if (k == i) continue;
        const Footprint& other = *removed_[k];
        if (round) {
          take_gap(FeatureRule::kHoleToHole, one, other);
        } else if (other.kind() == FootprintKind::kCutOut) {
          take_gap(FeatureRule::kCutOutGap, one, other);
        }
      }
    }
  }

  void against_removed(const Footprint& one) {
    const bool guide = one.kind() == FootprintKind::kLapGuide;
    if (!needs_ground(one.kind()) && one.kind() != FootprintKind::kNick && !guide) return;
    for (const Footprint* other : removed_) {
      if (guide) {
        if (box_gap(one, *other) > 0.0) continue;
        const FootprintGap gap = gap_between(one, *other);
        if (gap.value < -kToldOut)
          take(FeatureRule::kGuideOverHole, {-gap.value, gap.at, one.feature(), other->feature(),
                                             FeatureRule::kGuideOverHole, one.kind(), other->kind()});
      } else {
        take_gap(one.kind() == FootprintKind::kNick ? FeatureRule::kNickToHole : FeatureRule::kMarkToHole,
                 one, *other);
      }
    }
  }

  void texts() {
    std::vector<const Footprint*> all;
    for (const Footprint& one : found_.all) {
      if (one.kind() == FootprintKind::kText) all.push_back(&one);
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      for (std::size_t k = i + 1; k < all.size(); ++k) {
        if (box_gap(*all[i], *all[k]) > 0.0) continue;
        const FootprintGap gap = gap_between(*all[i], *all[k]);
        if (gap.value < -kToldOut)
          take(FeatureRule::kTextOverText,
               {-gap.value, gap.at, all[i]->feature(), all[k]->feature(), FeatureRule::kTextOverText,
                FootprintKind::kText, FootprintKind::kText});
      }
    }
  }

  void stitches() {
    for (const StitchCrossing& one : stitch_crossings(found_.all, drawn_))
      take(FeatureRule::kStitchCross, {one.runs_on, one.at, one.feature, one.other, FeatureRule::kStitchCross,
                                       FootprintKind::kStitch, FootprintKind::kStitch});
  }

  // What is stated for both halves is its own mirror image as made.
  void halves(const PieceSpec& spec) {
    const std::optional<Mirror> fold = fold_of(piece_);
    if (!spec.fold || !fold) return;
    for (std::uint16_t f = 0; f < drawn_; ++f) {
      if (!on_both_halves(spec.features[f])) continue;
      const auto [off, at] = off_mirror_image(features_[f], *fold);
      take(FeatureRule::kBothHalves, {off, at, f, FeatureMet::kNothing, FeatureRule::kBothHalves,
                                      FootprintKind::kGuide, FootprintKind::kGuide});
      for (const GradedLine& line : features_[f].lines) over_fold(line.path, f, *fold);
    }
  }

  // A line that has its mirror image beside it and not in itself ends on its own half.
  void over_fold(const OpenArcPath& line, std::uint16_t feature, const Mirror& fold) {
    double left = 0.0;
    double right = 0.0;
    Vec2 at;
    for (std::size_t i = 0; i < line.size(); ++i) {
      for (const double t : {0.0, 0.25, 0.5, 0.75, 1.0}) {
        const Vec2 p = line.segment(i).point_at(t);
        const double side = fold.side(p);
        left = std::max(left, side);
        right = std::max(right, -side);
        if (left == side || right == -side) at = p;
      }
    }
    const double over = std::min(left, right);
    const bool own_image = distance_to(line, fold(line.vertices.front().at)) <= kToldOut &&
                           distance_to(line, fold(line.vertices.back().at)) <= kToldOut;
    if (over <= kToldOut || own_image) return;
    take(FeatureRule::kOverFold, {over, at, feature, FeatureMet::kNothing, FeatureRule::kOverFold,
                                  FootprintKind::kGuide, FootprintKind::kGuide});
  }

  static constexpr double kToldOut = 0.05;  // mm: rounding, as for what stands out of the piece

  const GradedPiece& piece_;
  const std::vector<PlacedFeature>& features_;
  const std::uint16_t drawn_;
  const bool allowed_;  // the cut line lies apart from the finished edge
  OutlineDepth cut_;
  OutlineDepth net_;
  Footprints found_;
  std::vector<const Footprint*> removed_;
  std::vector<std::optional<FeatureMet>> met_;  // by feature, then by rule
};

}  // namespace

bool least_of(FeatureRule rule) {
  switch (rule) {
    case FeatureRule::kHoleToEdge:
    case FeatureRule::kHoleToHole:
    case FeatureRule::kCutOutToEdge:
    case FeatureRule::kCutOutGap:
    case FeatureRule::kNickToCorner:
    case FeatureRule::kNickToNet:
    case FeatureRule::kNickToNick:
    case FeatureRule::kNickToHole:
    case FeatureRule::kMarkToHole:
      return true;
    default:
      return false;
  }
}

FeatureLook look_at_features(const GradedPiece& piece, const PieceSpec& spec,
                             const std::vector<PlacedFeature>& features) {
  return RuleMeasurer(piece, spec, features).result();
}

}  // namespace lastwright
