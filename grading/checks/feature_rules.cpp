#include "grading/checks/feature_rules.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/check/hausdorff.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

constexpr double kNone = std::numeric_limits<double>::infinity();

// Distance to an outline, below 0 outside. Quick for many points of one outline; free where nothing is asked.
class Depth {
 public:
  explicit Depth(const ClosedArcPath& path) : path_(path) {}
  double operator()(Vec2 p) {
    if (!outline_) outline_.emplace(path_);
    const MeasuredOutline::Nearest nearest = outline_->nearest(p, hint_);
    hint_ = nearest.arc;
    return inside(p, nearest.arc) ? nearest.distance : -nearest.distance;
  }

 private:
  static bool left_side(const ReadyArc& arc, Vec2 foot, Vec2 p) {
    const Vec2 along = arc.turn == 0.0 ? arc.b - arc.a : arc.turn * left_of(foot - arc.centre);
    return cross(along, p - foot) >= 0.0;
  }

  // `nearest`: the arc nearest to p. Where the foot is a corner, p lies on the side on which it lies of both
  // arcs; on neither where they disagree, which takes a corner sharper than a right angle.
  bool inside(Vec2 p, std::size_t nearest) const {
    const std::vector<ReadyArc>& arcs = outline_->arcs();
    const ReadyArc& arc = arcs[nearest];
    const Vec2 foot = foot_on(arc, p);
    const bool left = left_side(arc, foot, p);
    const auto other = [&](Vec2 corner, const ReadyArc& next) {
      return distance(foot, corner) >= tolerance::kSamePoint.value() || left_side(next, corner, p) == left;
    };
    const std::size_t n = arcs.size();
    if (other(arc.a, arcs[(nearest + n - 1) % n]) && other(arc.b, arcs[(nearest + 1) % n])) return left;
    return contains(path_, p);
  }

  const ClosedArcPath& path_;
  std::optional<MeasuredOutline> outline_;
  std::size_t hint_ = 0;
};

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

struct RuleText {
  const char* check;
  const char* note;
  bool least;
};
enum FeatureRule : std::size_t {
  kHoleToEdge,
  kHoleToHole,
  kNickToCorner,
  kNickToNet,
  kNickInEdge,
  kNickToNick,
  kInside,
  kRules
};
constexpr RuleText kTexts[kRules] = {
    {"hole to edge", "from the rim to the finished edge, or to the cut line for holes in the allowance",
     true},
    {"hole to hole", "from rim to rim of the nearest other hole", true},
    {"nick to corner", "along the cut line, from the mouth of the nick", true},
    {"nick to net", "from the tip of the nick to the finished edge", true},
    {"nick in edge", "depth of a nick where there is no allowance: it shows on the finished edge", false},
    {"nick to nick", "from mouth to mouth of the nearest other nick", true},
    {"feature inside", "stands out of the cut line by this much", false},
};

// The corners of the box a text fills, roughly.
std::vector<Vec2> text_corners(const SheetText& text) {
  constexpr double kLetter = 0.65;  // mean width of a letter over the height of a capital
  const Vec2 along{std::cos(text.angle.value()), std::sin(text.angle.value())};
  const Vec2 x = kLetter * text.height * static_cast<double>(text.text.size()) * along;
  const Vec2 y = text.height * left_of(along);
  return {text.at, text.at + x, text.at + x + y, text.at + y};
}

bool worse(std::size_t rule, double value, double than) {
  return kTexts[rule].least ? value < than : value > than;
}

// Measures one piece in one size and width by every rule.
class RuleMeasurer {
 public:
  RuleMeasurer(const GradedPiece& piece, const std::vector<PlacedFeature>& features)
      : met_((features.size() + 1) * kRules, kNone), cut_(piece.cut.path), net_(piece.net.path) {
    holes(piece, features);
    nicks(piece, features);
    for (std::size_t f = 0; f < features.size(); ++f) inside(features[f], f);
  }
  FeatureLook result() && { return std::move(met_); }

 private:
  struct Hole {
    Vec2 centre;
    double radius;
    std::size_t feature;
  };

  void take(FeatureRule rule, std::size_t feature, double value) {
    if (!std::isfinite(value)) return;
    double& met = met_[feature * kRules + rule];
    if (met == kNone || worse(rule, value, met)) met = value;
  }

  struct Nick {
    Vec2 mouth;
    double half = 0.0;  // of the mouth's width
    std::size_t feature;
  };

  void nicks(const GradedPiece& piece, const std::vector<PlacedFeature>& features) {
    std::optional<Corners> corners;  // of the cut line
    const auto to_corner = [&](const OutlinePlace& at) {
      if (!corners) corners.emplace(piece.cut.path);
      return corners->nearest(piece.cut.path, at);
    };
    std::vector<Nick> all;
    const auto depth = [&](std::size_t f, double deep, double allowance) {
      if (allowance > 2.0 * tolerance::kMapped.value())
        take(kNickToNet, f, allowance - deep);
      else
        take(kNickInEdge, f, deep);
    };
    for (std::size_t f = 0; f < features.size(); ++f) {
      for (const PlacedNick& nick : features[f].nicks) {
        const std::vector<ArcVertex>& ends = nick.path.vertices;
        const bool slit = nick.shape.form == NickForm::kSlit;
        const double half = slit ? 0.0 : 0.5 * nick.shape.width.value();
        all.push_back({slit ? ends.front().at : lerp(ends.front().at, ends.back().at, 0.5), half, f});
        if (nick.mirrored) continue;
        take(kNickToCorner, f, to_corner(nick.at) - half);
        if (nick.shape.form != NickForm::kOutward) depth(f, nick.shape.depth.value(), nick.allowance);
      }
    }
    for (const GradedLine& line : piece.lines) {  // the drawn ones: slits from the cut line inward
      if (line.operation != Operation::kNick || line.path.size() != 1) continue;
      const Vec2 mouth = line.path.vertices.front().at;
      const Vec2 tip = line.path.vertices.back().at;
      all.push_back({mouth, 0.0, features.size()});
      const std::optional<OutlinePlace> at =
          first_meeting(piece.cut.path, tip, unit(mouth - tip), 2.0 * distance(mouth, tip));
      if (at) take(kNickToCorner, features.size(), to_corner(*at));
      depth(features.size(), distance(mouth, tip), std::max(0.0, -net_(mouth)));
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      double nearest = kNone;
      for (std::size_t k = 0; k < all.size(); ++k) {
        if (k != i)
          nearest = std::min(nearest, distance(all[i].mouth, all[k].mouth) - all[i].half - all[k].half);
      }
      take(kNickToNick, all[i].feature, nearest);
    }
  }

  void holes(const GradedPiece& piece, const std::vector<PlacedFeature>& features) {
    std::vector<Hole> all;
    for (std::size_t f = 0; f < features.size(); ++f) {
      for (const GradedHole& hole : features[f].holes) {
        if (hole.radius > 0.0) all.push_back({hole.centre, hole.radius, f});
      }
    }
    for (const GradedHole& hole : piece.holes) {
      if (hole.radius > 0.0) all.push_back({hole.centre, hole.radius, features.size()});
    }
    if (all.empty()) return;
    for (const Hole& hole : all) {
      const double to_net = net_(hole.centre);
      take(kHoleToEdge, hole.feature, (to_net > 0.0 ? to_net : cut_(hole.centre)) - hole.radius);
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      double nearest = kNone;
      for (std::size_t k = 0; k < all.size(); ++k) {
        if (k != i)
          nearest = std::min(nearest, distance(all[i].centre, all[k].centre) - all[i].radius - all[k].radius);
      }
      const auto keep_off = [&](const std::vector<ClosedArcPath>& cut_outs) {
        for (const ClosedArcPath& cut_out : cut_outs)
          nearest = std::min(nearest, distance_to(cut_out, all[i].centre) - all[i].radius);
      };
      keep_off(piece.cut_outs);
      for (const PlacedFeature& feature : features) keep_off(feature.cut_outs);
      take(kHoleToHole, all[i].feature, nearest);
    }
  }

  void inside(const PlacedFeature& feature, std::size_t f) {
    const auto point = [&](Vec2 p, double reach) { take(kInside, f, std::max(0.0, reach - cut_(p))); };
    for (const GradedHole& hole : feature.holes) point(hole.centre, hole.radius);
    for (const GradedLine& line : feature.lines) {
      for (std::size_t i = 0; i < line.path.size(); ++i) {
        point(line.path.vertices[i].at, 0.0);
        point(line.path.segment(i).point_at(0.5), 0.0);
      }
      point(line.path.vertices.back().at, 0.0);
    }
    for (const ClosedArcPath& cut_out : feature.cut_outs) {
      for (std::size_t i = 0; i < cut_out.size(); ++i) point(cut_out.segment(i).point_at(0.5), 0.0);
    }
    for (const SheetText& text : feature.texts) {
      for (const Vec2 corner : text_corners(text)) point(corner, 0.0);
    }
  }

  FeatureLook met_;
  Depth cut_;
  Depth net_;
};

// The worst of every rule for every feature of one piece over the run.
std::vector<StyleFinding> rule_findings(const PieceSpec& piece, const FeatureLimits& limits,
                                        const StyleGrade& grade, const std::vector<PieceLook>& looks) {
  const double allowed[kRules] = {limits.hole_to_edge.value(),   limits.hole_to_hole.value(),
                                  limits.nick_to_corner.value(), limits.nick_to_net.value(),
                                  limits.nick_in_edge.value(),   limits.nick_to_nick.value(),
                                  limits.outside.value()};
  std::vector<StyleFinding> all;
  for (std::size_t f = 0; f <= piece.features.size(); ++f) {
    for (std::size_t r = 0; r < kRules; ++r) {
      double met = kNone;
      std::size_t at = 0;
      for (std::size_t k = 0; k < looks.size(); ++k) {
        if (looks[k].features.empty()) continue;
        const double value = looks[k].features[f * kRules + r];
        if (value == kNone || !(met == kNone || worse(r, value, met))) continue;
        met = value;
        at = k;
      }
      if (met == kNone) continue;
      const bool of_holes = r == kHoleToEdge || r == kHoleToHole;
      const std::string name = f < piece.features.size() ? piece.features[f].name
                               : of_holes                ? "drawn holes"
                                                         : "drawn nicks";
      StyleFinding finding{
          kTexts[r].check, piece.name + ": " + name, met, allowed[r], "mm", where(grade.cells[at]), true,
          kTexts[r].note,  kTexts[r].least};
      const double slack = tolerance::kSamePoint.value();
      finding.passed = kTexts[r].least ? met >= allowed[r] - slack : met <= allowed[r] + slack;
      all.push_back(std::move(finding));
    }
  }
  return all;
}

}  // namespace

FeatureLook look_at_features(const GradedPiece& piece, const std::vector<PlacedFeature>& features) {
  return RuleMeasurer(piece, features).result();
}

std::vector<StyleFinding> check_features(const StyleSpec& style, const StyleGrade& grade,
                                         const StyleLooks& looks) {
  std::vector<StyleFinding> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PieceSpec& spec = grade.pieces[p].bound.spec;
    StyleFinding made{"features", spec.name, 0.0, 0.0, "faults", "", true, "every feature can be made",
                      false};
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const std::optional<Problem>& fault = looks[p][k].features_fault;
      if (!fault || made.worst++ > 0.0) continue;
      made.note = to_text(*fault);
      made.where = where(grade.cells[k]);
    }
    made.passed = made.worst == 0.0;
    if (!spec.features.empty() || !made.passed) all.push_back(made);
    const std::vector<StyleFinding> found = rule_findings(spec, style.feature_limits, grade, looks[p]);
    all.insert(all.end(), found.begin(), found.end());
  }
  return all;
}

}  // namespace lastwright
