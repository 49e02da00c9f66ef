// One works file is either taken or refused: whatever it is damaged by, what read_works and works_misfits
// take is planned, and they take what the plain rules, stated anew here, take.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "grading/json/json_text.hpp"
#include "grading/planning/schedule.hpp"
#include "grading/planning/works_fit.hpp"
#include "grading/planning/works_json.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/parsed_json.hpp"

namespace lastwright {

namespace {

// Of felt there are pieces, and nothing is stated of how it is bought.
constexpr const char* kSound = R"({"lastwright_works": 1, "styles": {"boot": "b.json", "shoe": "s.json"},
  "materials": {"calf": {"hide": {"area_dm2": 200, "perimeter_mm": 6000}}, "kip": {}, "suede": {"bought_as": "roll", "width_mm": 1400},
    "board": {"bought_as": "sheets", "width_mm": 900, "length_mm": 1400}, "bend": {"bought_as": "pieces"}},
  "supplies": {
    "calf": {"unit": "hides", "supplier": "Web & Co"}, "kip": {"unit": "sq ft", "supplier": "Web & Co"},
    "suede": {"unit": "m", "supplier": "Mill"}, "board": {"unit": "sheets", "lead": 2}, "bend": {"unit": "pieces", "lead": 3},
    "felt": {"unit": "dm2", "lead": 1}, "eyelets": {"per_pair": 20, "styles": ["boot"], "supplier": "Mill", "price": 0.01},
    "thread": {"per_pair": 7, "lead": 1, "of": {"yarn": 0.1}}, "yarn": {"lead": 2, "of": {"fibre": 2}}, "fibre": {"lead": 5},
    "cartons": {"per_case": 1, "lead": 1}},
  "suppliers": {"Web & Co": {"lead": 4}, "Mill": {"lead": 2}}})";

const std::vector<std::string>& materials() {
  static const std::vector<std::string> all{"calf", "kip", "suede", "board", "bend", "felt"};
  return all;
}

StyleSpec style_of_all() {
  StyleSpec style;
  for (const std::string& material : materials()) {
    PieceSpec piece;
    piece.name = "of " + material;
    piece.material = material;
    style.pieces.push_back(piece);
  }
  return style;
}

// As needs_of has them of two pairs in period 30: no area of what is ready cut or has no hide.
Needs needs_of_pairs(const WorksSpec& works) {
  Needs needs;
  for (const std::string& material : materials()) {
    const auto found = works.materials.find(material);
    const MaterialSpec spec = found == works.materials.end() ? MaterialSpec{} : found->second;
    PieceNeed need;
    need.style = "boot";
    need.size = "8";
    need.width = "F";
    need.piece = "of " + material;
    need.material = material;
    need.pairs = need.pieces = 2;
    need.scale = 1e5;
    if (spec.in_strips() || (spec.bought_as == BoughtAs::kHides && spec.hide)) {
      need.per_unit = 10.0;
      need.material_area = 1.2e5;
    }
    needs.pieces.push_back(need);
    MaterialNeed whole;
    whole.name = material;
    whole.bought_as = spec.bought_as;
    needs.materials.push_back(whole);
  }
  return needs;
}

Json one_of(std::initializer_list<const char*> texts) {
  return test::parsed_json(*rc::gen::elementOf(std::vector<std::string>(texts.begin(), texts.end())));
}

void damage(Json& works) {
  std::vector<std::string> names;
  for (const auto& [name, json] : works["supplies"].items()) names.push_back(name);
  const std::string name = *rc::gen::elementOf(names);
  Json& supply = works["supplies"][name];
  switch (*rc::gen::inRange(0, 13)) {
    case 0:
      supply["unit"] = one_of({R"("dm2")", R"("sq ft")", R"("sqft")", R"("m")", R"("sheets")", R"("hides")",
                               R"("pieces")", R"("kg")", R"("")"});
      break;
    case 1:
      supply["per_pair"] = one_of({"0", "1", "2.5"});
      break;
    case 2:
      supply["per_case"] = one_of({"0", "1"});
      break;
    case 3:
      supply["styles"] = one_of({R"(["boot"])", R"(["shoe", "boot"])", R"(["bott"])", R"(["boot "])", "[]"});
      break;
    case 4:
      supply["supplier"] = one_of({R"("Mill")", R"("Web & Co")", R"("Web and Co")", R"("Mill ")", R"("")"});
      break;
    case 5:
      supply["lead"] = one_of({"0", "7", "990", "1000"});
      break;
    case 6:
      supply["ahead"] = one_of({"0", "2", "100"});
      break;
    case 7:
    case 8:
      supply["of"][*rc::gen::elementOf(names)] = 0.5;
      break;
    case 9:
      supply.erase(*rc::gen::elementOf(std::vector<std::string>{"lead", "unit", "per_pair", "styles", "of"}));
      break;
    case 10:
      supply["price"] = 0.25;
      break;
    case 11: {
      const Json moved = supply;
      works["supplies"].erase(name);
      works["supplies"]
           [*rc::gen::elementOf(std::vector<std::string>{name + " ", "\u00a0" + name, name + "s"})] = moved;
      break;
    }
    default:
      works["materials"].erase(*rc::gen::elementOf(materials()));
  }
}

// Periods from ordering a supply to the need of what is sold; more than any plan has where it is made of
// itself.
int back_to(const Json& supplies, const std::string& name, int depth = 0) {
  if (depth > 20) return 1'000'000;
  int most = 0;
  for (const auto& [other, json] : supplies.items()) {
    if (json.contains("of") && json["of"].contains(name))
      most = std::max(most, back_to(supplies, other, depth + 1));
  }
  return std::min(most + supplies[name]["lead_taken"].get<int>() + supplies[name].value("ahead", 0),
                  1'000'000);
}

bool blank_ends(const std::string& name) {
  return !name.empty() && (name.front() == ' ' || name.back() == ' ' || name.starts_with("\u00a0"));
}

bool unit_of(const std::string& unit, const Json& material) {
  const std::string bought = material.value("bought_as", "hides");
  if (bought == "pieces") return unit.empty() || unit == "pieces";
  if (std::set<std::string>{"", "dm2", "sq ft", "pieces"}.count(unit) > 0) return true;
  return (unit == "m" && bought == "roll") || (unit == "sheets" && bought == "sheets") ||
         (unit == "hides" && material.contains("hide"));
}

bool sound(const Json& works) {
  Json supplies = works["supplies"];
  const Json& suppliers = works["suppliers"];
  std::set<std::string> asked;
  for (auto& [name, json] : supplies.items()) {
    if (json.contains("of")) {
      for (const auto& [part, quantity] : json["of"].items()) {
        if (!supplies.contains(part)) return false;
        asked.insert(part);
      }
    }
    const std::string supplier = json.value("supplier", "");
    if (blank_ends(supplier)) return false;
    if (!json.contains("lead") && !supplier.empty() && !suppliers.contains(supplier)) return false;
    json["lead_taken"] = json.value(
        "lead", supplier.empty() ? 0 : suppliers.value(supplier, Json{{"lead", 0}})["lead"].get<int>());
  }
  for (const auto& [name, json] : supplies.items()) {
    const bool pair = json.contains("per_pair");
    const bool each_case = json.contains("per_case");
    if ((pair && json["per_pair"] == 0) || (each_case && json["per_case"] == 0) || (pair && each_case))
      return false;
    if (json.contains("styles")) {
      if (json["styles"].empty() || !(pair || each_case)) return false;
      for (const Json& style : json["styles"]) {
        if (style != "boot" && style != "shoe") return false;
      }
    }
    const bool stated = works["materials"].contains(name);
    const bool material = stated || std::count(materials().begin(), materials().end(), name) > 0;
    if (material) {
      if (!unit_of(json.value("unit", ""), stated ? works["materials"][name] : Json::object())) return false;
      if (json.contains("price") && !pair) return false;
    } else {
      if (blank_ends(name)) return false;
      // "calfs", where "calf" then has no supply.
      const std::string less = name.substr(0, name.size() - 1);
      const bool near = name.back() == 's' && std::count(materials().begin(), materials().end(), less) > 0;
      if (near && !supplies.contains(less) && !pair && !each_case && asked.count(name) == 0) return false;
    }
    if (back_to(supplies, name) > 2001) return false;
  }
  for (const auto& [name, json] : suppliers.items()) {
    for (const auto& [supply, one] : supplies.items()) {
      // One that nothing comes from and that is nearly called as one that something comes from.
      if (name == "Web & Co" && one.value("supplier", "") == "Web and Co") {
        const bool used = std::any_of(supplies.begin(), supplies.end(),
                                      [&](const Json& any) { return any.value("supplier", "") == name; });
        if (!used) return false;
      }
    }
  }
  return true;
}

bool takes_style(const SupplySpec& supply, const std::string& style) {
  return supply.styles.empty() || std::count(supply.styles.begin(), supply.styles.end(), style) > 0;
}

std::string first_problem(const std::string& text) {
  const Checked<WorksSpec> read = read_works(text, "works.json");
  return read.ok() ? "" : to_text(read.problems().front());
}

}  // namespace

TEST_CASE("a works file is judged once: what is taken is planned, and nothing of it lost", "[planning]") {
  const StyleSpec style = style_of_all();
  int taken = 0;
  int refused = 0;
  Order order;
  order.lines = {{"boot", "8", "F", 2, "", 30, 2}};
  test::holds_for_all(
      "taken or refused, by all alike",
      [&] {
        Json works = test::parsed_json(kSound);
        for (int k = *rc::gen::inRange(0, 4); k > 0; --k) damage(works);
        const std::string text = works.dump();
        const Checked<WorksSpec> read = read_works(text, "works.json");
        const bool takes = read.ok() && works_misfits(*read, {&style}).empty();
        RC_LOG() << text << "\n";
        RC_ASSERT(takes == sound(works));
        ++(takes ? taken : refused);
        if (!takes) return;
        const Result<Schedule> alone = schedule_of({}, {}, *read);
        RC_ASSERT(alone.ok());
        const Result<Schedule> schedule = schedule_of(order, needs_of_pairs(*read), *read);
        RC_ASSERT(schedule.ok());
        for (std::size_t i = 0; i < read->supplies.size(); ++i) {
          const SupplySpec& supply = read->supplies[i];
          const bool of_piece = std::count(materials().begin(), materials().end(), supply.name) > 0;
          const bool by_order = (supply.per_pair || supply.per_case) && takes_style(supply, "boot");
          RC_ASSERT((schedule->supplies[i].needed.size() == 1) == (of_piece || by_order));
        }
      },
      300);
  CHECK(taken > 60);
  CHECK(refused > 60);
}

TEST_CASE("what a works file cannot mean is refused with its place, its value and what would do",
          "[planning]") {
  const auto with_supplies = [](const std::string& supplies) {
    return first_problem(R"({"lastwright_works": 1, "styles": {"boot": "b.json"},
 "materials": {"calf": {}, "bend": {"bought_as": "pieces"}}, "suppliers": {"Mill": {"lead": 2}, "Web & Co": {"lead": 1}},
 "supplies": {"of mill": {"supplier": "Mill"}, "of web": {"supplier": "Web & Co"}, )" +
                         supplies + "}}");
  };
  CHECK(with_supplies(R"("laces": {"per_pair": 1})").empty());
  CHECK(with_supplies(R"("laces": {"per_pair": 1, "styles": ["bott"]})") ==
        "works.json:3: at /supplies/laces/styles/0: the works file names no style \"bott\" (did you mean "
        "\"boot\"?) [bad value]");
  CHECK(with_supplies(R"("a": {"per_pair": 1, "of": {"b": 1}}, "b": {"of": {"c": 1}}, "c": {"of": {"b": 1}})")
            .find("at /supplies/b/of: an item is made of itself: \"b\" is made of \"c\" is made of \"b\"") !=
        std::string::npos);
  CHECK(with_supplies(R"("calf": {"unit": "sqft"})") ==
        "works.json:3: at /supplies/calf/unit: supply \"calf\" is counted in \"sqft\"; its material is "
        "bought as hides and states none: count it in dm2, sq ft or pieces [bad value]");
  CHECK(with_supplies(R"("bend": {"unit": "hides"})").find("bought ready cut: count it in pieces [bad") !=
        std::string::npos);
  CHECK(with_supplies(R"("laces ": {"per_pair": 1})").find("\"laces \" begins or ends in a blank") !=
        std::string::npos);
  CHECK(with_supplies(R"("laces": {"per_pair": 1, "per_case": 2})")
            .find("\"per_pair\" (1) and \"per_case\" (2) are both stated") != std::string::npos);
  for (const char* const key : {"per_pair", "per_case"}) {
    const std::string zero = with_supplies(std::string(R"("laces": {")") + key + R"(": 0})");
    INFO(zero);
    CHECK(zero.find(std::string("at /supplies/laces/") + key) != std::string::npos);
    CHECK(zero.find("0") != std::string::npos);
  }
  CHECK(with_supplies(R"("calf": {"price": 3})").find("/supplies/calf/price: the price 3 of") !=
        std::string::npos);
  CHECK(with_supplies(R"("calf": {"per_pair": 1, "price": 3})").empty());
  CHECK(with_supplies(R"("calf": {"styles": ["boot"]})").find("/supplies/calf/styles") != std::string::npos);
  // Whose lead time would be 0: the suppliers that there are.
  CHECK(
      with_supplies(R"("laces": {"per_pair": 1, "supplier": "Nobody"})") ==
      "works.json:3: at /supplies/laces/supplier: \"suppliers\" has no \"Nobody\" (known: \"Mill\", \"Web & "
      "Co\"), and \"laces\" states no \"lead\" of its own: how long it takes to come is not known [bad "
      "value]");
  CHECK(with_supplies(R"("laces": {"per_pair": 1, "supplier": "Web and Co"})")
            .find("did you mean \"Web & Co\"?") != std::string::npos);
  CHECK(with_supplies(R"("laces": {"per_pair": 1, "supplier": "Nobody", "lead": 3})").empty());
  CHECK(first_problem(R"({"lastwright_works": 1, "supplies": {"laces": {"supplier": "Nobody"}}})").empty());
  // Nearly called as a material that has no supply; with one it is another.
  const StyleSpec style = style_of_all();
  WorksSpec works;
  works.supplies.resize(1);
  works.supplies[0].name = "Felt";
  CHECK(works_misfits(works, {&style}).size() == 1);
  works.supplies.resize(2);
  works.supplies[1].name = "felt";
  CHECK(works_misfits(works, {&style}).empty());
}

TEST_CASE("what no figure of a works file counts with is told", "[planning]") {
  const Checked<WorksSpec> read = read_works(
      R"({"lastwright_works": 1, "materials": {"calf": {}, "board": {"bought_as": "sheets", "width_mm": 900, "length_mm": 1400}},
 "zones": {"of calf": "butt", "of felt": "back", "of board": "belly"}, "cutting": {"of calf": {"zones": ["best"]}, "of board": {"within_degrees": 5}}, "suppliers": {"Mill": {"lead": 2}, "Gone": {"lead": 1}},
 "supplies": {"thread": {"per_pair": 1, "price": 1, "supplier": "Mill", "of": {"yarn": 1}}, "yarn": {"price": 2, "lead": 1, "supplier": "Mil"}, "cartons": {"per_case": 1, "price": 1}, "buckle": {"stock": 5}},
 "assortments": {"made": [{"size": "8", "width": "F", "pairs": 2}], "odd": [{"size": "8", "width": "F", "pairs": 2}, {"size": "27", "width": "F", "pairs": 2}]}})",
      "works.json");
  REQUIRE(read.ok());
  const StyleSpec style = style_of_all();
  SizeRun run;
  run.sizes = {{8, "8"}, {9, "9"}};
  run.widths = {{0, "F"}};
  run.made = {true, true};
  std::vector<std::string> told;
  const Result<Schedule> alone = schedule_of({}, {}, *read);
  REQUIRE(alone.ok());
  CHECK(alone->notes.front().starts_with("buckle: nothing asks for it"));
  for (const Problem& one : idle_words(*read, {&style}, {{"boot", run}}))
    told.push_back(one.place.pointer + ": " + one.message);
  CHECK(told ==
        std::vector<std::string>{
            "/supplies/buckle: nothing asks for it: no material has this name, no other supply is made "
            "of it, and it is not needed by the pair, the case or the period",
            "/supplies/yarn/price: 2 is in no figure: the cost of one more pair counts with what is "
            "taken by the pair (\"per_pair\")",
            "/suppliers/Gone: no supply comes from there: its lead time is in no date",
            "/supplies/yarn/supplier: \"suppliers\" has no \"Mil\"; did you mean \"Mill\"?",
            "/zones/of board: of no use: board is bought as sheets and laid on no hide",
            "/cutting/of board: of no use: board is bought as sheets and laid on no hide",
            "/assortments/odd: no style is made in 27 F: none can be ordered by it"});
}

TEST_CASE("a zone is of use where one style lays the piece on a hide", "[planning]") {
  WorksSpec works;
  works.materials["felt"].bought_as = BoughtAs::kRoll;
  works.materials["sole"].bought_as = BoughtAs::kPieces;
  works.materials["calf"].bought_as = BoughtAs::kHides;
  works.zones["vamp"] = "butt";
  const auto told = [&](const std::vector<std::string>& materials) {
    std::vector<StyleSpec> styles(materials.size());
    std::vector<const StyleSpec*> all;
    for (std::size_t k = 0; k < styles.size(); ++k) {
      styles[k].pieces.resize(1);
      styles[k].pieces[0].name = "vamp";
      styles[k].pieces[0].material = materials[k];
      all.push_back(&styles[k]);
    }
    std::string text;
    for (const Problem& one : idle_words(works, all, {})) text += one.place.pointer + ": " + one.message;
    return text;
  };
  CHECK(told({"felt"}) == "/zones/vamp: of no use: felt is bought as roll and laid on no hide");
  CHECK(told({"felt", "sole"}) == "/zones/vamp: of no use: sole is bought as pieces and laid on no hide");
  for (const char* const hide : {"calf", "of which nothing is stated", ""}) {
    CHECK(told({hide}).empty());
    CHECK(told({hide, "felt"}).empty());
    CHECK(told({"felt", hide}).empty());
  }
}

}  // namespace lastwright
