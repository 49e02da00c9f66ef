#include "grading/planning/labels.hpp"

#include <catch2/catch.hpp>

namespace lastwright {

namespace {

// One style of three pieces: areas of one, all cut twice for a pair.
struct Shop {
  StyleSpec spec;
  Needs needs;
  WorksSpec works;

  void piece(const std::string& name, const std::string& material, double net) {
    PieceSpec piece;
    piece.name = name;
    spec.pieces.push_back(piece);
    PieceNeed need;
    need.style = "boot";
    need.piece = name;
    need.material = material;
    need.pairs = 1;
    need.pieces = 2;
    need.net = net;
    needs.pieces.push_back(need);
  }
  void material(const std::string& name, const std::string& kind, std::optional<double> thickness = {}) {
    works.materials[name].kind = kind;
    works.materials[name].thickness = thickness;
  }
  [[nodiscard]] StyleLabel label() const { return label_of_style({"boot", &spec, nullptr}, needs, works); }
};

}  // namespace

// Directive 94/11/EC, article 1 and annex I: at least 80 % alone, else the two main materials.
TEST_CASE("a material of four fifths is named alone, else the two main ones", "[planning]") {
  Shop shop;
  shop.material("calf", "leather");
  shop.material("mesh", "textile");
  shop.works.labels.parts["upper"] = {"vamp", "quarter", "tab"};
  shop.piece("vamp", "calf", 500.0);
  shop.piece("quarter", "calf", 300.0);
  shop.piece("tab", "mesh", 200.0);
  CHECK(shop.label().parts.at(0).says == "upper of leather");
  shop.needs.pieces[2].net = 201.0;
  CHECK(shop.label().parts.at(0).says == "upper of leather and textile");
  CHECK(shop.label().parts.at(0).named == std::vector<std::string>{"leather", "textile"});
  // A piece of another style is no part of this one.
  shop.works.labels.parts["upper"].push_back("tongue");
  CHECK(shop.label().parts.at(0).says == "upper of leather and textile");
}

TEST_CASE("a style's own words for its labels stand in place of those for all", "[planning]") {
  Shop shop;
  shop.material("calf", "leather");
  shop.material("mesh", "textile");
  shop.piece("vamp", "calf", 1.0);
  shop.piece("strap", "mesh", 1.0);
  shop.works.labels.stock_number = "all";
  shop.works.labels.made = "week 7";
  shop.works.labels.parts["upper"] = {"vamp"};
  shop.works.labels.by_style["boot"].stock_number = "B-1";
  shop.works.labels.by_style["boot"].parts["upper"] = {"strap"};
  CHECK(shop.label().parts.at(0).says == "upper of textile");
  const LabelSpec boot = shop.works.labels.of("boot");
  CHECK(boot.stock_number == "B-1");
  CHECK(boot.made == "week 7");
  CHECK(shop.works.labels.of("mule").stock_number == "all");
  CHECK(shop.works.labels.of("mule").parts.at("upper").front() == "vamp");
}

TEST_CASE("outer soles go by volume, and what is not given is not said", "[planning]") {
  Shop shop;
  shop.material("bend", "leather", 5.0);
  shop.material("rubber", "other materials", 1.0);
  shop.works.labels.parts["outer sole"] = {"sole", "half sole"};
  shop.piece("sole", "bend", 100.0);
  shop.piece("half sole", "rubber", 100.0);
  // By surface it would be half and half.
  CHECK(shop.label().parts.at(0).says == "outer sole of leather");
  shop.works.materials["rubber"].thickness.reset();
  CHECK(shop.label().parts.empty());
  CHECK(shop.label().missing.size() == 3);
}

TEST_CASE("a piece that states no material is named", "[planning]") {
  Shop shop;
  shop.works.labels.parts["upper"] = {"vamp", "sock"};
  shop.material("calf", "leather");
  shop.piece("vamp", "calf", 100.0);
  shop.piece("sock", "", 10.0);
  CHECK(shop.label().parts.empty());
  CHECK(shop.label().missing.at(0) == "upper: no material is stated for sock");
}

TEST_CASE("sizes are marked by the row of the table that holds them", "[planning]") {
  MarkingTable table;
  table.key = "t";
  table.columns = {"European", "English"};
  table.rows = {{"265", {"41.5", "8.5"}}, {"270", {"42.5", "9"}}};
  CHECK(*marking_of(table, "English", "9") == "270 mm, European 42.5");
  CHECK(marking_of(table, "English", "8")->empty());
  CHECK(!marking_of(table, "Dutch", "9").ok());
  CHECK(column_of_scale(table, "english") == "English");
  CHECK(column_of_scale(table, "paris-point") == "European");
  CHECK(column_of_scale(table, "mondopoint-5").empty());
  CHECK(!marking_of(table, "Mondopoint", "270").ok());
  // By foot lengths the table's own sizes are a column like the others.
  table.scale = "mondopoint-5";
  CHECK(column_of_scale(table, "mondopoint-7.5") == "Mondopoint");
  CHECK(*marking_of(table, "Mondopoint", "270") == "270 mm, European 42.5, English 9");
  CHECK(marking_of(table, "Mondopoint", "275")->empty());
  CHECK(*marking_of(table, "English", "9") == "270 mm, European 42.5");
  table.columns = {"American men", "American women"};
  CHECK(column_of_scale(table, "american-men-foot") == "American men");
  CHECK(column_of_scale(table, "american-women-1") == "American women");
  CHECK(column_of_scale(table, "american-stick").empty());
}

}  // namespace lastwright
