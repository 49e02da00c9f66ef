// What stands at the foot of every printed page of an HTML page: whose it is, and which page of how many.
#pragma once

#include <string>
#include <string_view>

namespace lastwright {

// A rule of CSS for an element of HTML. The page's own @page says paper and margins, at least 14 mm below.
std::string page_foot_style(std::string_view foot);

}  // namespace lastwright
