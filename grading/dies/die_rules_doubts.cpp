#include "grading/dies/die_rules_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

// What a figure may be at all, and what it is in most works. Common practice, no published figures found.
struct FigureRange {
  double least;
  double most;
  double usual_least;
  double usual_most;
  const char* unit;
};
// Strip knife is 19, 32 or 50 mm high, steel rule for boards 23.8; forged dies up to 100.
constexpr FigureRange kHeights{5.0, 200.0, 15.0, 60.0, "mm"};
constexpr FigureRange kThicknesses{0.3, 10.0, 0.5, 4.0, "mm"};  // 1 point is 0.35 mm, strip knife 2 to 3
constexpr FigureRange kWeights{0.01, 16.0, 0.05, 3.0, "kg"};    // of a metre; 16 of steel 200 x 10 mm
// Between neighbouring half sizes a lasted edge moves by some 4 mm.
constexpr FigureRange kTolerances{0.001, 20.0, 0.02, 3.0, "mm"};
constexpr FigureRange kSeamLimits{0.001, 20.0, 0.01, 3.0, "mm"};
constexpr FigureRange kMakings{kLeastMaking, kMostMaking, 0.02, 0.5, "mm"};
constexpr FigureRange kBridges{10.0, 1000.0, 40.0, 400.0, "mm"};
constexpr FigureRange kEdgedTimes{0.01, 100.0, 0.8, 3.0, ""};
constexpr FigureRange kQuantities{1.0, 1000.0, 1.0, 20.0, ""};
constexpr FigureRange kLayersUnder{1.0, kMostLayers, 1.0, 24.0, ""};
constexpr FigureRange kShort{0.0, 100.0, 0.0, 12.0, "mm"};  // limits of gaps, punches, bends
constexpr FigureRange kSpecial{0.0, 500.0, 0.0, 150.0, "mm"};
constexpr FigureRange kAngles{0.0, 180.0, 0.0, 150.0, "degrees"};
constexpr FigureRange kBreaks{0.0, 180.0, 0.0, 15.0, "degrees"};

// The density of steel, 7,850 kg/m3: EN 1991-1-1, table A.4 (77.0 to 78.5 kN/m3).
constexpr double kSteel = 7.85e-6;  // kg/mm3

struct MistakenUnit {
  const char* name;
  double times;  // of the unit of the figure
};
constexpr std::array kLengthUnits{MistakenUnit{"centimetres", 10.0}, MistakenUnit{"inches", 25.4},
                                  MistakenUnit{"tenths of a millimetre", 0.1},
                                  MistakenUnit{"micrometres", 0.001}};
constexpr std::array kWeightUnits{MistakenUnit{"grams", 0.001}, MistakenUnit{"pounds a foot", 1.48816}};

// ": in grams it would be 0.31 kg", of every unit in which it is usual.
std::string unit_words(double value, const FigureRange& figure, double least, double most) {
  std::string words;
  const auto add = [&](const MistakenUnit& unit) {
    const double meant = value * unit.times;
    if (meant < least || meant > most) return;
    words += fmt::format("{}in {} it would be {:.4g} {}", words.empty() ? "; " : ", ", unit.name, meant,
                         figure.unit);
  };
  if (figure.unit == std::string_view("mm")) std::for_each(kLengthUnits.begin(), kLengthUnits.end(), add);
  if (figure.unit == std::string_view("kg")) std::for_each(kWeightUnits.begin(), kWeightUnits.end(), add);
  return words;
}

std::string with_unit(double value, const FigureRange& figure) {
  return fmt::format("{:g}{}{}", value, *figure.unit == '\0' ? "" : " ", figure.unit);
}

std::string refused_words(double value, const FigureRange& figure, const char* what) {
  if (value >= figure.least && value <= figure.most) return "";
  return fmt::format("{} can be no {}: by common practice {:g} to {}{}", with_unit(value, figure), what,
                     figure.least, with_unit(figure.most, figure),
                     unit_words(value, figure, figure.usual_least, figure.usual_most));
}

class Figures {
 public:
  explicit Figures(const DieRules& rules) : rules_(rules) {}

  std::vector<FigureDoubt> find() {
    tolerances();
    rule("", rules_.rule_height, rules_.rule_height, rules_.weight_per_metre);
    look("/rule_thickness", rules_.rule_thickness, kThicknesses, "thickness of rule");
    look("/bridge_every", rules_.bridge_every.value(), kBridges, "length between bridges");
    made("", rules_.making_tolerance, rules_.tolerance);
    look("/layers_per_stroke", number(rules_.layers_per_stroke), kLayersUnder,
         "number of layers under a stroke");
    look("/quantity", number(rules_.quantity), kQuantities, "number of dies of one kind");
    rates();
    limits();
    for (const auto& [name, own] : rules_.pieces) {
      const std::string at = pointer_to("/pieces", name);
      rule(at, own.rule_height, own.rule_height ? own.rule_height : rules_.rule_height, own.weight_per_metre);
      double least = rules_.tolerance;
      for (const auto& [edge, value] : own.tolerance) least = std::min(least, value);
      made(at, own.making_tolerance, least);
      look(at + "/layers_per_stroke", number(own.layers_per_stroke), kLayersUnder,
           "number of layers under a stroke");
      look(at + "/quantity", number(own.quantity), kQuantities, "number of dies of one kind");
      if (own.per_mm) per_mm(at + "/per_mm", *own.per_mm);
    }
    return std::move(doubts_);
  }

 private:
  template <class T>
  static std::optional<double> number(const std::optional<T>& value) {
    return value ? std::optional<double>(static_cast<double>(*value)) : std::nullopt;
  }
  void tell(const std::string& at, std::string message, bool refused) {
    doubts_.push_back({at, std::move(message), refused});
  }
  // False where it is refused.
  bool look(const std::string& at, std::optional<double> value, const FigureRange& figure, const char* what) {
    if (!value) return true;
    if (std::string words = refused_words(*value, figure, what); !words.empty()) {
      tell(at, std::move(words), true);
      return false;
    }
    if (*value < figure.usual_least || *value > figure.usual_most)
      tell(at,
           fmt::format("{} is an unusual {}: by common practice {:g} to {}{}", with_unit(*value, figure),
                       what, figure.usual_least, with_unit(figure.usual_most, figure),
                       unit_words(*value, figure, figure.usual_least, figure.usual_most)),
           false);
    return true;
  }

  void tolerances() {
    look("/tolerance", rules_.tolerance, kTolerances, "tolerance of an edge");
    for (const auto& [kind, value] : rules_.by_kind)
      look(pointer_to("/tolerance_by_kind", kind), value, kTolerances, "tolerance of an edge");
    for (std::size_t k = 0; k < rules_.curve.size(); ++k) {
      if (std::string words = tolerance_refused(rules_.curve[k]); !words.empty())
        tell(pointer_to("/curve", k), std::move(words), true);
    }
    look("/seam_limit", rules_.seam_limit, kSeamLimits, "limit of a seam");
    look("/lap_seam_limit", rules_.lap_seam_limit, kSeamLimits, "limit of a seam");
    for (const auto& [seam, value] : rules_.seam_limits)
      look(pointer_to("/seam_limits", seam), value, kSeamLimits, "limit of a seam");
    for (const auto& [name, own] : rules_.pieces) {
      for (const auto& [edge, value] : own.tolerance)
        look(pointer_to(pointer_to(pointer_to("/pieces", name), "tolerance"), edge), value, kTolerances,
             "tolerance of an edge");
    }
  }

  // A weight is held against that of a bar of steel as high and as thick: an edge takes some of it off.
  void rule(const std::string& at, std::optional<double> own_height, std::optional<double> height,
            std::optional<double> weight) {
    const bool high = look(at + "/rule_height", own_height, kHeights, "height of rule");
    const bool may_be = look(at + "/weight_per_metre", weight, kWeights, "weight of a metre of rule");
    const std::optional<double>& thick = rules_.rule_thickness;
    if (!weight || !thick || !high || !may_be || *thick < kThicknesses.least || *thick > kThicknesses.most)
      return;
    constexpr double kLeastOfBar = 0.4;  // common practice: a bevel on both sides takes less than half
    constexpr double kMostOfBar = 1.3;
    const double tall = height.value_or(kUsualRuleHeight);
    const double bar = kSteel * tall * *thick * 1000.0;
    if (*weight >= kLeastOfBar * bar && *weight <= kMostOfBar * bar) return;
    tell(at + "/weight_per_metre",
         fmt::format("{:g} kg is an unusual weight of a metre of rule {:g} x {:g} mm: of steel it is some "
                     "{:.3g} kg{}",
                     *weight, tall, *thick, bar,
                     unit_words(*weight, kWeights, kLeastOfBar * bar, kMostOfBar * bar)),
         false);
  }

  void made(const std::string& at, std::optional<double> making, double tolerance) {
    const std::string key = at + "/making_tolerance";
    if (!making) return;
    look(key, making, kMakings, "making tolerance");
    if (*making <= tolerance) return;
    tell(key,
         fmt::format("{:g} mm, either way, is more than the {:g} mm by which an outline may deviate from its "
                     "die: a piece as cut may be off by both together",
                     *making, tolerance),
         false);
  }

  // A price cannot be judged without its currency, but beside others in the same.
  void per_mm(const std::string& at, double value) {
    const auto dearer = [&](double other, const char* what) {
      if (other <= 0.0 || value <= other) return false;
      tell(at,
           fmt::format("a millimetre of rule at {:g} costs more than {} at {:g}: is it the price of a metre? "
                       "That is {:g} a millimetre",
                       value, what, other, value / 1000.0),
           false);
      return true;
    };
    const DieRates& rates = rules_.rates;
    if (dearer(rates.per_corner, "a corner") || dearer(rates.per_punch, "a punch") ||
        dearer(rates.fixed, "all that is fixed of a die"))
      return;
    constexpr double kDear = 2.0;  // of the four below; common practice: hundredths of one
    for (const char* currency : {"EUR", "USD", "GBP", "CHF"}) {
      if (rates.currency == currency && value > kDear)
        tell(at,
             fmt::format("{:g} {} is an unusual price of a millimetre of rule: is it that of a metre?", value,
                         currency),
             false);
    }
  }

  void rates() {
    const DieRates& rates = rules_.rates;
    if (!rates.given()) return;
    if (rates.currency.empty())
      tell("/rates", "no \"currency\" is stated: prices are printed as figures without one", false);
    per_mm("/rates/per_mm", rates.per_mm);
    look("/rates/two_edged", rates.two_edged, kEdgedTimes, "price of a two-edged die, in plain ones");
  }

  void limits() {
    const DieLimits& of = rules_.limits;
    const auto limit = [&](const char* key, const DieLimit& value, const FigureRange& figure,
                           const char* what) { look(pointer_to("/limits", key), value.value, figure, what); };
    limit("rule_gap", of.rule_gap, kShort, "limit of a gap");
    limit("smallest_punch", of.smallest_punch, kShort, "limit of a punch");
    limit("slot", of.slot, kShort, "limit of a slot");
    limit("special_punch", of.special_punch, kSpecial, "limit of special punches");
    limit("bend_radius", of.bend_radius, kShort, "limit of a bend");
    limit("shortest_straight", of.shortest_straight, kShort, "limit of a straight");
    limit("hole_to_edge", of.hole_to_edge, kShort, "limit of a gap");
    limit("inside_corner", of.inside_corner, kAngles, "limit of a corner");
    limit("outside_corner", of.outside_corner, kAngles, "limit of a corner");
    limit("tangent_break", of.tangent_break, kBreaks, "limit of a break");
  }

  const DieRules& rules_;
  std::vector<FigureDoubt> doubts_;
};

}  // namespace

std::vector<FigureDoubt> figure_doubts(const DieRules& rules) {
  return Figures(rules).find();
}

std::string tolerance_refused(double value) {
  return refused_words(value, kTolerances, "tolerance of an edge");
}

}  // namespace lastwright
