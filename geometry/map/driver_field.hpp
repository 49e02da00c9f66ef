// A displacement field of the plane with a few drivers:
// two stretches and one smooth field per linear condition.
//
//   u(p) = s0 (x - x0) e + s1 (y - y0) n + sum_j t_j phi_j(p)
//
// (x, y) are the coordinates of p along the axis e and its left normal n, measured from the origin. phi_j is
// the smallest field (minimum norm in the space of the kernel) that fulfils condition j with value 1 and
// every other condition with value 0. Everything is linear in the drivers (s0, s1, t_1 ... t_R): a whole size
// run is one matrix product per outline. The kernel is wide and mirrored in the axis (field_part.hpp).
//
// Some conditions would bend the wide field far around: two places that must move alike force it to be level
// there, over its whole length scale. They have local spaces: fields that reach only so far, leave what is
// named still as it is, and cost next to nothing (kLocalCost of the wide norm). So what the other conditions
// ask goes on being met by the wide field alone, and the local ones add what is missing beside it. Only what
// no local field can do (two places of one set are each tied to something else) is left to the wide one.
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// L(u) = sum of dot(weight, u(at)).
struct ConditionTerm {
  Vec2 at;
  Vec2 weight;
};
using Condition = std::vector<ConditionTerm>;

// Fields of their own for some conditions: the smallest that fulfil them and are zero on all of `still`.
struct LocalSpace {
  Millimetres reach{0.0};               // of the kernel, from each place of the conditions
  std::vector<std::size_t> conditions;  // which they serve
  std::vector<Condition> still;         // what they must not change
};

struct FieldFrame {
  Vec2 origin;                      // on the axis; the stretches leave it where it is
  Vec2 axis{1.0, 0.0};              // unit vector
  Millimetres length_scale{100.0};  // distance over which a local condition fades
};

// Displacement and its derivatives for one driver at one point, per unit of the driver.
struct DriverValue {
  Vec2 u;   // displacement
  Vec2 ux;  // its derivative in x
  Vec2 uy;  // its derivative in y
};

class FieldPart;

class DriverField {
 public:
  // What a local field's norm counts for beside the wide one's: so little that the wide field takes on a
  // millionth of what a local condition asks, and not so little that rounding shows.
  static constexpr double kLocalCost = 1e-4;

  DriverField(FieldFrame frame, std::vector<Condition> conditions, const std::vector<LocalSpace>& local = {});

  // 2 + number of conditions.
  [[nodiscard]] std::size_t drivers() const { return 2 + conditions_.size(); }
  [[nodiscard]] const FieldFrame& frame() const { return frame_; }
  [[nodiscard]] const std::vector<Condition>& conditions() const { return conditions_; }
  // Conditions that say nothing new: their value follows from earlier ones (or from the mirrored kernel) to
  // within 1e-9 of their own weight. Their field is zero; whether the value asked for agrees is for the
  // caller to check.
  [[nodiscard]] const std::vector<bool>& dependent() const { return dependent_; }
  // How many times larger a condition is than what it says beyond the earlier ones, at worst: the digits that
  // the solve costs.
  [[nodiscard]] double condition_number() const { return condition_number_; }

  // Fills one value per driver. Precondition: out.size() == drivers().
  void evaluate(Vec2 p, std::span<DriverValue> out) const;
  // The displacements alone, at a third of the cost.
  void displacements(Vec2 p, std::span<Vec2> out) const;

 private:
  friend class FieldMix;

  FieldFrame frame_;
  std::vector<Condition> conditions_;
  std::vector<bool> dependent_;
  // Every phi_j is a sum over the parts; a column of theirs for each condition. The wide one comes first.
  // Copies of a field share them.
  std::shared_ptr<const std::vector<FieldPart>> parts_;
  double condition_number_ = 1.0;
};

}  // namespace lastwright
