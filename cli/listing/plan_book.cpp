// A plan of reading as listings: what it would show, and the sheet to fill in.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/listing/girth_books.hpp"
#include "cli/listing/printed_limit.hpp"
#include "geometry/counted.hpp"

namespace lastwright {

constexpr const char* kWithinSound = "no readings: sound work may deviate nearly as much";

std::string what_would_tell(const PlanAnswer& answer) {
  if (answer.power >= kAskedPower && answer.besides.empty()) return {};
  std::string text;
  if (answer.lasts) text = counted(*answer.lasts, "last") + ", as many of each of these sizes and widths";
  if (answer.within_sound) text = kWithinSound;
  if (!answer.besides.empty()) return (text.empty() ? "" : text + "; and ") + answer.besides;
  return text.empty() ? "more sizes, widths or measures: 240 of these lasts would not do" : text;
}

ListingCell named_from(const PlanAnswer& answer) {
  return answer.least_amount ? ListingCell(Figure{*answer.least_amount, 1}) : ListingCell{};
}

ListingBook plan_book(const LoadedStyle& style, const ReadingPlanOptions& plan, const PlanAdvice& advice) {
  Listing listing{
      "plan",
      "What this plan would show",
      {{"fault", "fault", "", true},
       {"power", "named in", "%", false},
       {"named_from_mm", "named from", "mm", false},
       {"lasts", "lasts for 95 %", "", true},
       {"besides", "and to read besides", "", true}},
      {},
      {"named in: of a hundred batches with the fault, those in which it would be named; reckoned from "
       "the evidence to be expected, not from trials; the small deviations of sound work count as scatter",
       "named from: from this amount on it is named in 95 of 100 (steps: a size, a width); blank: not even "
       "at 10 mm, or a fault of one amount only",
       fmt::format("lasts for 95 %: of the same sizes and widths, left and right; none: not with {}, "
                   "read more sizes, widths or measures",
                   advice.most_lasts),
       fmt::format("a reading is taken to scatter by {:.2f} mm and to be noted to {:.2f} mm (spread and "
                   "step of the plan)",
                   plan.spread, plan.step)}};
  for (const PlanAnswer& answer : advice.answers) {
    listing.rows.push_back({answer.fault + (answer.alike.empty() ? "" : ", or " + answer.alike),
                            Figure{std::floor(1000.0 * answer.power) / 10.0, 1}, named_from(answer),
                            answer.lasts ? fmt::format("{}", *answer.lasts) : std::string("none"),
                            answer.within_sound ? std::string(kWithinSound) : answer.besides});
  }
  return {"A plan of readings",
          {{"style", style.spec.name}, {"lasts", fmt::format("{}", advice.lasts)}},
          {std::move(listing)}};
}

ListingBook sheet_book(const LoadedStyle& style, const ReadingPlanOptions& plan,
                       const ReadingLimits& limits) {
  Listing listing{
      "readings",
      "Readings to fill in",
      {{"id", "id", "", true},
       {"size", "size", "", true},
       {"width", "width", "", true},
       {"hand", "hand", "", true},
       {"measure", "measure", "", true},
       {"value", "value", "", true},
       {"unit", "unit", "", true},
       {"gauge", "gauge", "", true},
       {plan.inches ? "not_under_in" : "not_under_mm", "not under", plan.inches ? "in" : "mm", plan.inches,
        kUnlimited},
       {plan.inches ? "not_over_in" : "not_over_mm", "not over", plan.inches ? "in" : "mm", plan.inches,
        kUnlimited}},
      {},
      {"fill in value and, where there are several, gauge; rows left without a value are passed over"}};
  listing.to_fill = true;
  const NotedStep step = noted_to(plan.step, plan.inches);
  for (const Reading& one : planned_readings(plan, style.measures)) {
    const PrintedLimits printed = printed_limits(limits.value[one.measure], one.value, step);
    listing.rows.push_back({one.id, one.stamped.size.label, one.stamped.width.label,
                            std::string(name_of(one.foot)), style.measures.measures()[one.measure].name,
                            std::string(), std::string(plan.inches ? "in" : "mm"), one.gauge, printed.lowest,
                            printed.highest});
  }
  if (std::none_of(listing.rows.begin(), listing.rows.end(), [](const std::vector<ListingCell>& row) {
        return !std::holds_alternative<std::monostate>(row.back());
      }))
    leave_out(listing, {"not_under_mm", "not_over_mm", "not_under_in", "not_over_in"});
  else
    listing.notes.push_back(limits_rule({step}));
  ListingBook book{"Sheet of readings", {{"style", style.spec.name}}, {std::move(listing)}};
  add_limit_sources(style, plan.measures, limits, book);
  return book;
}

}  // namespace lastwright
