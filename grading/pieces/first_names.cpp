#include "grading/pieces/first_names.hpp"

namespace lastwright {

std::string plain_name(const std::string& block) {
  std::string name;
  for (const char c : block) {
    if (c >= 'A' && c <= 'Z') {
      name += static_cast<char>(c - 'A' + 'a');
    } else if (c == '_') {
      name += ' ';
    } else if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f) {
      name += c;
    }
  }
  while (!name.empty() && name.back() == ' ') name.pop_back();
  while (!name.empty() && name.front() == ' ') name.erase(0, 1);
  constexpr std::size_t kLongest = 60;
  if (name.size() <= kLongest) return name;
  std::size_t cut = kLongest;
  while (cut > 0 && (static_cast<unsigned char>(name[cut]) & 0xC0U) == 0x80U) --cut;
  return name.substr(0, cut);
}

}  // namespace lastwright
