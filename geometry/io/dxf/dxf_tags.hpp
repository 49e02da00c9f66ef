// The lowest layer of DXF: a run of tags, each a group code and a value, from text or from binary files.
//
// Text files: one line for the code, one for the value; lines end with LF,
// CR LF or CR, also mixed. Binary files: the sentinel, then codes of one
// byte (R12) or two bytes (R13 and later) with values sized by the code.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "geometry/problem.hpp"
#include "geometry/result.hpp"

namespace lastwright {

enum class DxfValueKind { kText, kReal, kWhole };

// How a binary file stores the value of a group code; text files do not need it.
enum class DxfStorage { kString, kDouble, kInt16, kInt32, kInt64, kByte, kChunk, kUndefined };
DxfStorage dxf_storage(int code);

struct DxfTag {
  int code = 0;
  DxfValueKind kind = DxfValueKind::kText;
  std::string_view text;  // kText: the value as in the file, blanks kept; points into the file's bytes
  double real = 0.0;
  std::int64_t whole = 0;
  long place = 0;  // line of the group code, 1-based; byte offset in a binary file

  // The text without blanks at its ends.
  [[nodiscard]] std::string_view word() const;
  [[nodiscard]] bool is(int c, std::string_view keyword) const { return code == c && word() == keyword; }
};

// Reads tags one after the other. The bytes must outlive it.
class DxfTags {
 public:
  // Refuses what is another kind of file (foreign_file_kind).
  static Result<DxfTags> open(std::string_view bytes);

  // False at the end of the bytes, or when the next tag is damaged: then problem() says how. Comments (code
  // 999) are passed over.
  bool next(DxfTag& tag);
  // Makes the next call of next() give this tag again.
  void put_back(const DxfTag& tag) { held_ = tag; }

  [[nodiscard]] const std::optional<Problem>& problem() const { return problem_; }
  // True when the bytes ended inside a tag.
  [[nodiscard]] bool cut_off() const { return cut_off_; }
  [[nodiscard]] bool binary() const { return binary_; }
  // Everything after the last tag read is blank padding.
  [[nodiscard]] bool only_padding_left() const;
  // "line 12" or "byte 345" as a Problem's place.
  [[nodiscard]] Place place_of(long place) const;
  [[nodiscard]] long here() const;

 private:
  bool read_line(std::string_view& line);
  bool read_code(int& code);
  void step_over_line_end(const char* end);
  bool next_text(DxfTag& tag);
  // The common case, at a third of the cost: a code of one to four digits with nothing but blanks before it,
  // both lines ended by a line feed. Leaves all else alone.
  bool next_plain_text(DxfTag& tag);
  bool next_binary(DxfTag& tag);
  bool fail(long place, std::string message);
  bool fail_cut_off(long place);

  std::string_view bytes_;
  std::size_t at_ = 0;
  long line_ = 0;
  bool binary_ = false;
  bool wide_codes_ = false;
  bool cut_off_ = false;
  std::optional<DxfTag> held_;
  std::optional<Problem> problem_;
};

// A problem without a place; the caller that knows the place fills it in.
inline Problem dxf_problem(Trouble trouble, std::string message) {
  return {trouble, std::move(message), {}, {}, {}};
}

// The number a tag holds. Refuses decimal commas, NaN, infinities and anything that is not wholly a number.
Result<double> real_of(const DxfTag& tag);
Result<std::int64_t> whole_of(const DxfTag& tag);

}  // namespace lastwright
