#include "grading/jobs/left_out.hpp"

namespace lastwright {

std::vector<std::string> left_out_of(const LoadedStyle& style) {
  std::vector<std::string> all;
  for (const DrawingAccount& account : style.accounts) {
    const std::vector<std::string> lines = left_out_lines(account);
    all.insert(all.end(), lines.begin(), lines.end());
  }
  return all;
}

}  // namespace lastwright
