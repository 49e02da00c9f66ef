// Reading small DXF texts in tests.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <utility>

#include "geometry/io/dxf/dxf_read.hpp"

namespace lastwright::test {

inline Drawing read(const std::string& bytes) {
  Result<Drawing> drawing = read_dxf(bytes, {});
  if (!drawing) FAIL(to_text(drawing.problem()));
  CHECK(drawing->entities_in == drawing->used() + drawing->left_out.size());
  return std::move(drawing).value();
}

inline std::string dxf_refusal(const std::string& bytes, DxfReadOptions options = {}) {
  const Result<Drawing> drawing = read_dxf(bytes, options);
  return drawing ? "read without complaint" : to_text(drawing.problem());
}

inline void check_point(Vec2 found, Vec2 wanted) {
  CHECK(found.x == Catch::Detail::Approx(wanted.x).margin(1e-12));
  CHECK(found.y == Catch::Detail::Approx(wanted.y).margin(1e-12));
}

}  // namespace lastwright::test
