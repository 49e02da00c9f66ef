// Which foot a last is: by its form where that is beyond doubt, by what is stated where it is not.
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/mesh_write.hpp"
#include "grading/lasts/last_set.hpp"
#include "tests/last/measures_only.hpp"
#include "tests/last/standing_last.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

const std::vector<OutlineStation>& demo_outline() {
  static const std::vector<OutlineStation> outline =
      bottom_outline(demo_standing().body, demo_standing().standing.length);
  return outline;
}

std::vector<OutlineStation> of_other_foot(std::vector<OutlineStation> outline) {
  for (OutlineStation& s : outline) {
    std::swap(s.left, s.right);
    s.left = -s.left;
    s.right = -s.right;
  }
  return outline;
}

double beyond_joints(double x) {
  return std::max(0.0, x - 0.6) / 0.4;
}

// The demo last's outline, a left one's: its swing so many times as much, widened about its middle line and
// shifted aside towards the toe, turned a little on the paper.
std::vector<OutlineStation> varied(double swing, double widened, double shifted, double turned) {
  std::vector<OutlineStation> outline = demo_outline();
  for (OutlineStation& s : outline) {
    const double toe = beyond_joints(s.x);
    const double half = 0.5 * (s.left - s.right) * (1.0 + widened * toe);
    const double middle = 0.5 * (s.left + s.right) * swing + shifted * toe * toe + turned * s.x;
    s.left = middle + half;
    s.right = middle - half;
  }
  return outline;
}

bool beyond_doubt(const FootSigns& signs, LastFoot foot) {
  return !signs.in_doubt() && signs.likelier() == foot;
}

PlainMesh left_mesh() {
  Result<Body> body = to_body(*demo_standing().shape, 0.1);
  REQUIRE(body.ok());
  move(*body, demo_standing().standing.motion);
  return plain_mesh(*body);
}

// The demo last with the swing taken out of it: nearly its own mirror image.
PlainMesh straight_last() {
  PlainMesh mesh = left_mesh();
  AxisSpline swing(1.0, 13, 0.0);  // the middle line of its recipe
  swing.coefficients = {0.5, 0.4, 0, 0.6, 3.2, 6.4, 7.4, 5.3, 2.3, 1, 0.7, -0.1, -1.3};
  for (Vec3& p : mesh.points) p.y -= swing(p.x / demo_standing().standing.length);
  return mesh;
}

PlainMesh of_other_foot(PlainMesh mesh) {
  for (Vec3& p : mesh.points) p.y = -p.y;
  for (auto& t : mesh.triangles) std::swap(t[1], t[2]);
  return mesh;
}

Result<BaseLast> made_last(const PlainMesh& mesh, std::optional<LastFoot> foot) {
  Result<Body> body = mesh_body(mesh);
  REQUIRE(body.ok());
  return make_base_last(std::move(*body), {.foot = foot}, {});
}

struct FootFolder {
  std::filesystem::path path =
      std::filesystem::temp_directory_path() / fmt::format("lastwright-foot-{}", getpid());
  FootFolder() {
    std::filesystem::remove_all(path);
    std::filesystem::create_directories(path);
  }
  FootFolder(const FootFolder&) = delete;
  FootFolder& operator=(const FootFolder&) = delete;
  ~FootFolder() { std::filesystem::remove_all(path); }
  void put(const std::string& name, const std::string& text) const {
    std::ofstream(path / name, std::ios::binary) << text;
  }
  [[nodiscard]] Checked<LastSet> load(const std::string& bases, const std::string& more) const {
    put("last.json",
        fmt::format(R"({{"lastwright_last": 1, "style": "style.json", "bases": [{}]{}}})", bases, more));
    return load_last_set((path / "last.json").string(), {"9"}, {"G"}, {});
  }
};

constexpr const char* kOne = R"({"file": "last.stl", "size": "8", "width": "F", "unit": "mm"})";
constexpr const char* kTwo = R"(, {"file": "mate.stl", "size": "9", "width": "F", "unit": "mm"})";

const MeshFormat kBinaryStl{MeshKind::kStl, false, false};

}  // namespace

TEST_CASE("the form of a last never tells the other foot beyond doubt", "[last][foot][law]") {
  CHECK(beyond_doubt(foot_signs(demo_outline()), LastFoot::kLeft));
  int told = 0;
  test::holds_for_all(
      "a left last is not told to be a right one, nor its mirror image a left one",
      [&] {
        const auto number = [](int from, int to) { return *rc::gen::inRange(from, to + 1) / 1000.0; };
        // Shifted by up to 17 mm to either side at the tip of the toe. With less swing than a third of the
        // demo's such a toe makes a last of the other foot.
        const std::vector<OutlineStation> left =
            varied(number(300, 1500), number(-300, 600), number(-60, 60), number(-60, 60));
        const FootSigns signs = foot_signs(left);
        const FootSigns other = foot_signs(of_other_foot(left));
        RC_ASSERT(other.waist == -signs.waist);
        RC_ASSERT(other.tread == -signs.tread);
        RC_ASSERT(other.toe == -signs.toe);
        RC_ASSERT(other.in_doubt() == signs.in_doubt());
        RC_ASSERT(!beyond_doubt(signs, LastFoot::kRight));
        RC_ASSERT(!beyond_doubt(other, LastFoot::kLeft));
        told += beyond_doubt(signs, LastFoot::kLeft) ? 1 : 0;
      },
      300);
  CHECK(told > 100);
  test::holds_for_all("how wide the toe is does not matter, nor how the outline lies", [&] {
    const auto number = [](int from, int to) { return *rc::gen::inRange(from, to + 1) / 1000.0; };
    const FootSigns signs = foot_signs(varied(1.0, number(-300, 600), 0.0, number(-60, 60)));
    const FootSigns plain = foot_signs(demo_outline());
    RC_ASSERT(std::abs(signs.waist - plain.waist) + std::abs(signs.tread - plain.tread) +
                  std::abs(signs.toe - plain.toe) <
              1e-9);
  });
}

TEST_CASE("an outline that shows no foot, or two, leaves it in doubt", "[last][foot]") {
  CHECK(foot_signs({}).in_doubt());
  CHECK(foot_signs(varied(0.0, 0.0, 0.0, 0.0)).in_doubt());
  std::vector<OutlineStation> half = demo_outline();
  half.erase(std::remove_if(half.begin(), half.end(), [](const OutlineStation& s) { return s.x > 0.6; }),
             half.end());
  CHECK(foot_signs(half).in_doubt());
  // The toe swings the wrong way, as much as its other signs say.
  const FootSigns against = foot_signs(varied(1.0, 0.0, 0.06, 0.0));
  CHECK(against.waist > 2.0);
  CHECK(against.toe < -1.5);
  CHECK(against.in_doubt());
  // However much the others say together, one that contradicts leaves a doubt.
  const FootSigns strong = foot_signs(varied(1.5, 0.0, 0.06, 0.0));
  CHECK(strong.waist + strong.tread + strong.toe > 2.0 * std::sqrt(3.0));
  CHECK(strong.in_doubt());
  CHECK(told_of(against).find("waist speaks for a left last") != std::string::npos);
  CHECK(told_of(against).find("toe for a right last") != std::string::npos);
}

TEST_CASE("a stated foot that the form contradicts beyond doubt is refused with both", "[last][foot]") {
  Body body = demo_standing().body;
  const Result<Standing> left = stand(body, {{}, false, LastFoot::kLeft});
  REQUIRE(left.ok());
  CHECK(left->foot_by == FootBy::kStated);
  CHECK(demo_standing().standing.foot_by == FootBy::kForm);
  const Result<Standing> right = stand(body, {{}, false, LastFoot::kRight});
  REQUIRE_FALSE(right.ok());
  CHECK(right.problem().message.find("stated to be a right last") != std::string::npos);
  CHECK(right.problem().message.find("that of a left one") != std::string::npos);
}

TEST_CASE("a last whose form leaves its foot in doubt is graded as what it is stated to be", "[last][foot]") {
  const FootFolder folder;
  const PlainMesh mesh = straight_last();
  const Result<BaseLast> alone = made_last(mesh, {});
  REQUIRE(alone.ok());
  CHECK(alone->standing.foot_by == FootBy::kDoubt);
  const LastFoot unlikely = other_foot(alone->standing.foot);
  const Result<BaseLast> base = made_last(mesh, unlikely);
  REQUIRE(base.ok());
  CHECK(base->standing.foot == unlikely);
  REQUIRE(base->body.notes.size() == alone->body.notes.size() + 1);
  CHECK(base->body.notes.back().find("because that is stated") != std::string::npos);
  // What `measure` tells of the other foot is what the other foot measures.
  const Result<Landmarks> other = landmarks_of_other_foot(*alone, {});
  REQUIRE(other.ok());
  for (const auto& [name, spot] : base->landmarks) {
    INFO(name);
    CHECK(distance(alone->body.at(other->at(name)).p, base->body.at(spot).p) < 1e-9);
  }
  // The mirrored last of the other foot is the same last.
  const Result<BaseLast> mate = made_last(of_other_foot(mesh), other_foot(unlikely));
  REQUIRE(mate.ok());
  for (std::size_t i = 0; i < base->values.size(); ++i) {
    INFO(base->definitions[i].measure);
    CHECK(mate->values[i].value == Approx(base->values[i].value).margin(2e-3));
  }

  folder.put("last.stl", write_mesh(mesh, kBinaryStl, 1.0, "straight"));
  folder.put("style.json", measures_only(*base));
  const Checked<LastSet> unstated = folder.load(kOne, "");
  REQUIRE(unstated.problems().size() == 1);
  CHECK(to_text(unstated.problems()[0]).find("last.stl") != std::string::npos);
  CHECK(unstated.problems()[0].message.find("\"foot\": \"left\" or \"right\"") != std::string::npos);
  Checked<LastSet> stated = folder.load(kOne, fmt::format(R"(, "foot": "{}")", name_of(unlikely)));
  INFO((stated.ok() ? "" : to_text(stated.problems()[0])));
  REQUIRE(stated.ok());
  LastSet& set = *stated;
  CHECK(set.bases[0].standing.foot == unlikely);
  // As written it measures what the run says of it, with the same foot stated.
  const GradedSink sink = [&](std::size_t job, const GradedLast& last) -> Status {
    const Result<BaseLast> again = made_last(graded_mesh(set, set.jobs[job], last), unlikely);
    REQUIRE(again.ok());
    for (std::size_t i = 0; i < last.values.size(); ++i) {
      INFO(set.bases[0].definitions[i].measure);
      CHECK(again->values[i].value == Approx(last.values[i].value).margin(0.01));
    }
    return Done{};
  };
  LastSetOptions one_thread;
  one_thread.threads = 1;
  const Status graded = grade_last_set(set, one_thread, sink);
  INFO((graded.ok() ? "" : to_text(graded.problem())));
  CHECK(graded.ok());
}

TEST_CASE("a left and a right base in one file are refused", "[last][foot]") {
  const FootFolder folder;
  const PlainMesh left = left_mesh();
  const Result<BaseLast> base = made_last(left, {});
  REQUIRE(base.ok());
  CHECK(base->standing.foot_by == FootBy::kForm);
  folder.put("style.json", measures_only(*base));
  folder.put("last.stl", write_mesh(left, kBinaryStl, 1.0, "left"));
  folder.put("mate.stl", write_mesh(of_other_foot(left), kBinaryStl, 1.0, "right"));
  const std::string both = std::string(kOne) + kTwo;
  const Checked<LastSet> refused = folder.load(both, "");
  REQUIRE(refused.problems().size() == 1);
  CHECK(refused.problems()[0].message.find("last.stl is a left last and mate.stl a right one") !=
        std::string::npos);
  CHECK(refused.problems()[0].place.pointer == "/bases/1/file");
  const Checked<LastSet> stated = folder.load(both, R"(, "foot": "left")");
  REQUIRE(stated.problems().size() == 1);
  CHECK(to_text(stated.problems()[0]).find("mate.stl") != std::string::npos);
  CHECK(stated.problems()[0].message.find("stated to be a left last") != std::string::npos);
}
