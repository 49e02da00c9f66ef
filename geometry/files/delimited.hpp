// Delimited text: one record a line, as spreadsheets and people write it.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace lastwright {

struct DelimitedRecord {
  long line = 0;
  std::vector<std::string> fields;  // without the blanks around them; quoted ones as they are
  std::string fault;                // empty, or what is wrong with its form
};

// RFC 4180 quoting with any delimiter; lines may end in LF or CR LF; a byte order mark, blank lines and lines
// that begin with # are passed over, but for one with as many fields as the header, which is a row at fault
// (geometry/files/note_line.hpp). A quote that does not close ends with its line, so that one slip costs
// one row and not the rest of the file.
class DelimitedText {
 public:
  // The delimiter is the one that a line "sep=;" at the start names, else the first of ; tab , that the
  // header has outside quotes.
  explicit DelimitedText(std::string_view text);
  [[nodiscard]] char delimiter() const { return delimiter_; }
  // The next record off the front; false at the end.
  bool next(DelimitedRecord& record);
  // What is left, with the delimiter of its own first line; lines are counted on. A delimiter that the text
  // itself names stays.
  [[nodiscard]] DelimitedText from_here() const;

 private:
  void find_delimiter();
  bool next_line(std::string_view& line);
  [[nodiscard]] DelimitedRecord split(std::string_view line) const;

  std::string_view text_;
  long line_ = 0;
  char delimiter_ = ',';
  std::size_t header_fields_ = 0;  // before the header is read
  bool named_ = false;  // by a line "sep="
};

}  // namespace lastwright
