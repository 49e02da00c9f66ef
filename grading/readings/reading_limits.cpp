#include "grading/readings/reading_limits.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

Problem usage(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
}

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find(' ', start), text.size());
    if (end > start) words.push_back(text.substr(start, end - start));
    start = end + 1;
  }
  return words;
}

bool starts_number(std::string_view word) {
  const char c = word.front();
  return (c >= '0' && c <= '9') || ((c == '-' || c == '+') && word.size() > 1);
}

Result<double> length(std::string_view number, std::string_view unit) {
  const Result<Quantity> quantity = parse_quantity(std::string(number) + " " + std::string(unit));
  if (!quantity) return quantity.problem();
  return quantity->millimetres.value();
}

Status apply(std::vector<std::optional<Limit>>& limits, const std::vector<std::string>& measures,
             std::span<const LimitRequest> requests) {
  std::vector<std::string> named;
  for (const LimitRequest& request : requests) {
    if (std::find(named.begin(), named.end(), request.measure) != named.end()) {
      return usage(fmt::format("there are two limits of one kind for {}; one will do",
                               request.measure == "*" ? "all measures" : "\"" + request.measure + "\""));
    }
    named.push_back(request.measure);
  }
  // What is asked of all measures first: a limit of one measure stands, in whatever order they are given.
  for (const bool all : {true, false}) {
    for (const LimitRequest& request : requests) {
      if ((request.measure == "*") != all) continue;
      bool found = false;
      for (std::size_t i = 0; i < measures.size(); ++i) {
        if (!all && request.measure != measures[i]) continue;
        limits[i] = request.limit;
        found = true;
      }
      if (!found) {
        return usage(fmt::format("a limit names the measure \"{}\", which the style does not have{}",
                                 request.measure, suggestion(request.measure, measures)));
      }
    }
  }
  return Done{};
}

}  // namespace

Result<LimitRequest> parse_limit(std::string_view text) {
  const Problem malformed =
      usage(fmt::format("\"{}\" is not a limit; write a measure and how far it may deviate: \"ball girth 1 "
                        "mm\", \"ball girth -1 +2 mm\"",
                        text));
  const std::vector<std::string_view> words = words_of(text);
  const auto number = std::find_if(words.begin(), words.end(), starts_number);
  const auto count = words.end() - number;
  if (number == words.begin() || (count != 2 && count != 3)) return malformed;
  LimitRequest request;
  for (auto word = words.begin(); word != number; ++word) {
    request.measure += (request.measure.empty() ? "" : " ") + std::string(*word);
  }
  const std::string_view unit = words.back();
  if (count == 2) {
    const Result<double> both = length(*number, unit);
    if (!both || *both < 0) return malformed;
    request.limit = {*both, *both, "the user's own"};
    return request;
  }
  if (number->front() != '-' || number[1].front() != '+') return malformed;
  const Result<double> below = length(number->substr(1), unit);
  const Result<double> above = length(number[1].substr(1), unit);
  if (!below || !above) return malformed;
  request.limit = {*below, *above, "the user's own"};
  return request;
}

Result<ReadingLimits> reading_limits(const std::vector<std::string>& measures,
                                     std::span<const LimitRow> defaults, std::span<const LimitRequest> values,
                                     std::span<const LimitRequest> pairs) {
  ReadingLimits limits;
  limits.value.resize(measures.size());
  limits.pair.resize(measures.size());
  for (const LimitRow& row : defaults) {
    const auto found = std::find(measures.begin(), measures.end(), row.measure);
    if (found == measures.end()) continue;
    auto& kind = row.within_pair ? limits.pair : limits.value;
    kind[static_cast<std::size_t>(found - measures.begin())] =
        Limit{row.below.millimetres.value(), row.above.millimetres.value(),
              fmt::format("by default, {} ({})", row.source.text, name_of(row.source.provenance))};
  }
  if (const Status status = apply(limits.value, measures, values); !status) return status.problem();
  if (const Status status = apply(limits.pair, measures, pairs); !status) return status.problem();
  for (std::size_t i = 0; i < measures.size(); ++i) {
    if (limits.pair[i] || !limits.value[i]) continue;
    const double both = limits.value[i]->below + limits.value[i]->above;
    limits.pair[i] = Limit{both, both, "both sides of the limit of a reading"};
  }
  return limits;
}

}  // namespace lastwright
