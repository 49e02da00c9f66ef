// The inverse of the covariance of weighted readings, never formed: one small matrix a pair and one for what
// the pairs have in common.
//
// For weights W, own effects K (one block a pair) and common effects X (columns times their standard
// deviations): A = (W^-1 + K)^-1, H = I + X' A X, and P = (W^-1 + K + X X')^-1 = A - A X H^-1 X' A. H is
// never singular, whatever the plan confounds.
#pragma once

#include <Eigen/Dense>
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
  double own = 0.2;         // one measure of one last; 0 where nothing was read twice
  double wide_part = 0.02;
  double slip_part = 0.002;
};

// A sparse column: readings of the layout and the value at each, ascending.
using SparseColumn = std::vector<std::pair<Eigen::Index, double>>;

class Precision {
 public:
  Precision() = default;
  // `extra`: further columns, by reading of the layout.
  Precision(const BatchLayout& layout, const BatchNoise& noise, const Eigen::VectorXd& weights,
            std::span<const Eigen::VectorXd> extra);

  // log |I + W^1/2 (K + X X') W^1/2|.
  [[nodiscard]] double log_determinant() const { return log_determinant_; }
  [[nodiscard]] Eigen::VectorXd times(const Eigen::VectorXd& values) const;  // P v
  [[nodiscard]] double square(const SparseColumn& column) const;             // c' P c
  [[nodiscard]] double product(const SparseColumn& one, const SparseColumn& other) const;
  [[nodiscard]] Eigen::MatrixXd of_block(std::size_t block) const;  // P of one pair
  // With a = P v: (K + X X') a.
  [[nodiscard]] Eigen::VectorXd effects(const Eigen::VectorXd& a) const;
  // Standard deviation of the amount of an extra column after the readings, and its mean given a = P v.
  [[nodiscard]] double amount_spread(std::size_t extra) const;
  [[nodiscard]] double amount_mean(std::size_t extra, const Eigen::VectorXd& a) const;

 private:
  struct Part {
    Eigen::MatrixXd own;    // K
    Eigen::MatrixXd inner;  // A
    Eigen::MatrixXd x;      // columns that touch this block
    Eigen::MatrixXd ax;
    std::vector<Eigen::Index> columns;
  };
  [[nodiscard]] Eigen::VectorXd projected(const SparseColumn& column) const;  // L^-1 X' A c

  const BatchLayout* layout_ = nullptr;
  std::vector<Part> parts_;
  Eigen::LLT<Eigen::MatrixXd> common_;
  double log_determinant_ = 0.0;
  Eigen::Index columns_ = 0;
};

// K of one pair.
Eigen::MatrixXd own_covariance(const BatchLayout& layout, const Block& block, const BatchNoise& noise);

}  // namespace lastwright
