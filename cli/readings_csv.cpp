#include "cli/readings_csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geometry/io/dxf_file_kind.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

struct Record {
  long line = 0;
  std::vector<std::string> fields;
  std::string fault;  // empty, or what is wrong with its form
};

std::string trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return std::string(text);
}

// Takes one record off the front of the text. A quote that does not close ends with its line, so that one
// slip costs one row and not the rest of the file.
class Records {
 public:
  explicit Records(std::string_view text) : text_(text) {
    if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
  }

  bool next(Record& record) {
    while (!text_.empty()) {
      const std::size_t end = std::min(text_.find('\n'), text_.size());
      std::string_view line = text_.substr(0, end);
      text_.remove_prefix(std::min(end + 1, text_.size()));
      ++line_;
      if (line.ends_with('\r')) line.remove_suffix(1);
      if (trimmed(line).empty() || line.starts_with('#')) continue;
      record = split(line);
      return true;
    }
    return false;
  }

 private:
  [[nodiscard]] Record split(std::string_view line) const {
    Record record{line_, {}, {}};
    std::size_t at = 0;
    for (;;) {
      std::string field;
      if (at < line.size() && line[at] == '"') {
        ++at;
        bool closed = false;
        while (at < line.size()) {
          if (line[at] != '"') {
            field += line[at++];
          } else if (at + 1 < line.size() && line[at + 1] == '"') {
            field += '"';
            at += 2;
          } else {
            ++at;
            closed = true;
            break;
          }
        }
        if (!closed) record.fault = "a quote does not close in its line";
        if (closed && at < line.size() && line[at] != ',') record.fault = "something follows a closing quote";
        at = std::min(line.find(',', at), line.size());
      } else {
        const std::size_t end = std::min(line.find(',', at), line.size());
        field = trimmed(line.substr(at, end - at));
        at = end;
      }
      record.fields.push_back(std::move(field));
      if (at >= line.size()) return record;
      ++at;
    }
  }

  std::string_view text_;
  long line_ = 0;
};

constexpr std::array<const char*, 8> kColumns{"id",      "size",  "width", "hand",
                                              "measure", "value", "unit",  "gauge"};

Problem at_line(Trouble trouble, const std::string& file, long line, std::string message) {
  return {trouble, std::move(message), {file, line, {}, {}}, {}, {}};
}

// Where each of kColumns stands in the file; gauge may be missing.
Result<std::vector<std::size_t>> columns_of(const Record& header, const std::string& file,
                                            std::string_view text) {
  constexpr std::size_t kMissing = static_cast<std::size_t>(-1);
  std::vector<std::size_t> places(kColumns.size(), kMissing);
  const std::vector<std::string> known(kColumns.begin(), kColumns.end());
  for (std::size_t i = 0; i < header.fields.size(); ++i) {
    const auto found = std::find(known.begin(), known.end(), header.fields[i]);
    if (found == known.end()) {
      if (const auto kind = foreign_file_kind(text); kind && i == 0) {
        return at_line(Trouble::kSyntax, file, 0, fmt::format("this is not a CSV file but {}", *kind));
      }
      return at_line(
          Trouble::kBadValue, file, header.line,
          fmt::format("there is no column \"{}\"{}", header.fields[i], suggestion(header.fields[i], known)));
    }
    std::size_t& place = places[static_cast<std::size_t>(found - known.begin())];
    if (place != kMissing) {
      return at_line(Trouble::kBadValue, file, header.line,
                     fmt::format("the column \"{}\" is there twice", *found));
    }
    place = i;
  }
  for (std::size_t i = 0; i + 1 < kColumns.size(); ++i) {
    if (places[i] != kMissing) continue;
    return at_line(
        Trouble::kBadValue, file, header.line,
        fmt::format("the column \"{}\" is missing; wanted: id,size,width,hand,measure,value,unit and, if you "
                    "like, gauge",
                    kColumns[i]));
  }
  return places;
}

}  // namespace

Result<ReadingsFile> parse_readings(std::string_view text, const std::string& file,
                                    const ReadingsLimits& limits) {
  Records records(text);
  Record record;
  if (!records.next(record))
    return at_line(Trouble::kSyntax, file, 0, "the file is empty; its first line names the columns");
  const auto columns = columns_of(record, file, text);
  if (!columns) return columns.problem();
  const std::size_t width = record.fields.size();
  ReadingsFile read;
  while (records.next(record)) {
    if (read.rows.size() + read.bad_rows.size() >= limits.rows) {
      return at_line(Trouble::kBudget, file, record.line, fmt::format("more than {} rows", limits.rows));
    }
    if (record.fault.empty() && record.fields.size() != width) {
      record.fault = fmt::format("{} fields where the header has {}", record.fields.size(), width);
      if (record.fields.size() == width + 1) record.fault += "; a decimal comma? the decimal sign is a point";
    }
    const auto long_field = [&](const std::string& field) { return field.size() > limits.field_bytes; };
    if (record.fault.empty() && std::any_of(record.fields.begin(), record.fields.end(), long_field)) {
      record.fault = fmt::format("a field is longer than {} bytes", limits.field_bytes);
    }
    if (!record.fault.empty()) {
      read.bad_rows.push_back(at_line(Trouble::kBadValue, file, record.line, record.fault));
      continue;
    }
    const auto field = [&](std::size_t column) -> std::string {
      const std::size_t place = (*columns)[column];
      return place < record.fields.size() ? record.fields[place] : "";
    };
    read.rows.push_back(
        {record.line, field(0), field(1), field(2), field(3), field(4), field(5), field(6), field(7)});
  }
  return read;
}

}  // namespace lastwright
