// The exit codes of every command. Documented in the README; a test compares the two lists.
#pragma once

#include "geometry/problem.hpp"

namespace lastwright {

enum class ExitCode : int {
  kOk = 0,
  kCheckFailed = 1,   // the work was done, and a check or a reading failed
  kUsage = 2,         // unknown command or option, a value it cannot have, contradicting options
  kBadInput = 3,      // an input file is not what it should be
  kCannotGrade = 4,   // the input is sound, but the geometry or the rules cannot be built
  kWouldReplace = 5,  // an output exists; nothing was written
  // A file could not be found, read or written, or what is printed did not come out whole; outputs are whole, or as they were before.
  kFileSystem = 6,
  kInternal = 70,     // a fault of the program
};

constexpr ExitCode exit_code_of(Trouble trouble) {
  switch (trouble) {
    case Trouble::kUsage:
      return ExitCode::kUsage;
    case Trouble::kNotFound:
    case Trouble::kFileSystem:
      return ExitCode::kFileSystem;
    case Trouble::kWouldReplace:
      return ExitCode::kWouldReplace;
    case Trouble::kSyntax:
    case Trouble::kUnsupported:
    case Trouble::kBudget:
    case Trouble::kBadValue:
      return ExitCode::kBadInput;
    case Trouble::kGeometry:
    case Trouble::kGrade:
      return ExitCode::kCannotGrade;
    case Trouble::kCheck:
      return ExitCode::kCheckFailed;
    case Trouble::kInternal:
      return ExitCode::kInternal;
  }
  return ExitCode::kInternal;
}

}  // namespace lastwright
