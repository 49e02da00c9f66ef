#include "grading/planning/order_columns.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/planning/headings.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

const std::vector<std::string>& known_columns() {
  static const std::vector<std::string> known{"style", "size",   "width", "pairs",      "case",
                                              "order", "period", "due",   "assortment", "cases"};
  return known;
}

}  // namespace

Result<OrderColumns> order_columns(const TextTable& table) {
  OrderColumns columns;
  const auto refused = [&](const std::string& message) {
    return Problem{
        Trouble::kBadValue, sought_words(table) + message, {table.file, table.header.line, {}, {}}, {}, {}};
  };
  const std::vector<std::string>& known = known_columns();
  for (const TextTable::Row::Date& date : table.header.dates) return refused(date.fault);
  for (std::size_t i = 0; i < table.header.fields.size(); ++i) {
    const std::string& title = table.header.fields[i];
    const std::string plain = plain_heading(title);
    if (std::find(known.begin(), known.end(), plain) != known.end()) {
      if (!columns.named.emplace(plain, i).second)
        return refused(fmt::format("the column \"{}\" is there twice", plain));
      continue;
    }
    if (RunHeading of; is_run_heading(title, &of)) {
      columns.run.push_back({i, of.size, of.width});
      continue;
    }
    if (std::string meant = meant_in_order(title); !meant.empty()) {
      columns.unknown.push_back(i);
      columns.meant.emplace(i, std::move(meant));
      continue;
    }
    // What may be meant for one that counts is not passed over.
    const bool begins_as_size = !plain.empty() && plain.front() >= '0' && plain.front() <= '9';
    if (begins_as_size || nearest_name(plain, known))
      return refused(
          fmt::format("there is no column \"{}\"{}; one for the pairs of a size and width is named "
                      "like \"7 F\"",
                      title, suggestion(plain, known)));
    columns.unknown.push_back(i);
  }
  std::erase_if(columns.meant, [&](const auto& one) { return columns.named.count(one.second) > 0; });
  const bool single = columns.has("size") && columns.has("width") && columns.has("pairs");
  const bool cases = columns.has("assortment") && columns.has("cases");
  if (!single && !cases && columns.run.empty()) {
    std::vector<std::string> there;
    for (const std::string& title : table.header.fields) there.push_back("\"" + title + "\"");
    std::string hints;
    for (const auto& [column, meant] : columns.meant)
      hints += fmt::format("; \"{}\" is not known: call it \"{}\" if it is that", table.header.fields[column],
                           meant);
    return refused(fmt::format(
        "there are only {}; an order has the columns size, width and pairs, or assortment and cases, "
        "or one for each size and width, named like \"7 F\"{}",
        fmt::join(there, ", "), hints));
  }
  // Beside columns of sizes these may be sums of them.
  if (!single)
    std::erase_if(columns.meant,
                  [](const auto& one) { return one.second == "pairs" || one.second == "cases"; });
  return columns;
}

}  // namespace lastwright
