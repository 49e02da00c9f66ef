// How often planted faults are found and sound batches accused. The hidden test prints the rates over many
// batches:
//   grading_tests "[rates]" -s
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "grading/readings/batch_report.hpp"
#include "tests/support/synthetic_readings.hpp"

using namespace lastwright;
using lastwright::test::BatchPlan;
using lastwright::test::make_batch;
using lastwright::test::SmallStyle;
using Kind = Finding::Kind;

namespace {

constexpr std::size_t kBall = 1;

struct Scenario {
  const char* name;
  BatchPlan plan;
  // A finding that names the planted fault.
  std::function<bool(const Finding&)> names_it;
  int wanted;  // such findings in each batch
  double least =
      0.9;  // of them named over a test's batches: lower where few lasts or a small fault tell little
};

struct BatchRates {
  double found = 0.0;    // planted faults named, of those planted
  double accused = 0.0;  // batches with a finding that names nothing planted
  double whole = 0.0;    // batches with every planted fault named
};

bool says(const Finding& finding, const char* text) {
  return finding.text.find(text) != std::string::npos;
}

BatchRates rates_of(const SmallStyle& style, const Scenario& scenario, int batches) {
  ReadingLimits limits;
  limits.value.assign(3, Limit{1.5, 1.5, "test"});
  limits.pair.assign(3, Limit{3.0, 3.0, "test"});
  BatchRates rates;
  for (int batch = 0; batch < batches; ++batch) {
    const auto seed = static_cast<std::uint64_t>(batch) * 7919 + 17;
    const BatchReport report =
        judge_batch(make_batch(style, scenario.plan, seed), style.table, style.run, limits);
    int named = 0;
    bool accused = false;
    for (const Finding& finding : report.findings) {
      // A figure beside its limit accuses nobody: the noise reaches beyond a limit as it likes.
      if (finding.kind == Kind::kReading || (finding.kind == Kind::kPair && says(finding, "(limit")))
        continue;
      if (scenario.names_it(finding)) {
        ++named;
      } else {
        accused = true;
      }
    }
    if (scenario.wanted > 0)
      rates.found += static_cast<double>(std::min(named, scenario.wanted)) / scenario.wanted;
    rates.whole += named >= scenario.wanted ? 1.0 : 0.0;
    rates.accused += accused ? 1.0 : 0.0;
  }
  rates.found /= batches;
  rates.accused /= batches;
  rates.whole /= batches;
  return rates;
}

std::vector<Scenario> scenarios(const SmallStyle& style) {
  std::vector<Scenario> all;
  const auto nothing = [](const Finding&) { return false; };
  all.push_back({"sound", {}, nothing, 0});
  Scenario rough{"sound, rough work (0.6 and 0.6 mm)", {}, nothing, 0};
  rough.plan.last_spread = 0.6;
  rough.plan.tape_spread = 0.6;
  all.push_back(rough);
  Scenario few{"sound, 12 lasts", {}, nothing, 0};
  few.plan.sizes = {"7", "8", "9"};
  few.plan.widths = {"F"};
  all.push_back(few);

  Scenario odd{"sound but one last, its instep 3 mm too large", {}, nothing, 0};
  odd.plan.fault = [](const Reading& reading) {
    return reading.id == "P1007" && reading.foot == Foot::kRight && reading.measure == 2 ? 3.0 : 0.0;
  };
  all.push_back(odd);
  odd.name = "the same, one pair of each size and width";
  odd.plan.pairs = 1;
  odd.plan.widths = {"E", "F"};
  all.push_back(odd);

  Scenario swapped{"stamps of two pairs of 9 F and 9 G swapped", {}, {}, 5};
  swapped.plan.truly = [&style](const SizeWidth& stamp, int pair) {
    if (stamp.size.label != "9" || pair != 0 || stamp.width.label == "E") return stamp;
    return style.at("9", stamp.width.label == "F" ? "G" : "F");
  };
  swapped.names_it = [](const Finding& finding) {
    return finding.kind == Kind::kSwapped || (finding.kind == Kind::kMisStamped && says(finding, "% sure") &&
                                              (says(finding, "stamped 9 F: its readings are those of 9 G") ||
                                               says(finding, "stamped 9 G: its readings are those of 9 F")));
  };
  all.push_back(swapped);

  Scenario half{"one pair of 10 F stamped half a size short", {}, {}, 2};
  half.plan.truly = [&style](const SizeWidth& stamp, int pair) {
    return stamp.size.label == "10" && stamp.width.label == "F" && pair == 1 ? style.at("10.5", "F") : stamp;
  };
  half.names_it = [](const Finding& finding) {
    return finding.kind == Kind::kMisStamped &&
           says(finding, "stamped 10 F: its readings are those of 10.5 F");
  };
  all.push_back(half);

  for (const double off : {1.0, 2.0, -3.0}) {
    Scenario gauge{off == 1.0   ? "gauge T2 reads 1 mm more"
                   : off == 2.0 ? "gauge T2 reads 2 mm more"
                                : "gauge T2 reads 3 mm less",
                   {},
                   {},
                   1};
    gauge.plan.fault = [off](const Reading& reading) { return reading.gauge == "T2" ? off : 0.0; };
    gauge.names_it = [](const Finding& finding) {
      return finding.kind == Kind::kGauge && says(finding, "\"T2\"");
    };
    all.push_back(gauge);
  }

  for (const double off : {1.0, 1.5, -2.5}) {
    Scenario drift{off == 1.0   ? "ball girth of 10 drifted by 1 mm"
                   : off == 1.5 ? "ball girth of 10 drifted by 1.5 mm"
                                : "ball girth of 10 drifted by -2.5 mm",
                   {},
                   {},
                   1};
    drift.plan.fault = [off](const Reading& reading) {
      return reading.measure == kBall && reading.stamped.size.label == "10" ? off : 0.0;
    };
    drift.names_it = [](const Finding& finding) {
      return finding.kind == Kind::kSize && says(finding, "size 10 stands out: its ball girth");
    };
    if (off == 1.0) drift.least = 0.75;
    all.push_back(drift);
  }

  Scenario grade{"girths graded 3/16 in a size instead of 1/4 in", {}, {}, 2};
  grade.plan.fault = [&style](const Reading& reading) {
    if (reading.measure == 0) return 0.0;
    return -25.4 / 16.0 * (reading.stamped.size - style.run.base.size).count.value();
  };
  grade.names_it = [](const Finding& finding) {
    return finding.kind == Kind::kStepBySize && says(finding, "3/16 in");
  };
  all.push_back(grade);
  grade.name = "the same, 12 lasts of 7, 8 and 9";
  grade.least = 0.5;
  grade.plan.sizes = {"7", "8", "9"};
  grade.plan.widths = {"F"};
  all.push_back(grade);

  Scenario widths{"girths graded 5 mm a width instead of 1/4 in", {}, {}, 2};
  widths.plan.widths = {"D", "F", "H"};
  widths.plan.fault = [&style](const Reading& reading) {
    if (reading.measure == 0) return 0.0;
    return -1.35 * (reading.stamped.width - style.run.base.width).count.value();
  };
  widths.names_it = [](const Finding& finding) {
    return finding.kind == Kind::kStepByWidth && says(finding, "5 mm");
  };
  all.push_back(widths);
  return all;
}

}  // namespace

TEST_CASE("planted faults are found and sound batches are left in peace", "[batch]") {
  const SmallStyle style;
  for (const Scenario& scenario : scenarios(style)) {
    const BatchRates rates = rates_of(style, scenario, 40);
    INFO(scenario.name << ": named " << rates.found << ", accused " << rates.accused);
    CHECK(rates.accused <= 0.10);
    if (scenario.wanted > 0) CHECK(rates.found >= scenario.least);
  }
}

TEST_CASE("rates over many batches", "[.][rates]") {
  const SmallStyle style;
  std::string text = "scenario: faults named, batches with all named, batches wrongly accused, of 500\n";
  for (const Scenario& scenario : scenarios(style)) {
    const BatchRates rates = rates_of(style, scenario, 500);
    text += fmt::format("{:48}", scenario.name);
    text += scenario.wanted ? fmt::format(" {:6.1f} % {:6.1f} %", 100 * rates.found, 100 * rates.whole)
                            : std::string("      -        -  ");
    text += fmt::format(" {:6.1f} %\n", 100 * rates.accused);
  }
  WARN(text);
}
