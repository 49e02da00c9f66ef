// The guide that travels inside the program: one page a subject, in plain text that reads as Markdown.
//
// The pages are the files cli/guide/*.md, in the order of their names: "10-pattern.md" is the page "pattern".
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace lastwright {

struct GuidePage {
  std::string_view name;  // "dies"
  std::string_view text;  // begins with a line "# Title"
};

std::span<const GuidePage> guide_pages();

// What stands behind "# " in the page's first line.
std::string_view title_of(const GuidePage& page);

// A line for each page: its name and its title.
std::string guide_contents();

}  // namespace lastwright
