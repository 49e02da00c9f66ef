// The inverse of the covariance of weighted readings, never formed: one small matrix a pair and one for what
// the pairs have in common.
//
// For weights W, own effects K (one block a pair) and common effects X (columns times their standard
// deviations): A = (W^-1 + K)^-1, H = I + X' A X, and P = (W^-1 + K + X X')^-1 = A - A X H^-1 X' A. H is
// never singular, whatever the plan confounds.
#pragma once

#include <Eigen/Dense>
#include <memory>
#include <span>
#include <vector>

#include "grading/readings/batch_layout.hpp"

namespace lastwright {

// Standard deviations in millimetres; `reading` as in ReadingNoise.
struct BatchNoise {
  double reading = 0.4;     // one reading about the true measure of its last
  double pair = 0.2;        // one measure, common to left and right of a pair
  double last = 0.15;       // all girths of one last
  double last_pair = 0.15;  // all girths of one pair
  // One measure of one last; 0 where nothing was read twice. Of what was read once it is noise of the reading
  // (scatter_of), and no effect: beside a step that is coarse, Laplace's method takes an effect of a single
  // reading for a fit that costs nothing, and the reading's own noise for next to none.
  double own = 0.2;
  double wide_part = 0.02;
  double slip_part = 0.002;
};

// A sparse column: readings of the layout and the value at each, ascending.
using SparseColumn = std::vector<std::pair<Eigen::Index, double>>;

// What does not change while weights do: own and common effects of one hypothesis under one noise, laid out
// pair by pair.
class PrecisionShape {
 public:
  // `extra`: further columns, by reading of the layout, which must outlive it.
  PrecisionShape(const BatchLayout& layout, const BatchNoise& noise, std::span<const Eigen::VectorXd> extra);

 private:
  friend class Precision;
  // A column within a pair: so many times one of the directions of the pair. What is tolerated of a measure,
  // its size, its width and its steps have one direction there, so that there are few.
  struct Touching {
    Eigen::Index column = 0;
    Eigen::Index direction = 0;
    double times = 0.0;
  };
  // Where the parts of one pair begin.
  struct Place {
    std::size_t square = 0;  // count x count: K; of the inverse as well
    std::size_t oblong = 0;  // count x directions
    Eigen::Index directions = 0;
    std::size_t first = 0;  // of the columns that touch it
    std::size_t last = 0;
  };
  void add_column(Place& place, Eigen::Index column, const Eigen::VectorXd& values);

  const BatchLayout* layout_ = nullptr;
  Eigen::Index columns_ = 0;
  std::vector<Place> places_;
  std::vector<double> own_;
  std::vector<double> directions_;
  std::vector<Touching> touching_;  // by pair, ascending columns
};

// Copies share what they hold.
class Precision {
 public:
  Precision() = default;
  Precision(std::shared_ptr<const PrecisionShape> shape, const Eigen::VectorXd& weights);
  Precision(const BatchLayout& layout, const BatchNoise& noise, const Eigen::VectorXd& weights,
            std::span<const Eigen::VectorXd> extra);

  // log |I + W^1/2 (K + X X') W^1/2|.
  [[nodiscard]] double log_determinant() const { return weighed_->log_determinant; }
  [[nodiscard]] Eigen::VectorXd times(const Eigen::VectorXd& values) const;  // P v
  [[nodiscard]] double square(const SparseColumn& column) const;             // c' P c
  [[nodiscard]] Eigen::MatrixXd of_block(std::size_t block) const;           // P of one pair
  // tr(P S), S with one block a pair: what readings of the covariance S are expected to cost.
  [[nodiscard]] double trace_with(std::span<const Eigen::MatrixXd> blocks) const;
  // With a = P v: (K + X X') a.
  [[nodiscard]] Eigen::VectorXd effects(const Eigen::VectorXd& a) const;
  // Standard deviation of the amount of an extra column after the readings, and its mean given a = P v.
  [[nodiscard]] double amount_spread(std::size_t extra) const;
  [[nodiscard]] double amount_mean(std::size_t extra, const Eigen::VectorXd& a) const;

 private:
  using Part = Eigen::Map<const Eigen::MatrixXd>;
  struct Weighed {
    std::vector<double> inner;           // A
    std::vector<double> along;           // A times the directions
    Eigen::LLT<Eigen::MatrixXd> common;  // of H
    double log_determinant = 0.0;
  };
  [[nodiscard]] const Block& block(std::size_t b) const { return shape_->layout_->blocks[b]; }
  [[nodiscard]] Part own(std::size_t b) const;
  [[nodiscard]] Part directions(std::size_t b) const;
  [[nodiscard]] Part inner(std::size_t b) const;
  [[nodiscard]] Part along(std::size_t b) const;
  [[nodiscard]] std::span<const PrecisionShape::Touching> touching(std::size_t b) const {
    const PrecisionShape::Place& place = shape_->places_[b];
    return std::span(shape_->touching_).subspan(place.first, place.last - place.first);
  }
  [[nodiscard]] Eigen::VectorXd projected(const SparseColumn& column) const;  // L^-1 X' A c

  std::shared_ptr<const PrecisionShape> shape_;
  std::shared_ptr<const Weighed> weighed_;
};

// How far a reading scatters about what its last is known by: what that measure has of its own is a part of
// it unless it was read again.
double scatter_of(const PlacedReading& reading, const BatchNoise& noise);

// K of one pair.
Eigen::MatrixXd own_covariance(const BatchLayout& layout, const Block& block, const BatchNoise& noise);

}  // namespace lastwright
