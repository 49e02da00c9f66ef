// Batches of tape readings with faults planted in them, the same on every machine.
#pragma once

#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "grading/measures/reference_tables.hpp"
#include "grading/readings/readings.hpp"

namespace lastwright::test {

// English 5 to 13 in half sizes, five widths; stick length, ball girth and instep girth.
struct SmallStyle {
  Scale scale = *ReferenceTables().find_scale("english");
  Ladder ladder = *ReferenceTables().find_ladder("english-letters");
  SizeRun run;
  MeasureTable table;

  SmallStyle() {
    const Size base = *scale.size("8");
    run.base = {base, *ladder.width("F")};
    run.sizes = *scale.run("5", "13", Fraction(1, 2));
    for (const char* width : {"D", "E", "F", "G", "H"}) run.widths.push_back(*ladder.width(width));
    std::vector<Measure> measures{*measure_from_scale("stick length", scale, base)};
    for (const auto& [name, value] :
         {std::pair{"ball girth", "246 mm"}, std::pair{"instep girth", "256 mm"}}) {
      Measure girth;
      girth.name = name;
      girth.base = *parse_quantity(value);
      girth.per_size = *parse_quantity("1/4 in");
      girth.per_width = *parse_quantity("1/4 in");
      measures.push_back(std::move(girth));
    }
    table = *MeasureTable::build(std::move(measures), {run.base, scale.length(base), scale.step});
  }

  [[nodiscard]] SizeWidth at(const char* size, const char* width) const {
    return {*scale.size(size), *ladder.width(width)};
  }
};

// Normal deviates by the polar angle method from a fixed
// generator: the library's own differ between machines.
class Noise {
 public:
  explicit Noise(std::uint64_t seed) : generator_(seed) {}
  double operator()(double spread) {
    const double radius = std::sqrt(-2.0 * std::log(uniform()));
    return spread * radius * std::cos(2.0 * std::numbers::pi * uniform());
  }

 private:
  double uniform() { return (static_cast<double>(generator_() >> 11) + 0.5) * 0x1p-53; }
  std::mt19937_64 generator_;
};

struct BatchPlan {
  std::vector<const char*> sizes{"7", "8", "9", "10", "11"};
  std::vector<const char*> widths{"E", "F", "G"};
  int pairs = 2;             // of each size and width
  double last_spread = 0.3;  // millimetres, from one last to the next
  double tape_spread = 0.3;  // millimetres, from one reading to the next; then read to half a millimetre
  // What the last of this pair really is; the stamp unless planted otherwise.
  std::function<SizeWidth(const SizeWidth& stamp, int pair)> truly = [](const SizeWidth& stamp, int) {
    return stamp;
  };
  // What the fault adds to a reading, millimetres.
  std::function<double(const Reading&)> fault = [](const Reading&) { return 0.0; };
};

inline std::vector<Reading> make_batch(const SmallStyle& style, const BatchPlan& plan, std::uint64_t seed) {
  Noise noise(seed);
  std::vector<Reading> readings;
  int number = 0;
  for (const char* size : plan.sizes) {
    for (const char* width : plan.widths) {
      for (int pair = 0; pair < plan.pairs; ++pair) {
        ++number;
        const SizeWidth stamp = style.at(size, width);
        const SizeWidth truth = plan.truly(stamp, pair);
        for (const Foot foot : {Foot::kLeft, Foot::kRight}) {
          for (std::size_t m = 0; m < style.table.size(); ++m) {
            Reading reading;
            reading.line = static_cast<long>(readings.size()) + 2;
            reading.id = "P" + std::to_string(1000 + number);
            reading.foot = foot;
            reading.stamped = stamp;
            reading.measure = m;
            reading.gauge = number % 2 ? "T1" : "T2";
            reading.value = style.table.value(m, truth) + noise(plan.last_spread);
            reading.value += plan.fault(reading) + noise(plan.tape_spread);
            reading.value = std::round(reading.value * 2.0) / 2.0;
            readings.push_back(std::move(reading));
          }
        }
      }
    }
  }
  return readings;
}

}  // namespace lastwright::test
