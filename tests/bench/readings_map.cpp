// How often planted faults are named and sound batches
// accused, over plans, noises, faults and sizes of fault.
//   readings_map PLAN NOISE FAULT BATCHES SEED [SIZE]
// PLAN, NOISE and FAULT are parts of names, or "all"; FAULT "none" plants nothing. SIZE: millimetres, of the
// faults without a natural amount. One line of CSV each.
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "tests/support/readings_plans.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

bool wanted(const std::string& name, const std::string& asked) {
  return asked == "all" || name == asked || (asked.size() > 3 && name.find(asked) != std::string::npos);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 6) return 2;
  const std::string plan_asked = argv[1];
  const std::string noise_asked = argv[2];
  const std::string fault_asked = argv[3];
  const int batches = std::atoi(argv[4]);
  const auto seed = static_cast<std::uint64_t>(std::atoll(argv[5]));
  const double size = argc > 6 ? std::atof(argv[6]) : 1.27;
  const bool verbose = std::getenv("MAP_VERBOSE") != nullptr;
  const SmallStyle style;
  std::vector<PlantedFault> faults = planted_faults(style.run.base, size);
  for (const ReadingPlan& plan : reading_plans()) {
    if (!wanted(plan.name, plan_asked)) continue;
    const MeasureTable table = plan_table(style, plan.measures, plan.length);
    for (const ReadingNoiseKind& noise : reading_noises()) {
      if (!wanted(noise.name, noise_asked)) continue;
      std::vector<const PlantedFault*> asked;
      if (fault_asked == "none" || fault_asked == "all") asked.push_back(nullptr);
      for (const PlantedFault& fault : faults) {
        if (wanted(fault.name, fault_asked) && fault.possible(plan)) asked.push_back(&fault);
      }
      for (const PlantedFault* fault : asked) {
        int named = 0;
        int tied = 0;
        int accused = 0;
        double seconds = 0.0;
        for (int batch = 0; batch < batches; ++batch) {
          const std::uint64_t own = seed + static_cast<std::uint64_t>(batch) * 7919;
          const auto readings = make_plan_batch(style, table, plan, noise, fault, own);
          const auto begin = std::chrono::steady_clock::now();
          const BatchLayout layout = lay_out(readings, table);
          const BatchExplanation explained = explain(layout, table, style.run);
          seconds += std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
          const BatchScore score = score_of(plan, fault, layout, explained);
          named += score.named;
          tied += score.tied && !score.named;
          accused += score.accused;
          if (verbose && (score.accused || (fault && !score.named))) {
            fmt::print("  batch {}: noise {:.2f} {:.2f} {:.2f} {:.2f} wide {}\n", batch,
                       explained.fit.noise.reading, explained.fit.noise.pair, explained.fit.noise.last,
                       explained.fit.noise.last_pair, explained.fit.noise.wide_part);
            for (const Explanation& one : explained.causes) {
              fmt::print(
                  "    kind {} change {} place {} measure {} amount {:.2f} odds {:.1f} rivals {} same {} "
                  "cell {} {}\n",
                  static_cast<int>(one.cause.kind), static_cast<int>(one.cause.change), one.cause.place,
                  one.cause.measure, one.amount, one.log_odds, one.rivals.size(), one.same.size(),
                  one.cause.cell.size.label, one.cause.cell.width.label);
            }
          }
        }
        fmt::print("{},{},{},{},{},{},{},{:.4f}\n", plan.name, noise.name, fault ? fault->name : "none",
                   batches, named, tied, accused, seconds / batches);
        std::fflush(stdout);
      }
    }
  }
  return 0;
}
