// An open path walked by length: where things are strung along it.
#pragma once

#include <vector>

#include "geometry/curve/arc_path.hpp"

namespace lastwright {

class Course {
 public:
  Course() = default;
  // Precondition: at least one segment, none without length.
  explicit Course(OpenArcPath path);

  struct Station {
    Vec2 at;
    Vec2 along;  // unit tangent; at a joint that of the segment that ends there
  };

  [[nodiscard]] const OpenArcPath& path() const { return path_; }
  [[nodiscard]] double length() const { return reached_.back(); }
  // Exact on the arcs. `s` is held between 0 and the length.
  [[nodiscard]] Station at(double s) const;
  // The stretch between two lengths, 0 <= from < to <= length; arcs stay arcs of their circle.
  [[nodiscard]] OpenArcPath part(double from, double to) const;

 private:
  [[nodiscard]] std::size_t segment_at(double s) const;
  OpenArcPath path_;
  std::vector<double> reached_;  // length at the end of each segment
};

}  // namespace lastwright
