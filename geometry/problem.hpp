// What is wrong, where, and against which limit: bad data as a value.
//
// Whatever a user can cause (a file, an option, a number in a style) comes back as a Problem. What only a
// programming error can cause goes through invariant.hpp instead.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace lastwright {

// The family of a problem. Each family has one exit code (cli/exit_codes.hpp).
enum class Trouble {
  kUsage,         // the command line asks for something that does not exist or contradicts itself
  kNotFound,      // a file or folder is not there or cannot be opened
  kWouldReplace,  // an output exists and --force was not given, or an output would replace an input
  kFileSystem,    // reading or writing failed half way: full disk, permissions, device errors
  kSyntax,        // the bytes are not the format they claim to be
  kUnsupported,   // well formed, but something this program does not read
  kBudget,        // a reader's hard limit (bytes, depth, count) is exceeded
  kBadValue,      // a value is of the wrong type, out of range or names something unknown
  kGeometry,      // an outline is open, crosses itself, or an operation cannot be built on it
  kGrade,         // the rules contradict each other, or the map folds
  kCheck,         // a check of the style failed: a seam, a share, a line off its table value
  kInternal,      // this program is wrong, not the data
};

// The trouble's name as it is printed: "bad value", "syntax", ...
const char* name_of(Trouble trouble);

// Where it is. Parts that do not apply stay empty.
struct Place {
  std::string file;     // as the user named it
  long line = 0;        // 1-based; 0: no line
  std::string pointer;  // JSON pointer (RFC 6901), "" for the whole document
  std::vector<std::pair<std::string, std::string>>
      named;  // {"piece","vamp"}, {"edge","lasting"}, {"size","8"}
};

struct Problem {
  Trouble trouble = Trouble::kInternal;
  std::string message;  // a sentence without a full stop, lower-case first word, says the value found and
                        // what would do
  Place place;
  std::optional<double> value;  // measured value, in the unit the message states
  std::optional<double> limit;  // the limit it breaks

  // The same problem, seen from one level further out; the outermost name comes first when printed.
  [[nodiscard]] Problem in(std::string kind, std::string name) const;
  [[nodiscard]] Problem in_file(std::string file) const;
};

// A value that is of no use, wherever it stands.
inline Problem bad_value(std::string message) {
  return {Trouble::kBadValue, std::move(message), {}, {}, {}};
}

// "shell.dxf:120: piece vamp, edge lasting: the allowance does not fit (found 12, limit 9.31)"
std::string plain_text(const Problem& problem);
// The same with its family behind it: "... (found 12, limit 9.31) [geometry]"
std::string to_text(const Problem& problem);

}  // namespace lastwright
