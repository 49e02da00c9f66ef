#include "cli/tables/readings_csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <functional>
#include <map>
#include <set>

#include "cli/tables/workbook_records.hpp"
#include "geometry/counted.hpp"
#include "geometry/files/delimited.hpp"
#include "geometry/files/unzip.hpp"
#include "geometry/io/dxf/dxf_file_kind.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

constexpr std::array<const char*, 8> kColumns{"id",      "size",  "width", "hand",
                                              "measure", "value", "unit",  "gauge"};
constexpr std::size_t kMissing = static_cast<std::size_t>(-1);

bool names_columns(const DelimitedRecord& record) {
  std::set<std::string> named;
  for (const std::string& field : record.fields) {
    if (std::find(kColumns.begin(), kColumns.end(), small_letters(field)) != kColumns.end())
      named.insert(small_letters(field));
  }
  return named.size() >= kLeastNames;
}

// The text from the line on that names the columns; all of it where none of the first lines does.
DelimitedText below_titles(std::string_view text) {
  DelimitedText all(text);
  DelimitedRecord first;
  DelimitedText from = all;
  if (!all.next(first) || names_columns(first)) return from;
  for (std::size_t line = 0; line < kMostTitles; ++line) {
    DelimitedText rest = all.from_here();
    DelimitedText header = rest;
    DelimitedRecord record;
    if (!header.next(record)) break;
    if (names_columns(record)) return rest;
    all = std::move(header);
  }
  return from;
}

Problem at_line(Trouble trouble, const std::string& file, long line, std::string message) {
  return {trouble, std::move(message), {file, line, {}, {}}, {}, {}};
}

struct CsvColumns {
  std::array<std::size_t, kColumns.size()> places{};  // where each of kColumns stands; gauge may be missing
  std::vector<std::size_t> others;
};

// The name of another column that was meant for the one that is missing.
std::string meant_for(const DelimitedRecord& header, const CsvColumns& columns, const char* missing) {
  for (const std::size_t place : columns.others) {
    const auto near = nearest_name(small_letters(header.fields[place]), {std::string(missing)});
    if (near)
      return fmt::format("; \"{}\" (did you mean \"{}\"?) is not a column of readings", header.fields[place],
                         missing);
  }
  return {};
}

Result<CsvColumns> columns_of(const DelimitedRecord& header, const std::string& file, std::string_view text) {
  CsvColumns columns;
  columns.places.fill(kMissing);
  for (std::size_t i = 0; i < header.fields.size(); ++i) {
    const auto found = std::find(kColumns.begin(), kColumns.end(), small_letters(header.fields[i]));
    if (found == kColumns.end()) {
      columns.others.push_back(i);
      continue;
    }
    std::size_t& place = columns.places[static_cast<std::size_t>(found - kColumns.begin())];
    if (place != kMissing) {
      return at_line(Trouble::kBadValue, file, header.line,
                     fmt::format("the column \"{}\" is there twice", *found));
    }
    place = i;
  }
  for (std::size_t i = 0; i < kColumns.size(); ++i) {
    if (columns.places[i] != kMissing) continue;
    const std::string meant = meant_for(header, columns, kColumns[i]);
    if (i + 1 == kColumns.size() && meant.empty()) continue;
    if (columns.others.size() == header.fields.size()) {
      if (const auto kind = foreign_file_kind(text)) {
        return at_line(Trouble::kSyntax, file, 0,
                       fmt::format("this is not a file of readings but {}", *kind));
      }
    }
    return at_line(Trouble::kBadValue, file, header.line,
                   fmt::format("the column \"{}\" is missing; expected: "
                               "id,size,width,hand,measure,value,unit and, if you like, gauge{}",
                               kColumns[i], meant));
  }
  return columns;
}

constexpr std::size_t kLongestId = 100;  // bytes, of a row at fault: longer is no id

// A decimal comma where the comma does not part the fields, or a quote keeps it together.
std::string with_point(std::string text) {
  const std::size_t comma = text.find(',');
  if (comma != std::string::npos && text.find_first_of(",.", comma + 1) == std::string::npos &&
      text.find('.') == std::string::npos) {
    text[comma] = '.';
  }
  return text;
}

// `next` gives the records one after the other, the header first; `text` is what they were read from, where
// it is text.
Result<ReadingsFile> rows_of(const std::function<bool(DelimitedRecord&)>& next, char delimiter,
                             std::string_view text, const std::string& file, const ReadingsLimits& limits) {
  DelimitedRecord record;
  if (!next(record))
    return at_line(Trouble::kSyntax, file, 0, "the file is empty; its first line names the columns");
  const auto columns = columns_of(record, file, text);
  if (!columns) return columns.problem();
  const std::size_t width = record.fields.size();
  ReadingsFile read;
  for (const std::size_t place : columns->others) read.other_columns.push_back(record.fields[place]);
  const auto long_field = [&](const std::string& field) { return field.size() > limits.field_bytes; };
  while (next(record)) {
    if (read.rows.size() + read.bad_rows.size() + read.left_empty.size() >= limits.rows) {
      return at_line(Trouble::kBudget, file, record.line, fmt::format("more than {} rows", limits.rows));
    }
    if (record.fault.empty() && record.fields.size() != width) {
      record.fault = fmt::format("{} columns where the header has {}", record.fields.size(), width);
      if (record.fields.size() == width + 1 && delimiter == ',')
        record.fault += "; a decimal comma? Put the value in quotes, or use a point";
    }
    if (record.fault.empty() && std::any_of(record.fields.begin(), record.fields.end(), long_field)) {
      record.fault = fmt::format("a value is longer than {} bytes", limits.field_bytes);
    }
    if (!record.fault.empty()) {
      read.bad_rows.push_back(at_line(Trouble::kBadValue, file, record.line, record.fault));
      const std::string id =
          columns->places[0] < record.fields.size() ? record.fields[columns->places[0]] : "";
      if (!id.empty() && id.size() <= kLongestId && id.find('\n') == std::string::npos)
        read.bad_ids.push_back(id);
      continue;
    }
    const auto field = [&](std::size_t column) -> std::string {
      const std::size_t place = columns->places[column];
      return place < record.fields.size() ? record.fields[place] : "";
    };
    ReadingRow row{record.line, field(0), with_point(field(1)), field(2),
                   field(3),    field(4), with_point(field(5)), field(6),
                   field(7),    {}};
    for (const std::size_t place : columns->others) row.others.push_back(record.fields[place]);
    (field(5).empty() ? read.left_empty : read.rows).push_back(std::move(row));
  }
  return read;
}

}  // namespace

Result<ReadingsFile> parse_readings(std::string_view text, const std::string& file,
                                    const ReadingsLimits& limits) {
  if (looks_like_zip(text)) {
    Result<WorkbookRecords> sheet = WorkbookRecords::find(text, {kColumns.begin(), kColumns.end()});
    if (!sheet) return sheet.problem().in_file(file);
    return rows_of([&](DelimitedRecord& record) { return sheet->next(record); }, ' ', {}, file, limits);
  }
  DelimitedText records = below_titles(text);
  return rows_of([&](DelimitedRecord& record) { return records.next(record); }, records.delimiter(), text,
                 file, limits);
}

namespace {
constexpr std::size_t kMostColumnsNamed = 12;
}

std::string not_read(const ReadingsFile& file) {
  struct Last {
    std::string name;                             // as written first
    std::string hand;                             // "l", "r" or as written
    std::map<std::string, std::string> measures;  // read, and left empty: as written, by small letters
    std::set<std::string> read;
  };
  std::vector<Last> lasts;  // as they come
  std::map<std::pair<std::string, std::string>, std::size_t> place;
  std::map<std::string, std::vector<std::size_t>> of_id;
  std::map<std::string, std::pair<std::string, std::size_t>> measures;  // as written, and of how many lasts
  const auto add = [&](const ReadingRow& row, bool empty) {
    const std::string hand = small_letters(row.hand).substr(0, 1);
    const auto [found, fresh] = place.try_emplace({row.id, hand}, lasts.size());
    if (fresh) {
      lasts.push_back({row.hand.empty() ? row.id : row.id + " " + row.hand, hand, {}, {}});
      of_id[row.id].push_back(found->second);
    }
    Last& last = lasts[found->second];
    const std::string measure = small_letters(row.measure);
    if (last.measures.try_emplace(measure, row.measure).second)
      ++measures.try_emplace(measure, row.measure, 0).first->second.second;
    if (!empty) last.read.insert(measure);
  };
  for (const ReadingRow& row : file.rows) add(row, false);
  for (const ReadingRow& row : file.left_empty) add(row, true);
  std::vector<std::string> none;
  std::vector<std::string> values;
  for (const Last& last : lasts) {
    if (last.read.empty()) {
      none.push_back(last.name);
      continue;
    }
    for (const auto& [measure, of] : measures) {
      const bool listed = last.measures.count(measure) > 0;
      if (last.read.count(measure) == 0 && (listed || 2 * of.second >= lasts.size()))
        values.push_back(of.first + " of " + last.name);
    }
  }
  std::size_t both = 0;
  for (const auto& [id, own] : of_id) both += own.size() > 1 ? 1 : 0;
  for (const auto& [id, own] : of_id) {
    if (own.size() > 1 || 2 * both < of_id.size()) continue;
    const std::string& hand = lasts[own.front()].hand;
    if (hand == "l" || hand == "r") none.push_back(id + (hand == "l" ? " right" : " left"));
  }
  std::string text;
  if (!none.empty()) text = "not read at all: " + some_of(none, kMostColumnsNamed);
  if (!values.empty())
    text += (text.empty() ? "" : "; ") + ("not read: " + some_of(values, kMostColumnsNamed));
  return text;
}

std::string not_judged(const ReadingsFile& file, const CheckedReadings& checked) {
  std::set<long> lines;
  std::set<std::string> ids;
  for (const Reading& reading : checked.readings) {
    lines.insert(reading.line);
    ids.insert(reading.id);
  }
  std::set<std::string> hands;  // judged, as written
  for (const ReadingRow& row : file.rows) {
    if (lines.count(row.line) > 0) hands.insert(row.id + " " + row.hand);
  }
  std::vector<std::string> names;
  const auto add = [&](std::string name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
  };
  for (const ReadingRow& row : file.rows) {
    if (row.id.empty()) continue;
    if (ids.count(row.id) == 0) {
      add(row.id);
    } else if (!row.hand.empty() && hands.count(row.id + " " + row.hand) == 0) {
      add(row.id + " " + row.hand);
    }
  }
  for (const std::string& id : file.bad_ids) {
    if (ids.count(id) == 0) add(id);
  }
  return names.empty() ? std::string() : "not judged at all: " + some_of(names, kMostColumnsNamed);
}

}  // namespace lastwright
