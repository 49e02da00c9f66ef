// A key of an object that may be left out: what stands there is taken, else what it was stays.
#pragma once

#include <optional>

#include "grading/json/json_text.hpp"

namespace lastwright {

template <class T>
void take_key(const Json& from, const char* key, T& into) {
  if (const auto found = from.find(key); found != from.end()) into = found->get<T>();
}
template <class T>
void take_key(const Json& from, const char* key, std::optional<T>& into) {
  if (const auto found = from.find(key); found != from.end()) into = found->get<T>();
}

}  // namespace lastwright
