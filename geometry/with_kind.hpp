// What a named thing is called in a sentence.
#pragma once

#include <string>

namespace lastwright {

// "edge feather"; "edge 4" of an edge that is named so: its name says what it is.
inline std::string with_kind(const std::string& kind, const std::string& name) {
  const bool says = name.starts_with(kind) && (name.size() == kind.size() || name[kind.size()] == ' ');
  return says ? name : kind + " " + name;
}

}  // namespace lastwright
