// Checked<T>: a value, or all the problems that stand in its place: for readers that go on after a problem,
// so that one run shows them all. What ends at its first problem gives back a Result.
//
//   Checked<WorksSpec> works = read_works(text, file);
//   if (!works) return print_problems(works.problems());
//   use(*works);
#pragma once

#include <utility>
#include <variant>
#include <vector>

#include "geometry/invariant.hpp"
#include "geometry/problem.hpp"

namespace lastwright {

template <class T>
class [[nodiscard]] Checked {
 public:
  Checked(T value)  // NOLINT(google-explicit-constructor)
      : state_(std::in_place_index<0>, std::move(value)) {}
  Checked(Problem problem)  // NOLINT(google-explicit-constructor)
      : state_(std::in_place_index<1>, std::vector<Problem>{std::move(problem)}) {}
  // At least one, in the order in which they shall be told.
  Checked(std::vector<Problem> problems)  // NOLINT(google-explicit-constructor)
      : state_(std::in_place_index<1>, std::move(problems)) {
    invariant(!this->problems().empty(), "a value was held back without a problem");
  }

  [[nodiscard]] bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }

  // Precondition: ok(). A broken one is a bug and throws InvariantBroken.
  [[nodiscard]] const T& value() const& {
    invariant(ok(), "the value of a failed Checked was asked for");
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T& value() & {
    invariant(ok(), "the value of a failed Checked was asked for");
    return *std::get_if<0>(&state_);
  }
  [[nodiscard]] T&& value() && {
    invariant(ok(), "the value of a failed Checked was asked for");
    return std::move(*std::get_if<0>(&state_));
  }
  const T& operator*() const& { return value(); }
  T& operator*() & { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  const T* operator->() const { return &value(); }
  T* operator->() { return &value(); }

  // All of them; none where there is a value.
  [[nodiscard]] const std::vector<Problem>& problems() const {
    static const std::vector<Problem> none;
    return ok() ? none : *std::get_if<1>(&state_);
  }

 private:
  std::variant<T, std::vector<Problem>> state_;
};

}  // namespace lastwright
