#include "grading/style/style_run.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "grading/dies/plan/die_places.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

Scale halves() {
  Scale scale;
  scale.key = "english";
  scale.zero_length = Fraction(508, 5);
  scale.step = Fraction(127, 15);
  scale.runs = {{"", 1, 15, 14, 1, Fraction(1, 2)}};
  return scale;
}

Ladder letter_ladder() {
  Ladder ladder;
  ladder.labels = {"C", "D", "E", "F", "G", "H"};
  return ladder;
}

StyleSpec styled(const std::vector<RunPart>& parts) {
  StyleSpec spec;
  spec.base_size = "8";
  spec.base_width = "F";
  spec.run_from = parts[0].from;
  spec.run_to = parts[0].to;
  spec.run_by = parts[0].by;
  spec.run_widths = parts[0].widths;
  spec.run_also.assign(parts.begin() + 1, parts.end());
  return spec;
}

using Named = std::set<std::pair<std::string, std::string>>;

Named named(const std::vector<SizeWidth>& cells) {
  Named all;
  for (const SizeWidth& at : cells) all.emplace(at.size.label, at.width.label);
  return all;
}

std::vector<RunPart> any_parts() {
  const Scale scale = halves();
  std::vector<RunPart> parts;
  const int count = *rc::gen::inRange(1, 5);
  for (int k = 0; k < count; ++k) {
    const int from = *rc::gen::inRange(0, 20);
    const int more = *rc::gen::inRange(0, 9);
    const Fraction by = *rc::gen::elementOf(std::vector<Fraction>{1, Fraction(1, 2)});
    const auto label = [&](int halves_up) { return scale.at(Fraction(14) + Fraction(halves_up, 2))->label; };
    const int some = *rc::gen::inRange(1, 64);
    std::vector<std::string> widths;
    for (int w = 0; w < 6; ++w) {
      if ((some >> w) % 2 == 1) widths.push_back(letter_ladder().labels[static_cast<std::size_t>(w)]);
    }
    parts.push_back({label(from), label(from + (by == Fraction(1) ? 2 * (more / 2) : more)), by, widths});
  }
  return parts;
}

Named named(const std::vector<RunPart>& parts) {
  Named all;
  for (const RunPart& part : parts) {
    const auto sizes = halves().run(part.from, part.to, part.by);
    for (const Size& size : *sizes) {
      for (const std::string& width : part.widths) all.emplace(size.label, width);
    }
  }
  return all;
}

}  // namespace

TEST_CASE("a run makes what its parts name, each once, in order", "[size_run]") {
  int partial = 0;
  test::holds_for_all("cells of a run = cells of its parts", [&] {
    const std::vector<RunPart> parts = any_parts();
    const auto run = size_run(styled(parts), halves(), letter_ladder());
    RC_ASSERT(run.ok());
    const std::vector<SizeWidth> cells = run->cells();
    RC_ASSERT(named(cells) == named(parts));
    RC_ASSERT(cells.size() == named(parts).size());
    RC_ASSERT(run->count() == cells.size());
    RC_ASSERT(std::is_sorted(cells.begin(), cells.end(), [](const SizeWidth& a, const SizeWidth& b) {
      return std::pair(a.size.position, a.width.position) < std::pair(b.size.position, b.width.position);
    }));
    // Places and cells say the same.
    for (std::size_t s = 0, k = 0; s < run->sizes.size(); ++s) {
      for (std::size_t w = 0; w < run->widths.size(); ++w) {
        const SizeWidth at{run->sizes[s], run->widths[w]};
        RC_ASSERT(run->makes(s, w) == named(parts).contains({at.size.label, at.width.label}));
        RC_ASSERT(run->makes(at) == run->makes(s, w));
        if (run->makes(s, w)) RC_ASSERT(*run->cell(s, w) == k++);
        if (!run->makes(s, w)) RC_ASSERT(!run->cell(s, w).has_value());
      }
    }
    partial += run->whole() ? 0 : 1;
  });
  CHECK(partial > 20);
}

// Then all that follows is the same, to the byte.
TEST_CASE("a run whose parts name every cell is the plain run", "[size_run]") {
  int several = 0;
  test::holds_for_all("parts of a whole run = the run", [&] {
    std::vector<RunPart> parts = any_parts();
    std::vector<std::string> widths;
    for (const RunPart& part : parts) widths.insert(widths.end(), part.widths.begin(), part.widths.end());
    std::sort(widths.begin(), widths.end());
    widths.erase(std::unique(widths.begin(), widths.end()), widths.end());
    const RunPart all{"1", "15", Fraction(1, 2), widths};
    several += parts.size() > 1 ? 1 : 0;
    const auto plain = size_run(styled({all}), halves(), letter_ladder());
    parts.push_back(all);
    const auto run = size_run(styled(parts), halves(), letter_ladder());
    RC_ASSERT(plain.ok() && run.ok());
    RC_ASSERT(run->whole() && plain->whole());
    RC_ASSERT(named(run->cells()) == named(plain->cells()));
    RC_ASSERT(run->sizes.size() == plain->sizes.size());
    RC_ASSERT(run->widths.size() == plain->widths.size());
  });
  CHECK(several > 20);
}

TEST_CASE("all that is made lies between corners of its run", "[size_run]") {
  test::holds_for_all("extremes of any direction are corners", [] {
    const auto run = size_run(styled(any_parts()), halves(), letter_ladder());
    RC_ASSERT(run.ok());
    const int x = *rc::gen::inRange(-9, 10);
    const int y = *rc::gen::inRange(-9, 10);
    const auto along = [&](const SizeWidth& at) {
      return Fraction(x) * at.size.position + Fraction(y) * at.width.position;
    };
    Fraction most = along(run->cells().front());
    for (const SizeWidth& at : run->cells()) most = std::max(most, along(at));
    const auto corners = run->corners();
    RC_ASSERT(std::any_of(corners.begin(), corners.end(), [&](const auto& corner) {
      return along({run->sizes[corner.first], run->widths[corner.second]}) == most;
    }));
    for (const auto& [size, width] : corners) RC_ASSERT(run->makes(size, width));
  });
}

TEST_CASE("a part of a run is what it makes of the labels, and refuses what it makes nothing of",
          "[size_run]") {
  const auto run = size_run(styled({{"7", "8", Fraction(1, 2), {"F"}}, {"8", "10", 1, {"E", "G"}}}), halves(),
                            letter_ladder());
  REQUIRE(run);
  const auto part = [&](std::vector<std::string> sizes, std::vector<std::string> widths) {
    return run->part(sizes, widths);
  };
  CHECK(part({}, {"E"})->count() == 3);
  CHECK(part({}, {"E"})->sizes.size() == 3);
  CHECK(part({"8"}, {})->widths.size() == 3);
  CHECK(part({"8"}, {})->whole());
  CHECK(part({"7", "9"}, {"F", "G"})->count() == 2);
  CHECK(part({"7.5"}, {"G"}).problem().message == "size 7.5 is not made in these widths; it is made in F");
  CHECK(part({"9", "8"}, {"F", "E"})->count() == 3);
  CHECK(part({"9"}, {"F", "E"}).problem().message ==
        "width F is not made in these sizes; it is made in 7, 7.5, 8");
}

TEST_CASE("places half way lie between what is made on all sides", "[size_run]") {
  test::holds_for_all("half-way places have all their neighbours", [] {
    const auto run = size_run(styled(any_parts()), halves(), letter_ladder());
    RC_ASSERT(run.ok());
    const DiePlaces places = die_places(*run, true);
    RC_ASSERT(places.own.size() == run->count());
    for (std::size_t d = 0; d < places.own.size(); ++d) {
      RC_ASSERT(places.places[places.own[d]].size.label == places.demands[d].size.label);
      RC_ASSERT(places.places[places.own[d]].width.label == places.demands[d].width.label);
    }
    for (std::size_t s = 0; s < places.refined.sizes.size(); ++s) {
      for (std::size_t w = 0; w < places.refined.widths.size(); ++w) {
        bool all = true;
        for (const std::size_t a : {s / 2, (s + 1) / 2}) {
          for (const std::size_t b : {w / 2, (w + 1) / 2}) all = all && run->makes(a, b);
        }
        RC_ASSERT(places.refined.makes(s, w) == all);
      }
    }
  });
}

TEST_CASE("a part of a run without sense is refused where it stands", "[size_run]") {
  const auto pointer = [](const std::vector<RunPart>& parts) {
    return size_run(styled(parts), halves(), letter_ladder()).problem().place.pointer;
  };
  const RunPart good{"7", "9", 1, {"F"}};
  CHECK(pointer({good, {"7", "9", 1, {"Z"}}}) == "/run/also/0/widths/0");
  CHECK(pointer({good, good, {"9", "7", 1, {"F"}}}) == "/run/also/1");
  CHECK(pointer({good, {"7", "9", 1, {}}}) == "/run/also/0/widths");
}

}  // namespace lastwright
