// Small DXF texts for tests, written tag by tag.
#pragma once

#include <string>
#include <string_view>

namespace lastwright::test {

// "0 LINE|8 cut|10 1.5|20 2" -> tags: the group code, a blank, the value; tags parted by '|'.
inline std::string tags(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t bar = text.find('|');
    const std::string_view tag = text.substr(0, bar);
    const std::size_t blank = tag.find(' ');
    out += tag.substr(0, blank);
    out += '\n';
    out += blank == std::string_view::npos ? std::string_view{} : tag.substr(blank + 1);
    out += '\n';
    text.remove_prefix(bar == std::string_view::npos ? text.size() : bar + 1);
  }
  return out;
}

inline std::string section(std::string_view name, std::string_view content) {
  return "0\nSECTION\n2\n" + std::string(name) + "\n" + std::string(content) + "0\nENDSEC\n";
}

// A drawing in millimetres with these entities and blocks (each already text).
inline std::string drawing(std::string_view entities, std::string_view blocks = {}) {
  std::string out = section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4"));
  if (!blocks.empty()) out += section("BLOCKS", blocks);
  return out + section("ENTITIES", entities) + "0\nEOF\n";
}

inline std::string block(std::string_view name, std::string_view entities,
                         std::string_view base = "10 0|20 0") {
  return tags("0 BLOCK|8 0|2 " + std::string(name) + "|70 0|" + std::string(base)) + std::string(entities) +
         tags("0 ENDBLK|8 0");
}

}  // namespace lastwright::test
