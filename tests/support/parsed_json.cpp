#include "tests/support/parsed_json.hpp"

#include <istream>
#include <nlohmann/json.hpp>

namespace lastwright::test {

Json parsed_json(std::string_view text) {
  return Json::parse(text);
}

Json parsed_json(std::istream& text) {
  return Json::parse(text);
}

}  // namespace lastwright::test
