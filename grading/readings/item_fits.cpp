#include "grading/readings/item_fits.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {
namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

bool is_of(const Cause& stamp, std::size_t last, std::size_t block) {
  return stamp.kind == Cause::Kind::kStampOfPair ? stamp.place == block : stamp.place == last;
}

// What a found stamp says of a last; null where none does.
const Explanation* stamp_of(const BatchReport& report, std::size_t last) {
  for (const Explanation& one : report.explained.causes) {
    if (one.cause.stamp() && is_of(one.cause, last, report.layout.block_of_last[last])) return &one;
  }
  return nullptr;
}

}  // namespace

void fit_items(BatchReport& report, const MeasureTable& table, const SizeRun& run,
               const SearchOptions& options) {
  const BatchLayout& layout = report.layout;
  const Mode& mode = report.explained.fit.mode;
  const std::vector<SizeWidth> cells = run.cells();
  std::vector<std::vector<double>> values(table.size());
  for (const std::size_t m : layout.measures) {
    for (const SizeWidth& cell : cells) values[m].push_back(table.value(m, cell));
  }
  // What is drawn from fractions once: they are exact and slow.
  std::vector<std::pair<double, double>> steps;
  for (const SizeWidth& cell : cells)
    steps.emplace_back(cell.size.position.value(), cell.width.position.value());
  const VectorXd weighted = mode.precision.times(mode.working);
  std::size_t block_done = layout.blocks.size();
  MatrixXd precision;
  for (std::size_t last = 0; last < layout.lasts.size(); ++last) {
    JudgedItem& item = report.items[last];
    const Explanation* stamp = stamp_of(report, last);
    const SizeWidth now = stamp ? stamp->cause.cell : item.stamped;
    item.fits = {now};
    const std::size_t b = layout.block_of_last[last];
    const Block& block = layout.blocks[b];
    if (b != block_done) precision = mode.precision.of_block(b);
    block_done = b;
    const double stamped_size = item.stamped.size.position.value();
    const double stamped_width = item.stamped.width.position.value();
    const auto shares = [&](double size, double width) {
      const double sizes = std::abs(size - stamped_size);
      const double widths = std::abs(width - stamped_width);
      return sizes + widths > 0.0 ? std::exp2(-2.0 * sizes - widths) : 0.0;
    };
    double all_shares = 0.0;
    for (const auto& [size, width] : steps) all_shares += shares(size, width);
    const double rest = options.causes.stamp / static_cast<double>(layout.lasts.size());
    const auto believed = [&](const SizeWidth& cell, double size, double width) {
      return same_cell(cell, item.stamped) ? 1.0 : std::max(1e-300, rest * shares(size, width) / all_shares);
    };
    const double believed_now = believed(now, now.size.position.value(), now.width.position.value());
    // A pair is stamped once: that only its other last is not what the stamp says is no likelier beforehand.
    const bool of_pair = stamp && stamp->cause.kind == Cause::Kind::kStampOfPair;
    std::vector<std::pair<Index, double>> mine;  // rows of this last in its block, and what they are now
    for (Index i = 0; i < block.count; ++i) {
      const PlacedReading& reading = layout.readings[static_cast<std::size_t>(block.first + i)];
      if (reading.last == last) mine.emplace_back(i, table.value(reading.measure, now));
    }
    VectorXd column = VectorXd::Zero(block.count);
    VectorXd product(block.count);
    double sum = 0.0;
    std::vector<std::pair<double, std::size_t>> others;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      if (same_cell(cells[c], now)) {
        sum += 1.0;
        continue;
      }
      for (const auto& [i, now_value] : mine)
        column(i) = values[layout.readings[static_cast<std::size_t>(block.first + i)].measure][c] - now_value;
      product.noalias() = precision * column;
      const double gain = column.dot(weighted.segment(block.first, block.count)) - 0.5 * column.dot(product);
      const bool as_likely = of_pair && same_cell(cells[c], item.stamped);
      const double before =
          as_likely ? 1.0 : believed(cells[c], steps[c].first, steps[c].second) / believed_now;
      const double odds = std::exp(std::min(600.0, gain)) * before;
      sum += odds;
      others.emplace_back(odds, c);
    }
    item.certainty = 1.0 / sum;
    if (!stamp) continue;
    item.match = Match::kMisStamped;
    const auto add = [&](const Cause& cause) {
      if (!cause.stamp() || !is_of(cause, last, b)) return;
      const auto known = [&](const SizeWidth& cell) { return same_cell(cell, cause.cell); };
      if (std::none_of(item.fits.begin(), item.fits.end(), known)) item.fits.push_back(cause.cell);
    };
    for (const Cause& cause : stamp->same) add(cause);
    for (const Cause& cause : stamp->rivals) add(cause);
    if (item.fits.size() > 1) item.match = Match::kDoubtful;
  }
}

}  // namespace lastwright
