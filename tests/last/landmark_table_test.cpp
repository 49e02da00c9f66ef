// The guide's tables of landmarks and measures against what the program does.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>

#include "grading/lasts/landmark_names.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/last_spec.hpp"
#include "tests/last/standing_last.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

std::string guide_of_lasts() {
  std::ifstream in(test::project_dir() + "/cli/guide/60-lasts.md", std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// The cells of the rows of the table that begins with this head.
std::vector<std::vector<std::string>> rows_below(const std::string& head) {
  std::istringstream text(guide_of_lasts());
  std::vector<std::vector<std::string>> rows;
  bool inside = false;
  for (std::string line; std::getline(text, line);) {
    if (line == head) inside = true;
    if (!inside || line == head) continue;
    if (!line.starts_with("| ")) {
      if (line.starts_with("|--")) continue;
      break;
    }
    std::vector<std::string> cells;
    for (std::size_t from = 2; from < line.size();) {
      const std::size_t end = line.find(" |", from);
      cells.push_back(line.substr(from, end - from));
      from = end + 3;
    }
    rows.push_back(std::move(cells));
  }
  return rows;
}

std::string words_of(const PlaneDirection& d) {
  if (const auto* between = std::get_if<Between>(&d))
    return fmt::format("from {} to {}", between->from, between->to);
  if (const auto* normal = std::get_if<NormalAt>(&d)) return "square to the surface at " + normal->at;
  return std::holds_alternative<Across>(d) ? "straight across" : "upright";
}

}  // namespace

TEST_CASE("the guide names every landmark, and those with a share lie at it", "[last][landmarks]") {
  const StandingLast& last = demo_standing();
  std::set<std::string> told;
  for (const std::vector<std::string>& row : rows_below("| landmark | share | where it is |")) {
    INFO(row[0]);
    REQUIRE(row.size() == 3);
    REQUIRE(last.landmarks.contains(row[0]));
    CHECK(told.insert(row[0]).second);
    if (row[1] == "-") continue;
    const double x = last.body.at(last.landmarks.at(row[0])).p.x;
    CHECK(x / last.standing.length == Approx(std::stod(row[1])).margin(1e-4));
  }
  CHECK(told.size() == last.landmarks.size());
  CHECK(told == std::set<std::string>(kLandmarkNames.begin(), kLandmarkNames.end()));
}

TEST_CASE("the guide says how each measure is taken, as the program does", "[last][landmarks]") {
  std::vector<MeasureDefinition> all = default_last_definitions();
  for (MeasureDefinition& d : bottom_width_definitions()) all.push_back(std::move(d));
  const auto rows = rows_below("| measure | definition | taken |");
  REQUIRE(rows.size() == all.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    const MeasureDefinition& d = all[i];
    INFO(d.measure);
    CHECK(rows[i][0] == d.measure);
    CHECK(rows[i][0] + " by " + rows[i][1] == d.id());
    std::string taken;
    if (d.method == Method::kPlaneHull) {
      taken = fmt::format("in the plane through {}, {} and {}", d.plane.through, words_of(d.plane.first),
                          words_of(d.plane.second));
    } else if (d.method == Method::kHeight) {
      taken = fmt::format("{} over the ground", d.points[0]);
    } else {
      taken = fmt::format("from {} to {}", d.points[0], d.points[1]);
      if (d.method == Method::kExtent) taken += ", along the length";
      if (d.method == Method::kRise) taken += ", upward";
    }
    CHECK(rows[i][2] == taken);
  }
}

TEST_CASE("a landmark that there is none of is told by its name, whatever stands behind it",
          "[last][spec][landmarks]") {
  const auto said = [](const std::string& landmarks) {
    const Result<LastSpec> read = read_last_spec(
        R"({"lastwright_last": 1, "style": "s.json", "bases": [{"file": "a.step", "size": "8", "width": "F"}], )"
        R"("landmarks": )" +
            landmarks + "}",
        "last.json");
    return read.ok() ? std::string() : to_text(read.problem());
  };
  for (const char* value : {"0.5", "{}", R"({"share": 0.5})", "\"far\"", "null", "[1]"}) {
    INFO(value);
    const std::string near = said(fmt::format(R"({{"thread outside": {}}})", value));
    CHECK(near.find("no landmark is named 'thread outside' (did you mean \"tread outside\"?)") !=
          std::string::npos);
    CHECK(near.find("/landmarks/thread outside") != std::string::npos);
    CHECK(said(fmt::format(R"({{"quarter": {}}})", value)).find("known: ankle top, heel feather") !=
          std::string::npos);
  }
  CHECK(said(R"({"tread outside": {"share": 0.5}})").find("no landmark") == std::string::npos);
  CHECK(said(R"({"tread outside": 0.64})").empty());
}
