#include "grading/jobs/load_tables.hpp"

#include "geometry/files/read_file.hpp"

namespace lastwright {

Result<ReferenceTables> load_tables(const std::vector<std::string>& files) {
  ReferenceTables tables;
  struct Waiting {
    std::string file;
    std::string text;
  };
  std::vector<Waiting> waiting;
  for (const std::string& file : files) {
    Result<std::string> text = read_file(file, std::size_t{16} << 20);
    if (!text) return text.problem();
    waiting.push_back({file, *std::move(text)});
  }
  // A table that names one read later fits in a later round;
  // when a round adds nothing, its first fault is the answer.
  while (!waiting.empty()) {
    std::vector<Waiting> left;
    std::vector<Problem> faults;
    for (Waiting& one : waiting) {
      Status added = tables.add(one.text, one.file);
      if (added) continue;
      faults.push_back(added.problem());
      left.push_back(std::move(one));
    }
    if (left.size() == waiting.size()) return faults.front();
    waiting = std::move(left);
  }
  return tables;
}

}  // namespace lastwright
