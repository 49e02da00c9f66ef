// Checked<T>: a value, or all the problems that stand in its place: for readers that go on after a problem,
// so that one run shows them all. What ends at its first problem gives back a Result.
//
//   Checked<WorksSpec> works = read_works(text, file);
//   if (!works) return print_problems(works.problems());
//   use(*works);
#pragma once

#include <utility>
#include <vector>

#include "geometry/invariant.hpp"
#include "geometry/problem.hpp"
#include "geometry/value_or.hpp"

namespace lastwright {

template <class T>
class [[nodiscard]] Checked : public ValueOr<T, std::vector<Problem>> {
  using Base = ValueOr<T, std::vector<Problem>>;

 public:
  Checked(T value) : Base(std::move(value)) {}  // NOLINT(google-explicit-constructor)
  Checked(Problem problem)                      // NOLINT(google-explicit-constructor)
      : Base(std::vector<Problem>{std::move(problem)}) {}
  // At least one, in the order in which they shall be told.
  Checked(std::vector<Problem> problems)  // NOLINT(google-explicit-constructor)
      : Base(std::move(problems)) {
    invariant(!this->problems().empty(), "a value was held back without a problem");
  }

  // All of them; none where there is a value.
  [[nodiscard]] const std::vector<Problem>& problems() const {
    static const std::vector<Problem> none;
    return this->ok() ? none : *this->failure();
  }
};

}  // namespace lastwright
