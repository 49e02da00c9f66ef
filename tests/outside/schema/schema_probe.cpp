// schema_probe SCHEMA: reads one JSON document a line from
// standard input, prints "ok" or the first fault for each.
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>

#include "grading/json/json_schema.hpp"

int main(int argc, char** argv) {
  using namespace lastwright;
  if (argc != 2) return 2;
  std::ifstream file(argv[1], std::ios::binary);
  const JsonSchema schema(std::string{std::istreambuf_iterator<char>(file), {}});
  std::string line;
  while (std::getline(std::cin, line)) {
    const auto document = parse_json(line, "document");
    if (!document) {
      std::cout << "unreadable\n";
      continue;
    }
    const auto faults = schema.check(*document);
    std::cout << (faults.empty() ? "ok" : "fault at " + faults[0].place.pointer) << "\n";
  }
  return 0;
}
