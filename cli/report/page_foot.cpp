#include "cli/report/page_foot.hpp"

#include <fmt/format.h>

namespace lastwright {

std::string page_foot_style(std::string_view foot) {
  std::string quoted;
  for (const char c : foot) {  // a string of CSS in an element of HTML
    const bool plain =
        static_cast<unsigned char>(c) >= 0x80 || (c >= ' ' && c != '"' && c != '\\' && c != '<');
    quoted += plain ? std::string(1, c) : fmt::format("\\{:06x}", static_cast<unsigned char>(c));
  }
  return fmt::format(
      "@page{{@bottom-left{{content:\"{}\";font:8pt sans-serif;color:#555;white-space:nowrap}}"
      "@bottom-right{{content:\"page \" counter(page) \" of \" counter(pages);font:8pt "
      "sans-serif;color:#555}}}}\n",
      quoted);
}

}  // namespace lastwright
