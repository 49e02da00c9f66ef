// What the gates let through: a sound last graded for a
// last maker who has a table of measures and nothing else.
#include <fmt/format.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "geometry/solid/kernel/kernel.hpp"
#include "geometry/solid/step_write.hpp"
#include "grading/lasts/last_set.hpp"
#include "tests/last/demo_last.hpp"
#include "tests/last/measures_only.hpp"

using namespace lastwright;

namespace {

void put(const std::filesystem::path& path, const std::string& text) {
  std::ofstream(path, std::ios::binary) << text;
}

}  // namespace

TEST_CASE("three sizes and two widths to either side of a sound last go through, whatever its heel and toe",
          "[last][gate][slow]") {
  const std::filesystem::path folder =
      std::filesystem::temp_directory_path() / fmt::format("lastwright-gate-{}", getpid());
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  for (const auto& [heel, chisel] : {std::pair{45.0, 0.0}, std::pair{22.0, 1.0}}) {
    INFO("heel " << heel << ", chisel " << chisel);
    DemoLast demo;
    demo.heel_height = heel;
    demo.chisel = chisel;
    demo.fit = 0.02;
    const Result<std::string> step = write_step(make_demo_last(demo), {"gate", ""});
    REQUIRE(step.ok());
    put(folder / "last.step", *step);
    put(folder / "last.json", R"({"lastwright_last": 1, "style": "style.json",
      "bases": [{"file": "last.step", "size": "8", "width": "F"}]})");
    const Result<KernelShape> shape = read_step(*step);
    REQUIRE(shape.ok());
    Result<Body> body = to_body(*shape, kMeasuringMesh);
    REQUIRE(body.ok());
    const Result<BaseLast> base = make_base_last(std::move(*body), {}, {});
    REQUIRE(base.ok());
    put(folder / "style.json", measures_only(*base));
    Checked<LastSet> load = load_last_set((folder / "last.json").string(), {"5", "11"}, {"D", "H"}, {});
    INFO((load.ok() ? "" : to_text(load.problems().front())));
    REQUIRE(load.ok());
    REQUIRE(load->jobs.size() == 4);
    for (const LastJob& job : load->jobs) {
      INFO(job.at.size.label << " " << job.at.width.label);
      const BaseLast& last = load->bases.front();
      const Result<Fit> fit = solve_job(last, job);
      REQUIRE(fit.ok());
      const Soundness sound = judge(fit->map, job.prior, last.body, last.lines);
      INFO((sound.failures.empty() ? "" : to_text(sound.failures.front())));
      CHECK(sound.failures.empty());
      CHECK(sound.least_factor > 0.5);
    }
  }
  std::filesystem::remove_all(folder);
}
