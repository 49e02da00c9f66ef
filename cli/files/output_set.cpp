#include "cli/files/output_set.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>

#include <cerrno>
#include <chrono>
#include <cstdio>
#include <map>
#include <mutex>
#include <optional>
#include <thread>
#include <unordered_set>

#include "cli/files/folder_contents.hpp"
#include "cli/files/safe_name.hpp"
#include "cli/files/target.hpp"
#include "cli/files/unfinished.hpp"

namespace lastwright {

namespace {

// Up to this many files are synced one by one; a larger set by one call for the whole file system, which also
// waits for what other programs have written. Measured on ext4, 8,000 files of 10 kB: 4.9 s one by one, 0.16
// s at once.
constexpr std::size_t kSyncedOneByOne = 32;
constexpr int kLockTries = 50;
constexpr std::chrono::milliseconds kLockPause(2);
constexpr std::size_t kFoldersKeptOpen = 200;  // of the usual 1024 open files

Problem would_replace(const std::string& path, std::string message) {
  return {Trouble::kWouldReplace, std::move(message), {path, 0, {}, {}}, {}, {}};
}

Status check_name(std::string_view name) {
  std::string_view rest = name;
  while (true) {
    const std::size_t slash = rest.find('/');
    if (!is_safe_name(rest.substr(0, slash))) break;
    if (slash == std::string_view::npos) return Done{};
    rest.remove_prefix(slash + 1);
  }
  return Problem{Trouble::kUsage,
                 fmt::format("\"{}\" cannot be the name of an output file", safe_name(name)),
                 {},
                 {},
                 {}};
}

// What a new set may take the place of: nothing, an empty folder, or with force an earlier set of ours.
Result<bool> replaces_earlier_set(const Target& target, const OutputOptions& options, FileSystem& system) {
  const int parent = target.folder.number();
  switch (target.kind) {
    case TargetKind::kAbsent:
      return false;
    case TargetKind::kLink:
      return would_replace(target.path,
                           "this is a symbolic link; name the folder it points to, or another one");
    case TargetKind::kFile:
    case TargetKind::kOther:
      return would_replace(target.path, "this exists and is not a folder; name another one");
    case TargetKind::kFolder:
      break;
  }
  if (const std::string input = input_in_target(target, options.inputs); !input.empty()) {
    return would_replace(target.path,
                         fmt::format("the input {} lies in this folder; name another one", input));
  }
  if (is_empty_folder(system, parent, target.name)) return false;
  const Result<Manifest> manifest = read_manifest(system, parent, target.name);
  if (!manifest) {
    return would_replace(
        target.path,
        "this folder holds files that lastwright did not write as a set; name another one, or "
        "remove it yourself");
  }
  if (!options.force) {
    return would_replace(
        target.path,
        "this holds the set of an earlier run; give --force to replace it, or name another folder");
  }
  if (const std::string extra = first_unlisted(system, parent, target.name, *manifest); !extra.empty()) {
    return would_replace(
        target.path,
        fmt::format(
            "\"{}\" in this folder is not part of the earlier set and would be lost; move it out first",
            extra));
  }
  return true;
}

}  // namespace

struct OutputSet::State {
  FileSystem& system;
  OutputOptions options;
  Target target;
  HiddenFolder hidden;
  bool replaces = false;
  bool in_place = false;  // the hidden name is not ours any more

  std::mutex lock;                          // over everything below
  std::unordered_set<std::string> names;    // in lower case
  std::map<std::string, OpenFile> folders;  // by path; without a number when too many are open
  std::vector<OpenFile> unsynced;           // of small sets
  bool large = false;
  Manifest manifest;
  std::optional<Problem> failed;

  State(FileSystem& files, OutputOptions with, Target at, HiddenFolder into)
      : system(files), options(std::move(with)), target(std::move(at)), hidden(std::move(into)) {}
  State(const State&) = delete;
  State& operator=(const State&) = delete;
  ~State() {
    folders.clear();
    unsynced.clear();
    if (!in_place) remove_tree(system, target.folder.number(), hidden.name);
  }

  [[nodiscard]] std::string shown(std::string_view name) const {
    return fmt::format("{}/{}", target.path, name);
  }
  Result<const OpenFile*> folder_of(std::string_view path);
  Status write(std::string_view name, std::string_view bytes);
  Status keep_for_sync(OpenFile file, std::string_view name);
  Status sync();
  Status put_in_place();
  std::string remove_replaced();
};

// With the lock held.
Result<const OpenFile*> OutputSet::State::folder_of(std::string_view path) {
  if (path.empty()) return &hidden.folder;
  const auto known = folders.find(std::string(path));
  if (known != folders.end()) return &known->second;
  const std::size_t slash = path.rfind('/');
  if (slash != std::string_view::npos) {
    if (const auto above = folder_of(path.substr(0, slash)); !above) return above.problem();
  }
  const std::string name(path);
  while (system.make_folder_at(hidden.folder.number(), name.c_str(), 0777) != 0) {
    if (errno != EINTR) return file_problem("make a folder of the output", shown(path), errno);
  }
  OpenFile folder;
  if (folders.size() < kFoldersKeptOpen) {
    folder = open_fully(system, hidden.folder.number(), name.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW);
    if (!folder) return file_problem("open a folder of the output", shown(path), errno);
  }
  return &folders.emplace(name, std::move(folder)).first->second;
}

Status OutputSet::State::write(std::string_view name, std::string_view bytes) {
  const std::size_t slash = name.rfind('/');
  const OpenFile* folder = nullptr;
  {
    const std::lock_guard guard(lock);
    if (!names.insert(folded(name)).second) {
      return Problem{Trouble::kUsage, fmt::format("two output files are named \"{}\"", name), {}, {}, {}};
    }
    const auto found =
        folder_of(slash == std::string_view::npos ? std::string_view() : name.substr(0, slash));
    if (!found) return found.problem();
    folder = *found;
  }
  const bool open = static_cast<bool>(*folder);
  const std::string leaf(open && slash != std::string_view::npos ? name.substr(slash + 1) : name);
  const int base = open ? folder->number() : hidden.folder.number();
  OpenFile file = open_fully(system, base, leaf.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, 0666);
  if (!file) return file_problem("make this file", shown(name), errno);
  if (const int error = write_fully(system, file.number(), bytes); error != 0) {
    return file_problem("write this file", shown(name), error);
  }
  ManifestEntry entry{std::string(name), bytes.size(), sha256(bytes)};
  const std::lock_guard guard(lock);
  manifest.files.push_back(std::move(entry));
  return keep_for_sync(std::move(file), name);
}

// With the lock held. A file of a large set is closed at once; those of a small one wait for commit.
Status OutputSet::State::keep_for_sync(OpenFile file, std::string_view name) {
  const auto closed = [&](OpenFile& one) -> Status {
    if (one.close() != 0 && errno != EINTR) return file_problem("finish this file", shown(name), errno);
    return Done{};
  };
  if (!large && options.durable && unsynced.size() < kSyncedOneByOne) {
    unsynced.push_back(std::move(file));
    return Done{};
  }
  large = true;
  for (OpenFile& one : unsynced) {
    if (Status status = closed(one); !status) return status;
  }
  unsynced.clear();
  return closed(file);
}

Status OutputSet::State::sync() {
  if (!options.durable) return Done{};
  const auto failed_with = [&](int error) {
    return file_problem("bring the set to the disk", target.path, error);
  };
  if (large) {
    const int error = sync_everything_fully(system, hidden.folder.number());
    return error != 0 ? Status(failed_with(error)) : Done{};
  }
  for (OpenFile& file : unsynced) {
    if (const int error = sync_fully(system, file.number()); error != 0) return failed_with(error);
    if (file.close() != 0 && errno != EINTR) return failed_with(errno);
  }
  for (const auto& [path, folder] : folders) {
    if (const int error = sync_fully(system, folder.number()); error != 0) return failed_with(error);
  }
  const int error = sync_fully(system, hidden.folder.number());
  return error != 0 ? Status(failed_with(error)) : Done{};
}

Status OutputSet::State::put_in_place() {
  const int parent = target.folder.number();
  const char* from = hidden.name.c_str();
  const char* to = target.name.c_str();
  if (replaces) {
    // Once more, now that the run is over: somebody may have put a file there meanwhile.
    Result<Target> now = look_at_target(target.path, system);
    if (!now) return now.problem();
    const Result<bool> still = replaces_earlier_set(*now, options, system);
    if (!still) return still.problem();
    if (!*still) {
      return would_replace(target.path, "the earlier set disappeared during the run; run again");
    }
    // The exchange of two names is one step of the file system: no moment without a set.
    const int error = rename_fully(system, parent, from, to, RENAME_EXCHANGE);
    if (error == EINVAL || error == ENOSYS || error == ENOTSUP) {
      return would_replace(target.path,
                           "the disk cannot exchange two folders in one step; remove the earlier set "
                           "yourself, then run again");
    }
    if (error != 0)
      return file_problem("put the new set in the place of the earlier one", target.path, error);
  } else {
    const int error = rename_fully(system, parent, from, to, 0);
    // A folder renamed onto a folder takes its place only when that is empty; onto anything else never.
    if (error == EEXIST || error == ENOTEMPTY || error == ENOTDIR) {
      return would_replace(target.path,
                           "something appeared there during the run; look at it, then run again");
    }
    if (error != 0) return file_problem("put the set in place", target.path, error);
  }
  in_place = true;
  hidden.folder = OpenFile();  // unlocked: this is a set like any other now
  return Done{};
}

// The earlier set now has the hidden name. Says where it is when it would not go.
std::string OutputSet::State::remove_replaced() {
  const int parent = target.folder.number();
  const OpenFile old = open_fully(system, parent, hidden.name.c_str(), O_RDONLY | O_DIRECTORY | O_NOFOLLOW);
  if (!old) return {};
  // The run that wrote the old set may be about to let go of it; waited for briefly. One that holds it longer
  // has seen it left over, removed it and taken the name: then nothing is left to do.
  for (int tries = 0; ::flock(old.number(), LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK; ++tries) {
    if (tries == kLockTries) return {};
    std::this_thread::sleep_for(kLockPause);
  }
  if (remove_hidden_folder(system, parent, hidden.name)) return {};
  return fmt::format("{}/{}", target.parent, hidden.name);
}

OutputSet::OutputSet(std::unique_ptr<State> state) : state_(std::move(state)) {}
OutputSet::OutputSet(OutputSet&&) noexcept = default;
OutputSet& OutputSet::operator=(OutputSet&&) noexcept = default;
OutputSet::~OutputSet() = default;

Result<OutputSet> OutputSet::begin(const std::string& folder, const OutputOptions& options,
                                   FileSystem& system) {
  Result<Target> target = look_at_target(folder, system);
  if (!target) return target.problem();
  const Result<bool> replaces = replaces_earlier_set(*target, options, system);
  if (!replaces) return replaces.problem();
  Result<HiddenFolder> hidden = claim_hidden_folder(*target, system);
  if (!hidden) return hidden.problem();
  auto state = std::make_unique<State>(system, options, std::move(*target), std::move(*hidden));
  state->replaces = *replaces;
  return OutputSet(std::move(state));
}

Status OutputSet::add(std::string_view name, std::string_view bytes) {
  Status status = check_name(name);
  if (status && folded(name) == kManifestName) {
    status = Problem{Trouble::kUsage, "manifest.json is written by the set itself", {}, {}, {}};
  }
  if (status) status = state_->write(name, bytes);
  if (!status) {
    const std::lock_guard guard(state_->lock);
    if (!state_->failed) state_->failed = status.problem();
  }
  return status;
}

bool OutputSet::has(std::string_view name) const {
  const std::lock_guard guard(state_->lock);
  return state_->names.contains(folded(name));
}

Result<WrittenSet> OutputSet::commit() {
  State& state = *state_;
  invariant(!state.in_place, "a set of outputs was committed twice");
  if (state.failed) return *state.failed;
  WrittenSet written;
  const std::string manifest = to_json(state.manifest);
  if (Status status = state.write(kManifestName, manifest); !status) return status.problem();
  for (const ManifestEntry& file : state.manifest.files) written.bytes += file.size;
  written.files = state.manifest.files.size();
  if (Status status = state.sync(); !status) return status.problem();
  if (Status status = state.put_in_place(); !status) return status.problem();
  if (state.options.durable) {
    if (const int error = sync_fully(state.system, state.target.folder.number()); error != 0) {
      Problem problem = file_problem("make sure that the new set, which is in place, is on the disk",
                                     state.target.path, error);
      return problem;
    }
  }
  if (state.replaces) written.left_behind = state.remove_replaced();
  return written;
}

}  // namespace lastwright
