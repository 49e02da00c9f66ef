// Rows of a CSV of reference facts, by column name. Used
// by tests only, on files without a quote inside a quote.
#pragma once

#include <catch2/catch.hpp>
#include <map>
#include <string>
#include <vector>

#include "tests/support/shared_folder.hpp"

namespace lastwright::test {

using CsvRow = std::map<std::string, std::string>;

inline std::vector<std::string> csv_fields(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      fields.emplace_back();
    } else if (c != '\r') {
      fields.back() += c;
    }
  }
  return fields;
}

// Lines that start with # say where the figures come from and are skipped.
inline std::vector<CsvRow> csv_rows(const std::string& text) {
  std::vector<CsvRow> rows;
  std::vector<std::string> head;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    const std::string line = text.substr(start, end - start);
    start = end + 1;
    if (line.empty() || line.front() == '#') continue;
    const std::vector<std::string> fields = csv_fields(line);
    if (head.empty()) {
      head = fields;
      continue;
    }
    CsvRow row;
    for (std::size_t i = 0; i < head.size(); ++i) row[head[i]] = i < fields.size() ? fields[i] : "";
    rows.push_back(std::move(row));
  }
  return rows;
}

// Empty where the reference folder is not beside the project; the test says that it was skipped.
inline std::vector<CsvRow> reference_csv(const std::string& name) {
  const auto folder = shared_folder("reference");
  if (!folder) {
    WARN("skipped: the reference folder is not beside the project, so " << name << " was not compared");
    return {};
  }
  const std::vector<CsvRow> rows = csv_rows(read_bytes(*folder / name));
  REQUIRE_FALSE(rows.empty());
  return rows;
}

}  // namespace lastwright::test
