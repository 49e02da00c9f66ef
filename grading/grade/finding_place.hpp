// Where the worst figure of a finding stands: held as values, put into words here alone.
#pragma once

#include <optional>
#include <string>

#include "geometry/vec2.hpp"
#include "grading/sizes/scale.hpp"

namespace lastwright {

// What does not apply is empty; all of it, where the figure is the same everywhere.
struct FindingPlace {
  std::string size;                // labels of the run; one alone where the other does not matter
  std::string width;               //
  std::string piece;               // the one of which `point` is told
  std::optional<Vec2> point = {};  // mm, in the frame of the piece's forme, of the base
  std::string more = {};  // what else is said of it: "14 mm from the rule"; all, where it is known in words

  FindingPlace() = default;
  FindingPlace(const SizeWidth& at)  // NOLINT(google-explicit-constructor)
      : size(at.size.label), width(at.width.label) {}
  FindingPlace(const SizeWidth& at, std::string of_piece, Vec2 at_point, std::string said)
      : size(at.size.label),
        width(at.width.label),
        piece(std::move(of_piece)),
        point(at_point),
        more(std::move(said)) {}

  [[nodiscard]] bool empty() const {
    return size.empty() && width.empty() && piece.empty() && !point && more.empty();
  }
};

// "size 13, width H, of vamp, at (12.0, -3.5), 14 mm from the rule": the point to a tenth of a millimetre.
std::string to_text(const FindingPlace& place);

// The same of a size and width.
std::string where(const SizeWidth& at);

}  // namespace lastwright
