#include "geometry/io/dxf/dxf_tags.hpp"

#include <fmt/format.h>

#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>

#include "geometry/io/decimal_text.hpp"
#include "geometry/io/dxf/dxf_file_kind.hpp"
#include "geometry/io/dxf/dxf_text.hpp"

namespace lastwright {
namespace {

constexpr int kLowestCode = -5;
constexpr unsigned kHighestCode = 1071;

bool is_blank(char c) {
  return c == ' ' || (c >= '\t' && c <= '\r');
}

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && is_blank(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_blank(text.back())) text.remove_suffix(1);
  return text;
}

// The first line feed or carriage return, or `last`. Eight characters at a time: a byte of `x` is zero where
// one of `word` is the character sought, and only a zero byte, or one above it, gets its high bit set by the
// subtraction (Warren, Hacker's Delight, 2nd edition, 6-1).
const char* line_end(const char* at, const char* last) {
  constexpr std::uint64_t kOnes = 0x0101010101010101;
  constexpr std::uint64_t kHighBits = 0x8080808080808080;
  const auto zero_bytes = [](std::uint64_t x) { return (x - kOnes) & ~x & kHighBits; };
  for (; last - at >= 8; at += 8) {
    std::uint64_t word = 0;
    std::memcpy(&word, at, sizeof word);
    const std::uint64_t found = zero_bytes(word ^ kOnes * '\n') | zero_bytes(word ^ kOnes * '\r');
    if (found == 0) continue;
    if constexpr (std::endian::native == std::endian::little) return at + std::countr_zero(found) / 8;
    break;
  }
  while (at != last && *at != '\n' && *at != '\r') ++at;
  return at;
}

// Little-endian, as the format prescribes, on any machine.
std::uint64_t little_endian(std::string_view bytes) {
  std::uint64_t value = 0;
  for (std::size_t i = bytes.size(); i-- > 0;) value = value << 8 | static_cast<unsigned char>(bytes[i]);
  return value;
}

}  // namespace

// The table of group code ranges in the published DXF reference.
DxfStorage dxf_storage(int code) {
  if (code < 0) return DxfStorage::kUndefined;
  if (code <= 9) return DxfStorage::kString;
  if (code <= 59) return DxfStorage::kDouble;
  if (code <= 79) return DxfStorage::kInt16;
  if (code >= 90 && code <= 99) return DxfStorage::kInt32;
  if (code >= 100 && code <= 109) return DxfStorage::kString;
  if (code >= 110 && code <= 149) return DxfStorage::kDouble;
  if (code >= 160 && code <= 169) return DxfStorage::kInt64;
  if (code >= 170 && code <= 179) return DxfStorage::kInt16;
  if (code >= 210 && code <= 239) return DxfStorage::kDouble;
  if (code >= 270 && code <= 289) return DxfStorage::kInt16;
  if (code >= 290 && code <= 299) return DxfStorage::kByte;
  if (code >= 300 && code <= 309) return DxfStorage::kString;
  if (code >= 310 && code <= 319) return DxfStorage::kChunk;
  if (code >= 320 && code <= 369) return DxfStorage::kString;
  if (code >= 370 && code <= 389) return DxfStorage::kInt16;
  if (code >= 390 && code <= 399) return DxfStorage::kString;
  if (code >= 400 && code <= 409) return DxfStorage::kInt16;
  if (code >= 410 && code <= 419) return DxfStorage::kString;
  if (code >= 420 && code <= 429) return DxfStorage::kInt32;
  if (code >= 430 && code <= 439) return DxfStorage::kString;
  if (code >= 440 && code <= 459) return DxfStorage::kInt32;
  if (code >= 460 && code <= 469) return DxfStorage::kDouble;
  if (code >= 470 && code <= 489) return DxfStorage::kString;
  if (code == 1004) return DxfStorage::kChunk;
  if (code >= 999 && code <= 1009) return DxfStorage::kString;
  if (code >= 1010 && code <= 1059) return DxfStorage::kDouble;
  if (code >= 1060 && code <= 1070) return DxfStorage::kInt16;
  if (code == 1071) return DxfStorage::kInt32;
  return DxfStorage::kUndefined;
}

std::string_view DxfTag::word() const {
  return trimmed(text);
}

Result<DxfTags> DxfTags::open(std::string_view bytes) {
  if (const auto kind = foreign_file_kind(bytes)) {
    return Problem{Trouble::kSyntax, fmt::format("not a DXF drawing but {}", *kind), {}, {}, {}};
  }
  DxfTags tags;
  tags.bytes_ = bytes;
  if (bytes.starts_with(kBinaryDxfSentinel)) {
    tags.binary_ = true;
    tags.at_ = kBinaryDxfSentinel.size();
    // The first tag is always code 0: a second zero byte can only be the upper half of a two-byte code.
    tags.wide_codes_ = bytes.size() > tags.at_ + 1 && bytes[tags.at_] == '\0' && bytes[tags.at_ + 1] == '\0';
  } else if (bytes.starts_with("\xef\xbb\xbf")) {
    tags.at_ = 3;
  }
  return tags;
}

bool DxfTags::fail(long place, std::string message) {
  problem_ = Problem{Trouble::kSyntax, std::move(message), place_of(place), {}, {}};
  return false;
}

bool DxfTags::fail_cut_off(long place) {
  cut_off_ = true;
  return fail(place, "the file is cut off: it ends inside a tag");
}

Place DxfTags::place_of(long place) const {
  Place where;
  if (binary_) {
    where.named.emplace_back("byte", fmt::format("{}", place));
  } else {
    where.line = place;
  }
  return where;
}

long DxfTags::here() const {
  return binary_ ? static_cast<long>(at_) : line_;
}

bool DxfTags::only_padding_left() const {
  constexpr char kEndOfText = '\x1a';  // ends files of old systems
  std::size_t at = at_;
  while (at < bytes_.size() && (is_blank(bytes_[at]) || bytes_[at] == '\0' || bytes_[at] == kEndOfText)) ++at;
  return at == bytes_.size();
}

bool DxfTags::next(DxfTag& tag) {
  if (held_) {
    tag = *held_;
    held_.reset();
    return true;
  }
  if (problem_) return false;
  constexpr int kComment = 999;
  do {
    if (!(binary_ ? next_binary(tag) : next_text(tag))) return false;
  } while (tag.code == kComment);
  return true;
}

bool DxfTags::read_line(std::string_view& line) {
  if (at_ >= bytes_.size()) return false;
  const char* const start = bytes_.data() + at_;
  const char* const last = bytes_.data() + bytes_.size();
  const char* const end = line_end(start, last);
  line = {start, static_cast<std::size_t>(end - start)};
  step_over_line_end(end);
  return true;
}

// `end`: the line's end, or that of the file.
void DxfTags::step_over_line_end(const char* end) {
  const auto left = static_cast<std::size_t>(bytes_.data() + bytes_.size() - end);
  const std::size_t width = left > 1 && end[0] == '\r' && end[1] == '\n' ? 2 : left > 0 ? 1 : 0;
  at_ = bytes_.size() - left + width;
  ++line_;
}

bool DxfTags::next_plain_text(DxfTag& tag) {
  constexpr std::ptrdiff_t kDigits = 4;
  const char* at = bytes_.data() + at_;
  const char* const last = bytes_.data() + bytes_.size();
  while (at != last && *at == ' ') ++at;
  if (last - at <= kDigits) return false;
  const char* const first = at;
  unsigned code = 0;
  for (unsigned digit = 0; at - first < kDigits; ++at) {
    digit = static_cast<unsigned>(*at) - '0';
    if (digit > 9) break;
    code = 10 * code + digit;
  }
  if (at == first || *at != '\n' || code > kHighestCode) return false;
  const char* const value = at + 1;
  const char* const end = line_end(value, last);
  if (end == last || *end != '\n') return false;
  tag.code = static_cast<int>(code);
  tag.kind = DxfValueKind::kText;
  tag.text = {value, static_cast<std::size_t>(end - value)};
  tag.place = line_ + 1;
  line_ += 2;
  at_ = static_cast<std::size_t>(end + 1 - bytes_.data());
  return true;
}

bool DxfTags::read_code(int& code) {
  std::string_view line;
  if (!read_line(line)) return false;
  const std::string_view digits = trimmed(line);
  const auto [end, error] = std::from_chars(digits.data(), digits.data() + digits.size(), code);
  if (error == std::errc{} && end == digits.data() + digits.size() && code >= kLowestCode &&
      code <= static_cast<int>(kHighestCode))
    return true;
  if (line_ == 1) {
    return fail(line_, fmt::format("not a DXF drawing: it starts with {} where a group code should be",
                                   in_quotes(digits)));
  }
  return fail(line_, fmt::format("a group code should be here, not {}", in_quotes(digits)));
}

bool DxfTags::next_text(DxfTag& tag) {
  if (next_plain_text(tag)) return true;
  if (only_padding_left()) return false;
  if (!read_code(tag.code)) return false;
  tag.place = line_;
  if (!read_line(tag.text)) return fail_cut_off(line_);
  tag.kind = DxfValueKind::kText;
  return true;
}

bool DxfTags::next_binary(DxfTag& tag) {
  if (at_ >= bytes_.size()) return false;
  const auto start = static_cast<long>(at_);
  tag.place = start;
  const auto take = [this](std::size_t count, std::string_view& out) {
    if (bytes_.size() - at_ < count) return false;
    out = bytes_.substr(at_, count);
    at_ += count;
    return true;
  };
  std::string_view raw;
  if (!take(wide_codes_ ? 2 : 1, raw)) return fail_cut_off(start);
  tag.code = static_cast<int>(little_endian(raw));
  constexpr int kEscape = 255;  // R12: a code of two bytes follows
  if (!wide_codes_ && tag.code == kEscape) {
    if (!take(2, raw)) return fail_cut_off(start);
    tag.code = static_cast<int>(little_endian(raw));
  }
  const auto whole = [&](std::size_t count) {
    if (!take(count, raw)) return fail_cut_off(start);
    tag.kind = DxfValueKind::kWhole;
    const auto value = static_cast<std::int64_t>(little_endian(raw));
    const int shift = static_cast<int>(8 * (8 - count));
    tag.whole = static_cast<std::int64_t>(static_cast<std::uint64_t>(value) << shift) >> shift;
    return true;
  };
  switch (dxf_storage(tag.code)) {
    case DxfStorage::kString: {
      const std::size_t end = bytes_.find('\0', at_);
      if (end == std::string_view::npos) return fail_cut_off(start);
      tag.kind = DxfValueKind::kText;
      tag.text = bytes_.substr(at_, end - at_);
      at_ = end + 1;
      return true;
    }
    case DxfStorage::kDouble:
      if (!take(8, raw)) return fail_cut_off(start);
      tag.kind = DxfValueKind::kReal;
      tag.real = std::bit_cast<double>(little_endian(raw));
      return true;
    case DxfStorage::kByte:
      return whole(1);
    case DxfStorage::kInt16:
      return whole(2);
    case DxfStorage::kInt32:
      return whole(4);
    case DxfStorage::kInt64:
      return whole(8);
    case DxfStorage::kChunk:
      if (!take(1, raw) || !take(static_cast<unsigned char>(raw[0]), raw)) return fail_cut_off(start);
      tag.kind = DxfValueKind::kText;
      tag.text = raw;
      return true;
    case DxfStorage::kUndefined:
      break;
  }
  return fail(start, fmt::format("group code {} does not exist, so its size is not known", tag.code));
}

Result<double> real_of(const DxfTag& tag) {
  const auto wrong = [](std::string message) {
    return Problem{Trouble::kSyntax, std::move(message), {}, {}, {}};
  };
  double value = tag.kind == DxfValueKind::kReal ? tag.real : static_cast<double>(tag.whole);
  if (tag.kind == DxfValueKind::kText) {
    if (const auto plain = plain_decimal(tag.text)) return *plain;
    std::string_view digits = tag.word();
    if (digits.size() > 1 && digits[0] == '+' && digits[1] != '-') digits.remove_prefix(1);
    const char* const last = digits.data() + digits.size();
    const auto [end, error] = std::from_chars(digits.data(), last, value);
    if (error == std::errc::result_out_of_range) {
      return wrong(fmt::format("the number {} (group code {}) is too large or too small", in_quotes(digits),
                               tag.code));
    }
    if (error == std::errc{} && end != last && *end == ',') {
      return wrong(fmt::format("{} (group code {}) is written with a decimal comma; DXF uses a point",
                               in_quotes(digits), tag.code));
    }
    if (error != std::errc{} || end != last) {
      return wrong(fmt::format("{} (group code {}) is not a number", in_quotes(digits), tag.code));
    }
  }
  if (!std::isfinite(value)) return wrong(fmt::format("the number of group code {} is not finite", tag.code));
  return value;
}

Result<std::int64_t> whole_of(const DxfTag& tag) {
  if (tag.kind == DxfValueKind::kWhole) return tag.whole;
  const Result<double> value = real_of(tag);
  if (!value) return value.problem();
  constexpr double kExactlyWhole = 9007199254740992.0;  // 2^53
  if (*value != std::floor(*value) || std::abs(*value) > kExactlyWhole) {
    return Problem{Trouble::kSyntax,
                   fmt::format("the value of group code {} should be a whole number", tag.code),
                   {},
                   *value,
                   {}};
  }
  return static_cast<std::int64_t>(*value);
}

}  // namespace lastwright
