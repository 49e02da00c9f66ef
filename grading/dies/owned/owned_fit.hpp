// How a die that is there lies on the sizes and widths of a piece, and what it serves of them.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "grading/dies/owned/die_owned.hpp"
#include "grading/dies/owned/die_recognised.hpp"

namespace lastwright {

// An owned die on the size and width it is nearest to.
struct LaidDie {
  DieShape shape;
  std::uint32_t nearest = 0;
  double off = 0.0;  // of the outline, mm
  Placement onto;    // of that size's outline onto the die
  // The greatest share of a tolerance that outline and work use up on a size and width of that outline;
  // infinite where its work is another, none where nobody asked.
  std::optional<double> apart = {};
};

// Dies that are there, laid on the sizes and widths of one piece.
class OwnedFit {
 public:
  OwnedFit(const OwnedPiece& of, std::vector<GradeOutline> grade)
      : of_(of), grade_(std::move(grade)), plain_(of.demands, of.tolerances, of.options) {
    for (const DieShape* shape : of.demands) {
      invariants_.push_back(rigid_invariants(shape->cut.path));
      full_shapes_.push_back(with_size_marks(*shape));
    }
    std::vector<const DieShape*> full;
    for (const DieShape& shape : full_shapes_) full.push_back(&shape);
    full_.emplace(std::move(full), of.tolerances, of.options);
  }

  void add(std::size_t k, PieceCandidates& result) const;
  // The size and width that the die is by its outline and its work, of whatever piece it was; empty: none.
  [[nodiscard]] std::string alike_to(const OwnedDie& owned) const;

 private:
  // One way to lay the die on the piece, and which foot it cuts if it lies so.
  struct Way {
    std::optional<LaidDie> die;
    OwnedFoot foot = OwnedFoot::kBoth;
    bool turned = false;
  };
  [[nodiscard]] std::vector<std::function<Way()>> ways(const OwnedDie& owned, double farthest) const;
  std::optional<OwnedMiss> take(std::size_t k, Way way, PieceCandidates& result) const;
  [[nodiscard]] std::optional<OwnedMiss> other_foot(const OwnedDie& owned, Way& way) const;
  [[nodiscard]] std::string name(std::uint32_t demand) const {
    const SizeWidth& at = of_.input->places.demands[demand];
    return of_.input->style->pieces[of_.piece].name + " " + label_of(at);
  }
  // The demand whose own outline is there.
  [[nodiscard]] std::optional<std::uint32_t> demand_at(std::uint32_t place) const {
    const std::vector<std::uint32_t>& own = of_.input->places.own;
    const auto found = std::find(own.begin(), own.end(), place);
    if (found == own.end()) return std::nullopt;
    return static_cast<std::uint32_t>(found - own.begin());
  }
  [[nodiscard]] std::vector<std::uint32_t> by_likeness(const DieShape& die) const;
  [[nodiscard]] std::optional<LaidDie> laid(const DieShape& die, double farthest) const;
  [[nodiscard]] std::optional<LaidDie> laid_anyhow(const DieShape& die, double farthest) const;
  [[nodiscard]] double apart(const LaidDie& die) const;
  [[nodiscard]] bool nearer(std::optional<LaidDie>& one, std::optional<LaidDie>& than) const;
  [[nodiscard]] std::vector<std::uint32_t> of_that_outline(const LaidDie& die) const;
  [[nodiscard]] std::optional<OwnedMiss> unit_miss(const DieShape& die) const;
  [[nodiscard]] OwnedMiss outline_miss(const DieShape& die) const;
  bool arrange(LaidDie& die) const;
  [[nodiscard]] OwnedMiss miss_of(const LaidDie& die, bool size_marks) const;

  const OwnedPiece& of_;
  std::vector<GradeOutline> grade_;  // by place
  ServeTable plain_;
  std::vector<DieShape> full_shapes_;
  std::optional<ServeTable> full_;
  std::vector<RigidInvariants> invariants_;
};

}  // namespace lastwright
