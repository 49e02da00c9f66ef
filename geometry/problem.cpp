#include "geometry/problem.hpp"

#include <fmt/format.h>

#include "geometry/with_kind.hpp"

namespace lastwright {

const char* name_of(Trouble trouble) {
  switch (trouble) {
    case Trouble::kUsage:
      return "usage";
    case Trouble::kNotFound:
      return "not found";
    case Trouble::kWouldReplace:
      return "would replace";
    case Trouble::kFileSystem:
      return "file system";
    case Trouble::kSyntax:
      return "syntax";
    case Trouble::kUnsupported:
      return "unsupported";
    case Trouble::kBudget:
      return "over budget";
    case Trouble::kBadValue:
      return "bad value";
    case Trouble::kGeometry:
      return "geometry";
    case Trouble::kGrade:
      return "grade";
    case Trouble::kCheck:
      return "check";
    case Trouble::kInternal:
      return "internal";
  }
  return "internal";
}

Problem Problem::in(std::string kind, std::string name) const {
  Problem outer = *this;
  outer.place.named.emplace(outer.place.named.begin(), std::move(kind), std::move(name));
  return outer;
}

Problem Problem::in_file(std::string file) const {
  Problem outer = *this;
  if (outer.place.file.empty()) outer.place.file = std::move(file);
  return outer;
}

std::string plain_text(const Problem& problem) {
  std::string text;
  const Place& place = problem.place;
  if (!place.file.empty()) {
    text += place.file;
    if (place.line > 0) text += fmt::format(":{}", place.line);
    text += ": ";
  } else if (place.line > 0) {
    text += fmt::format("line {}: ", place.line);
  }
  if (!place.pointer.empty()) text += fmt::format("at {}: ", place.pointer);
  for (std::size_t i = 0; i < place.named.size(); ++i) {
    const auto& [kind, name] = place.named[i];
    text += with_kind(kind, name) + (i + 1 < place.named.size() ? ", " : ": ");
  }
  text += problem.message;
  if (problem.value && problem.limit) {
    text += fmt::format(" (found {:.6g}, limit {:.6g})", *problem.value, *problem.limit);
  } else if (problem.value) {
    text += fmt::format(" (found {:.6g})", *problem.value);
  } else if (problem.limit) {
    text += fmt::format(" (limit {:.6g})", *problem.limit);
  }
  return text;
}

std::string to_text(const Problem& problem) {
  return fmt::format("{} [{}]", plain_text(problem), name_of(problem.trouble));
}

}  // namespace lastwright
