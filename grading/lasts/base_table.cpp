#include "grading/lasts/base_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/checks/girths/base_limits.hpp"

namespace lastwright {

namespace {

// A measure that can be held against the table.
struct Compared {
  std::size_t definition = 0;  // of the base's
  std::size_t row = 0;         // of the table
  double close = 0.0;          // mm: half a step, and what the pitch leaves open
  double limit = 0.0;          // mm
};

// mm: half of what a size or a width step changes it by, whichever is more.
double half_step(const MeasureTable& table, std::size_t row, const SizeWidth& at) {
  const double here = table.value(row, at);
  double most = 0.0;
  for (const int way : {-1, 1}) {
    SizeWidth size = at;
    size.size.position = size.size.position + Fraction(way);
    SizeWidth width = at;
    width.width.position = width.width.position + Fraction(way);
    most =
        std::max({most, std::abs(table.value(row, size) - here), std::abs(table.value(row, width) - here)});
  }
  return most > 0.0 ? 0.5 * most : kLeastBaseLimit;
}

std::vector<Compared> compared_of(const BaseLast& base, const LastSpec& spec, const LoadedStyle& style,
                                  const std::vector<double>& spread) {
  std::vector<Compared> all;
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const std::optional<double> asked = asked_of_base(base, i, spec, style.measures);
    if (!asked) continue;
    const double open = i < spread.size() ? spread[i] : 0.0;
    if (!std::isfinite(open)) continue;  // nobody knows what it is
    Compared one{i, *style.measures.index(base.definitions[i].measure), 0.0, 0.0};
    const double off = base.values[i].value - *asked;
    const double limit = base_limit_of(style.spec, style.spec.measures[one.row].from_scale, *asked, off);
    one.close = std::min(half_step(style.measures, one.row, base.at), limit) + open;
    one.limit = limit + open;
    all.push_back(one);
  }
  return all;
}

}  // namespace

bool BaseMiss::failed() const {
  return !(std::abs(value - asked) <= limit);
}

bool BaseOnTable::failed() const {
  return std::any_of(misses.begin(), misses.end(), [](const BaseMiss& miss) { return miss.failed(); });
}

std::optional<double> asked_of_base(const BaseLast& base, std::size_t i, const LastSpec& spec,
                                    const MeasureTable& table) {
  const MeasureDefinition& d = base.definitions[i];
  const std::optional<std::size_t> row = table.index(d.measure);
  // A style's back height is the upper's, to its top line; the last's is another measure of the same name.
  if (!row || d.measure == "back height") return std::nullopt;
  const auto other = spec.table_definitions.find(d.measure);
  if (other != spec.table_definitions.end() &&
      other->second != fmt::format("{} v{}", name_of(d.method), d.version))
    return std::nullopt;
  return table.value(*row, base.at);
}

BaseOnTable base_on_table(const BaseLast& base, const LastSpec& spec, const LoadedStyle& style,
                          const std::vector<double>& spread) {
  const std::vector<Compared> compared = compared_of(base, spec, style, spread);
  const auto off = [&](const Compared& one, const SizeWidth& at) {
    return base.values[one.definition].value - style.measures.value(one.row, at);
  };
  BaseOnTable on;
  on.fits = base.at;
  for (const Compared& one : compared) {
    if (std::abs(off(one, base.at)) <= one.close) continue;
    const double value = base.values[one.definition].value;
    on.misses.push_back(
        {base.definitions[one.definition].measure, value, value - off(one, base.at), one.limit});
  }
  const auto far = [&](const SizeWidth& at) {
    double sum = 0.0;
    for (const Compared& one : compared) sum += std::pow(off(one, at) / one.close, 2);
    return sum;
  };
  double least = far(base.at);
  for (const SizeWidth& at : style.run.cells()) {
    // Only what is nearer speaks against it: a length alone fits every width alike.
    if (const double sum = far(at); sum < least - 1e-9) {
      least = sum;
      on.fits = at;
    }
  }
  on.as_said = same_cell(on.fits, base.at);
  on.measures_as = std::all_of(compared.begin(), compared.end(),
                               [&](const Compared& one) { return std::abs(off(one, on.fits)) <= one.close; });
  return on;
}

std::string told_of(const BaseLast& base, const BaseOnTable& on) {
  const std::string said = label_of(base.at);
  std::string text = on.as_said ? fmt::format("base {} is off the table of its own size and width", said)
                     : on.measures_as ? fmt::format("base {}: it measures as {}", said, label_of(on.fits))
                                      : fmt::format(
                                            "base {} is off the table of its own size and width, and "
                                            "nearest to that of {}",
                                            said, label_of(on.fits));
  std::string figures;
  for (const BaseMiss& miss : on.misses) {
    figures += fmt::format("{}{} {:.2f} mm where the table asks {:.2f} in {} ({:+.2f}, at most {:.2f})",
                           figures.empty() ? ": " : ", ", miss.measure, miss.value, miss.asked, said,
                           miss.value - miss.asked, miss.limit);
  }
  text += figures.empty() ? ", though no measure is off by half a step" : figures;
  if (on.failed())
    text +=
        "; correct size and width of the base in the last's file, or the measures of the style. A base that "
        "is meant so: \"limits\": {\"base\": 8} of the style, in percent";
  return text;
}

}  // namespace lastwright
