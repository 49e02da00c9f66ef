#include "cli/listing/listing.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "cli/listing/listed_names.hpp"
#include "tests/support/parsed_json.hpp"

using namespace lastwright;

namespace {

ListingBook book() {
  Listing table{"girths",
                "Girths, F \"medium\"",
                {{"size", "size", "", true}, {"ball", "ball girth", "mm", false}, {"note", "note", "", true}},
                {{std::string("8½"), Figure{246.0049, 2}, std::string("=1+1, \"x\"")},
                 {std::string("10"), Figure{-0.001, 2}, ListingCell{}},
                 {std::string("<b>"), Figure{1e9, 0}, std::string("#no comment")}},
                {"source: ours"}};
  return {"Derby & boot", {{"style", "derby"}}, {table}};
}

}  // namespace

TEST_CASE("text is aligned by signs, not bytes", "[table]") {
  CHECK(to_text(book()) ==
        "Derby & boot\n"
        "style  derby\n"
        "\n"
        "Girths, F \"medium\"\n"
        "size  ball girth mm  note\n"
        "----  -------------  -----------\n"
        "8½           246.00  =1+1, \"x\"\n"
        "10             0.00\n"
        "<b>      1000000000  #no comment\n"
        "  source: ours\n");
}

TEST_CASE("text that would be wider than a page is broken between words", "[table]") {
  std::string words;
  for (int i = 0; i < 60; ++i) words += (i ? " w" : "w") + std::to_string(i);
  ListingBook wide{"Wide",
                   {{"all", words}},
                   {{"a",
                     "A",
                     {{"id", "id", "", true},
                      {"why", "why", "", true},
                      {"mm", "off", "mm", false},
                      {"act", "act", "", true}},
                     {{std::string("P1"), words, Figure{1.5, 2}, std::string("read again")}},
                     {words}}}};
  const std::string text = to_text(wide);
  std::size_t begin = 0;
  std::string joined;
  while (begin < text.size()) {
    const std::size_t end = text.find('\n', begin);
    CHECK(end - begin <= 120);
    joined += text.substr(begin, end - begin) + " ";
    begin = end + 1;
  }
  for (int i = 0; i < 60; ++i) {  // in the fact, in the cell and in the note
    std::size_t found = 0;
    for (std::size_t at = joined.find("w" + std::to_string(i) + " "); at != std::string::npos;
         at = joined.find("w" + std::to_string(i) + " ", at + 1))
      ++found;
    CHECK(found == 3);
  }
  CHECK(text.find("1.50  read again") != std::string::npos);
}

TEST_CASE("CSV quotes what needs it and keeps notes in comment lines", "[table]") {
  CHECK(to_csv(book()) ==
        "# Derby & boot\r\n# style: derby\r\n# Girths, F \"medium\"\r\n# source: ours\r\n"
        "size,ball,note\r\n"
        "8½,246.00,\"'=1+1, \"\"x\"\"\"\r\n"
        "10,0.00,\r\n"
        "<b>,1000000000,\"#no comment\"\r\n");
}

TEST_CASE("JSON holds the digits that are shown, as numbers", "[table]") {
  const auto root = test::parsed_json(to_json(book()));
  CHECK(root.at("facts").at("style") == "derby");
  const auto& rows = root.at("tables").at(0).at("rows");
  REQUIRE(rows.size() == 3);
  CHECK(rows[0].at("ball") == 246.0);
  CHECK(rows[1].at("note").is_null());
  CHECK(rows[2].at("size") == "<b>");
}

TEST_CASE("HTML escapes what users write and loads nothing", "[table]") {
  const std::string page = to_html(book());
  CHECK(page.find("&lt;b&gt;") != std::string::npos);
  CHECK(page.find("<b>") == std::string::npos);
  CHECK(page.find("Derby &amp; boot") != std::string::npos);
  for (const char* outside : {"http:", "https:", "src=", "<script", "@import", "url("}) {
    CHECK(page.find(outside) == std::string::npos);
  }
}

// Ten columns of figures are wider than A4 upright: on paper the last of them were cut off.
TEST_CASE("HTML prints on A4 on its side and hides nothing beyond a rim", "[table]") {
  const std::string page = to_html(book());
  CHECK(page.find("@page { size: A4 landscape;") != std::string::npos);
  const std::size_t print = page.find("@media print");
  REQUIRE(print != std::string::npos);
  CHECK(page.find(".wide { overflow: visible; }", print) != std::string::npos);
}

TEST_CASE("Every printed page says which style it is of, which page and of how many", "[table]") {
  ListingBook signs = book();
  signs.title = "Measures";
  signs.facts = {{"works", "A works"}, {"style", "Boot \"</style><b>\\"}};
  CHECK(printed_foot(signs) == "Measures: Boot \"</style><b>\\");
  const std::string page = to_html(signs);
  const std::size_t foot =
      page.find("@bottom-left{content:\"Measures: Boot \\000022\\00003c/style>\\00003cb>\\00005c\"");
  REQUIRE(foot != std::string::npos);
  CHECK(foot < page.find("</style>"));
  CHECK(page.find("counter(page) \" of \" counter(pages)", foot) != std::string::npos);
}

// A table that goes on a page is not parted; a longer one is, with its heading again.
TEST_CASE("HTML keeps a short table on one page", "[table]") {
  ListingBook signs = book();
  signs.listings.resize(1);
  Listing& table = signs.listings.front();
  table.rows.resize(24, table.rows.front());
  CHECK(to_html(signs).find("<section class=\"whole\">") != std::string::npos);
  table.rows.push_back(table.rows.front());
  CHECK(to_html(signs).find("<section class=\"whole\">") == std::string::npos);
}

TEST_CASE("a spreadsheet has the same bytes every time", "[table]") {
  const auto one = render(book(), "xlsx");
  REQUIRE(one);
  CHECK(one->substr(0, 2) == "PK");
  CHECK(*render(book(), "xlsx") == *one);
  CHECK(render(book(), "docx").problem().trouble == Trouble::kUsage);
}

TEST_CASE("names are taken one by one or with commas, and a name that holds a comma stays whole", "[table]") {
  using Names = std::vector<std::string>;
  const Names known{"ball girth", "waist girth", "girth, heel", "girth", "heel"};
  CHECK(listed_names({"ball girth,waist girth"}, known) == Names{"ball girth", "waist girth"});
  CHECK(listed_names({"heel", "ball girth,girth"}, known) == Names{"heel", "ball girth", "girth"});
  CHECK(listed_names({"girth, heel"}, known) == Names{"girth, heel"});
  // What is no list of known names is told as it was typed.
  for (const char* word : {"ball girth,nosuch", "ball girth,", ",", "", "nosuch"})
    CHECK(listed_names({word}, known) == Names{word});

  ListingBook two = book();
  two.listings.push_back(two.listings.front());
  two.listings.back().name = "steps";
  two.listings.push_back(two.listings.front());
  two.listings.back().name = "noise";
  CHECK(*render(two, "csv", {"girths,steps"}) == *render(two, "csv", {"girths", "steps"}));
  CHECK(render(two, "csv", {"girths,girths"}).problem().message.find("twice") != std::string::npos);
  CHECK(render(two, "csv", {"girths,nosuch"}).problem().message.find("\"girths,nosuch\"") !=
        std::string::npos);
}
