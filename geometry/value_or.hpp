// A value, or what stands in its place where an operation failed: what Result and Checked have in common.
#pragma once

#include <utility>
#include <variant>

#include "geometry/invariant.hpp"

namespace lastwright {

template <class T, class Failure>
class ValueOr {
 public:
  [[nodiscard]] bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }

  // Precondition: ok(). A broken one is a bug and throws InvariantBroken.
  [[nodiscard]] const T& value() const& {
    invariant(ok(), "the value of what failed was asked for");
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T& value() & {
    invariant(ok(), "the value of what failed was asked for");
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T&& value() && {
    invariant(ok(), "the value of what failed was asked for");
    return std::move(*std::get_if<0>(&state_));
  }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }

 protected:
  explicit ValueOr(T value) : state_(std::in_place_index<0>, std::move(value)) {}
  explicit ValueOr(Failure failure) : state_(std::in_place_index<1>, std::move(failure)) {}
  // Null where there is a value.
  [[nodiscard]] const Failure* failure() const { return std::get_if<1>(&state_); }

 private:
  std::variant<T, Failure> state_;
};

}  // namespace lastwright
