// The grade of one forme: rules in, drivers out.
//
// Every rule becomes linear conditions on the displacement of a DriverField. What a rule asks in a given size
// and width is not quite linear (a line's length is a square root), so the drivers of each size and width are
// found by a few corrections at the rule points alone: each rule then holds to tolerance::kRoot, and the
// field stays linear in the drivers. With only proportional rules the corrections vanish and the grade is the
// exact two-axis scaling.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "geometry/map/driver_field.hpp"
#include "geometry/result.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// What one size and width asks of a forme.
struct GradeStep {
  std::vector<double> increments;  // millimetres, one per measure, in the order given to make_grade_map
  double size_steps = 0.0;         // whole sizes from the base, halves included
  double width_steps = 0.0;
};

// One value per driver of the field.
using Drivers = std::vector<double>;

// What a measure line or check line came to in one size and width, millimetres.
struct LineReading {
  std::string line;
  bool drives = true;    // a measure line; false for a check line
  double base = 0.0;     // its length in the drawing
  double wanted = 0.0;   // base plus what it carries
  double reached = 0.0;  // its graded length
};

class GradeMap {
 public:
  [[nodiscard]] const FormeSpec& forme() const { return forme_; }
  [[nodiscard]] const DriverField& field() const { return field_; }

  // Fails when the rules contradict each other in this step:
  // the Problem names the rule, and by how much it is missed.
  [[nodiscard]] Result<Drivers> drivers(const GradeStep& step) const;
  // Graded position of a point of the drawing.
  [[nodiscard]] Vec2 graded(Vec2 p, const Drivers& drivers) const;
  // The same for several sets of drivers, in their order: the field is asked once.
  [[nodiscard]] std::vector<Vec2> graded(Vec2 p, std::span<const Drivers> each) const;
  // Determinant of the map's derivative: positive where the map is locally one to one and keeps its sense.
  [[nodiscard]] double determinant(Vec2 p, const Drivers& drivers) const;
  // All measure lines and check lines, in the order of the rules.
  [[nodiscard]] std::vector<LineReading> readings(const GradeStep& step, const Drivers& drivers) const;

 private:
  // One condition of the field: how far the graded points are from what the rule asks.
  struct RuleCondition {
    enum class Kind { kFixed, kLength, kMove, kSimilar, kOnLine, kSquare } kind = Kind::kFixed;
    std::string rule;             // for messages
    std::vector<std::size_t> at;  // indices into sites_
    Vec2 direction;               // kMove, kSimilar, kFixed: the component that is ruled
    Vec2 answer;                  // kSimilar: the same component's answer to the move of the far end
    double share = 0.0;           // kOnLine: unused by the residual, place of the point between the ends
    std::vector<double> carries;  // kLength: share of each measure
    double per_size = 0.0;        // kMove
    double per_width = 0.0;       // kMove
  };
  struct Site {
    Vec2 at;
    std::vector<DriverValue> values;
  };
  friend class GradeMapBuilder;
  GradeMap(FormeSpec forme, DriverField field) : forme_(std::move(forme)), field_(std::move(field)) {}

  [[nodiscard]] double wanted_length(const RuleCondition& condition, const GradeStep& step) const;
  [[nodiscard]] Vec2 moved_site(std::size_t site, const Drivers& drivers) const;
  [[nodiscard]] double residual(const RuleCondition& condition, const GradeStep& step,
                                const Drivers& drivers) const;
  [[nodiscard]] Result<Drivers> stretches(const GradeStep& step) const;

  FormeSpec forme_;
  DriverField field_;
  std::vector<RuleCondition> conditions_;  // one per condition of the field
  std::vector<Site> sites_;                // every point a rule speaks of
  std::size_t length_line_ = 0;            // indices into lines_
  std::size_t girth_line_ = 0;
  std::vector<RuleCondition> lines_;  // measure lines and check lines, for the stretches and the readings
  std::vector<bool> drives_;
};

// Fails when a rule names an unknown point or measure, the base line or a measure line has no length, the
// length and girth lines do not span the plane, or the fixed point is off the base line.
Result<GradeMap> make_grade_map(const FormeSpec& forme, std::span<const std::string> measures);

}  // namespace lastwright
