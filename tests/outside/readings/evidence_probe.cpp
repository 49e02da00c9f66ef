// Prints batches with their evidence, for check_evidence.py to reckon again: one JSON object.
#include <fmt/format.h>

#include "tests/support/readings_plans.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

void print(const char* name, const BatchLayout& layout, const BatchNoise& noise, const Hypothesis& hypothesis,
           bool last) {
  const EvidenceOptions exact{1e-12, 2000};
  const Mode mode = evidence_of(layout, hypothesis, noise, {}, exact);
  fmt::print(
      "\"{}\":{{\"log_evidence\":{:.17g},\"noise\":[{:.17g},{:.17g},{:.17g},{:.17g},{:.17g},{:.17g},{:.17g}],"
      "\"readings\":[\n",
      name, mode.log_evidence, noise.reading, noise.pair, noise.last, noise.last_pair, noise.own,
      noise.wide_part, noise.slip_part);
  for (std::size_t i = 0; i < layout.readings.size(); ++i) {
    const PlacedReading& one = layout.readings[i];
    const auto row = static_cast<Eigen::Index>(i);
    fmt::print("[{},{},{},{},{},{},{},{},{:.17g},{:.17g},{:.17g},{:.17g},{:.17g},{:.17g}]{}\n", one.block,
               one.last, one.measure, one.size, one.width, one.tape, one.foot == Foot::kLeft ? 1 : -1,
               one.girth ? 1 : 0, one.size_steps, one.width_steps, one.interval.low, one.interval.high,
               hypothesis.offset.size() ? hypothesis.offset(row) : 0.0,
               hypothesis.columns.empty() ? 0.0 : hypothesis.columns.front()(row),
               i + 1 < layout.readings.size() ? "," : "");
  }
  fmt::print("]}}{}\n", last ? "" : ",");
}

}  // namespace

int main() {
  const SmallStyle style;
  const MeasureTable table = plan_table(style, 3);
  ReadingPlan plan = reading_plans()[1];  // 12 lasts
  ReadingNoiseKind fine = reading_noises()[0];
  fine.step = 1e-4;
  BatchNoise noise;
  noise.wide_part = 0.0;
  noise.slip_part = 0.0;
  const auto batch = [&](const ReadingPlan& of, const ReadingNoiseKind& kind) {
    return make_plan_batch(style, table, of, kind, nullptr, 12345);
  };
  fmt::print("{{");
  print("normal", lay_out(batch(plan, fine), table, {}, 1e-5), noise, {}, false);
  const BatchLayout rounded = lay_out(batch(plan, reading_noises()[2]), table);
  print("sixteenths", rounded, {}, {}, false);
  plan.pairs = 4;
  const BatchLayout heavy = lay_out(batch(plan, reading_noises()[1]), table);
  print("heavy", heavy, {}, {}, false);
  Hypothesis hypothesis;
  hypothesis.offset = Eigen::VectorXd::Constant(heavy.count(), 0.3);
  hypothesis.columns.emplace_back(Eigen::VectorXd::Zero(heavy.count()));
  for (Eigen::Index i = 0; i < heavy.count(); i += 3) hypothesis.columns.front()(i) = 2.5;
  print("hypothesis", heavy, {}, hypothesis, true);
  fmt::print("}}\n");
  return 0;
}
