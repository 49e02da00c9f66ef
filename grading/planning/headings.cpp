#include "grading/planning/headings.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/counted.hpp"

namespace lastwright {

namespace {

bool holds_all(const std::vector<std::string>& headings, std::initializer_list<const char*> wanted) {
  return std::all_of(wanted.begin(), wanted.end(), [&](const char* one) {
    return std::find(headings.begin(), headings.end(), one) != headings.end();
  });
}

std::vector<std::string> plain_headings(const std::vector<std::string>& fields) {
  std::vector<std::string> plain;
  for (const std::string& field : fields) plain.push_back(plain_heading(field));
  return plain;
}

struct OtherWords {
  const char* meant;
  std::vector<const char*> words;
};

const OtherWords& words_for_style() {
  static const OtherWords words{"style",
                                {"article", "article no", "item", "item no", "model", "model no", "style no",
                                 "style name", "style code"}};
  return words;
}

const std::vector<OtherWords>& order_words() {
  static const std::vector<OtherWords> all{
      {"pairs",
       {"qty", "quantity", "count", "amount", "pcs", "prs", "no of pairs", "number of pairs", "pairs ordered",
        "order qty", "order quantity", "qty ordered", "quantity ordered"}},
      {"width", {"fit", "fitting", "width fitting", "breadth"}},
      {"due", {"date", "due date", "due by", "delivery", "delivery date", "ship date", "deadline"}},
      {"case", {"box", "carton", "crate", "case no", "case number", "carton no", "box no"}},
      {"cases", {"cartons", "no of cases", "number of cases"}},
      {"order", {"order no", "order number", "order name", "po", "po no", "po number", "purchase order"}},
      words_for_style()};
  return all;
}

const std::vector<OtherWords>& counted_words() {
  static const std::vector<OtherWords> all{
      {"count", {"qty", "quantity", "amount", "pieces", "pcs", "counted", "cut", "no of pieces"}},
      {"piece", {"part", "component", "piece name", "part name"}},
      {"width", {"fit", "fitting", "width fitting", "breadth"}},
      {"hand", {"foot", "side", "l/r", "left/right", "left or right"}},
      words_for_style()};
  return all;
}

std::string meant_in(const std::vector<OtherWords>& all, std::string_view heading) {
  std::string plain = plain_heading(heading);
  std::erase(plain, '.');
  std::replace(plain.begin(), plain.end(), '_', ' ');
  for (const OtherWords& one : all) {
    if (std::find(one.words.begin(), one.words.end(), plain) != one.words.end()) return one.meant;
  }
  return "";
}

std::vector<std::string> as_meant(const std::vector<OtherWords>& words,
                                  const std::vector<std::string>& fields) {
  std::vector<std::string> all;
  for (const std::string& field : fields) {
    const std::string meant = meant_in(words, field);
    all.push_back(meant.empty() ? field : meant);
  }
  return all;
}

}  // namespace

std::string plain_heading(std::string_view heading) {
  std::string plain;
  bool blank = false;
  for (std::size_t i = 0; i < heading.size(); ++i) {
    const char c = heading[i];
    const bool hard = heading.substr(i).starts_with("\xC2\xA0");
    if (hard) ++i;
    if (hard || c == ' ' || c == '\t' || c == '\n' || c == '\r') {
      blank = true;
      continue;
    }
    if (blank && !plain.empty()) plain += ' ';
    blank = false;
    plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  }
  return plain;
}

bool is_run_heading(std::string_view heading, RunHeading* parts) {
  constexpr std::size_t kLongestWidth = 8;
  std::string one;  // as it stands, but for blanks
  for (const char c : heading) {
    if (c != ' ' || (!one.empty() && one.back() != ' ')) one += c;
  }
  while (!one.empty() && one.back() == ' ') one.pop_back();
  const std::size_t space = one.rfind(' ');
  if (space == std::string::npos || one.size() - space - 1 > kLongestWidth) return false;
  // Sizes are figures: "7", "7.5", "7 1/2".
  const std::string size = one.substr(0, space);
  if (one.find('/', space) != std::string::npos) return false;  // "7 1/2" is a size
  if (size.find_first_not_of("0123456789.,/ ") != std::string::npos) return false;
  if (parts) *parts = {size, one.substr(space + 1)};
  return true;
}

bool heads_order(const std::vector<std::string>& fields) {
  const std::vector<std::string> plain = plain_headings(fields);
  if (holds_all(plain, {"size", "width", "pairs"}) || holds_all(plain, {"assortment", "cases"})) return true;
  const auto is_number = [](const std::string& field) {
    return !field.empty() && field.find_first_not_of("0123456789") == std::string::npos;
  };
  return std::none_of(fields.begin(), fields.end(), is_number) &&
         std::any_of(fields.begin(), fields.end(),
                     [](const std::string& field) { return is_run_heading(field); });
}

bool heads_counted(const std::vector<std::string>& fields) {
  return holds_all(plain_headings(fields), {"piece", "size", "width", "count"});
}

std::string meant_in_order(std::string_view heading) {
  return meant_in(order_words(), heading);
}

std::string meant_in_counted(std::string_view heading) {
  return meant_in(counted_words(), heading);
}

bool nearly_heads_order(const std::vector<std::string>& fields) {
  return heads_order(as_meant(order_words(), fields));
}

bool nearly_heads_counted(const std::vector<std::string>& fields) {
  return heads_counted(as_meant(counted_words(), fields));
}

std::vector<Problem> unread_sheets(const TextTable& table) {
  std::vector<Problem> problems;
  for (const std::string& name : table.alike_sheets)
    problems.push_back(
        {Trouble::kBadValue,
         fmt::format(
             "the sheet \"{}\" has such headings too, and no row of it is read, only those of \"{}\": "
             "put all rows in one sheet, or each sheet in a workbook of its own",
             name, table.sheet),
         {table.file, 0, {}, {}},
         {},
         {}});
  return problems;
}

std::vector<Problem> unread_of(const TextTable& table, const std::vector<std::size_t>& unknown,
                               const std::map<std::size_t, std::string>& meant) {
  std::vector<Problem> told;
  const auto tell = [&](std::string message) {
    told.push_back({Trouble::kBadValue, std::move(message), {table.file, table.header.line, {}, {}}, {}, {}});
  };
  if (!table.above.empty())
    tell(fmt::format("these are taken for the headings; what stands above, in {} {}, is not read",
                     table.above.size() == 1 ? "line" : "lines", fmt::join(table.above, ", ")));
  std::vector<std::string> names;
  for (const std::size_t column : unknown) {
    const std::string& title = table.header.fields[column];
    const bool filled = std::any_of(table.rows.begin(), table.rows.end(), [&](const TextTable::Row& row) {
      return column < row.fields.size() && !row.fields[column].empty();
    });
    if (title.empty() && !filled) continue;
    names.push_back(title.empty() ? fmt::format("column {}, which has no heading", column + 1)
                                  : "\"" + title + "\"");
    if (const auto known = meant.find(column); known != meant.end())
      names.back() += " (called \"" + known->second + "\", it would be read)";
  }
  if (!names.empty())
    tell(fmt::format("{} not read and in no figure: {}",
                     names.size() == 1 ? "a column is" : fmt::format("{} columns are", names.size()),
                     fmt::join(names, ", ")));
  if (!table.other_sheets.empty())
    tell(fmt::format("the sheet \"{}\" is read; not read: \"{}\"", table.sheet,
                     fmt::join(table.other_sheets, "\", \"")));
  return told;
}

std::string sought_words(const TextTable& table) {
  if (table.sought <= 1) return "";
  return fmt::format("none of the first {} has the headings that are needed; in this one ",
                     counted(static_cast<std::size_t>(table.sought), "row"));
}

}  // namespace lastwright
