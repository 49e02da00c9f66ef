#include "grading/sizes/size_conversion.hpp"

#include <fmt/format.h>

#include "grading/sizes/trimmed.hpp"

namespace lastwright {
namespace {

Problem unusable(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
}

// Takes the nearest size that the scale makes, across all its runs.
void take_nearest(const Scale& scale, ConvertedSize& one) {
  const Fraction wanted = (one.wanted_length - scale.zero_length) / scale.step;
  Fraction best_off;
  for (const ScaleRun& run : scale.runs) {
    const Fraction parts = (wanted - run.first_position) / run.smallest;
    for (const std::int64_t whole : {parts.floor(), parts.floor() + 1}) {
      const std::optional<Size> made = scale.at(run.first_position + run.smallest * whole);
      if (!made || (one.to && one.to->position == made->position)) continue;
      const Fraction gap = made->position < wanted ? wanted - made->position : made->position - wanted;
      if (one.to && gap > best_off) continue;
      one.as_near = one.to && gap == best_off ? one.to : std::nullopt;
      if (one.as_near && one.as_near->position > made->position) {
        one.as_near = made;
        continue;
      }
      one.to = made;
      best_off = gap;
    }
  }
  if (one.to) one.off = scale.length(*one.to) - one.wanted_length;
}

}  // namespace

Result<Allowance> parse_allowance(std::string_view text) {
  const std::size_t semicolon = text.find(';');
  const std::string_view source = semicolon == text.npos ? "" : trimmed(text.substr(semicolon + 1));
  const std::string_view main = trimmed(text.substr(0, semicolon));
  // The quantity starts at the first word that looks like a number.
  std::size_t number = 0;
  while (number < main.size()) {
    const bool word_start = number == 0 || main[number - 1] == ' ';
    const char c = main[number];
    if (word_start && ((c >= '0' && c <= '9') || c == '-')) break;
    ++number;
  }
  const std::string_view name = trimmed(main.substr(0, number));
  const Result<Quantity> amount =
      parse_quantity(number < main.size() ? main.substr(number) : std::string_view());
  if (name.empty() || !amount || !amount->has_unit) {
    return unusable(
        fmt::format("\"{}\" is not an allowance; write its name, its length with a unit and, after a "
                    "semicolon, who says so: \"toe 20 mm; works practice\"",
                    text));
  }
  if (amount->millimetres > kMostAllowance || amount->millimetres < -kMostAllowance) {
    return unusable(
        fmt::format("the allowance {} of {} is more than a foot and its last can differ: at most {} mm", name,
                    amount->written, kMostAllowance));
  }
  return Allowance{std::string(name), *amount, std::string(source)};
}

Status check_allowances(std::span<const Allowance> allowances) {
  for (std::size_t i = 0; i < allowances.size(); ++i) {
    for (std::size_t k = i + 1; k < allowances.size(); ++k) {
      if (allowances[i].name == allowances[k].name)
        return unusable(fmt::format("there are two allowances called {}; one will do", allowances[i].name));
    }
  }
  const Fraction sum = total(allowances);
  if (sum > kMostAllowance || sum < -kMostAllowance) {
    return unusable(
        fmt::format("the allowances come to {} mm, more than a foot and its last can differ: at most "
                    "{} mm",
                    to_places(sum, 2), kMostAllowance));
  }
  return Done{};
}

Fraction total(std::span<const Allowance> allowances) {
  Fraction sum;
  for (const Allowance& allowance : allowances) sum = sum + allowance.amount.millimetres;
  return sum;
}

Result<std::vector<ConvertedSize>> convert_sizes(const Scale& from, std::span<const Size> sizes,
                                                 const Scale& to, std::span<const Allowance> allowances) {
  if (from.sizes != to.sizes && allowances.empty()) {
    return unusable(fmt::format(
        "\"{}\" sizes the {} and \"{}\" the {}: they are compared only through a named allowance, "
        "for example --allowance \"toe 20 mm; works practice\"",
        from.key, name_of(from.sizes), to.key, name_of(to.sizes)));
  }
  if (from.sizes == to.sizes && !allowances.empty()) {
    return unusable(fmt::format("\"{}\" and \"{}\" both size the {}: there is no allowance between them",
                                from.key, to.key, name_of(from.sizes)));
  }
  if (Status sound = check_allowances(allowances); !sound) return sound.problem();
  const Fraction extra = to.sizes == Sizes::kLast ? total(allowances) : -total(allowances);
  std::vector<ConvertedSize> all;
  for (const Size& size : sizes) {
    ConvertedSize one{size, from.length(size), from.length(size) + extra, {}, {}, {}};
    take_nearest(to, one);
    all.push_back(std::move(one));
  }
  return all;
}

}  // namespace lastwright
