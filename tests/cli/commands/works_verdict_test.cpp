// One works file is taken or refused by every command that reads it, with the same words, and what is refused
// leaves nothing behind.
#include <unistd.h>

#include <catch2/catch.hpp>
#include <cstdio>
#include <filesystem>
#include <string>
#include <vector>

#include "cli/app.hpp"
#include "geometry/files/read_file.hpp"
#include "tests/support/low_shoe.hpp"

using namespace lastwright;

namespace {

struct WordsHeard {
  int code = 0;
  std::string errors;  // what stood on standard error
};

WordsHeard run_saying(std::vector<std::string> words, const std::string& kept) {
  words.insert(words.begin(), "lastwright");
  std::vector<const char*> argv;
  for (const std::string& word : words) argv.push_back(word.c_str());
  std::fflush(stderr);
  const int before = dup(STDERR_FILENO);
  std::FILE* const file = std::fopen(kept.c_str(), "w");
  REQUIRE(file);
  dup2(fileno(file), STDERR_FILENO);
  WordsHeard said;
  said.code = run_lastwright(static_cast<int>(argv.size()), argv.data());
  std::fflush(stderr);
  dup2(before, STDERR_FILENO);
  close(before);
  std::fclose(file);
  said.errors = *read_file(kept);
  return said;
}

constexpr const char* kWorks =
    R"({"lastwright_works": 1, "styles": {"Low shoe": "s.json"}, "materials": {"calf": {"kind": "leather"}},
 "labels": {"marking": {"table": "iso-19407-adult", "column": "English"}}, "suppliers": {"Mill": {"lead": 1}},
 "supplies": {"felt": {"unit": "dm2", "lead": 1}, "laces": {"per_pair": 1, "lead": 1}, "calf": {"unit": "dm2", "supplier": "Mill"}}})";

}  // namespace

TEST_CASE("a works file is refused by every command that reads it, with the same words", "[works]") {
  const ScratchFolder folder;
  const std::string style =
      test::put_low_shoe(folder, {{"\"vamp\", ", "\"vamp\", \"material\": \"calf\", "},
                                  {"\"quarter\", ", "\"quarter\", \"material\": \"felt\", "}});
  const std::string order = folder / "order.csv";
  const std::string works = folder / "works.json";
  put(order, "size,width,pairs,period\n8,F,2,9\n");
  put(folder / "hide.dxf",
      test::drawing(test::polyline({{0, 0}, {2000, 0}, {2000, 1000}, {0, 1000}}, "hide")));
  const std::vector<std::vector<std::string>> with_order{
      {"needs", order, "--works", works},
      {"tickets", order, "--works", works},
      {"dates", works, "--order", order},
      {"report", style, "--pairs", order, "--works", works}};
  std::vector<std::vector<std::string>> all = with_order;
  all.push_back({"dates", works});
  all.push_back({"hide", style, "--hide", folder / "hide.dxf", "--works", works, "--material", "calf"});
  all.push_back({"cut", style, "--pairs", "1", "--works", works});
  // What the file says against itself all of them refuse; what its styles show, those that read both.
  const test::TextChanges by_itself{{"\"per_pair\": 1", "\"per_pair\": 1, \"styles\": [\"Low shoes\"]"},
                                    {"\"per_pair\": 1", "\"per_pair\": 1, \"of\": {\"laces\": 1}"},
                                    {"\"unit\": \"dm2\", \"supplier\"", "\"unit\": \"m\", \"supplier\""},
                                    {"\"laces\"", "\"laces \""},
                                    {"\"per_pair\": 1", "\"per_pair\": 1, \"per_case\": 1"},
                                    {"\"per_pair\": 1", "\"per_pair\": 0"},
                                    {"\"supplier\": \"Mill\"", "\"supplier\": \"Tannery\""},
                                    {"\"supplier\": \"Mill\"", "\"supplier\": \"Mill\", \"price\": 2"},
                                    {"\"kind\": \"leather\"", "\"bought_as\": \"roll\""}};
  const test::TextChanges beside_styles{{"\"unit\": \"dm2\", \"lead\"", "\"unit\": \"kg\", \"lead\""},
                                        {"\"felt\": {", "\"Felt\": {"},
                                        {"\"lead\": 1}, \"laces\"", "\"lead\": 1, \"price\": 1}, \"laces\""},
                                        {"\"column\": \"English\"", "\"column\": \"European\""},
                                        {"\"column\": \"English\"", "\"column\": \"Martian\""},
                                        {"iso-19407-adult", "iso-19407-adults"},
                                        {"\"labels\": {", "\"zones\": {\"vmap\": \"butt\"}, \"labels\": {"}};
  const auto refused_alike = [&](const std::vector<std::vector<std::string>>& commands,
                                 const std::pair<std::string, std::string>& change) {
    put(works, test::with_changes(kWorks, {change}));
    std::string words;
    for (std::vector<std::string> command : commands) {
      INFO(change.second << ": " << command.front());
      const std::string out = folder / "out";
      command.insert(command.end(), {"--out", out});
      const WordsHeard said = run_saying(command, folder / "errors.txt");
      CHECK(said.code == 3);
      CHECK(said.errors.find("works.json") != std::string::npos);
      if (words.empty()) words = said.errors;
      CHECK(said.errors == words);
      CHECK_FALSE(std::filesystem::exists(out));
    }
  };
  for (const auto& change : by_itself) refused_alike(all, change);
  for (const auto& change : beside_styles) refused_alike(with_order, change);
  put(works, kWorks);
  for (std::vector<std::string> command : all) {
    INFO(command.front());
    if (command.front() == "cut") command.insert(command.end(), {"--roll", "900"});
    command.insert(command.end(), {"--out", folder / "out", "--threads", "1"});
    const WordsHeard said = run_saying(command, folder / "errors.txt");
    INFO(said.errors);
    CHECK(said.code == 0);
    std::filesystem::remove_all(folder / "out");
  }
}
