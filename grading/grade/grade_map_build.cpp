// Turns the rules of a forme into the conditions of its field.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <variant>

#include "geometry/tolerance.hpp"
#include "grading/grade/grade_map.hpp"
#include "grading/grade/local_spaces.hpp"

namespace lastwright {

class GradeMapBuilder {
 public:
  GradeMapBuilder(const FormeSpec& forme, std::span<const std::string> measures)
      : forme_(forme), measures_(measures) {}

  Result<GradeMap> build() {
    if (Status frame = find_frame(); !frame) return frame.problem();
    add_fixed_point();
    for (const Rule& rule : forme_.rules) {
      const Status added = std::visit([this](const auto& r) { return add(r); }, rule);
      if (!added) return added.problem().in("forme", forme_.name);
    }
    for (const HeldStretch& stretch : forme_.held) add(stretch);
    if (Status scale = find_length_scale(); !scale) return scale.problem();
    std::vector<bool> square;
    for (const Condition1& rule : rules_) square.push_back(rule.kind == Condition1::Kind::kSquare);
    const std::vector<LocalSpace> local = local_spaces({frame_, conditions_, square, straight_}, held_);
    GradeMap map(forme_, DriverField(frame_, conditions_, local));
    map.conditions_ = std::move(rules_);
    map.lines_ = std::move(lines_);
    map.drives_ = std::move(drives_);
    map.length_line_ = length_line_;
    map.girth_line_ = girth_line_;
    for (const Vec2 at : sites_) {
      GradeMap::Site site{at, std::vector<DriverValue>(map.field_.drivers())};
      map.field_.evaluate(at, site.values);
      map.sites_.push_back(std::move(site));
    }
    return map;
  }

 private:
  using Condition1 = GradeMap::RuleCondition;

  Problem refuse(std::string message) const {
    return Problem{Trouble::kGrade, std::move(message), {}, {}, {}}.in("forme", forme_.name);
  }

  Result<Vec2> point(const std::string& name) const {
    for (const NamedPoint& p : forme_.points) {
      if (p.name == name) return p.at;
    }
    return refuse(fmt::format("there is no point named '{}'", name));
  }

  std::size_t site(Vec2 at) {
    sites_.push_back(at);
    return sites_.size() - 1;
  }

  void add_condition(Condition terms, Condition1 rule) {
    conditions_.push_back(std::move(terms));
    rules_.push_back(std::move(rule));
  }

  Status find_frame() {
    const Result<Vec2> from = point(forme_.base_line.first);
    const Result<Vec2> to = point(forme_.base_line.second);
    const Result<Vec2> fixed = point(forme_.fixed_point);
    for (const auto* p : {&from, &to, &fixed}) {
      if (!*p) return p->problem();
    }
    if (distance(*from, *to) < 1.0) return refuse("the base line is shorter than a millimetre");
    frame_.axis = unit(*to - *from);
    frame_.origin = *fixed;
    const double off = cross(frame_.axis, *fixed - *from);
    if (std::abs(off) > tolerance::kChainGap.value()) {
      Problem problem =
          refuse(fmt::format("the fixed point '{}' lies off the base line", forme_.fixed_point));
      problem.value = off;
      problem.limit = tolerance::kChainGap.value();
      return problem;
    }
    return Done{};
  }

  Status find_length_scale() {
    bool found_length = false;
    bool found_girth = false;
    for (std::size_t i = 0; i < lines_.size(); ++i) {
      if (!drives_[i]) continue;
      if (lines_[i].rule == forme_.length_line) length_line_ = i, found_length = true;
      if (lines_[i].rule == forme_.girth_line) girth_line_ = i, found_girth = true;
    }
    if (!found_length)
      return refuse(fmt::format("the length line '{}' is not a measure line", forme_.length_line));
    if (!found_girth)
      return refuse(fmt::format("the girth line '{}' is not a measure line", forme_.girth_line));
    const Vec2 along = sites_[lines_[length_line_].at[1]] - sites_[lines_[length_line_].at[0]];
    const Vec2 across = sites_[lines_[girth_line_].at[1]] - sites_[lines_[girth_line_].at[0]];
    const double x1 = std::abs(dot(unit(along), frame_.axis));
    const double x2 = std::abs(dot(unit(across), frame_.axis));
    constexpr double kLeastSpread =
        0.1;  // of the squares of the two directions: below it the two stretches blur
    if (x1 * x1 - x2 * x2 < kLeastSpread) {
      return refuse(
          fmt::format("the girth line '{}' must lie more across the base line than the length line '{}'",
                      forme_.girth_line, forme_.length_line));
    }
    constexpr double kShareOfLength = 0.4;  // of the stick length: so far a local rule is felt
    frame_.length_scale = Millimetres(kShareOfLength * norm(along));
    return Done{};
  }

  void add_fixed_point() {
    Condition1 rule{Condition1::Kind::kFixed,
                    "fixed point " + forme_.fixed_point,
                    {site(frame_.origin)},
                    frame_.axis,
                    {},
                    0.0,
                    {},
                    0.0,
                    0.0};
    add_condition({{frame_.origin, frame_.axis}}, rule);
  }

  Result<Condition1> line_rule(const MeasureLine& line) {
    const Result<Vec2> from = point(line.from);
    const Result<Vec2> to = point(line.to);
    if (!from) return from.problem().in("line", line.name);
    if (!to) return to.problem().in("line", line.name);
    if (distance(*from, *to) < 1.0)
      return refuse("a measure line is shorter than a millimetre").in("line", line.name);
    Condition1 rule{Condition1::Kind::kLength,
                    line.name,
                    {site(*from), site(*to)},
                    unit(*to - *from),
                    {},
                    0.0,
                    {},
                    0.0,
                    0.0};
    rule.carries.assign(measures_.size(), 0.0);
    for (const auto& [measure, share] : line.carries) {
      std::size_t m = 0;
      while (m < measures_.size() && measures_[m] != measure) ++m;
      if (m == measures_.size())
        return refuse(fmt::format("there is no measure named '{}'", measure)).in("line", line.name);
      rule.carries[m] += share.value();
    }
    return rule;
  }

  Status add(const MeasureLine& line) {
    Result<Condition1> rule = line_rule(line);
    if (!rule) return rule.problem();
    const Vec2 e = rule->direction;
    lines_.push_back(*rule);
    drives_.push_back(true);
    add_condition({{sites_[rule->at[1]], e}, {sites_[rule->at[0]], -e}}, *rule);
    return Done{};
  }

  Status add(const CheckLine& check) {
    Result<Condition1> rule = line_rule(check.line);
    if (!rule) return rule.problem();
    lines_.push_back(std::move(*rule));
    drives_.push_back(false);
    return Done{};
  }

  // Directions of a point rule: along the base line and to its left.
  Status add(const PointRule& move) {
    const Result<Vec2> at = point(move.point);
    if (!at) return at.problem();
    const Vec2 directions[2] = {frame_.axis, left_of(frame_.axis)};
    const double per_size[2] = {move.per_size.x, move.per_size.y};
    const double per_width[2] = {move.per_width.x, move.per_width.y};
    for (int i = 0; i < 2; ++i) {
      add_condition({{*at, directions[i]}}, {Condition1::Kind::kMove,
                                             "point " + move.point,
                                             {site(*at)},
                                             directions[i],
                                             {},
                                             0.0,
                                             {},
                                             per_size[i],
                                             per_width[i]});
    }
    return Done{};
  }

  Status add(const Hold& hold) {
    HeldStretch stretch{"hold " + hold.points.front() + " ... " + hold.points.back(), {}};
    for (const std::string& name : hold.points) {
      const Result<Vec2> p = point(name);
      if (!p) return p.problem();
      stretch.points.push_back(*p);
    }
    hold_together(stretch.points, stretch.name);
    return Done{};
  }

  void add(const HeldStretch& stretch) { hold_together(stretch.points, "held edge " + stretch.name); }

  // The first point and the one farthest from it keep their distance, and every other one its place to these
  // two: u(p) = u(first) + w (u(last) - u(first)), with w = (p - first) / (last - first) as complex numbers.
  // So the points turn and move as one, exactly, and all but the distance is linear.
  void hold_together(const std::vector<Vec2>& points, const std::string& rule) {
    const Vec2 first = points.front();
    const Vec2 last = *std::max_element(points.begin(), points.end(), [first](Vec2 a, Vec2 b) {
      return distance(first, a) < distance(first, b);
    });
    const double whole = distance(first, last);
    if (!(whole > tolerance::kSamePoint.value())) return;  // one point
    HeldPoints set{points, {conditions_.size()}};
    const Vec2 along = (last - first) / whole;
    Condition1 length{
        Condition1::Kind::kLength, rule, {site(first), site(last)}, along, {}, 0.0, {}, 0.0, 0.0};
    length.carries.assign(measures_.size(), 0.0);
    add_condition({{last, along}, {first, -along}}, std::move(length));
    for (const Vec2 p : points) {
      if (p == first || p == last) continue;
      const Vec2 w = Vec2{dot(p - first, along), cross(along, p - first)} / whole;
      for (const Vec2 direction : {frame_.axis, left_of(frame_.axis)}) {
        const Vec2 answer = {w.x * direction.x + w.y * direction.y, w.x * direction.y - w.y * direction.x};
        set.conditions.push_back(conditions_.size());
        add_condition({{p, direction}, {first, answer - direction}, {last, -answer}},
                      {Condition1::Kind::kSimilar,
                       rule,
                       {site(p), site(first), site(last)},
                       direction,
                       answer,
                       0.0,
                       {},
                       0.0,
                       0.0});
      }
    }
    held_.push_back(std::move(set));
  }

  Status add(const Straight& straight) {
    const std::string rule = "straight " + straight.points.front() + " ... " + straight.points.back();
    const Result<Vec2> a = point(straight.points.front());
    const Result<Vec2> b = point(straight.points.back());
    if (!a) return a.problem();
    if (!b) return b.problem();
    const double whole = distance(*a, *b);
    if (whole < 1.0) return refuse("a straight line is shorter than a millimetre").in("rule", rule);
    const Vec2 n = left_of(unit(*b - *a));
    // The named points between, and points in between them: close enough together that the field, which bends
    // over its length scale, cannot leave the line by a micrometre.
    std::vector<Vec2> inner;
    for (std::size_t k = 1; k + 1 < straight.points.size(); ++k) {
      const Result<Vec2> p = point(straight.points[k]);
      if (!p) return p.problem();
      inner.push_back(*p);
    }
    constexpr double kSpacing = 8.0;  // mm between points of a straight line: no bend fits between them
    const int samples = static_cast<int>(whole / kSpacing);
    for (int k = 1; k <= samples; ++k) inner.push_back(lerp(*a, *b, static_cast<double>(k) / (samples + 1)));
    const std::size_t from = site(*a);
    const std::size_t to = site(*b);
    straight_.push_back({*a, *b});
    for (const Vec2 p : inner) {
      const double off = dot(n, p - *a);
      constexpr double kDrawnStraight = 0.05;  // a digitised line may be this far off
      if (std::abs(off) > kDrawnStraight) {
        Problem problem = refuse("a point of a straight line lies off it in the drawing").in("rule", rule);
        problem.value = off;
        problem.limit = kDrawnStraight;
        return problem;
      }
      const double s = dot(p - *a, *b - *a) / (whole * whole);
      add_condition({{p, n}, {*a, -(1.0 - s) * n}, {*b, -s * n}},
                    {Condition1::Kind::kOnLine, rule, {site(p), from, to}, n, {}, s, {}, 0.0, 0.0});
    }
    return Done{};
  }

  // Two places a millimetre to either side of the point stay on one perpendicular of the line: with a field
  // that bends over its length scale this is the derivative across the line to a ten-thousandth.
  Status add(const Square& square) {
    constexpr double kAside = 1.0;  // mm: the derivative is asked over this step
    const std::string rule = "square " + square.points.front() + " ... " + square.points.back();
    const Result<Vec2> a = point(square.from);
    const Result<Vec2> b = point(square.to);
    if (!a) return a.problem();
    if (!b) return b.problem();
    const double whole = distance(*a, *b);
    if (whole < 1.0) return refuse("a line shorter than a millimetre").in("rule", rule);
    const Vec2 e = unit(*b - *a);
    const Vec2 n = left_of(e);
    const std::size_t from = site(*a);
    const std::size_t to = site(*b);
    for (const std::string& name : square.points) {
      const Result<Vec2> p = point(name);
      if (!p) return p.problem();
      const double off = dot(n, *p - *a);
      if (std::abs(off) > tolerance::kCornerSnap.value()) {
        Problem problem =
            refuse("a point lies off the line it is square to").in("point", name).in("rule", rule);
        problem.value = off;
        problem.limit = tolerance::kCornerSnap.value();
        return problem;
      }
      const Vec2 left = *p + kAside * n;
      const Vec2 right = *p - kAside * n;
      const double turn = 2.0 * kAside / whole;
      add_condition(
          {{left, e}, {right, -e}, {*b, turn * n}, {*a, -turn * n}},
          {Condition1::Kind::kSquare, rule, {site(left), site(right), from, to}, e, {}, 0.0, {}, 0.0, 0.0});
    }
    return Done{};
  }

  const FormeSpec& forme_;
  std::span<const std::string> measures_;
  FieldFrame frame_;
  std::vector<Vec2> sites_;
  std::vector<Condition> conditions_;
  std::vector<Condition1> rules_;
  std::vector<Condition1> lines_;
  std::vector<bool> drives_;
  std::vector<StraightLine> straight_;
  std::vector<HeldPoints> held_;
  std::size_t length_line_ = 0;
  std::size_t girth_line_ = 0;
};

Result<GradeMap> make_grade_map(const FormeSpec& forme, std::span<const std::string> measures) {
  return GradeMapBuilder(forme, measures).build();
}

}  // namespace lastwright
