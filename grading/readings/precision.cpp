#include "grading/readings/precision.hpp"

#include <cmath>

namespace lastwright {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

MatrixXd own_covariance(const BatchLayout& layout, const Block& block, const BatchNoise& noise) {
  const auto square = [](double x) { return x * x; };
  MatrixXd own(block.count, block.count);
  for (Index i = 0; i < block.count; ++i) {
    const PlacedReading& a = layout.readings[static_cast<std::size_t>(block.first + i)];
    for (Index j = 0; j <= i; ++j) {
      const PlacedReading& b = layout.readings[static_cast<std::size_t>(block.first + j)];
      double sum = 0.0;
      if (a.measure == b.measure) sum += square(noise.pair);
      if (a.girth && b.girth) sum += square(noise.last_pair);
      if (a.last == b.last && a.girth && b.girth) sum += square(noise.last);
      if (a.last == b.last && a.measure == b.measure) sum += square(noise.own);
      own(i, j) = own(j, i) = sum;
    }
  }
  return own;
}

Precision::Precision(const BatchLayout& layout, const BatchNoise& noise, const VectorXd& weights,
                     std::span<const VectorXd> extra)
    : layout_(&layout), columns_(layout.columns + static_cast<Index>(extra.size())) {
  MatrixXd common = MatrixXd::Identity(columns_, columns_);
  parts_.reserve(layout.blocks.size());
  for (const Block& block : layout.blocks) {
    Part part;
    part.own = own_covariance(layout, block, noise);
    const VectorXd root = weights.segment(block.first, block.count).cwiseSqrt();
    MatrixXd scaled = root.asDiagonal() * part.own * root.asDiagonal();
    scaled.diagonal().array() += 1.0;
    const Eigen::LLT<MatrixXd> factor(scaled);
    const MatrixXd& lower = factor.matrixLLT();
    log_determinant_ += 2.0 * lower.diagonal().array().log().sum();
    part.inner =
        root.asDiagonal() * factor.solve(MatrixXd::Identity(block.count, block.count)) * root.asDiagonal();
    part.columns = block.columns;
    for (std::size_t k = 0; k < extra.size(); ++k) {
      if (!extra[k].segment(block.first, block.count).isZero(0.0))
        part.columns.push_back(layout.columns + static_cast<Index>(k));
    }
    part.x.resize(block.count, static_cast<Index>(part.columns.size()));
    part.x.leftCols(block.tolerated.cols()) = block.tolerated;
    for (Index k = block.tolerated.cols(); k < part.x.cols(); ++k) {
      const auto which = static_cast<std::size_t>(part.columns[static_cast<std::size_t>(k)] - layout.columns);
      part.x.col(k) = extra[which].segment(block.first, block.count);
    }
    part.ax = part.inner * part.x;
    const MatrixXd add = part.x.transpose() * part.ax;
    for (Index i = 0; i < add.rows(); ++i) {
      for (Index j = 0; j < add.cols(); ++j) {
        common(part.columns[static_cast<std::size_t>(i)], part.columns[static_cast<std::size_t>(j)]) +=
            add(i, j);
      }
    }
    parts_.push_back(std::move(part));
  }
  common_.compute(common);
  const MatrixXd& lower = common_.matrixLLT();
  log_determinant_ += 2.0 * lower.diagonal().array().log().sum();
}

VectorXd Precision::times(const VectorXd& values) const {
  VectorXd xa = VectorXd::Zero(columns_);
  for (std::size_t b = 0; b < parts_.size(); ++b) {
    const Block& block = layout_->blocks[b];
    const VectorXd add = parts_[b].ax.transpose() * values.segment(block.first, block.count);
    for (Index k = 0; k < add.size(); ++k) xa(parts_[b].columns[static_cast<std::size_t>(k)]) += add(k);
  }
  const VectorXd solved = common_.solve(xa);
  VectorXd result(values.size());
  for (std::size_t b = 0; b < parts_.size(); ++b) {
    const Block& block = layout_->blocks[b];
    const VectorXd local = solved(parts_[b].columns);
    result.segment(block.first, block.count) =
        parts_[b].inner * values.segment(block.first, block.count) - parts_[b].ax * local;
  }
  return result;
}

VectorXd Precision::effects(const VectorXd& a) const {
  VectorXd xa = VectorXd::Zero(columns_);
  for (std::size_t b = 0; b < parts_.size(); ++b) {
    const Block& block = layout_->blocks[b];
    const VectorXd add = parts_[b].x.transpose() * a.segment(block.first, block.count);
    for (Index k = 0; k < add.size(); ++k) xa(parts_[b].columns[static_cast<std::size_t>(k)]) += add(k);
  }
  VectorXd result(a.size());
  for (std::size_t b = 0; b < parts_.size(); ++b) {
    const Block& block = layout_->blocks[b];
    const VectorXd local = xa(parts_[b].columns);
    result.segment(block.first, block.count) =
        parts_[b].own * a.segment(block.first, block.count) + parts_[b].x * local;
  }
  return result;
}

VectorXd Precision::projected(const SparseColumn& column) const {
  VectorXd xa = VectorXd::Zero(columns_);
  for (const auto& [row, value] : column) {
    const std::size_t b = layout_->readings[static_cast<std::size_t>(row)].block;
    const Part& part = parts_[b];
    const Index local = row - layout_->blocks[b].first;
    for (Index k = 0; k < part.ax.cols(); ++k)
      xa(part.columns[static_cast<std::size_t>(k)]) += part.ax(local, k) * value;
  }
  common_.matrixL().solveInPlace(xa);
  return xa;
}

double Precision::product(const SparseColumn& one, const SparseColumn& other) const {
  double inner = 0.0;
  auto at = other.begin();
  for (const auto& [row, value] : one) {
    const std::size_t b = layout_->readings[static_cast<std::size_t>(row)].block;
    const Block& block = layout_->blocks[b];
    while (at != other.end() && at->first < block.first) ++at;
    for (auto k = at; k != other.end() && k->first < block.first + block.count; ++k)
      inner += value * parts_[b].inner(row - block.first, k->first - block.first) * k->second;
  }
  return inner - projected(one).dot(projected(other));
}

double Precision::square(const SparseColumn& column) const {
  return product(column, column);
}

MatrixXd Precision::of_block(std::size_t block) const {
  const Part& part = parts_[block];
  MatrixXd spread = MatrixXd::Zero(columns_, part.ax.rows());
  for (Index k = 0; k < part.ax.cols(); ++k)
    spread.row(part.columns[static_cast<std::size_t>(k)]) = part.ax.col(k).transpose();
  common_.matrixL().solveInPlace(spread);
  return part.inner - spread.transpose() * spread;
}

double Precision::amount_spread(std::size_t extra) const {
  VectorXd unit = VectorXd::Zero(columns_);
  unit(layout_->columns + static_cast<Index>(extra)) = 1.0;
  common_.matrixL().solveInPlace(unit);
  return unit.norm();
}

double Precision::amount_mean(std::size_t extra, const VectorXd& a) const {
  double sum = 0.0;
  for (std::size_t b = 0; b < parts_.size(); ++b) {
    const Block& block = layout_->blocks[b];
    for (std::size_t k = 0; k < parts_[b].columns.size(); ++k) {
      if (parts_[b].columns[k] == layout_->columns + static_cast<Index>(extra))
        sum += parts_[b].x.col(static_cast<Index>(k)).dot(a.segment(block.first, block.count));
    }
  }
  return sum;
}

}  // namespace lastwright
