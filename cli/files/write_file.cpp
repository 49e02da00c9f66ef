#include "cli/files/write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>

#include "cli/files/target.hpp"
#include "cli/files/unfinished.hpp"

namespace lastwright {

namespace {

Problem would_overwrite(const std::string& path, std::string message) {
  return {Trouble::kWouldReplace, std::move(message), {path, 0, {}, {}}, {}, {}};
}

Status check_target(const Target& target, const OutputOptions& options) {
  switch (target.kind) {
    case TargetKind::kAbsent:
      return Done{};
    case TargetKind::kLink:
      return would_overwrite(target.path,
                             "this is a symbolic link; name the file it points to, or another one");
    case TargetKind::kFolder:
      return would_overwrite(target.path, "this is a folder; name a file");
    case TargetKind::kOther:
      return would_overwrite(target.path,
                             "this is neither a file nor a folder; give - to write to standard output");
    case TargetKind::kFile:
      break;
  }
  if (!input_in_target(target, options.inputs).empty()) {
    return would_overwrite(target.path, "this is an input of the same run; name another file");
  }
  if (!options.force) {
    return would_overwrite(target.path, "this file exists; give --force to replace it, or name another one");
  }
  return Done{};
}

// 0 or the errno; EEXIST when something is there and may not be replaced.
int put_in_place(const Target& target, const char* from, bool replace, FileSystem& system) {
  const int parent = target.folder.number();
  const char* to = target.name.c_str();
  const int error = rename_fully(system, parent, from, to, replace ? 0 : RENAME_NOREPLACE);
  if (replace || (error != EINVAL && error != ENOSYS && error != ENOTSUP)) return error;
  // The disk does not know that rename; a link never replaces either.
  if (system.link_at(parent, from, to) != 0) return errno;
  system.remove_at(parent, from, 0);
  return 0;
}

}  // namespace

Status write_stdout(std::string_view bytes, FileSystem& system) {
  if (std::fflush(stdout) != 0) return file_problem("write the output", "standard output", errno);
  const int error = write_fully(system, STDOUT_FILENO, bytes);
  return error != 0 ? Status(file_problem("write the output", "standard output", error)) : Done{};
}

Status may_write_file(const std::string& path, const OutputOptions& options, FileSystem& system) {
  if (path == "-") return Done{};
  const Result<Target> target = look_at_target(path, system);
  return target ? check_target(*target, options) : target.problem();
}

namespace {

// One file on its way: written beside its target under a hidden name, then put in its place, or taken back.
class FileOnItsWay {
 public:
  FileOnItsWay(const OutputOptions& options, FileSystem& system) : options_(&options), system_(&system) {}

  Status write(const std::string& path, std::string_view bytes) {
    path_ = path;
    Result<Target> target = look_at_target(path, *system_);
    if (!target) return target.problem();
    if (Status status = check_target(*target, *options_); !status) return status;
    Result<HiddenFile> hidden = claim_hidden_file(*target, *system_);
    if (!hidden) return hidden.problem();
    target_ = *std::move(target);
    hidden_ = hidden->name;
    OpenFile& file = hidden->file;
    int error = write_fully(*system_, file.number(), bytes);
    if (error == 0 && options_->durable) error = sync_fully(*system_, file.number());
    lock_ = OpenFile(*system_, ::dup(file.number()));  // keeps the hidden name ours until the rename
    if (file.close() != 0 && error == 0 && errno != EINTR) error = errno;
    if (error == 0) return Done{};
    drop();
    return file_problem("write this file", path, error);
  }

  // With `keep` what was there before has the hidden name then, where the disk can do that.
  Status put(bool keep) {
    const bool replace = target_.kind == TargetKind::kFile;
    int error = EINVAL;
    if (keep && replace) {
      error = rename_fully(*system_, parent(), hidden_.c_str(), target_.name.c_str(), RENAME_EXCHANGE);
      kept_ = error == 0;
    }
    if (error == EINVAL || error == ENOSYS || error == ENOTSUP)
      error = put_in_place(target_, hidden_.c_str(), replace, *system_);
    placed_ = error == 0;
    if (placed_) return Done{};
    drop();
    if (error == EEXIST)
      return would_overwrite(path_, "something appeared there during the run; look at it, then run again");
    return file_problem("write this file", path_, error);
  }

  // As it was before; false where that could not be done.
  bool take_back() {
    if (!placed_) {
      drop();
      return true;
    }
    if (target_.kind != TargetKind::kFile) return system_->remove_at(parent(), target_.name.c_str(), 0) == 0;
    const bool back = kept_ && rename_fully(*system_, parent(), hidden_.c_str(), target_.name.c_str(),
                                            RENAME_EXCHANGE) == 0;
    if (back) drop();
    return back;
  }

  void drop() { system_->remove_at(parent(), hidden_.c_str(), 0); }
  void let_go() {
    if (kept_) drop();
  }
  Status settle() {
    if (!options_->durable) return Done{};
    const int late = sync_fully(*system_, parent());
    if (late == 0) return Done{};
    return file_problem("make sure that this file, which is in place, is on the disk", path_, late);
  }
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  [[nodiscard]] int parent() const { return target_.folder.number(); }

  const OutputOptions* options_;
  FileSystem* system_;
  std::string path_;
  Target target_;
  std::string hidden_;
  OpenFile lock_;
  bool placed_ = false;
  bool kept_ = false;
};

// The Problem, with those that could not be put back as they were.
Problem taken_back(Problem problem, std::vector<FileOnItsWay>& files, std::size_t count) {
  for (std::size_t i = 0; i < count; ++i) {
    if (!files[i].take_back()) problem.message += fmt::format("; {} stays replaced", files[i].path());
  }
  return problem;
}

}  // namespace

Status write_files_whole(const std::vector<WholeFile>& files, const OutputOptions& options,
                         FileSystem& system) {
  std::vector<FileOnItsWay> ways;
  for (const WholeFile& file : files) {
    ways.emplace_back(options, system);
    if (Status written = ways.back().write(file.path, file.bytes); !written)
      return taken_back(written.problem(), ways, ways.size() - 1);
  }
  for (std::size_t i = 0; i < ways.size(); ++i) {
    Status put = ways[i].put(i + 1 < ways.size());
    if (put) continue;
    for (std::size_t later = i + 1; later < ways.size(); ++later) ways[later].drop();
    return taken_back(put.problem(), ways, i);
  }
  for (FileOnItsWay& way : ways) way.let_go();
  for (FileOnItsWay& way : ways) {
    if (Status settled = way.settle(); !settled) return settled;
  }
  return Done{};
}

Status write_file_whole(const std::string& path, std::string_view bytes, const OutputOptions& options,
                        FileSystem& system) {
  if (path == "-") return write_stdout(bytes, system);
  return write_files_whole({{path, std::string(bytes)}}, options, system);
}

}  // namespace lastwright
