// The collection of reference tables: those built in and the user's own.
//
// Built-in tables are read when they are asked for, one at a time, so that a command starts at once.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/measures/reference_table.hpp"

namespace lastwright {

class JsonSchema;

// Of a table's file: reference-tables/schema.json.
const JsonSchema& table_schema();

class ReferenceTables {
 public:
  // Adds a table from the text of a user's file, checked against
  // reference-tables/schema.json and for sense. Refuses it with the JSON pointer,
  // the value and what would do; also a key that a table of its kind already has.
  Status add(std::string_view text, std::string file);

  // All tables, or those of one kind, built-in ones first, by kind and key.
  [[nodiscard]] std::vector<TableEntry> list(std::string_view kind = {}) const;

  // Each refuses an unknown key, naming the nearest known one.
  [[nodiscard]] Result<Scale> find_scale(std::string_view key) const;
  [[nodiscard]] Result<Ladder> find_ladder(std::string_view key) const;
  [[nodiscard]] Result<PrintedTable> find_printed(std::string_view key) const;
  [[nodiscard]] Result<RuledTable> find_ruled(std::string_view key) const;
  [[nodiscard]] Result<MarkingTable> find_marking(std::string_view key) const;
  [[nodiscard]] Result<std::vector<IncrementStatement>> find_increments(std::string_view key) const;
  [[nodiscard]] Result<std::vector<LimitRow>> find_limits(std::string_view key) const;

 private:
  struct Own;  // a table of the user's: its text as read
  [[nodiscard]] Result<JsonDocument> document(std::string_view kind, std::string_view key) const;
  // Reads the content once, to refuse what the schema cannot.
  [[nodiscard]] Status check_content(std::string_view kind, std::string_view key) const;

  std::vector<std::shared_ptr<const Own>> own_;
};

}  // namespace lastwright
