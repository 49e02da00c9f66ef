#include "cli/files/output_set.hpp"

#include <sys/stat.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <thread>

#include "tests/cli/scratch_folder.hpp"
#include "tests/support/parsed_json.hpp"

using namespace lastwright;
namespace fs = std::filesystem;

namespace {

Result<WrittenSet> write_set(const std::string& folder, const std::map<std::string, std::string>& files,
                             const OutputOptions& options = {}) {
  Result<OutputSet> set = OutputSet::begin(folder, options);
  if (!set) return set.problem();
  for (const auto& [name, bytes] : files) {
    if (Status status = set->add(name, bytes); !status) return status.problem();
  }
  return set->commit();
}

const std::map<std::string, std::string> kTwo = {{"a.dxf", "one"}, {"vamp/8 F.dxf", "two"}};

}  // namespace

TEST_CASE("a set is written with a sorted manifest that says what is in it", "[output_set]") {
  const ScratchFolder scratch(ScratchFolder::kOnDisk);
  const auto written = write_set(scratch / "out", kTwo);
  REQUIRE(written);
  CHECK(written->files == 3);
  auto found = contents(scratch / "out");
  const auto manifest = test::parsed_json(found.at("manifest.json"));
  CHECK(manifest["lastwright_manifest"] == 1);
  REQUIRE(manifest["files"].size() == 2);
  CHECK(manifest["files"][0]["name"] == "a.dxf");
  CHECK(manifest["files"][1]["name"] == "vamp/8 F.dxf");
  CHECK(manifest["files"][1]["size"] == 3);
  // printf two | sha256sum
  CHECK(manifest["files"][1]["sha256"] == "3fc4ccfe745870e2c0d99f71f30ff0656c8dedd41cc1d7d3d376b0dbe685e2f3");
  found.erase("manifest.json");
  CHECK(found == kTwo);
  CHECK(contents(scratch.path()).size() == 3);  // nothing hidden is left beside it
}

TEST_CASE("the manifest does not depend on the order of the files or on the threads that added them",
          "[output_set]") {
  const ScratchFolder scratch;
  std::string first;
  for (const int threads : {1, 2, 5}) {
    const std::string folder = scratch / ("out" + std::to_string(threads));
    Result<OutputSet> set = OutputSet::begin(folder, {});
    REQUIRE(set);
    std::vector<std::thread> workers;
    for (int t = 0; t < threads; ++t) {
      workers.emplace_back([&, t] {
        for (int i = 119 - t; i >= 0; i -= threads) {
          const std::string number = std::to_string(i);
          (void)set->add("piece " + std::to_string(i % 7) + "/size " + number,
                         std::string(100, static_cast<char>(i)));
        }
      });
    }
    for (std::thread& worker : workers) worker.join();
    const auto written = set->commit();
    REQUIRE(written);
    CHECK(written->files == 121);
    const std::string manifest = bytes_of(folder + "/manifest.json");
    if (first.empty()) first = manifest;
    CHECK(manifest == first);
  }
}

TEST_CASE("what is there is replaced only by force, and only when it is an earlier set and nothing else",
          "[output_set]") {
  const ScratchFolder scratch;
  const std::string out = scratch / "out";
  const auto refused = [&](const std::string& folder, bool force, std::vector<std::string> inputs = {}) {
    const auto before = contents(scratch.path());
    const auto written =
        write_set(folder, {{"new.dxf", "new"}}, {.force = force, .durable = true, .inputs = inputs});
    REQUIRE_FALSE(written);
    CHECK(written.problem().trouble == Trouble::kWouldReplace);
    CHECK(contents(scratch.path()) == before);
    return to_text(written.problem());
  };
  SECTION("an empty folder is taken") {
    fs::create_directory(out);
    CHECK(write_set(out, kTwo));
  }
  SECTION("a folder of other things is not, force or not") {
    fs::create_directory(out);
    put(out + "/holiday.jpg", "precious");
    CHECK(refused(out, false).find("did not write") != std::string::npos);
    CHECK(refused(out, true).find("did not write") != std::string::npos);
    put(out + "/manifest.json", R"({"files": []})");
    CHECK(refused(out, true).find("did not write") != std::string::npos);
  }
  SECTION("an earlier set needs force") {
    REQUIRE(write_set(out, kTwo));
    CHECK(refused(out, false).find("--force") != std::string::npos);
    REQUIRE(write_set(out, {{"new.dxf", "new"}}, {.force = true}));
    CHECK(contents(scratch.path()).size() == 2);
    CHECK(bytes_of(out + "/new.dxf") == "new");
  }
  SECTION("an earlier set with a file of somebody else is kept") {
    REQUIRE(write_set(out, kTwo));
    put(out + "/vamp/notes.txt", "precious");
    CHECK(refused(out, true).find("notes.txt") != std::string::npos);
  }
  SECTION("a file that appears in the earlier set during the run is kept too") {
    REQUIRE(write_set(out, kTwo));
    Result<OutputSet> set = OutputSet::begin(out, {.force = true});
    REQUIRE(set);
    put(out + "/notes.txt", "precious");
    const auto written = set->commit();
    REQUIRE_FALSE(written);
    CHECK(bytes_of(out + "/notes.txt") == "precious");
  }
  SECTION("a set that appears where nothing was is kept") {
    Result<OutputSet> set = OutputSet::begin(out, {});
    REQUIRE(set);
    REQUIRE(write_set(out, kTwo));
    const auto written = set->commit();
    REQUIRE_FALSE(written);
    CHECK(written.problem().trouble == Trouble::kWouldReplace);
    CHECK(contents(out).size() == 3);
  }
  SECTION("links and files are never a target") {
    fs::create_directory(scratch / "real");
    fs::create_directory_symlink(scratch / "real", out);
    CHECK(refused(out, true).find("symbolic link") != std::string::npos);
    CHECK(refused(out + "/", true).find("symbolic link") != std::string::npos);
    fs::create_symlink(scratch / "nowhere", scratch / "dangling");
    CHECK(refused(scratch / "dangling", true).find("symbolic link") != std::string::npos);
    put(scratch / "file", "x");
    CHECK(refused(scratch / "file", true).find("not a folder") != std::string::npos);
  }
  SECTION("an input in the target is never lost") {
    REQUIRE(write_set(out, kTwo));
    fs::create_symlink(out + "/a.dxf", scratch / "link.dxf");
    CHECK(refused(out, true, {out + "/vamp/8 F.dxf"}).find("input") != std::string::npos);
    CHECK(refused(out, true, {scratch / "link.dxf"}).find("input") != std::string::npos);
    CHECK(refused(out, true, {out + "/../out/a.dxf"}).find("input") != std::string::npos);
  }
}

TEST_CASE("folders that cannot be written or do not exist are told apart, with what to do", "[output_set]") {
  const ScratchFolder scratch;
  const auto nowhere = OutputSet::begin(scratch / "no/such/out", {});
  REQUIRE_FALSE(nowhere);
  CHECK(to_text(nowhere.problem()).find("create its folder") != std::string::npos);
  for (const char* name : {"", "/", ".", "..", "a/..", "./"}) {
    const auto nameless = OutputSet::begin(name, {});
    REQUIRE_FALSE(nameless);
    CHECK(nameless.problem().trouble == Trouble::kUsage);
  }
  if (::geteuid() == 0) {
    WARN("skipped: root may write into a read-only folder");
    return;
  }
  fs::create_directory(scratch / "locked");
  fs::permissions(scratch / "locked", fs::perms::owner_read | fs::perms::owner_exec);
  const auto locked = OutputSet::begin(scratch / "locked/out", {});
  REQUIRE_FALSE(locked);
  CHECK(to_text(locked.problem()).find("that you may write to") != std::string::npos);
  fs::permissions(scratch / "locked", fs::perms::owner_all);
}

TEST_CASE(
    "names of files that would leave the folder or clash are refused, and then the set is not put in place",
    "[output_set]") {
  const ScratchFolder scratch;
  for (const char* name : {"", "/etc/x", "../x", "a/../b", "a//b", "a/", "./a", "a\\b", "a\nb", "x:y",
                           "manifest.json", "MANIFEST.json", "con.dxf", "A.DXF", ".hidden", "\xff"}) {
    Result<OutputSet> set = OutputSet::begin(scratch / "out", {});
    REQUIRE(set);
    REQUIRE(set->add("a.dxf", "x"));
    CHECK_FALSE(set->add(name, "y"));
    CHECK_FALSE(set->commit());
  }
  CHECK(fs::is_empty(scratch.path()));
}

TEST_CASE("a hidden folder left by a killed run goes, one of a living run stays", "[output_set]") {
  const ScratchFolder scratch;
  fs::create_directories(scratch / ".out.lastwright-1/vamp");
  put(scratch / ".out.lastwright-1/vamp/half.dxf", "hal");
  Result<OutputSet> living = OutputSet::begin(scratch / "out", {});
  REQUIRE(living);
  REQUIRE(living->add("living.dxf", "x"));
  REQUIRE(write_set(scratch / "out", kTwo));
  CHECK(fs::exists(scratch / ".out.lastwright-1/living.dxf"));
  CHECK_FALSE(fs::exists(scratch / ".out.lastwright-1/vamp"));
  CHECK(contents(scratch / "out").size() == 3);
}

TEST_CASE("sets with more folders than may be open are written", "[output_set]") {
  const ScratchFolder scratch;
  Result<OutputSet> set = OutputSet::begin(scratch / "out", {.durable = false});
  REQUIRE(set);
  for (int i = 0; i < 1500; ++i)
    REQUIRE(set->add("p" + std::to_string(i) + "/deep/a.dxf", std::to_string(i)));
  REQUIRE(set->commit());
  CHECK(bytes_of(scratch / "out/p1499/deep/a.dxf") == "1499");
}
