// Points that a style states by what they are: found in the drawing, or refused with their place.
#include <catch2/catch.hpp>

#include <fstream>
#include <sstream>

#include "grading/grade/grade.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/json/json_text.hpp"
#include "grading/style/stated_places.hpp"
#include "grading/style/style_json.hpp"
#include "tests/cli/scratch_folder.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/parsed_json.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

// A panel 100 x 40 with a half round end, a mark named "joint" at (30, 12), another at (70, 12).
std::string panel_drawing() {
  std::string dxf = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n";
  dxf +=
      "0\nLWPOLYLINE\n8\n1\n90\n4\n70\n1\n10\n0\n20\n0\n10\n100\n20\n0\n42\n1.0\n10\n100\n20\n40\n42\n0."
      "0\n10\n0\n20\n40\n";
  const auto mark = [&](const char* layer, double x, double y, const char* says) {
    std::ostringstream out;
    out << "0\nPOINT\n8\n" << layer << "\n10\n" << x << "\n20\n" << y << "\n";
    out << "0\nTEXT\n8\n"
        << layer << "\n10\n"
        << x + 1 << "\n20\n"
        << y + 1 << "\n40\n4\n1\n"
        << says << "\n";
    dxf += out.str();
  };
  mark("marks", 30, 12, "joint");
  mark("marks", 70, 12, "waist");
  mark("marks", 20, 30, "twice");
  mark("marks", 90, 30, "twice");
  return dxf + "0\nENDSEC\n0\nEOF\n";
}

const char* const kPanel = R"({
 "lastwright_style": 1, "name": "panel", "scale": "english", "ladder": "english-letters",
 "base": {"size": "8", "width": "F"}, "run": {"from": "8", "to": "9", "widths": ["F"]},
 "measures": {"long": {"base": 100, "per_size": 4, "per_width": 0}, "wide": {"base": 40, "per_size": 2, "per_width": 2}},
 "drawings": {"d": {"file": "d.dxf", "layers": {"marks": "ignore"}}},
 "formes": {"f": {"points": {"a": [0, 0], "b": [100, 0], "c": [0, 40], "x": [1, 1]}, "base_line": ["a", "b"], "fixed": "a",
  "length_line": "long", "girth_line": "wide",
  "rules": [{"measure_line": "long", "from": "a", "to": "b", "carries": {"long": 1}}, {"measure_line": "wide", "from": "a", "to": "c", "carries": {"wide": 1}}]}},
 "pieces": [{"name": "p", "forme": "f", "outline": {"drawing": "d", "at": [50, 20]},
  "corners": {"sw": [0, 0], "se": [100, 0], "ne": [100, 40], "nw": [0, 40]},
  "edges": [{"name": "south", "from": "sw", "to": "se"}, {"name": "east", "from": "se", "to": "ne"}, {"name": "north", "from": "ne", "to": "nw"}, {"name": "west", "from": "nw", "to": "sw"}]}]
})";

struct Panel {
  ScratchFolder folder;
  Json style = test::parsed_json(kPanel);
  Panel() { put(folder / "d.dxf", panel_drawing()); }
  [[nodiscard]] Checked<LoadedStyle> load() const {
    put(folder / "s.json", style.dump(1));
    return load_style(folder / "s.json");
  }
  // Where the point x of the forme lies when it is stated so.
  Checked<LoadedStyle> with(const char* stated) {
    style["formes"]["f"]["points"]["x"] = test::parsed_json(stated);
    return load();
  }
};

Vec2 point_x(const Checked<LoadedStyle>& load) {
  for (const Problem& problem : load.problems()) UNSCOPED_INFO(to_text(problem));
  REQUIRE(load.ok());
  return load->spec.formes[0].points[3].at;
}

std::string text_of_file(const std::string& file) {
  std::ifstream in(file);
  std::ostringstream all;
  all << in.rdbuf();
  return all.str();
}

}  // namespace

TEST_CASE("a point is where the drawing has what it is stated as", "[point-finder]") {
  struct Stated {
    const char* as;
    Vec2 at;
  };
  const Stated all[] = {
      {R"({"corner": "ne", "of": "p"})", {100, 40}},
      {R"({"edges": ["north", "east"], "of": "p"})", {100, 40}},
      {R"({"along": "south", "of": "p", "share": "1/4"})", {25, 0}},
      {R"({"along": "north", "of": "p", "distance": "1 in"})", {74.6, 40}},
      {R"({"along": "north", "of": "p", "distance": 10, "from_end": true})", {10, 40}},
      {R"({"along": "east", "of": "p", "share": 0.5})", {120, 20}},  // the middle of the half round end
      {R"({"along": ["nw", "se"], "of": "p", "distance": 50})", {10, 0}},
      {R"({"crossing": [{"edge": "east", "of": "p"}, {"through": [[0, 20], [1, 20]]}]})", {120, 20}},
      {R"({"crossing": [{"through": ["a", [10, 10]]}, {"edge": "north", "of": "p"}]})", {40, 40}},
      {R"({"crossing": [{"edge": "east", "of": "p"}, {"through": [[116, 0], [116, 1]]}], "near": "c"})",
       {116, 32}},
      {R"({"mark": "joint"})", {30, 12}},
      {R"({"mark": "waist", "drawing": "d"})", {70, 12}},
      {R"({"from": "c", "by": [3, "-1/2 in"]})", {3, 27.3}},
      {R"({"from": {"mark": "joint"}, "toward": {"corner": "sw", "of": "p"}, "distance": -26.925824035672520})",
       {55, 22}},
  };
  Panel panel;
  for (const Stated& one : all) {
    INFO(one.as);
    const Vec2 found = point_x(panel.with(one.as));
    CHECK(found.x == Approx(one.at.x).margin(1e-6));
    CHECK(found.y == Approx(one.at.y).margin(1e-6));
  }
}

TEST_CASE("a point that cannot be found is refused with its place", "[point-finder]") {
  struct Stated {
    const char* as;
    const char* says;
  };
  const Stated all[] = {
      {R"({"corner": "nee", "of": "p"})", "the piece p has no corner nee (did you mean \"ne\"?)"},
      {R"({"corner": "ne", "of": "q"})", "there is no piece q"},
      {R"({"corner": "ne"})", "\"of\" must name the piece"},
      {R"({"edges": ["north", "south"], "of": "p"})", "do not meet"},
      {R"({"edges": ["north", "north"], "of": "p"})", "do not meet"},
      {R"({"along": "south", "of": "p"})", "a share or a distance"},
      {R"({"along": "south", "of": "p", "distance": 101})", "beyond the end"},
      {R"({"along": "souths", "of": "p", "share": 1})", "has no edge souths"},
      {R"({"crossing": [{"edge": "east", "of": "p"}, {"through": [[130, 0], [130, 1]]}]})", "do not cross"},
      {R"({"crossing": [{"edge": "east", "of": "p"}, {"through": [[116, 0], [116, 1]]}]})",
       "cross at 2 places"},
      {R"({"crossing": [{"edge": "east", "of": "p"}, {"through": [[116, 0], [116, 1]]}], "near": [0, 20]})",
       "are as near"},
      {R"({"mark": "joints"})", "no text of the drawing says \"joints\""},
      {R"({"mark": "twice"})", "two marks are named \"twice\""},
      {R"({"from": "x", "by": [1, 1]})", "is stated by itself"},
      {R"({"from": "y", "by": [1, 1]})", "the forme f has no point y"},
      {R"({"from": "a", "by": [1, 1], "toward": "b"})", "\"toward\" and \"distance\""},
  };
  Panel panel;
  for (const Stated& one : all) {
    INFO(one.as);
    const Checked<LoadedStyle> load = panel.with(one.as);
    REQUIRE(load.problems().size() == 1);
    INFO(to_text(load.problems()[0]));
    CHECK(load.problems()[0].message.find(one.says) != std::string::npos);
    CHECK(load.problems()[0].place.pointer.starts_with("/formes/f/points/x"));
    CHECK(load.problems()[0].place.line > 0);
  }
}

TEST_CASE("points that state each other are refused once each", "[point-finder]") {
  Panel panel;
  panel.style["pieces"][0]["corners"]["sw"] = test::parsed_json(R"({"along": "west", "share": "1/2"})");
  const Checked<LoadedStyle> own = panel.load();
  REQUIRE(own.problems().size() == 1);
  CHECK(own.problems()[0].message.find("the corner sw of the piece p is stated by itself") !=
        std::string::npos);
  panel.style["pieces"][0]["corners"]["sw"] = test::parsed_json(R"({"from": "x", "by": [0, 0]})");
  const Checked<LoadedStyle> round = panel.with(R"({"corner": "sw", "of": "p"})");
  CHECK(round.problems().size() == 2);
}

TEST_CASE("corners, features and the place inside an outline are stated by marks as well", "[point-finder]") {
  Panel panel;
  Json& piece = panel.style["pieces"][0];
  piece["outline"]["at"] = test::parsed_json(R"({"mark": "joint"})");
  piece["corners"]["ne"] = test::parsed_json(R"({"at": {"from": "c", "by": [100, 0]}, "form": "step"})");
  piece["features"] = test::parsed_json(R"([{"prick": "one", "at": {"along": "east", "share": "1/2"}},
    {"prick": "two", "at": {"point": {"mark": "waist"}, "by": [1, 2]}},
    {"stitch_line": "three", "through": [{"corner": "sw"}, {"mark": "joint"}]}])");
  const Checked<LoadedStyle> load = panel.load();
  point_x(load);
  const PieceSpec& spec = load->spec.pieces[0];
  CHECK(spec.source.at->x == 30.0);
  CHECK(std::get<Vec2>(spec.corners[2].at).x == 100.0);
  CHECK(spec.corners[2].form == CornerForm::kStep);
  const auto& two = std::get<FormePlace>(std::get<PrickWork>(spec.features[1].work).at);
  CHECK(std::get<Vec2>(two.spot).x == 70.0);
  // Written, they are stated as they were, and read back so.
  const std::string written = write_style(load->spec);
  const StyleRead again = read_style(written, "t.json");
  for (const Problem& problem : again.problems) UNSCOPED_INFO(to_text(problem));
  REQUIRE(again.ok());
  CHECK(again.style->references.size() == load->spec.references.size());
  CHECK(write_style(*again.style) == written);
}

TEST_CASE("a drawing on a sheet that lies otherwise is laid back", "[point-finder]") {
  Panel panel;
  point_x(panel.load());
  const Checked<LoadedStyle> plain = panel.load();
  // Turned over, a quarter turn on and shifted: x' = -y + 7, y' = -x - 9; "sheet" takes it back.
  std::string dxf = panel_drawing();
  const auto replaced = [&](const std::string& from, const std::string& to) {
    const auto at = dxf.find(from);
    REQUIRE(at != std::string::npos);
    dxf.replace(at, from.size(), to);
  };
  replaced("10\n0\n20\n0\n10\n100\n20\n0\n42\n1.0\n10\n100\n20\n40\n42\n0.0\n10\n0\n20\n40\n",
           "10\n7\n20\n-9\n10\n7\n20\n-109\n42\n-1.0\n10\n-33\n20\n-109\n42\n0.0\n10\n-33\n20\n-9\n");
  put(panel.folder / "d.dxf", dxf);
  CHECK(!panel.load().ok());
  panel.style["drawings"]["d"]["sheet"] =
      test::parsed_json(R"({"mirrored": true, "turn": 90, "by": [-9, 7]})");
  const Checked<LoadedStyle> laid = panel.load();
  point_x(laid);
  for (std::size_t e = 0; e < 4; ++e) {
    const Vec2 a = start_of(plain->pieces[0].edges[e].chain.curves().front());
    const Vec2 b = start_of(laid->pieces[0].edges[e].chain.curves().front());
    CHECK(distance(a, b) < 1e-9);
  }
}

// The demo names its corners by points of its formes; here some of these points are stated by corners.
TEST_CASE("points stated by what they are and their coordinates give one style", "[point-finder]") {
  const Json demo = test::parsed_json(text_of_file(test::demo_style()));
  const std::string path = test::demo_style();
  std::size_t asked = 0;
  test::holds_for_all(
      "a reference is the coordinates it stands for",
      [&] {
        Json style = demo;
        for (Json& piece : style["pieces"]) {
          Json& points = style["formes"][piece["forme"].get<std::string>()]["points"];
          const auto which = *rc::gen::inRange<std::size_t>(0, piece["edges"].size());
          const Json edge = piece["edges"][which];
          const std::string corner = edge["from"];
          Json& at = piece["corners"][corner];
          Json& spot = at.is_object() ? at["at"] : at;
          if (!spot.is_string() || !points[spot.get<std::string>()].is_array()) continue;
          Json& point = points[spot.get<std::string>()];
          const Json place = point;
          const std::string name = piece["name"];
          const std::string before =
              piece["edges"][(which + piece["edges"].size() - 1) % piece["edges"].size()]["name"];
          switch (*rc::gen::inRange(0, 4)) {
            case 0:
              point = {{"corner", corner}, {"of", name}};
              break;
            case 1:
              if (piece["edges"].size() == 2) continue;
              point = {{"edges", Json::array({before, edge["name"]})}, {"of", name}};
              break;
            case 2:
              point = {{"along", edge["name"]}, {"of", name}, {"share", 0}};
              break;
            default:
              point = {{"from", {{"corner", corner}, {"of", name}}}, {"by", Json::array({0, 0})}};
          }
          spot = place;
        }
        const Checked<LoadedStyle> by_name = load_style_text(path, style.dump(1));
        for (const Problem& problem : by_name.problems()) RC_LOG() << to_text(problem) << "\n";
        RC_ASSERT(by_name.ok());
        std::map<std::string, Vec2> places;
        each_place(style, [&](const StatedPlace& place, const Json& value) {
          if (!is_reference(value)) return;
          const auto& points = [&]() -> const std::vector<NamedPoint>& {
            for (const FormeSpec& forme : by_name->spec.formes) {
              if (forme.name == place.forme) return forme.points;
            }
            throw std::logic_error("no forme");
          }();
          const std::string name = place.pointer.substr(place.pointer.rfind('/') + 1);
          for (const NamedPoint& point : points) {
            if (point.name == name) places[place.pointer] = point.at;
          }
        });
        for (const auto& [pointer, at] : places)
          style[Json::json_pointer(pointer)] = Json::array({at.x, at.y});
        asked += places.size();
        const Checked<LoadedStyle> by_place = load_style_text(path, style.dump(1));
        RC_ASSERT(by_place.ok());
        StyleSpec bare = by_name->spec;
        bare.references.clear();
        RC_ASSERT(write_style(bare) == write_style(by_place->spec));
        const auto one = grade_style(by_name->spec, by_name->measures, by_name->run, by_name->pieces);
        const auto two = grade_style(by_place->spec, by_place->measures, by_place->run, by_place->pieces);
        RC_ASSERT(one.ok());
        RC_ASSERT(two.ok());
        for (std::size_t p = 0; p < one->pieces.size(); ++p) {
          const GradedPiece a = one->drawn_piece(p, 3);
          const GradedPiece b = two->drawn_piece(p, 3);
          RC_ASSERT(a.net.path.vertices.size() == b.net.path.vertices.size());
          for (std::size_t v = 0; v < a.net.path.vertices.size(); ++v)
            RC_ASSERT(a.net.path.vertices[v].at == b.net.path.vertices[v].at);
        }
      },
      2);
  CHECK(asked > 10);
}
