#include "cli/write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>

#include "cli/hidden.hpp"
#include "cli/target.hpp"

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

Status write_file_whole(const std::string& path, std::string_view bytes, const OutputOptions& options,
                        FileSystem& system) {
  if (path == "-") return write_stdout(bytes, system);
  const Result<Target> target = look_at_target(path, system);
  if (!target) return target.problem();
  if (Status status = check_target(*target, options); !status) return status;
  Result<HiddenFile> hidden = claim_hidden_file(*target, system);
  if (!hidden) return hidden.problem();

  const int parent = target->folder.number();
  OpenFile& file = hidden->file;
  int error = write_fully(system, file.number(), bytes);
  if (error == 0 && options.durable) error = sync_fully(system, file.number());
  const OpenFile lock(system, ::dup(file.number()));  // keeps the hidden name ours until the rename
  if (file.close() != 0 && error == 0 && errno != EINTR) error = errno;
  const bool written = error == 0;
  if (written) {
    error = put_in_place(*target, hidden->name.c_str(), target->kind == TargetKind::kFile, system);
  }
  if (error != 0) {
    system.remove_at(parent, hidden->name.c_str(), 0);
    if (written && error == EEXIST) {
      return would_overwrite(path, "something appeared there during the run; look at it, then run again");
    }
    return file_problem("write this file", path, error);
  }
  if (options.durable) {
    if (const int late = sync_fully(system, parent); late != 0) {
      return file_problem("make sure that this file, which is in place, is on the disk", path, late);
    }
  }
  return Done{};
}

}  // namespace lastwright
