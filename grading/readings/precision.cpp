#include "grading/readings/precision.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

double scatter_of(const PlacedReading& reading, const BatchNoise& noise) {
  return reading.again ? noise.reading : std::hypot(noise.reading, noise.own);
}

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
      if (a.again && a.last == b.last && a.measure == b.measure) sum += square(noise.own);
      own(i, j) = own(j, i) = sum;
    }
  }
  return own;
}

PrecisionShape::PrecisionShape(const BatchLayout& layout, const BatchNoise& noise,
                               std::span<const VectorXd> extra)
    : layout_(&layout), columns_(layout.columns + static_cast<Index>(extra.size())) {
  places_.reserve(layout.blocks.size());
  VectorXd values;
  for (const Block& block : layout.blocks) {
    Place place{own_.size(), directions_.size(), 0, touching_.size(), 0};
    const MatrixXd own = own_covariance(layout, block, noise);
    own_.insert(own_.end(), own.data(), own.data() + own.size());
    for (Index k = 0; k < block.tolerated.cols(); ++k) {
      values = block.tolerated.col(k);
      add_column(place, block.columns[static_cast<std::size_t>(k)], values);
    }
    for (std::size_t k = 0; k < extra.size(); ++k) {
      values = extra[k].segment(block.first, block.count);
      add_column(place, layout.columns + static_cast<Index>(k), values);
    }
    place.last = touching_.size();
    places_.push_back(place);
  }
}

void PrecisionShape::add_column(Place& place, Index column, const VectorXd& values) {
  const auto* first =
      std::find_if(values.data(), values.data() + values.size(), [](double v) { return v != 0.0; });
  if (first == values.data() + values.size()) return;
  const Eigen::Map<const MatrixXd> known(directions_.data() + place.oblong, values.size(), place.directions);
  for (Index d = 0; d < place.directions; ++d) {
    // As made by Tolerated and by causes: one number times
    // a pattern, so that equal ones are equal to the bit.
    if (known.col(d) != values / *first) continue;
    touching_.push_back({column, d, *first});
    return;
  }
  const double times = *first;
  for (const double value : values) directions_.push_back(value / times);
  touching_.push_back({column, place.directions++, times});
}

Precision::Precision(const BatchLayout& layout, const BatchNoise& noise, const VectorXd& weights,
                     std::span<const VectorXd> extra)
    : Precision(std::make_shared<const PrecisionShape>(layout, noise, extra), weights) {}

// Matrices of a pair are small: products are written out, and nothing is allocated pair by pair.
Precision::Precision(std::shared_ptr<const PrecisionShape> shape, const VectorXd& weights)
    : shape_(std::move(shape)) {
  const auto weighed = std::make_shared<Weighed>();
  weighed->inner.resize(shape_->own_.size());
  weighed->along.resize(shape_->directions_.size());
  weighed_ = weighed;
  MatrixXd common = MatrixXd::Identity(shape_->columns_, shape_->columns_);
  MatrixXd scaled;
  MatrixXd root;  // inner = root' root
  MatrixXd rooted;
  MatrixXd squares;
  VectorXd half;
  for (std::size_t b = 0; b < shape_->places_.size(); ++b) {
    const PrecisionShape::Place& place = shape_->places_[b];
    const Index n = block(b).count;
    half = weights.segment(block(b).first, n).cwiseSqrt();
    scaled.noalias() = half.asDiagonal() * own(b) * half.asDiagonal();
    scaled.diagonal().array() += 1.0;
    const Eigen::LLT<Eigen::Ref<MatrixXd>> factor(scaled);
    weighed->log_determinant += 2.0 * scaled.diagonal().array().log().sum();
    root = half.asDiagonal();
    factor.matrixL().solveInPlace(root);
    rooted.noalias() = root.lazyProduct(directions(b));
    squares.noalias() = rooted.transpose().lazyProduct(rooted);
    Eigen::Map<MatrixXd>(weighed->inner.data() + place.square, n, n).noalias() =
        root.transpose().lazyProduct(root);
    Eigen::Map<MatrixXd>(weighed->along.data() + place.oblong, n, place.directions).noalias() =
        root.transpose().lazyProduct(rooted);
    const auto columns = touching(b);
    for (std::size_t j = 0; j < columns.size(); ++j) {
      double* to = common.data() + columns[j].column * shape_->columns_;
      const double* square = squares.data() + columns[j].direction * place.directions;
      for (std::size_t i = j; i < columns.size(); ++i)
        to[columns[i].column] += columns[i].times * columns[j].times * square[columns[i].direction];
    }
  }
  weighed->common.compute(common);
  weighed->log_determinant += 2.0 * weighed->common.matrixLLT().diagonal().array().log().sum();
}

Precision::Part Precision::own(std::size_t b) const {
  return {shape_->own_.data() + shape_->places_[b].square, block(b).count, block(b).count};
}
Precision::Part Precision::directions(std::size_t b) const {
  const PrecisionShape::Place& place = shape_->places_[b];
  return {shape_->directions_.data() + place.oblong, block(b).count, place.directions};
}
Precision::Part Precision::inner(std::size_t b) const {
  return {weighed_->inner.data() + shape_->places_[b].square, block(b).count, block(b).count};
}
Precision::Part Precision::along(std::size_t b) const {
  const PrecisionShape::Place& place = shape_->places_[b];
  return {weighed_->along.data() + place.oblong, block(b).count, place.directions};
}

VectorXd Precision::times(const VectorXd& values) const {
  VectorXd xa = VectorXd::Zero(shape_->columns_);
  VectorXd share;  // of each direction
  for (std::size_t b = 0; b < shape_->places_.size(); ++b) {
    share.noalias() = along(b).transpose().lazyProduct(values.segment(block(b).first, block(b).count));
    for (const auto& one : touching(b)) xa(one.column) += one.times * share(one.direction);
  }
  const VectorXd solved = weighed_->common.solve(xa);
  VectorXd result(values.size());
  for (std::size_t b = 0; b < shape_->places_.size(); ++b) {
    share.setZero(shape_->places_[b].directions);
    for (const auto& one : touching(b)) share(one.direction) += one.times * solved(one.column);
    auto to = result.segment(block(b).first, block(b).count);
    to.noalias() = inner(b).lazyProduct(values.segment(block(b).first, block(b).count));
    to.noalias() -= along(b).lazyProduct(share);
  }
  return result;
}

VectorXd Precision::effects(const VectorXd& a) const {
  VectorXd xa = VectorXd::Zero(shape_->columns_);
  VectorXd share;
  for (std::size_t b = 0; b < shape_->places_.size(); ++b) {
    share.noalias() = directions(b).transpose().lazyProduct(a.segment(block(b).first, block(b).count));
    for (const auto& one : touching(b)) xa(one.column) += one.times * share(one.direction);
  }
  VectorXd result(a.size());
  for (std::size_t b = 0; b < shape_->places_.size(); ++b) {
    share.setZero(shape_->places_[b].directions);
    for (const auto& one : touching(b)) share(one.direction) += one.times * xa(one.column);
    auto to = result.segment(block(b).first, block(b).count);
    to.noalias() = own(b).lazyProduct(a.segment(block(b).first, block(b).count));
    to.noalias() += directions(b).lazyProduct(share);
  }
  return result;
}

VectorXd Precision::projected(const SparseColumn& column) const {
  VectorXd xa = VectorXd::Zero(shape_->columns_);
  for (const auto& [row, value] : column) {
    const std::size_t b = shape_->layout_->readings[static_cast<std::size_t>(row)].block;
    const Part of_pair = along(b);
    const Index local = row - block(b).first;
    for (const auto& one : touching(b)) xa(one.column) += one.times * of_pair(local, one.direction) * value;
  }
  weighed_->common.matrixL().solveInPlace(xa);
  return xa;
}

double Precision::square(const SparseColumn& column) const {
  double sum = 0.0;
  for (auto first = column.begin(); first != column.end();) {
    const std::size_t b = shape_->layout_->readings[static_cast<std::size_t>(first->first)].block;
    const Block& pair = block(b);
    const Part of_pair = inner(b);
    auto last = first;
    while (last != column.end() && last->first < pair.first + pair.count) ++last;
    for (auto i = first; i != last; ++i) {
      for (auto k = first; k != last; ++k)
        sum += i->second * of_pair(i->first - pair.first, k->first - pair.first) * k->second;
    }
    first = last;
  }
  return sum - projected(column).squaredNorm();
}

MatrixXd Precision::of_block(std::size_t b) const {
  const Part of_pair = along(b);
  MatrixXd spread = MatrixXd::Zero(shape_->columns_, of_pair.rows());
  for (const auto& one : touching(b))
    spread.row(one.column) = one.times * of_pair.col(one.direction).transpose();
  weighed_->common.matrixL().solveInPlace(spread);
  MatrixXd made = inner(b);
  made.noalias() -= spread.transpose().lazyProduct(spread);
  return made;
}

// tr(A S) - tr(H^-1 X' A S A X).
double Precision::trace_with(std::span<const MatrixXd> blocks) const {
  MatrixXd common = MatrixXd::Zero(shape_->columns_, shape_->columns_);
  MatrixXd squares;
  double sum = 0.0;
  for (std::size_t b = 0; b < shape_->places_.size(); ++b) {
    sum += inner(b).cwiseProduct(blocks[b]).sum();
    squares.noalias() = along(b).transpose() * (blocks[b] * along(b));
    const auto columns = touching(b);
    for (std::size_t j = 0; j < columns.size(); ++j) {
      for (std::size_t i = j; i < columns.size(); ++i)
        common(columns[i].column, columns[j].column) +=
            columns[i].times * columns[j].times * squares(columns[i].direction, columns[j].direction);
    }
  }
  const MatrixXd full = common.selfadjointView<Eigen::Lower>();
  return sum - weighed_->common.solve(full).trace();
}

double Precision::amount_spread(std::size_t extra) const {
  VectorXd unit = VectorXd::Zero(shape_->columns_);
  unit(shape_->layout_->columns + static_cast<Index>(extra)) = 1.0;
  weighed_->common.matrixL().solveInPlace(unit);
  return unit.norm();
}

double Precision::amount_mean(std::size_t extra, const VectorXd& a) const {
  const Index column = shape_->layout_->columns + static_cast<Index>(extra);
  double sum = 0.0;
  for (std::size_t b = 0; b < shape_->places_.size(); ++b) {
    for (const auto& one : touching(b)) {
      if (one.column == column)
        sum += one.times * directions(b).col(one.direction).dot(a.segment(block(b).first, block(b).count));
    }
  }
  return sum;
}

}  // namespace lastwright
