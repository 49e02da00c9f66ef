#include "grading/style/rule_points.hpp"

#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

struct PointsOfRule {
  std::vector<RulePoint> operator()(const MeasureLine& rule) const {
    return {{rule.from, "/from"}, {rule.to, "/to"}};
  }
  std::vector<RulePoint> operator()(const CheckLine& rule) const { return (*this)(rule.line); }
  std::vector<RulePoint> operator()(const PointRule& rule) const { return {{rule.point, "/point"}}; }
  std::vector<RulePoint> operator()(const Hold& rule) const { return list(rule.points, "/hold"); }
  std::vector<RulePoint> operator()(const Straight& rule) const { return list(rule.points, "/straight"); }
  std::vector<RulePoint> operator()(const Square& rule) const {
    std::vector<RulePoint> all = list(rule.points, "/square");
    all.push_back({rule.from, "/to/0"});
    all.push_back({rule.to, "/to/1"});
    return all;
  }

  static std::vector<RulePoint> list(const std::vector<std::string>& names, const char* key) {
    std::vector<RulePoint> all;
    for (std::size_t i = 0; i < names.size(); ++i) all.push_back({names[i], pointer_to(key, i)});
    return all;
  }
};

}  // namespace

std::vector<RulePoint> rule_points(const Rule& rule) {
  return std::visit(PointsOfRule{}, rule);
}

}  // namespace lastwright
