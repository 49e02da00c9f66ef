#include "cli/last/last_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

// Change of what the lines of a girth's parts carry, from one cell to another; bottom or not.
double carried(const StyleTables& tables, const GirthSpec& girth, bool bottom, const SizeWidth& from,
               const SizeWidth& to) {
  double sum = 0.0;
  for (const GirthPart& part : girth.parts) {
    if ((part.forme == "bottom") != bottom) continue;
    for (const FormeSpec& forme : tables.style.formes) {
      if (forme.name != part.forme) continue;
      for (const Rule& rule : forme.rules) {
        const MeasureLine* line = std::get_if<MeasureLine>(&rule);
        if (const CheckLine* check = std::get_if<CheckLine>(&rule)) line = &check->line;
        if (!line || line->name != part.line) continue;
        for (const auto& [measure, share] : line->carries) {
          const std::optional<std::size_t> i = tables.table.index(measure);
          if (i)
            sum += part.times.value() * share.value() *
                   (tables.table.value(*i, to) - tables.table.value(*i, from));
        }
      }
    }
  }
  return sum;
}

std::size_t find(const BaseLast& base, const std::string& measure) {
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    if (base.definitions[i].measure == measure) return i;
  }
  return base.definitions.size();
}

}  // namespace

std::string measures_csv(const LastSet& set) {
  std::string out =
      "size,width,measure,definition,mm,asked_mm,difference_mm,skin_mm,bottom_mm,driven,beyond_base\n";
  for (const LastResult& r : set.results) {
    const BaseLast& base = set.bases[r.base];
    for (std::size_t i = 0; i < r.values.size(); ++i) {
      const std::string& measure = base.definitions[i].measure;
      const bool driven =
          measure == "stick length" ||
          std::find(set.spec.targets.begin(), set.spec.targets.end(), measure) != set.spec.targets.end();
      const bool has = std::isfinite(r.asked[i]);
      out += fmt::format("{},{},{},{},{:.4f},{},{},{:.4f},{:.4f},{},{}\n", r.at.size.label, r.at.width.label,
                         measure, r.values[i].definition, r.values[i].value,
                         has ? fmt::format("{:.4f}", r.asked[i]) : "",
                         has ? fmt::format("{:.4f}", r.values[i].value - r.asked[i]) : "", r.values[i].skin,
                         r.values[i].bottom, driven ? "yes" : "no", r.beyond ? "yes" : "no");
    }
  }
  return out;
}

std::string ties_csv(const LastSet& set) {
  std::string out =
      "size,width,girth,last_upper_change_mm,formes_upper_change_mm,upper_difference_mm,last_bottom_change_"
      "mm,"
      "formes_bottom_change_mm,bottom_difference_mm\n";
  for (const LastResult& r : set.results) {
    const BaseLast& base = set.bases[r.base];
    for (const GirthSpec& girth : set.tables.style.girths) {
      const std::size_t i = find(base, girth.measure);
      if (i == base.definitions.size() || base.values[i].skin <= 0.0) continue;
      const double bottom = r.values[i].bottom - base.values[i].bottom;
      const double upper = r.values[i].skin - base.values[i].skin - bottom;
      const double bottom_asked = carried(set.tables, girth, true, base.at, r.at);
      const double upper_asked = carried(set.tables, girth, false, base.at, r.at);
      out += fmt::format("{},{},{},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f},{:.4f}\n", r.at.size.label,
                         r.at.width.label, girth.measure, upper, upper_asked, upper - upper_asked, bottom,
                         bottom_asked, bottom - bottom_asked);
    }
  }
  return out;
}

void print_summary(const LastSet& set, const std::string& folder) {
  const SizeWidth& base_at = set.tables.table.base().at;
  for (const BaseLast& base : set.bases) {
    for (const std::string& note : base.body.notes) fmt::print("note: {}\n", note);
    fmt::print("base {} {}: a {} last, stick {:.2f} mm\n", base.at.size.label, base.at.width.label,
               base.standing.side == Side::kLeft ? "left" : "right", base.standing.length);
  }
  for (const Problem& p : set.failures) fmt::print("refused: {}\n", to_text(p));
  if (set.results.empty()) return;
  fmt::print("\n{:<14} {:>9} {:>9} {:>10}   per size  per width   {}\n", "measure", "base last", "table",
             "worst off", "definition");
  const BaseLast& first = set.bases.front();
  for (std::size_t i = 0; i < first.definitions.size(); ++i) {
    double worst = 0.0;
    bool any = false;
    const LastResult* home = nullptr;
    const LastResult* size_up = nullptr;
    const LastResult* width_up = nullptr;
    for (const LastResult& r : set.results) {
      if (std::isfinite(r.asked[i])) {
        any = true;
        worst = std::max(worst, std::abs(r.values[i].value - r.asked[i]));
      }
      const double ds = (r.at.size - base_at.size).count.value();
      const double dw = (r.at.width - base_at.width).count.value();
      if (ds == 0.0 && dw == 0.0) home = &r;
      if (ds == 1.0 && dw == 0.0) size_up = &r;
      if (ds == 0.0 && dw == 1.0) width_up = &r;
    }
    const std::optional<std::size_t> row = set.tables.table.index(first.definitions[i].measure);
    const auto step = [&](const LastResult* to) {
      return home && to ? fmt::format("{:>8.3f}", to->values[i].value - home->values[i].value)
                        : std::string("        ");
    };
    const std::string asked = any && row ? fmt::format("{:.3f}", set.tables.table.value(*row, base_at)) : "";
    fmt::print("{:<14} {:>9.3f} {:>9} {:>10}   {}   {}   {}\n", first.definitions[i].measure,
               first.values[i].value, asked, any ? fmt::format("{:.4f}", worst) : "", step(size_up),
               step(width_up), first.values[i].definition);
  }
  double target = 0.0;
  double refit = 0.0;
  double factor = 1e9;
  double added = 0.0;
  double low = 1e9;
  double high = 0.0;
  double reread = -1.0;
  std::size_t beyond = 0;
  int steps = 0;
  for (const LastResult& r : set.results) {
    target = std::max(target, r.worst_target);
    refit = std::max(refit, r.refit_error);
    factor = std::min(factor, r.soundness.least_factor);
    added = std::max(added, r.soundness.added_curvature);
    low = std::min(low, r.soundness.lowest_field);
    high = std::max(high, r.soundness.highest_field);
    reread = std::max(reread, r.reread_worst);
    beyond += r.beyond;
    steps = std::max(steps, r.steps);
  }
  fmt::print("\nworst target on the written form {:.4f} mm, refit {:.4f} mm, at most {} solver steps\n",
             target, refit, steps);
  if (reread >= 0.0)
    fmt::print("worst target on the files read back by the kernel {:.4f} mm; all valid and closed\n", reread);
  fmt::print(
      "least width or height factor {:.3f}, fields {:.3f} to {:.3f} of the proportional grade, "
      "curvature added at most {:.5f} per mm\n",
      factor, low, high, added);
  if (beyond > 0) {
    fmt::print(
        "{} lasts lie beyond {} sizes or {} widths from their base: have a last maker look at them, or add a "
        "base\n",
        beyond, set.spec.sound_sizes, set.spec.sound_widths);
  }
  fmt::print("written: {}\n", folder);
}

}  // namespace lastwright
