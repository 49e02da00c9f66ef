#include "grading/readings/batch_layout.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "grading/readings/natural_order.hpp"

namespace lastwright {
namespace {

using Eigen::Index;

template <class Places>
void number(Places& places) {
  std::size_t next = 0;
  for (auto& [key, place] : places) place = next++;
}

// Numbers the columns of what is tolerated in the order in which they come up.
class ModelColumns {
 public:
  using Key = std::tuple<int, std::size_t, std::size_t>;  // kind, measure, place
  Index at(int kind, std::size_t measure = 0, std::size_t place = 0) {
    return columns_.try_emplace({kind, measure, place}, static_cast<Index>(columns_.size())).first->second;
  }
  [[nodiscard]] Index count() const { return static_cast<Index>(columns_.size()); }

 private:
  std::map<Key, Index> columns_;
};

std::vector<std::pair<Index, double>> tolerated_of(const PlacedReading& one, ModelColumns& columns,
                                                   const Tolerated& sd) {
  const std::size_t m = one.measure;
  return {{columns.at(0), sd.all},
          {columns.at(1, m), sd.measure},
          {columns.at(2, 0, one.tape), sd.tape},
          {columns.at(3, m), one.foot == Foot::kLeft ? sd.hand : -sd.hand},
          {columns.at(4, m, one.size), sd.size},
          {columns.at(5, m, one.width), sd.width},
          {columns.at(6, m), sd.step * one.size_steps},
          {columns.at(7, m), sd.step * one.width_steps}};
}

void fill_block(Block& block, const std::vector<PlacedReading>& readings, ModelColumns& columns,
                const Tolerated& sd) {
  std::map<Index, Index> local;
  std::vector<std::vector<std::pair<Index, double>>> rows;
  for (Index i = 0; i < block.count; ++i) {
    rows.push_back(tolerated_of(readings[static_cast<std::size_t>(block.first + i)], columns, sd));
    for (const auto& [column, value] : rows.back()) local[column] = 0;
  }
  Index next = 0;
  for (auto& [column, place] : local) {
    place = next++;
    block.columns.push_back(column);
  }
  block.tolerated = Eigen::MatrixXd::Zero(block.count, next);
  for (Index i = 0; i < block.count; ++i) {
    for (const auto& [column, value] : rows[static_cast<std::size_t>(i)])
      block.tolerated(i, local[column]) += value;
  }
}

void note_what_shows(BatchLayout& layout) {
  for (const Block& block : layout.blocks) {
    const auto first = layout.readings.begin() + block.first;
    for (auto a = first; a != first + block.count; ++a) {
      for (auto b = first; b != a; ++b) {
        const bool one_measure = a->measure == b->measure;
        if (one_measure && a->last != b->last) layout.both_hands = true;
        if (one_measure && a->last == b->last) layout.repeats = true;
        if (!one_measure && a->last == b->last && a->girth && b->girth) layout.several_girths = true;
      }
    }
  }
}

std::vector<GradedStretch> stretches_of(const BatchLayout& layout, const MeasureTable& table) {
  std::map<Fraction, Size> borders;
  for (const std::size_t m : layout.measures) {
    for (const MeasureBreak& one : table.measures()[m].breaks) {
      if (!one.per_size) continue;
      for (const Size& end : {one.from, one.to}) {
        if (layout.sizes.front().position < end.position && end.position < layout.sizes.back().position)
          borders.try_emplace(end.position, end);
      }
    }
  }
  if (borders.empty()) return {};
  std::vector<GradedStretch> stretches(1);
  for (const auto& [position, size] : borders) {
    stretches.back().to = size;
    stretches.push_back({size, std::nullopt});
  }
  return stretches;
}

}  // namespace

double GradedStretch::steps(Fraction base, Fraction position) const {
  const auto within = [&](Fraction at) {
    if (from && at < from->position) at = from->position;
    return to && at > to->position ? to->position : at;
  };
  return (within(position) - within(base)).value();
}

bool is_girth(const Measure& measure) {
  return measure.name.find("girth") != std::string::npos || measure.name == "short heel" ||
         measure.name == "long heel";
}

BatchLayout lay_out(const std::vector<Reading>& readings, const MeasureTable& table,
                    const Tolerated& tolerated, double least_step) {
  std::map<Fraction, std::size_t> sizes;
  std::map<Fraction, std::size_t> widths;
  std::map<std::string, std::size_t, NaturalOrder> tapes;
  std::map<std::string, std::size_t, NaturalOrder> blocks;
  std::map<std::pair<std::string, Foot>, std::size_t, NaturalOrder> lasts;
  std::set<std::size_t> measures;
  std::map<Fraction, Size> size_at;
  std::map<Fraction, Width> width_at;
  for (const Reading& one : readings) {
    sizes[one.stamped.size.position];
    widths[one.stamped.width.position];
    size_at.try_emplace(one.stamped.size.position, one.stamped.size);
    width_at.try_emplace(one.stamped.width.position, one.stamped.width);
    tapes[one.gauge];
    blocks[one.id];
    lasts[{one.id, one.foot}];
    measures.insert(one.measure);
  }
  number(sizes);
  number(widths);
  number(tapes);
  number(blocks);
  number(lasts);
  BatchLayout layout;
  for (const auto& [position, size] : size_at) layout.sizes.push_back(size);
  for (const auto& [position, width] : width_at) layout.widths.push_back(width);
  for (const auto& [tape, place] : tapes) layout.tapes.push_back(tape);
  for (const auto& [last, place] : lasts) {
    layout.lasts.push_back(last);
    layout.block_of_last.push_back(blocks.at(last.first));
  }
  layout.measures.assign(measures.begin(), measures.end());
  if (!layout.sizes.empty()) layout.stretches = stretches_of(layout, table);
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const Reading& one = readings[i];
    PlacedReading placed;
    placed.original = i;
    placed.block = blocks.at(one.id);
    placed.last = lasts.at({one.id, one.foot});
    placed.measure = one.measure;
    placed.size = sizes.at(one.stamped.size.position);
    placed.width = widths.at(one.stamped.width.position);
    placed.tape = tapes.at(one.gauge);
    placed.foot = one.foot;
    placed.girth = is_girth(table.measures()[one.measure]);
    placed.wanted = table.value(one.measure, one.stamped);
    const double half = 0.5 * std::max(one.step, least_step);
    placed.interval = {one.value - placed.wanted - half, one.value - placed.wanted + half};
    placed.size_steps = (one.stamped.size - table.base().at.size).count.value();
    placed.width_steps = (one.stamped.width - table.base().at.width).count.value();
    layout.readings.push_back(placed);
  }
  std::sort(layout.readings.begin(), layout.readings.end(), [](const auto& a, const auto& b) {
    return std::tie(a.block, a.last, a.measure, a.original) <
           std::tie(b.block, b.last, b.measure, b.original);
  });
  for (std::size_t i = 1; i < layout.readings.size(); ++i) {
    PlacedReading& one = layout.readings[i];
    PlacedReading& before = layout.readings[i - 1];
    if (one.last == before.last && one.measure == before.measure) one.again = before.again = true;
  }
  layout.blocks.resize(blocks.size());
  for (Index i = 0; i < layout.count(); ++i) {
    Block& block = layout.blocks[layout.readings[static_cast<std::size_t>(i)].block];
    if (block.count++ == 0) block.first = i;
  }
  ModelColumns columns;
  for (Block& block : layout.blocks) fill_block(block, layout.readings, columns, tolerated);
  layout.columns = columns.count();
  note_what_shows(layout);
  return layout;
}

}  // namespace lastwright
