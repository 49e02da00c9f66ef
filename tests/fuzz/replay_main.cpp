// replay_fuzz CORPUS [TARGET]: runs every fuzz target, or one, once over every file of its folder. An
// empty or missing folder is a failure: nothing was tested. The target's name is written before it runs.
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

#include "tests/fuzz/replay_targets.hpp"

namespace {

std::size_t files_replayed(const ReplayTarget& target, const std::filesystem::path& folder) {
  std::size_t files = 0;
  std::error_code failed;
  for (const auto& entry : std::filesystem::directory_iterator(folder, failed)) {
    if (!entry.is_regular_file()) continue;
    std::ifstream in(entry.path(), std::ios::binary);
    const std::vector<char> bytes{std::istreambuf_iterator<char>(in), {}};
    target.run(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    ++files;
  }
  return failed ? 0 : files;
}

}  // namespace

int main(int count, char** arguments) {
  if (count < 2) {
    std::cerr << "replay_fuzz CORPUS [TARGET]\n";
    return 1;
  }
  bool replayed = false;
  bool empty = false;
  for (const ReplayTarget& target : replay_targets()) {
    if (count > 2 && target.name != arguments[2]) continue;
    std::cout << target.name << ": " << std::flush;
    const std::size_t files = files_replayed(target, std::filesystem::path(arguments[1]) / target.corpus);
    std::cout << files << " files\n";
    replayed = true;
    empty = empty || files == 0;
  }
  return replayed && !empty ? 0 : 1;
}
