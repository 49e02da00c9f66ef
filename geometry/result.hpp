// Result<T>: a value or the Problem that stands in its place.
//
//   Result<Drawing> drawing = read_dxf(bytes, options);
//   if (!drawing) return drawing.problem();
//   use(*drawing);
#pragma once

#include <utility>

#include "geometry/invariant.hpp"
#include "geometry/problem.hpp"
#include "geometry/value_or.hpp"

namespace lastwright {

template <class T>
class [[nodiscard]] Result : public ValueOr<T, Problem> {
 public:
  Result(T value) : ValueOr<T, Problem>(std::move(value)) {}            // NOLINT(google-explicit-constructor)
  Result(Problem problem) : ValueOr<T, Problem>(std::move(problem)) {}  // NOLINT(google-explicit-constructor)

  // Precondition: !ok().
  [[nodiscard]] const Problem& problem() const {
    invariant(!this->ok(), "the problem of a good Result was asked for");
    return *this->failure();
  }
};

// For operations that give nothing back but can fail.
struct Done {};
using Status = Result<Done>;

}  // namespace lastwright
