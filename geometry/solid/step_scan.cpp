#include "geometry/solid/step_scan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstdint>
#include <optional>
#include <vector>

namespace lastwright {

namespace {

constexpr double kLargestNumber = 1e9;  // mm: a thousand kilometres, no last

class StepScan {
 public:
  explicit StepScan(std::string_view bytes) : bytes_(bytes) {}

  Status run() {
    while (at_ < bytes_.size()) {
      if (Status sound = token(); !sound) return sound;
    }
    std::sort(defined_.begin(), defined_.end());
    for (const Reference& reference : references_) {
      if (std::binary_search(defined_.begin(), defined_.end(), reference.id)) continue;
      return problem(fmt::format("the STEP file refers to #{}, which is not in it", reference.id),
                     reference.line);
    }
    return Done{};
  }

 private:
  struct Reference {
    std::uint64_t id;
    long line;
  };

  static bool is_digit(char c) { return c >= '0' && c <= '9'; }
  static bool is_letter(char c) { return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '_'; }

  static Problem problem(std::string message, long line) {
    Problem problem{Trouble::kBadValue, std::move(message), {}, {}, {}};
    problem.place.line = line;
    return problem;
  }

  [[nodiscard]] bool next_is(std::string_view text) const { return bytes_.substr(at_, text.size()) == text; }

  void step() {
    if (bytes_[at_++] == '\n') ++line_;
  }
  void step_behind(std::string_view end) {
    while (at_ < bytes_.size() && !next_is(end)) step();
    at_ = std::min(at_ + end.size(), bytes_.size());
  }
  std::string_view word() {
    const std::size_t start = at_;
    constexpr std::string_view kEnds = "(),;=\n\r\t '/";
    while (at_ < bytes_.size() && kEnds.find(bytes_[at_]) == std::string_view::npos) ++at_;
    return bytes_.substr(start, at_ - start);
  }

  Status token() {
    const char c = bytes_[at_];
    if (next_is("/*")) {
      at_ += 2;
      step_behind("*/");
    } else if (c == '\'') {  // a doubled apostrophe inside a text ends one and begins the next
      ++at_;
      step_behind("'");
    } else if (c == '#') {
      return entity();
    } else if (is_digit(c)) {
      return number();
    } else if (is_letter(c)) {
      word();
    } else {
      step();
    }
    return Done{};
  }

  Status entity() {
    const long line = line_;
    ++at_;
    const std::string_view digits = word();
    std::uint64_t id = 0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), id);
    if (digits.empty() || read.ec != std::errc() || read.ptr != digits.data() + digits.size())
      return Done{};  // no number of an entity: for the kernel to judge
    while (at_ < bytes_.size() && (bytes_[at_] == ' ' || (bytes_[at_] >= '\t' && bytes_[at_] <= '\r')))
      step();
    if (next_is("=")) {
      defined_.push_back(id);
    } else {
      references_.push_back({id, line});
    }
    return Done{};
  }

  Status number() {
    const long line = line_;
    const std::string_view digits = word();
    double value = 0.0;
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), value);
    const bool tiny =
        read.ec == std::errc::result_out_of_range && digits.find("E-") != std::string_view::npos;
    if (tiny || (read.ec == std::errc() && value <= kLargestNumber)) return Done{};
    Problem large = problem("a number of the STEP file is larger than any of a last", line);
    large.limit = kLargestNumber;
    return large;
  }

  std::string_view bytes_;
  std::size_t at_ = 0;
  long line_ = 1;
  std::vector<std::uint64_t> defined_;
  std::vector<Reference> references_;
};

}  // namespace

Status scan_step(std::string_view bytes) {
  return StepScan(bytes).run();
}

}  // namespace lastwright
