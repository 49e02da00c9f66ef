#include "grading/readings/plan_advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "grading/readings/asked_faults.hpp"
#include "grading/readings/wording.hpp"

namespace lastwright {

std::vector<Reading> planned_readings(const ReadingPlanOptions& plan, const MeasureTable& table) {
  std::vector<Reading> readings;
  int number = 0;
  for (const Size& size : plan.sizes) {
    for (const Width& width : plan.widths) {
      for (int pair = 0; pair < plan.pairs; ++pair) {
        ++number;
        for (const Foot foot : {Foot::kLeft, Foot::kRight}) {
          for (const std::size_t m : plan.measures) {
            Reading reading;
            reading.id = fmt::format("L{:04}", number);
            reading.foot = foot;
            reading.stamped = {size, width};
            reading.measure = m;
            reading.value = table.value(m, reading.stamped);
            reading.gauge = plan.tapes > 1 ? fmt::format("gauge {}", number % plan.tapes + 1) : std::string();
            reading.step = plan.step;
            readings.push_back(std::move(reading));
          }
        }
      }
    }
  }
  return readings;
}

BatchNoise noise_of(const ReadingPlanOptions& plan, const BatchLayout& layout, const NoisePrior& prior) {
  BatchNoise noise = usual_noise(layout, prior);
  noise.reading = plan.spread;
  noise.wide_part = 0.0;
  if (!plan.noise) return noise;
  // What the batch could not show of it stays the usual.
  BatchNoise shown = *plan.noise;
  for (double BatchNoise::*spread : {&BatchNoise::pair, &BatchNoise::last, &BatchNoise::last_pair}) {
    if (shown.*spread <= 0.0) shown.*spread = noise.*spread;
    if (noise.*spread <= 0.0) shown.*spread = 0.0;
  }
  if (noise.own <= 0.0) {  // read once, the two cannot be told apart
    shown.reading = std::hypot(shown.reading, shown.own);
    shown.own = 0.0;
  }
  return shown;
}

namespace {

// The same plan with so many pairs of each size and width, and what it is asked.
class PlanTrial {
 public:
  PlanTrial(ReadingPlanOptions plan, int pairs, const MeasureTable& table, const SizeRun& run,
            const SearchOptions& options, const AskedAmounts& amounts)
      : options_(options) {
    plan.pairs = pairs;
    layout_ = lay_out(planned_readings(plan, table), table);
    layout_.ladder = options.ladder;
    noise_ = noise_of(plan, layout_, options.noise);
    asked_ = asked_faults(layout_, CauseMaker(layout_, table, run, options.causes), table, amounts);
  }
  [[nodiscard]] const BatchLayout& layout() const { return layout_; }
  [[nodiscard]] const std::vector<AskedFault>& asked() const { return asked_; }
  // Of this plan: how often each is named, and how far off it must be.
  void answer(std::size_t which, PlanAnswer& answer) const {
    const AskedFault& asked = asked_[which];
    if (!asked.cause) return;
    answer.power = power_of(layout_, *asked.cause, asked.amount, noise_, options_);
    answer.least_amount = least_shown(layout_, *asked.cause, noise_, options_);
  }
  [[nodiscard]] bool shows(const std::string& fault) const {
    const AskedFault* same = of(fault);
    return same && same->cause && surely_shown(layout_, *same->cause, same->amount, noise_, options_);
  }
  [[nodiscard]] bool within_sound(const std::string& fault) const {
    const AskedFault* same = of(fault);
    return same && same->cause && within_sound_work(layout_, *same->cause, same->amount, options_);
  }

 private:
  [[nodiscard]] const AskedFault* of(const std::string& fault) const {
    const auto same =
        std::find_if(asked_.begin(), asked_.end(), [&](const AskedFault& one) { return one.words == fault; });
    return same == asked_.end() ? nullptr : &*same;
  }

  const SearchOptions& options_;
  BatchLayout layout_;
  BatchNoise noise_;
  std::vector<AskedFault> asked_;
};

class PlanTrials {
 public:
  PlanTrials(const ReadingPlanOptions& plan, const MeasureTable& table, const SizeRun& run,
             const SearchOptions& options, const AskedAmounts& amounts)
      : plan_(plan), table_(table), run_(run), options_(options), amounts_(amounts) {}

  const PlanTrial& of(int pairs) {
    auto& trial = trials_[pairs];
    if (!trial) trial.emplace(plan_, pairs, table_, run_, options_, amounts_);
    return *trial;
  }
  // Whether no plan would show it, however many lasts are read.
  bool hopeless(const std::string& fault, std::size_t most) {
    const std::size_t cells = 2 * plan_.sizes.size() * plan_.widths.size();
    return of(std::max(1, static_cast<int>(most / cells))).within_sound(fault);
  }
  // The fewest lasts that are good for the fault: more of them are never worse.
  std::optional<std::size_t> lasts_for(const std::string& fault, std::size_t most) {
    const std::size_t cells = 2 * plan_.sizes.size() * plan_.widths.size();
    const int most_pairs = static_cast<int>(most / cells);
    int enough = 1;
    while (enough <= most_pairs && !of(enough).shows(fault)) {
      if (enough == most_pairs) return std::nullopt;
      enough = std::min(2 * enough, most_pairs);
    }
    if (enough > most_pairs) return std::nullopt;
    for (int low = enough / 2; low + 1 < enough;) {
      const int middle = (low + enough) / 2;
      (of(middle).shows(fault) ? enough : low) = middle;
    }
    return cells * static_cast<std::size_t>(enough);
  }

 private:
  const ReadingPlanOptions& plan_;
  const MeasureTable& table_;
  const SizeRun& run_;
  const SearchOptions& options_;
  AskedAmounts amounts_;
  std::map<int, std::optional<PlanTrial>> trials_;
};

PlanAnswer answer_of(const AskedFault& asked, const BatchLayout& layout, const MeasureTable& table) {
  return {asked.kind,
          asked.words,
          0.0,
          {},
          !asked.cause || !asked.cause->known(),
          {},
          asked.alike ? short_name(*asked.alike, layout, table) : std::string(),
          false,
          asked.besides};
}

// What a batch read, as a plan: its sizes, widths and measures, both hands.
ReadingPlanOptions plan_like(const BatchLayout& layout, const BatchNoise& noise) {
  ReadingPlanOptions plan;
  plan.sizes = layout.sizes;
  plan.widths = layout.widths;
  plan.measures = layout.measures;
  plan.tapes = static_cast<int>(layout.tapes.size());
  plan.spread = noise.reading;
  plan.noise = noise;
  plan.step = 0.0;
  for (const PlacedReading& one : layout.readings)
    plan.step = std::max(plan.step, one.interval.high - one.interval.low);
  return plan;
}

}  // namespace

PlanAdvice advise(const ReadingPlanOptions& plan, const MeasureTable& table, const SizeRun& run,
                  const SearchOptions& options) {
  PlanAdvice advice;
  advice.lasts = 2 * plan.sizes.size() * plan.widths.size() * static_cast<std::size_t>(plan.pairs);
  PlanTrials trials(plan, table, run, options, {});
  const PlanTrial& now = trials.of(plan.pairs);
  for (std::size_t i = 0; i < now.asked().size(); ++i) {
    const AskedFault& asked = now.asked()[i];
    PlanAnswer answer = answer_of(asked, now.layout(), table);
    now.answer(i, answer);
    if (asked.cause) answer.lasts = trials.lasts_for(asked.words, advice.most_lasts);
    answer.within_sound = asked.cause && !answer.lasts && trials.hopeless(asked.words, advice.most_lasts);
    advice.answers.push_back(std::move(answer));
  }
  return advice;
}

std::vector<PlanAnswer> not_shown(const BatchLayout& layout, const BatchNoise& noise,
                                  const MeasureTable& table, const SizeRun& run,
                                  const SearchOptions& options) {
  constexpr double kTimes = 3.0;  // the scatter of one reading about the table: as made, read and rounded
  constexpr std::size_t kMostLasts = 240;
  if (layout.readings.empty()) return {};
  const ReadingPlanOptions plan = plan_like(layout, noise);
  const double scatter = std::hypot(noise.reading, noise.own, plan.step / std::sqrt(12.0));
  const double amount = std::max(0.1, std::round(10.0 * kTimes * scatter) / 10.0);
  const AskedAmounts amounts{amount, amount, amount};
  PlanTrials trials(plan, table, run, options, amounts);
  std::vector<PlanAnswer> answers;
  for (const AskedFault& asked :
       asked_faults(layout, CauseMaker(layout, table, run, options.causes), table, amounts)) {
    PlanAnswer answer = answer_of(asked, layout, table);
    if (asked.cause) {
      answer.power = power_of(layout, *asked.cause, asked.amount, noise, options);
      answer.least_amount = least_shown(layout, *asked.cause, noise, options);
    }
    // Of a stamp nothing is smaller than the next size or width.
    if (!answer.any_amount && answer.power >= kAskedPower && asked.besides.empty()) continue;
    // More lasts do not tell more of the stamp of one.
    if (asked.cause && asked.cause->stamp()) {
      answer.besides = "more measures of each last";
    } else if (asked.cause && answer.power < kAskedPower) {
      answer.lasts = trials.lasts_for(asked.words, kMostLasts);
      answer.within_sound = !answer.lasts && trials.hopeless(asked.words, kMostLasts);
    }
    answers.push_back(std::move(answer));
  }
  return answers;
}

}  // namespace lastwright
