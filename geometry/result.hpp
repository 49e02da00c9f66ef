// Result<T>: a value or the Problem that stands in its place.
//
//   Result<Drawing> drawing = read_dxf(bytes, options);
//   if (!drawing) return drawing.problem();
//   use(*drawing);
#pragma once

#include <utility>
#include <variant>

#include "geometry/invariant.hpp"
#include "geometry/problem.hpp"

namespace lastwright {

template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value)
      : state_(std::in_place_index<0>, std::move(value)) {}  // NOLINT(google-explicit-constructor)
  Result(Problem problem)
      : state_(std::in_place_index<1>, std::move(problem)) {}  // NOLINT(google-explicit-constructor)

  [[nodiscard]] bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }

  // Precondition: ok(). A broken one is a bug and throws InvariantBroken.
  [[nodiscard]] const T& value() const& {
    invariant(ok(), "the value of a failed Result was asked for");
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T& value() & {
    invariant(ok(), "the value of a failed Result was asked for");
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T&& value() && {
    invariant(ok(), "the value of a failed Result was asked for");
    return std::move(*std::get_if<0>(&state_));
  }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }

  // Precondition: !ok().
  [[nodiscard]] const Problem& problem() const {
    invariant(!ok(), "the problem of a good Result was asked for");
    return *std::get_if<1>(&state_);
  }

 private:
  std::variant<T, Problem> state_;
};

// For operations that give nothing back but can fail.
struct Done {};
using Status = Result<Done>;

}  // namespace lastwright
