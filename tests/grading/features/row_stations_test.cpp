#include "grading/features/row_stations.hpp"

#include <catch2/catch.hpp>

#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

RowSpacing pitched(double pitch, RowAnchor anchor = RowAnchor::kMiddle, bool fill = false) {
  RowSpacing spacing;
  spacing.pitch = Millimetres(pitch);
  spacing.anchor = anchor;
  spacing.fill = fill;
  return spacing;
}

std::vector<double> made(double length, double start, double end, const RowSpacing& spacing,
                         std::optional<int> count = {}) {
  const auto stations = row_stations(length, Millimetres(start), Millimetres(end), spacing, count);
  REQUIRE(stations);
  return *stations;
}

}  // namespace

TEST_CASE("rows by hand", "[row_stations]") {
  CHECK(made(100, 10, 20, {}, 6) == std::vector<double>{10, 24, 38, 52, 66, 80});
  CHECK(made(100, 10, 20, {}, 1) == std::vector<double>{45});
  CHECK(made(100, 10, 15, pitched(20, RowAnchor::kStart)) == std::vector<double>{10, 30, 50, 70});
  CHECK(made(100, 10, 15, pitched(20, RowAnchor::kEnd)) == std::vector<double>{25, 45, 65, 85});
  CHECK(made(100, 10, 15, pitched(20)) == std::vector<double>{17.5, 37.5, 57.5, 77.5});
  CHECK(made(100, 10, 15, pitched(20, RowAnchor::kStart), 2) == std::vector<double>{10, 30});
  CHECK(made(100, 10, 15, pitched(20, RowAnchor::kMiddle, true)) ==
        std::vector<double>{10, 28.75, 47.5, 66.25, 85});
  CHECK(made(60, 10, 10, pitched(20)) == std::vector<double>{10, 30, 50});  // it just fits
}

TEST_CASE("a row without room is refused with what it needs and what there is", "[row_stations]") {
  const auto many = row_stations(60, Millimetres(10), Millimetres(10), pitched(20), 4);
  REQUIRE_FALSE(many);
  CHECK(many.problem().value == Approx(80));
  CHECK(many.problem().limit == Approx(60));
  CHECK_FALSE(row_stations(60, Millimetres(40), Millimetres(30), {}, 3));
  CHECK_FALSE(row_stations(60, Millimetres(40), Millimetres(30), pitched(5), {}));
}

TEST_CASE("margins and pitch are exact in every row", "[row_stations]") {
  test::holds_for_all("a row of so many keeps its margins and one pitch", [] {
    const double length = *rc::gen::inRange(200, 4000) / 10.0;
    const double start = *rc::gen::inRange(0, 80) / 10.0;
    const double end = *rc::gen::inRange(0, 80) / 10.0;
    const int count = *rc::gen::inRange(2, 40);
    const auto stations = *row_stations(length, Millimetres(start), Millimetres(end), {}, count);
    RC_ASSERT(stations.size() == static_cast<std::size_t>(count));
    RC_ASSERT(stations.front() == start);
    RC_ASSERT(stations.back() == length - end);
    const double pitch = (length - start - end) / (count - 1);
    for (std::size_t i = 1; i < stations.size(); ++i)
      RC_ASSERT(std::abs(stations[i] - stations[i - 1] - pitch) < 1e-9);
  });
  test::holds_for_all("a row with a pitch keeps it, stays within its margins and has room for no more", [] {
    const double length = *rc::gen::inRange(300, 4000) / 10.0;
    const double pitch = *rc::gen::inRange(10, 250) / 10.0;
    const double margin = *rc::gen::inRange(0, 100) / 10.0;
    const auto anchor = *rc::gen::element(RowAnchor::kStart, RowAnchor::kMiddle, RowAnchor::kEnd);
    const auto stations =
        *row_stations(length, Millimetres(margin), Millimetres(margin), pitched(pitch, anchor), {});
    RC_ASSERT(stations.front() >= margin - 1e-9);
    RC_ASSERT(stations.back() <= length - margin + 1e-9);
    RC_ASSERT(length - 2 * margin - (stations.back() - stations.front()) < pitch);  // no further one fits
    for (std::size_t i = 1; i < stations.size(); ++i)
      RC_ASSERT(std::abs(stations[i] - stations[i - 1] - pitch) < 1e-9);
  });
}
