// A judged batch of readings as listings.
#include <fmt/format.h>

#include <cmath>
#include <set>
#include <tuple>

#include "cli/listing/girth_books.hpp"
#include "cli/listing/rounded_to.hpp"
#include "geometry/counted.hpp"
#include "grading/readings/disposition.hpp"
#include "grading/readings/natural_order.hpp"
#include "grading/readings/one_hand.hpp"
#include "grading/readings/too_alike.hpp"
#include "grading/readings/wording.hpp"

namespace lastwright {
namespace {

ListingColumn words(std::string key, std::string title) {
  return {std::move(key), std::move(title), "", true};
}
ListingColumn length(std::string key, std::string title) {
  return {std::move(key), std::move(title), "mm", false};
}
ListingColumn count(std::string key, std::string title) {
  return {std::move(key), std::move(title), "", false};
}

ListingCell whole(std::size_t value) {
  return Figure{static_cast<double>(value), 0};
}
ListingCell millimetres(double value) {
  return Figure{value, 2};
}
// An interval without an end is left blank.
ListingCell bound(double value) {
  return std::isfinite(value) ? ListingCell(Figure{value, 2}) : ListingCell{};
}

void add_failing(Listing& listing, bool failing, std::vector<ListingCell> row) {
  if (failing) listing.failing.push_back(listing.rows.size());
  listing.rows.push_back(std::move(row));
}

const char* kind_name(BatchFinding::Kind kind) {
  switch (kind) {
    case BatchFinding::Kind::kGauge:
      return "gauge";
    case BatchFinding::Kind::kWholeBatch:
      return "whole batch";
    case BatchFinding::Kind::kStepBySize:
      return "step by size";
    case BatchFinding::Kind::kStepByWidth:
      return "step by width";
    case BatchFinding::Kind::kHand:
      return "left or right";
    case BatchFinding::Kind::kSize:
      return "one size";
    case BatchFinding::Kind::kWidth:
      return "one width";
    case BatchFinding::Kind::kStamp:
      return "stamp";
    case BatchFinding::Kind::kLast:
      return "last";
    case BatchFinding::Kind::kReading:
      return "reading";
    case BatchFinding::Kind::kPair:
      return "pair";
    case BatchFinding::Kind::kLeft:
      return "left";
  }
  return "";
}

Listing findings(const BatchReport& report) {
  Listing listing{"findings",
                  "Findings, in the order to act on",
                  {words("kind", "about"), words("finding", "finding"), words("act", "what to do")},
                  {},
                  {}};
  for (const BatchFinding& finding : report.findings)
    add_failing(listing, true, {std::string(kind_name(finding.kind)), finding.text, finding.act});
  if (report.findings.empty()) listing.notes.push_back("none");
  return listing;
}

Listing bad(const std::vector<Problem>& bad_rows) {
  Listing listing{
      "bad rows", "Rows that could not be judged", {count("line", "line"), words("why", "why")}, {}, {}};
  for (const Problem& problem : bad_rows) {
    add_failing(listing, true, {Figure{static_cast<double>(problem.place.line), 0}, problem.message});
  }
  return listing;
}

Listing items(const BatchReport& report, const Disposition& disposed) {
  Listing listing{
      "lasts",
      "Each last",
      {words("id", "id"), words("hand", "hand"), words("stamp", "stamped"), count("readings", "readings"),
       count("beyond", "beyond limit"), length("worst_mm", "worst"), words("result", "result"),
       words("best", "explained best by"), count("certainty", "sure %")},
      {},
      {"sure: from the table, what the whole batch has in common and how much a stamp is trusted before "
       "anything is read; 99.9 means that or more; where several sizes and widths fit about equally well, "
       "all are "
       "named",
       "good: within every limit, and not held; what the disposition holds for more than its own limits says "
       "here why, a last with the other hand of its pair"}};
  for (const JudgedItem& item : report.items) {
    const std::string result = item_result(item, disposed);
    std::string best;
    for (const SizeWidth& cell : item.fits) best += (best.empty() ? "" : " or ") + label_of(cell);
    add_failing(listing, result != "good",
                {item.id, std::string(name_of(item.foot)), label_of(item.stamped), whole(item.readings),
                 whole(item.beyond), millimetres(item.worst), result, best,
                 Figure{certainty_percent(item.certainty), 1}});
  }
  return listing;
}

Listing readings(const LoadedStyle& style, const BatchReport& report,
                 const std::vector<std::string>& other_columns) {
  Listing listing{
      "readings",
      "Each reading",
      {count("line", "line"), words("id", "id"), words("hand", "hand"), words("size", "size"),
       words("width", "width"), words("measure", "measure"), length("value_mm", "reading"),
       length("wanted_mm", "table"), length("deviation_mm", "deviation"), length("explained_mm", "explained"),
       words("verdict", "verdict"), words("gauge", "gauge")},
      {},
      {"explained: what of it the findings account for; a reading is beyond its limit when the whole of the "
       "step that it is rounded to lies beyond",
       "rounded, as the readings themselves show: " + rounded_to(report)}};
  for (const std::string& name : other_columns) listing.columns.push_back(words(name, name));
  for (const JudgedReading& one : report.readings) {
    const Reading& reading = one.reading;
    add_failing(
        listing, beyond(one.verdict) || one.stands_out,
        {Figure{static_cast<double>(reading.line), 0}, reading.id, std::string(name_of(reading.foot)),
         reading.stamped.size.label, reading.stamped.width.label,
         style.measures.measures()[reading.measure].name, millimetres(reading.value),
         exact_figure(style.measures.exact(reading.measure, reading.stamped), 2), millimetres(one.deviation),
         millimetres(one.explained), std::string(name_of(one.verdict)), reading.gauge});
    for (const std::string& other : reading.others) listing.rows.back().emplace_back(other);
  }
  return listing;
}

Listing pairs(const LoadedStyle& style, const BatchReport& report, const ReadingLimits& limits) {
  Listing listing{
      "pairs",
      "Left against right",
      {words("id", "id"), words("measure", "measure"), length("left_minus_right_mm", "left minus right"),
       length("limit_mm", "limit"), words("verdict", "verdict"), words("source", "limit from")},
      {},
      {"left and right are each rounded to a step: their difference is beyond its limit when it lies past it "
       "by more than half of both steps together"}};
  for (const JudgedPair& pair : report.pairs) {
    const auto& limit = limits.pair[pair.measure];
    add_failing(listing, beyond(pair.verdict),
                {pair.id, style.measures.measures()[pair.measure].name, millimetres(pair.left_minus_right),
                 limit ? millimetres(limit->above) : ListingCell{},
                 std::string(pair.verdict == ReadingVerdict::kNoLimit  ? "no limit"
                             : pair.verdict == ReadingVerdict::kWithin ? "within"
                                                                       : "beyond"),
                 limit ? limit->source : std::string()});
  }
  return listing;
}

// What the readings of each gauge are rounded to, and how the intervals count it.
std::string step_note(const BatchReport& report) {
  std::map<double, std::set<std::string, NaturalOrder>> steps;
  for (const JudgedReading& one : report.readings) {
    if (one.reading.step > 0) steps[one.reading.step].insert(one.reading.gauge);
  }
  if (steps.empty()) return {};
  std::string text;
  for (const auto& [step, gauges] : steps) {
    text += fmt::format("{}{:.4g} mm", text.empty() ? "" : "; ", step);
    if (steps.size() == 1) continue;
    text += " (";
    for (const std::string& gauge : gauges)
      text += (text.ends_with('(') ? "" : ", ") + (gauge.empty() ? "no gauge named" : gauge);
    text += ")";
  }
  return "step of the readings: " + text +
         ". It counts as a uniform uncertainty, step / sqrt(12): no spread is reckoned smaller, and where "
         "readings coincide up to half a step stays on their mean, which more of them would not lessen";
}

Listing groups(const LoadedStyle& style, const BatchReport& report, const BatchOptions& options) {
  Listing listing{
      "bias",
      "Bias and spread against the table, one last counting once",
      {words("measure", "measure"), words("group", "of"), count("lasts", "n"), length("bias_mm", "bias"),
       length("bias_low_mm", "from"), length("bias_high_mm", "to"), length("spread_mm", "spread"),
       length("spread_low_mm", "from"), length("spread_high_mm", "to")},
      {},
      {fmt::format(
          "from, to: {:g} % intervals (Student's t for the bias, chi-squared for the spread); lasts that do "
          "not match their stamp are left out; by gauge every reading counts",
          100.0 * options.confidence)}};
  if (std::string note = step_note(report); !note.empty()) listing.notes.push_back(std::move(note));
  for (const Group& group : report.groups) {
    const std::string of = !group.size.empty()    ? "size " + group.size
                           : !group.width.empty() ? "width " + group.width
                           : !group.hand.empty()  ? group.hand
                           : !group.gauge.empty() ? "gauge " + group.gauge
                                                  : "all";
    const Summary& s = group.summary;
    const bool spread = s.count > 1;
    listing.rows.push_back({group.measure ? style.measures.measures()[*group.measure].name : "all", of,
                            whole(s.count), millimetres(s.mean), bound(s.mean_low), bound(s.mean_high),
                            spread ? millimetres(s.spread) : ListingCell{},
                            spread ? bound(s.spread_low) : ListingCell{}, bound(s.spread_high)});
  }
  return listing;
}

Listing steps(const LoadedStyle& style, const BatchReport& report, const BatchOptions& options) {
  Listing listing{
      "steps",
      "How the batch was graded",
      {words("measure", "measure"), count("lasts", "n"), length("size_step_mm", "beyond table, per size"),
       length("size_low_mm", "from"), length("size_high_mm", "to"),
       length("width_step_mm",
              report.layout.ladder.empty() ? "beyond table, per width" : "beyond table, per full width step"),
       length("width_low_mm", "from"), length("width_high_mm", "to")},
      {},
      {fmt::format(
          "beyond table: what lasts grow by beyond the table's own step, with {:g} % intervals; blank where "
          "the "
          "batch cannot tell. Stamps, gauges, hands and single sizes and widths that were found wrong "
          "are set right",
          100.0 * options.confidence)}};
  for (const GradedSteps& one : report.steps) {
    std::vector<ListingCell> row{style.measures.measures()[one.measure].name, whole(one.lasts)};
    for (const Estimate& step : {one.by_size, one.by_width}) {
      for (const double value : {step.value, step.low, step.high})
        row.push_back(step.known ? ListingCell(Figure{value, 3}) : ListingCell{});
    }
    listing.rows.push_back(std::move(row));
  }
  return listing;
}

// What the batch itself says about its noise: nothing of it is assumed.
Listing noise(const BatchReport& report) {
  Listing listing{
      "noise",
      "How the readings scatter",
      {words("of", "of"), length("spread_mm", "spread")},
      {},
      {"estimated with the findings; kinds of scatter that these readings cannot show are left out"}};
  const BatchNoise& noise = report.explained.fit.noise;
  const auto add = [&](const char* of, double spread) {
    if (spread > 0.0) listing.rows.push_back({std::string(of), millimetres(spread)});
  };
  add("one reading about its last", noise.reading);
  add("a measure of a pair, left and right alike", noise.pair);
  add("all girths of a last", noise.last);
  add("all girths of a pair", noise.last_pair);
  add("a measure of a last, whoever reads it", noise.own);
  listing.notes.push_back(
      fmt::format("{:.1f} % of the readings scatter four times as far", 100.0 * noise.wide_part));
  return listing;
}

// A batch that names no fault of a kind says nothing of it where the kind would have gone unnoticed.
Listing not_shown(const BatchReport& report) {
  Listing listing{"not shown",
                  "What these readings could not show",
                  {words("about", "about"), words("fault", "fault"), length("power", "named in"),
                   length("named_from_mm", "named from"), words("to_tell", "what to read to tell")},
                  {},
                  {}};
  listing.columns[2].unit = "%";
  for (const PlanAnswer& one : report.not_shown) {
    listing.rows.push_back({std::string(kind_name(finding_kind(one.kind))),
                            one.fault + (one.alike.empty() ? "" : ", or " + one.alike),
                            Figure{std::floor(1000.0 * one.power) / 10.0, 1}, named_from(one),
                            what_would_tell(one)});
  }
  listing.notes.push_back(
      "named in: of a hundred such batches with the fault, those in which it would be named, reckoned from "
      "the noise above; the small deviations of sound work count as scatter");
  listing.notes.push_back(
      "named from: from this amount on it would be named in 95 of 100 such batches (steps: a size, a width); "
      "that none is named says little of smaller ones. Blank: not even at 10 mm, or a fault of one amount "
      "only");
  return listing;
}

Listing limit_listing(const LoadedStyle& style, const ReadingLimits& limits) {
  Listing listing{
      "limits",
      "Limits",
      {words("measure", "measure"), length("below_mm", "below"), length("above_mm", "above"),
       words("source", "from")},
      {},
      {"tolerances are the user's own: the defaults are common practice and no published figures were found "
       "for "
       "last girths",
       "which lasts were read, and how many, is the user's sampling plan: nothing here replaces one"}};
  for (std::size_t m = 0; m < limits.value.size(); ++m) {
    const auto& limit = limits.value[m];
    listing.rows.push_back({style.measures.measures()[m].name,
                            limit ? millimetres(limit->below) : ListingCell{},
                            limit ? millimetres(limit->above) : ListingCell{},
                            limit ? limit->source : std::string("none: shown, not judged; give --limit")});
  }
  return listing;
}

// Readings of what was read before.
std::size_t repeats(const BatchReport& report) {
  std::set<std::tuple<std::string, Foot, std::size_t>> seen;
  for (const JudgedReading& one : report.readings)
    seen.insert({one.reading.id, one.reading.foot, one.reading.measure});
  return report.readings.size() - seen.size();
}

// "; 18 without one: heel girth", or nothing.
std::string without_limit(const BatchReport& report, const MeasureTable& table, const ReadingLimits& limits) {
  std::size_t count = 0;
  std::set<std::string> names;
  for (const JudgedReading& one : report.readings) {
    if (limits.value[one.reading.measure]) continue;
    ++count;
    names.insert(table.measures()[one.reading.measure].name);
  }
  return count == 0 ? std::string() : fmt::format(", {} without one: {}", count, fmt::join(names, ", "));
}

// What may not have been read at all: told, and judged as it stands.
void add_doubts(const BatchReport& report, const std::vector<Reading>& read, ListingBook& book) {
  constexpr std::size_t kNamed = 10;
  std::vector<std::string> twice;
  for (const auto& [first, again] : duplicate_rows(read))
    twice.push_back(fmt::format("{} and {}", first, again));
  if (!twice.empty())
    book.facts.emplace_back(
        "exact duplicates",
        fmt::format("{} every column what an earlier row says, and {}: lines {}; pasted twice, or "
                    "read again to the same figure, and judged as read: take out what was pasted",
                    counted(twice.size(), "row says in", "rows say in"),
                    twice.size() == 1 ? "is no repeat" : "are no repeats", some_of(twice, kNamed)));
  if (std::string alike = too_alike(report); !alike.empty())
    book.facts.emplace_back("too alike", std::move(alike));
}

}  // namespace

ListingBook batch_book(const LoadedStyle& style, const BatchReport& report, const ReadingLimits& limits,
                       const std::vector<Problem>& bad_rows, const std::vector<std::string>& other_columns,
                       const BatchOptions& options) {
  std::size_t beyond = 0;
  for (const JudgedItem& item : report.items) beyond += item.beyond;
  std::size_t apart = 0;
  for (const JudgedPair& pair : report.pairs) apart += lastwright::beyond(pair.verdict) ? 1 : 0;
  const Disposition disposed = dispose(report, style.measures, limits, bad_rows.size());
  std::vector<Reading> read;
  for (const JudgedReading& one : report.readings) read.push_back(one.reading);
  ListingBook book{
      "Readings against the table",
      {{"style", style.spec.name},
       {"disposition", disposed.line},
       {"readings", fmt::format("{} judged, {} beyond their limit{}", report.readings.size(), beyond,
                                without_limit(report, style.measures, limits))},
       {"lasts", fmt::format("{}, in {} of {} of the run", report.items.size(), report.cells_read,
                             counted(style.run.count(), "size and width", "sizes and widths"))},
       {"left against right", fmt::format("{} compared, {} beyond their limit", report.pairs.size(), apart)},
       {"repeat readings", fmt::format("{}", repeats(report) - duplicate_rows(read).size())},
       {"bad rows", fmt::format("{}", bad_rows.size())}},
      {}};
  add_doubts(report, read, book);
  if (const std::string again = one_hand_again(read, style.measures); !again.empty())
    book.facts.emplace_back(
        "one hand again",
        "read more than once where the other hand was not read, which counts as repeats of "
        "one last; where a row is of the other last of the pair its hand is noted wrong: " +
            again);
  book.listings.push_back(findings(report));
  book.listings.push_back(bad(bad_rows));
  book.listings.push_back(items(report, disposed));
  book.listings.push_back(pairs(style, report, limits));
  book.listings.push_back(steps(style, report, options));
  book.listings.push_back(noise(report));
  book.listings.push_back(not_shown(report));
  book.listings.push_back(groups(style, report, options));
  book.listings.push_back(readings(style, report, other_columns));
  book.listings.push_back(limit_listing(style, limits));
  return book;
}

}  // namespace lastwright
