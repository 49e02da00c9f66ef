// Single output files, whole or absent, and standard output, checked.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "cli/files/output_set.hpp"
#include "geometry/files/file_system.hpp"

namespace lastwright {

// Written beside the target under a hidden name, synced, then renamed into place: without `force` never over
// an existing file, with it the old file or the new one. Refuses folders, symbolic links and inputs (also
// under another name). "-" writes to standard output.
Status write_file_whole(const std::string& path, std::string_view bytes, const OutputOptions& options,
                        FileSystem& system = real_file_system());

// Several files as one set: all of them, or, where one cannot be written or put in place, none. Those that
// were there before are put back; only on a disk that cannot exchange two names may one of them stay
// replaced, and the Problem says so. No path is "-".
struct WholeFile {
  std::string path;
  std::string bytes;
};
Status write_files_whole(const std::vector<WholeFile>& files, const OutputOptions& options,
                         FileSystem& system = real_file_system());

// Whether write_file_whole may write there, asked before long work: the same refusals.
Status may_write_file(const std::string& path, const OutputOptions& options,
                      FileSystem& system = real_file_system());

// Everything, or a Problem: a full device or a closed pipe is an error like any other.
Status write_stdout(std::string_view bytes, FileSystem& system = real_file_system());

}  // namespace lastwright
