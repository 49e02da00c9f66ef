#include "cli/guide/guide.hpp"

#include <fmt/format.h>

namespace lastwright {

std::string_view title_of(const GuidePage& page) {
  constexpr std::string_view kMark = "# ";
  return page.text.substr(kMark.size(), page.text.find('\n') - kMark.size());
}

std::string guide_contents() {
  std::string text;
  for (const GuidePage& page : guide_pages()) text += fmt::format("  {:<12} {}\n", page.name, title_of(page));
  return text;
}

}  // namespace lastwright
