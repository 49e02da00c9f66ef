// Runs a fuzz target once over every file of a folder. An
// empty or missing folder is a failure: nothing was tested.
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

int main(int count, char** arguments) {
  namespace fs = std::filesystem;
  std::size_t files = 0;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(count > 1 ? arguments[1] : ".", failed)) {
    if (!entry.is_regular_file()) continue;
    std::ifstream in(entry.path(), std::ios::binary);
    const std::vector<char> bytes{std::istreambuf_iterator<char>(in), {}};
    LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    ++files;
  }
  std::cout << files << " files replayed\n";
  return files > 0 && !failed ? 0 : 1;
}
