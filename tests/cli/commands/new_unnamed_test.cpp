// Drafts of drawings whose pieces have no names: blocks are called P1, P2 ... and there are no texts. What
// they are is told from where they lie alone, and the draft passes its checks all the same.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/invented_court.hpp"
#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;
using namespace lastwright::test;
namespace fs = std::filesystem;

namespace {

// The drawing without its texts, its blocks called P<first>, P<first + 1> ... in their order.
std::string unnamed(const std::string& dxf, int& next) {
  std::vector<std::pair<std::string, std::string>> pairs;
  std::istringstream in(dxf);
  for (std::string code, value; std::getline(in, code) && std::getline(in, value);) {
    code.erase(0, code.find_first_not_of(' '));
    pairs.emplace_back(code, value);
  }
  std::map<std::string, std::string> called;
  std::string entity;
  std::string out;
  for (const auto& [code, value] : pairs) {
    if (code == "0") entity = value;
    if (entity == "TEXT" || entity == "MTEXT") continue;
    const bool names = (entity == "BLOCK" && (code == "2" || code == "3")) ||
                       ((entity == "INSERT" || entity == "BLOCK_RECORD") && code == "2");
    std::string written = value;
    if (names && !value.starts_with("*")) {
      const auto [found, is_new] = called.try_emplace(value, fmt::format("P{}", next));
      if (is_new) ++next;
      written = found->second;
    }
    out += code + "\n" + written + "\n";
  }
  return out;
}

struct UnnamedFolder {
  fs::path path = fs::temp_directory_path() / "lastwright-draft-unnamed";
  int next = 1;
  UnnamedFolder() {
    fs::remove_all(path);
    fs::create_directories(path);
  }
  ~UnnamedFolder() { fs::remove_all(path); }
  void put(const std::string& name, const std::string& dxf) {
    std::ofstream(path / name, std::ios::binary) << unnamed(dxf, next);
  }
  // `new` checks what it writes: 0 says that every check passed and nothing is left out of the draft.
  [[nodiscard]] BinaryRun drafted(const std::string& more) const {
    std::string drawings;
    for (const char* name : {"a.dxf", "b.dxf"}) {
      if (fs::exists(path / name)) drawings += (path / name).string() + " ";
    }
    return run_binary(
        fmt::format("new {} --out {} --force {}", drawings, (path / "draft.json").string(), more));
  }
};

}  // namespace

TEST_CASE("a draft of drawings without names passes its checks", "[new][draft]") {
  UnnamedFolder folder;
  SECTION("the demo") {
    const fs::path demo = fs::path(project_dir()) / "demo-patterns/cindergarth";
    folder.put("a.dxf", read_bytes(demo / "shell.dxf"));
    folder.put("b.dxf", read_bytes(demo / "bottom.dxf"));
    const BinaryRun run = folder.drafted("--size 8 --kind derby");
    INFO(run.output);
    CHECK(run.exit_code == 0);
    CHECK_THAT(run.output, Catch::Contains("17 pieces") && !Catch::Contains("QUARTER"));
  }
  SECTION("a court, whose lining is drawn as both its quarters are") {
    folder.put("a.dxf", court_drawing(court_upper(), {}));
    folder.put("b.dxf", court_drawing(court_bottom(), {}));
    const BinaryRun run = folder.drafted("--scale paris-point --size 36 --kind court");
    INFO(run.output);
    CHECK(run.exit_code == 0);
    CHECK_THAT(run.output, Catch::Contains("no back seam of p5: it is drawn as p2 and others are"));
  }
}

TEST_CASE("a draft of the T-bar's drawing without names passes its checks", "[new][draft][shared]") {
  const auto shared = shared_folder("cases/slot-over-net");
  if (!shared) {
    WARN("skipped: there is no shared folder beside the project");
    return;
  }
  UnnamedFolder folder;
  folder.put("a.dxf", read_bytes(*shared / "tbar.dxf"));
  const BinaryRun run = folder.drafted("");
  INFO(run.output);
  CHECK(run.exit_code == 0);
}
