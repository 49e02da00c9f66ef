#include "grading/live/live_grade.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>
#include <string>

#include "geometry/io/die_drawing.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "grading/jobs/check_job.hpp"
#include "grading/live/style_text.hpp"
#include "tests/support/laws.hpp"
#include "tests/support/places.hpp"

namespace lastwright {

namespace {

using EditOf = JsonEdit::Kind;

std::string demo_path() {
  return test::demo_style();
}

// The demo in three sizes and two widths.
std::string short_demo() {
  std::ifstream file(demo_path(), std::ios::binary);
  std::stringstream text;
  text << file.rdbuf();
  StyleText style(text.str());
  REQUIRE(
      style
          .change("fewer sizes",
                  {{EditOf::kSet, "/run", {{"from", "7"}, {"to", "9"}, {"by", 1}, {"widths", {"E", "G"}}}},
                   {EditOf::kRemove, "/codes", {}}})
          .ok());
  // Features that use the codes, and counts in sizes that are gone.
  const Json root = parse_json(style.text(), {})->root;
  std::vector<JsonEdit> edits;
  for (std::size_t p = 0; p < root["pieces"].size(); ++p) {
    if (root["pieces"][p].contains("sizes_tied"))
      edits.push_back({EditOf::kRemove, "/pieces/" + std::to_string(p) + "/sizes_tied", {}});
    const Json features = root["pieces"][p].value("features", Json::array());
    for (std::size_t f = features.size(); f-- > 0;) {
      const std::string at = "/pieces/" + std::to_string(p) + "/features/" + std::to_string(f);
      if (features[f].contains("size_marks")) edits.push_back({EditOf::kRemove, at, {}});
      if (features[f].contains("counts")) edits.push_back({EditOf::kRemove, at + "/counts", {}});
    }
  }
  REQUIRE(style.change("no codes", edits).ok());
  const Checked<LoadedStyle> load = load_style_text(demo_path(), style.text());
  for (const Problem& problem : load.problems()) UNSCOPED_INFO(to_text(problem));
  REQUIRE(load.ok());
  return style.text();
}

void tell(std::ostream& out, const Sheet& sheet) {
  const auto path = [&](const auto& vertices) {
    for (const ArcVertex& v : vertices) out << v.at.x << ' ' << v.at.y << ' ' << v.bulge << ' ';
  };
  for (const auto& one : sheet.outlines) path(one.path.vertices);
  for (const auto& one : sheet.lines) path(one.path.vertices);
  for (const auto& one : sheet.holes) out << one.centre.x << ' ' << one.centre.y << ' ' << one.radius << ' ';
  for (const auto& one : sheet.texts) out << one.at.x << ' ' << one.at.y << ' ' << one.text << ' ';
}

// Every number of every piece in every size and width, exactly.
std::string told(const StyleGrade& grade) {
  std::ostringstream out;
  out << std::hexfloat;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const Result<GradedPiece> cut = grade.cut_piece(p, k);
      out << '\n' << p << ' ' << k << ' ';
      if (cut) tell(out, sheet_of(*cut));
      if (!cut) out << to_text(cut.problem());
    }
  }
  return out.str();
}

std::string told(const std::vector<StyleFinding>& findings) {
  std::ostringstream out;
  out << std::hexfloat;
  for (const StyleFinding& one : findings) {
    out << one.check << '|' << one.subject << '|' << one.worst << '|' << one.limit.value_or(-1.0) << '|'
        << one.unit << '|' << to_text(one.where) << '|' << one.passed << '|' << one.note << '|' << one.least
        << one.doubtful << '\n';
  }
  return out.str();
}

std::string index_in(const Json& list) {
  return "/" + std::to_string(*rc::gen::inRange<std::size_t>(0, list.size()));
}

// A change of the kinds that a page makes; many leave a sound style, some do not.
std::vector<JsonEdit> drawn_change(const Json& root) {
  const std::string piece = "/pieces" + index_in(root["pieces"]);
  const Json& p = root[Json::json_pointer(piece)];
  const std::string edge = piece + "/edges" + index_in(p["edges"]);
  const std::string rules = "/formes/shell/rules";
  const double number = 0.25 * *rc::gen::inRange(1, 40);
  switch (*rc::gen::inRange(0, 30) % 15) {
    case 0:
    case 1:
      return {{EditOf::kSet, edge + "/allowance", number}};
    case 2:
      return {{EditOf::kSet, edge + "/held", *rc::gen::arbitrary<bool>()}};
    case 3:
      return {{EditOf::kSet, edge + "/treatment",
               *rc::gen::elementOf(std::vector<std::string>{"raw", "lap", "trim"})}};
    case 4:
      if (p.contains("features") && !p["features"].empty())
        return {{EditOf::kRemove, piece + "/features" + index_in(p["features"]), {}}};
      return {{EditOf::kSet, piece + "/material", "felt"}};
    case 5:
      return {
          {EditOf::kSet, piece + "/features",
           Json::array({{{"stitch_line", "row"}, {"edges", {p["edges"][0]["name"]}}, {"inset", number}}})}};
    case 6:
      return {{EditOf::kRemove, "/seams" + index_in(root["seams"]), {}}};
    case 7:
      return {{EditOf::kSet, "/seams" + index_in(root["seams"]) + "/ease", 0.1 * number}};
    case 8:
      return {{EditOf::kSet, "/measures/ball girth/per_size",
               *rc::gen::elementOf(std::vector<std::string>{"1/4 in", "1/5 in", "6 mm"})}};
    case 9:
      return {{EditOf::kSet, "/formes/shell/points/instep top", Json::array({166.0 + 0.01 * number, 88.5})}};
    case 10:
      return {{EditOf::kSet, rules + "/11/per_size", Json::array({5.667, -0.01 * number})}};
    case 11:
      return {{EditOf::kSet, "/limits/hole_to_edge", number}};
    case 12:
      return {{EditOf::kSet, "/run/to", *rc::gen::elementOf(std::vector<std::string>{"8", "9", "10"})}};
    case 13:
      return {{EditOf::kSet, "/name", "Boot"}, {EditOf::kSet, "/note", "another"}};
    default:  // a slip of the pen
      return {{EditOf::kSet, edge + "/from", "nowhere"}};
  }
}

}  // namespace

TEST_CASE("what is kept from one change to the next is what a fresh grade makes", "[live]") {
  const std::string start = short_demo();
  std::size_t compared = 0;
  std::size_t broken = 0;
  LiveCounts counts;
  test::holds_for_all(
      "live(changes) = fresh(text)",
      [&] {
        StyleText style(start);
        LiveGrade live(2);
        const std::atomic<bool> go{false};
        for (int i = 0; i < 7; ++i) {
          if (i > 0 && *rc::gen::inRange(0, 4) == 0) {
            style.go_to(*rc::gen::inRange<std::size_t>(0, style.done().size() + style.undone().size() + 1));
          } else {
            RC_ASSERT(style.change("a change", drawn_change(parse_json(style.text(), {})->root)).ok());
          }
          Checked<LoadedStyle> load = load_style_text(demo_path(), style.text());
          live.take(style.text(), load);
          // As a page would: now one piece, now everything, now nothing before the next change.
          const int asked = *rc::gen::inRange(0, 4);
          if (asked == 1 && live.ready())
            live.prepare(*rc::gen::inRange<std::size_t>(0, live.style().pieces.size()));
          if (asked == 2) live.check(std::atomic<bool>{true});
          if (asked < 2) continue;
          const Result<CheckedStyle> fresh =
              load.ok() ? check_loaded(*load, false, 2) : Result<CheckedStyle>(load.problems().front());
          const std::vector<StyleFinding>* findings = live.check(go);
          RC_ASSERT((findings != nullptr) == fresh.ok());
          RC_ASSERT(live.problems().empty() == fresh.ok());
          if (!fresh) {
            ++broken;
            style.go_to(style.done().size() - 1);
            continue;
          }
          RC_ASSERT(told(*findings) == told(fresh->found.findings));
          RC_ASSERT(told(live.grade()) == told(fresh->grade));
          ++compared;
        }
        counts = {counts.formes + live.counts().formes, counts.shapes + live.counts().shapes,
                  counts.looks + live.counts().looks};
      },
      3);
  INFO(compared << " compared, " << broken << " broken");
  CHECK(compared > 2);
  CHECK(broken > 0);
  CHECK(counts.looks > 0);
}

TEST_CASE("a change makes again what it touches and nothing else", "[live]") {
  StyleText style(short_demo());
  LiveGrade live(2);
  const std::atomic<bool> go{false};
  const auto after = [&](const std::vector<JsonEdit>& edits) {
    const LiveCounts before = live.counts();
    REQUIRE(style.change("a change", edits).ok());
    live.take(style.text(), load_style_text(demo_path(), style.text()));
    REQUIRE(live.check(go) != nullptr);
    return LiveCounts{live.counts().formes - before.formes, live.counts().shapes - before.shapes,
                      live.counts().looks - before.looks};
  };
  const LiveCounts first = after({});
  CHECK(first.formes == 2);
  CHECK(first.shapes == 17);
  CHECK(first.looks == 17);
  const LiveCounts allowance = after({{EditOf::kSet, "/pieces/3/edges/0/allowance", 17}});
  CHECK(allowance.formes == 0);
  CHECK(allowance.shapes == 0);
  CHECK(allowance.looks == 1);
  const LiveCounts bottom = after({{EditOf::kSet, "/formes/bottom/rules/2/carries/tread", "73/100"}});
  CHECK(bottom.formes == 1);
  CHECK(bottom.shapes == 4);
  const LiveCounts seam = after({{EditOf::kSet, "/seams/0/ease", 0.5}});
  CHECK(seam.formes == 0);
  CHECK(seam.shapes == 0);
  CHECK(seam.looks == 0);
}

TEST_CASE("a change that cannot be made leaves the grade of before, and says so", "[live]") {
  StyleText style(short_demo());
  LiveGrade live(2);
  live.take(style.text(), load_style_text(demo_path(), style.text()));
  REQUIRE(live.prepare(0));
  REQUIRE(style.change("a slip", {{EditOf::kSet, "/pieces/0/edges/0/from", "nowhere"}}).ok());
  live.take(style.text(), load_style_text(demo_path(), style.text()));
  CHECK_FALSE(live.current());
  CHECK(live.ready());
  REQUIRE_FALSE(live.problems().empty());
  CHECK(live.problems().front().place.pointer.rfind("/pieces/0", 0) == 0);
  style.go_to(0);
  live.take(style.text(), load_style_text(demo_path(), style.text()));
  CHECK(live.current());
  REQUIRE(live.prepare(0));
}

}  // namespace lastwright
