// Every call that changes the disk is made to fail in turn: afterwards there is the old set or the new one.
#include <fcntl.h>
#include <sys/resource.h>

#include <catch2/catch.hpp>

#include "cli/files/output_set.hpp"
#include "cli/files/write_file.hpp"
#include "geometry/files/read_file.hpp"
#include "tests/cli/faulty_file_system.hpp"
#include "tests/cli/scratch_folder.hpp"

using namespace lastwright;
namespace fs = std::filesystem;

namespace {

using Files = std::map<std::string, std::string>;

Result<WrittenSet> write_faulty_set(const std::string& folder, const Files& files, bool force,
                                    FileSystem& system) {
  Result<OutputSet> set = OutputSet::begin(folder, {.force = force}, system);
  if (!set) return set.problem();
  for (const auto& [name, bytes] : files) {
    if (Status status = set->add(name, bytes); !status) return status.problem();
  }
  return set->commit();
}

Files without_manifest(Files files) {
  files.erase("manifest.json");
  return files;
}

Files make_files(int count, const std::string& mark) {
  Files files;
  for (int i = 0; i < count; ++i) files["p" + std::to_string(i % 3) + "/" + mark + std::to_string(i)] = mark;
  return files;
}

}  // namespace

TEST_CASE("of several files as one set there are all or none, whatever call fails", "[output_set][faults]") {
  const ScratchFolder scratch(ScratchFolder::kInMemory);
  fs::create_directory(scratch / "there");
  const std::string page = scratch / "page.html";
  const std::string json = scratch / "there/plan.json";
  const bool replaces = GENERATE(false, true);
  const Files none;
  const auto found = [&] {
    Files all;
    for (const std::string& file : {page, json}) {
      if (fs::exists(file)) all[file] = *read_file(file);
    }
    return all;
  };
  for (long call = 0;; ++call) {
    fs::remove(page);
    fs::remove(json);
    if (replaces) REQUIRE(write_files_whole({{page, "old"}, {json, "old"}}, {}));
    FaultyFileSystem faulty;
    faulty.fail_at = call;
    faulty.error = EIO;
    const Status written = write_files_whole({{page, "new"}, {json, "new"}}, {.force = replaces}, faulty);
    const Files now = found();
    INFO("call " << call << " of " << faulty.calls);
    const bool is_new = now == Files{{page, "new"}, {json, "new"}};
    const bool is_old = now == (replaces ? Files{{page, "old"}, {json, "old"}} : none);
    CHECK((is_new || is_old));
    if (written) CHECK(is_new);
    if (faulty.faults == 0) break;
  }
  for (const fs::path& folder : {scratch.path(), scratch.path() / "there"}) {
    REQUIRE(write_files_whole({{page, "new"}, {json, "new"}}, {.force = true}));
    for (const auto& entry : fs::directory_iterator(folder))
      CHECK(entry.path().filename().string().front() != '.');
  }
  // The second cannot be written at all: what is in the first one's place stays.
  CHECK_FALSE(write_files_whole({{page, "newer"}, {scratch / "nowhere/plan.json", "x"}}, {.force = true}));
  CHECK(*read_file(page) == "new");
}

TEST_CASE("whatever call fails, the old set or the new set is there, whole", "[output_set][faults]") {
  const int count = GENERATE(3, 34);  // synced one by one, synced at once
  const bool replaces = GENERATE(false, true);
  const auto [error, for_ever] = GENERATE(std::pair{ENOSPC, false}, std::pair{ENOSPC, true},
                                          std::pair{EIO, false}, std::pair{EINTR, false});
  const Files old_set = make_files(count, "old");
  const Files new_set = make_files(count, "new");
  const ScratchFolder scratch(ScratchFolder::kInMemory);
  const std::string out = scratch / "out";
  long runs = 0;
  long failures = 0;
  FaultyFileSystem sound;
  sound.shorten = 1000;
  REQUIRE(write_faulty_set(scratch / "sound", new_set, false, sound));
  fs::remove_all(scratch / "sound");
  // Between its beginning and its end a larger set writes one file as the other.
  const auto next = [&](long call) { return call + (call >= 25 && call + 40 < sound.calls ? 7 : 1); };
  for (long call = 0;; call = next(call)) {
    fs::remove_all(out);
    if (replaces) REQUIRE(write_faulty_set(out, old_set, false, real_file_system()));
    FaultyFileSystem faulty;
    faulty.fail_at = call;
    faulty.error = error;
    faulty.for_ever = for_ever;
    faulty.shorten = 1000;
    const auto written = write_faulty_set(out, new_set, replaces, faulty);
    const Files found = without_manifest(contents(out));
    const bool is_new = found == new_set;
    const bool is_old = found == (replaces ? old_set : Files{});
    INFO("call " << call << " of " << faulty.calls);
    REQUIRE((is_new || is_old));
    if (written) REQUIRE(is_new);
    if (!written) {
      ++failures;
      REQUIRE(written.problem().message.find("; ") != std::string::npos);  // says what to do
    }
    REQUIRE(fs::exists(out + "/manifest.json") == (is_new || replaces));
    // Whatever was left hidden goes with the next run.
    const auto again = write_faulty_set(out, new_set, true, real_file_system());
    REQUIRE(again);
    REQUIRE(without_manifest(contents(out)) == new_set);
    for (const auto& entry : fs::directory_iterator(scratch.path())) REQUIRE(entry.path() == fs::path(out));
    ++runs;
    if (faulty.faults == 0) break;  // the whole run was gone through
  }
  CHECK(runs > 20);
  if (error != EINTR) CHECK(failures > 10);
}

TEST_CASE("whatever call fails, the old file or the new file is there, whole", "[write_file][faults]") {
  const bool replaces = GENERATE(false, true);
  const int error = GENERATE(ENOSPC, EIO, EINTR);
  const ScratchFolder scratch(ScratchFolder::kInMemory);
  const std::string file = scratch / "table.csv";
  for (long call = 0;; ++call) {
    fs::remove(file);
    if (replaces) put(file, "old");
    FaultyFileSystem faulty;
    faulty.fail_at = call;
    faulty.error = error;
    faulty.shorten = 3;
    const Status written = write_file_whole(file, "the new table", {.force = replaces}, faulty);
    const std::string found = fs::exists(file) ? bytes_of(file) : "none";
    INFO("call " << call);
    REQUIRE((found == "the new table" || found == (replaces ? "old" : "none")));
    if (written) REQUIRE(found == "the new table");
    if (faulty.faults == 0) break;
    REQUIRE(call < 100);
  }
}

TEST_CASE("a disk without the newer renames is served where that is safe and refused where not",
          "[output_set][faults]") {
  struct OldDisk : FileSystem {
    int rename_at(int folder, const char* from, const char* to, unsigned flags) override {
      if (flags == 0) return FileSystem::rename_at(folder, from, to, 0);
      errno = EINVAL;
      return -1;
    }
  } disk;
  const ScratchFolder scratch(ScratchFolder::kInMemory);
  CHECK(write_file_whole(scratch / "a.csv", "a", {}, disk));
  CHECK(bytes_of(scratch / "a.csv") == "a");
  CHECK_FALSE(write_file_whole(scratch / "a.csv", "b", {}, disk));
  CHECK(contents(scratch.path()).size() == 1);
  CHECK(write_faulty_set(scratch / "out", {{"a", "1"}}, false, disk));
  const auto replaced = write_faulty_set(scratch / "out", {{"a", "2"}}, true, disk);
  REQUIRE_FALSE(replaced);
  CHECK(replaced.problem().message.find("remove the earlier set") != std::string::npos);
  CHECK(bytes_of(scratch / "out/a") == "1");
}

TEST_CASE("a file-size limit is an error of the write, not a signal", "[output_set][faults]") {
  const ScratchFolder scratch(ScratchFolder::kInMemory);
  ignore_write_signals();
  rlimit before{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  const rlimit small{1000, before.rlim_max};
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
  const auto set =
      write_faulty_set(scratch / "out", {{"a", std::string(5000, 'x')}}, false, real_file_system());
  const Status file = write_file_whole(scratch / "b", std::string(5000, 'x'), {});
  ::setrlimit(RLIMIT_FSIZE, &before);
  REQUIRE_FALSE(set);
  REQUIRE_FALSE(file);
  CHECK(set.problem().message.find("ulimit") != std::string::npos);
  CHECK(contents(scratch.path()).empty());
}

TEST_CASE("a single file goes over nothing that it should not", "[write_file]") {
  const ScratchFolder scratch(ScratchFolder::kInMemory);
  const std::string file = scratch / "table.csv";
  REQUIRE(write_file_whole(file, "one", {}));
  CHECK(bytes_of(file) == "one");
  CHECK(write_file_whole(file, "two", {}).problem().trouble == Trouble::kWouldReplace);
  CHECK(bytes_of(file) == "one");
  fs::create_hard_link(file, scratch / "same.csv");
  CHECK_FALSE(
      write_file_whole(file, "two", {.force = true, .durable = true, .inputs = {scratch / "same.csv"}}));
  CHECK(bytes_of(file) == "one");
  REQUIRE(write_file_whole(file, "two", {.force = true}));
  CHECK(bytes_of(file) == "two");
  fs::create_symlink(file, scratch / "link.csv");
  CHECK_FALSE(write_file_whole(scratch / "link.csv", "x", {.force = true}));
  CHECK_FALSE(write_file_whole(scratch.path().string(), "x", {.force = true}));
  CHECK_FALSE(write_file_whole("/dev/full", "x", {.force = true}));
  CHECK(bytes_of(file) == "two");
  CHECK(contents(scratch.path()).size() == 3);  // the file, its other name, the link to it
}

TEST_CASE("a full device on standard output is an error", "[write_file][faults]") {
  std::fflush(stdout);
  const int kept = ::dup(1);
  const int full = ::open("/dev/full", O_WRONLY);
  REQUIRE(full >= 0);
  ::dup2(full, 1);
  const Status written = write_stdout("a table");
  ::dup2(kept, 1);
  ::close(kept);
  ::close(full);
  REQUIRE_FALSE(written);
  CHECK(written.problem().trouble == Trouble::kFileSystem);
  CHECK(written.problem().message.find("No space") != std::string::npos);
}
