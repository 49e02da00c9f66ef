#include "geometry/solid/mesh_3mf.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "geometry/files/unzip.hpp"
#include "geometry/files/xml_read.hpp"
#include "geometry/solid/mesh_join.hpp"
#include "geometry/units.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostUnpackedMesh = std::size_t{192} << 20;  // two million triangles take 150 MB of XML
constexpr std::size_t kMostTimesUnpacked = 100;  // XML of a mesh is packed to a fifth; a bomb to a thousandth
constexpr std::size_t kMostMeshCorners = 3 * kMaxStlTriangles;
constexpr std::size_t kMostInstances = 20'000;  // objects placed, counted as often as they are
constexpr std::size_t kDeepestObject = 64;
constexpr std::size_t kMostModels = 200;
constexpr double kReach3mf = 1e6;  // mm

constexpr std::pair<std::string_view, double> kUnits3mf[] = {
    {"millimeter", 1.0}, {"centimeter", 10.0}, {"inch", kMillimetresPerInch},
    {"micron", 0.001},   {"meter", 1000.0},    {"foot", 304.8}};

Problem bad_3mf(std::string what) {
  return {Trouble::kBadValue, std::move(what), {}, {}, {}};
}

std::string_view bare(std::string_view word) {
  const std::size_t first = word.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  word = word.substr(first, word.find_last_not_of(" \t\r\n") + 1 - first);
  return word.front() == '+' ? word.substr(1) : word;
}

template <class Number>
bool number_of(std::string_view word, Number& value) {
  word = bare(word);
  const auto done = std::from_chars(word.data(), word.data() + word.size(), value);
  return !word.empty() && done.ec == std::errc{} && done.ptr == word.data() + word.size();
}

// Rows of the format: a place is a row that the matrix is multiplied to.
struct Transform3mf {
  std::array<Vec3, 3> rows{Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}};
  Vec3 shift;
  [[nodiscard]] Vec3 turned(Vec3 p) const { return p.x * rows[0] + p.y * rows[1] + p.z * rows[2]; }
  Vec3 operator()(Vec3 p) const { return turned(p) + shift; }
  [[nodiscard]] double volume() const { return dot(rows[0], cross(rows[1], rows[2])); }
};
// First `inner`, then `outer`.
Transform3mf after(const Transform3mf& outer, const Transform3mf& inner) {
  Transform3mf both;
  for (std::size_t i = 0; i < 3; ++i) both.rows[i] = outer.turned(inner.rows[i]);
  both.shift = outer(inner.shift);
  return both;
}

std::optional<Transform3mf> transform_of(std::string_view text) {
  Transform3mf t;
  std::array<double, 12> m{};
  for (double& value : m) {
    text = bare(text);
    const std::size_t end = std::min(text.find_first_of(" \t\r\n"), text.size());
    if (!number_of(text.substr(0, end), value) || !(std::abs(value) < 1e9)) return std::nullopt;
    text.remove_prefix(end);
  }
  if (!bare(text).empty()) return std::nullopt;
  for (std::size_t i = 0; i < 3; ++i) t.rows[i] = {m[3 * i], m[3 * i + 1], m[3 * i + 2]};
  t.shift = {m[9], m[10], m[11]};
  constexpr double kFlat = 1e-12;  // of a unit cube: below it a form keeps no volume to be seen
  if (!(std::abs(t.volume()) > kFlat)) return std::nullopt;
  return t;
}

struct Placed3mf {
  std::string path;  // of the model that holds it; empty: this one
  std::string id;
  Transform3mf transform;
};

struct Object3mf {
  std::vector<Vec3> points;  // in units of the file
  std::vector<std::array<std::uint32_t, 3>> triangles;
  std::vector<Placed3mf> components;
  bool support = false;
};

struct Model3mf {
  std::string unit;  // as it stands there, or empty
  std::map<std::string, Object3mf, std::less<>> objects;
  std::vector<Placed3mf> build;
};

// Reads one model; the first thing that is wrong ends it.
class ModelPass {
 public:
  ModelPass(Model3mf& model, std::size_t& corners, std::size_t& triangles)
      : model_(model), corners_(corners), triangles_(triangles) {}

  void begins(const XmlElement& element) {
    stack_.emplace_back(element.name);
    if (wrong_) return;
    const std::size_t depth = stack_.size();
    if (depth == 1) return model_begins(element);
    // A name that another extension uses elsewhere is not the mesh's.
    const std::string_view within = stack_[depth - 2];
    if (element.name == "object" && within == "resources") return object_begins(element);
    if (element.name == "item" && within == "build")
      return placed(element, model_.build, "an item of the build");
    if (!object_) return;
    if (element.name == "vertex" && within == "vertices") return vertex(element);
    if (element.name == "triangle" && within == "triangles") return triangle(element);
    if (element.name == "component" && within == "components")
      placed(element, object_->components, "a component");
  }

  void ends() {
    if (stack_.back() == "object" && object_) object_ends();
    stack_.pop_back();
  }

  [[nodiscard]] const std::optional<Problem>& wrong() const { return wrong_; }

 private:
  void refuse(const std::string& what) {
    if (!wrong_) wrong_ = bad_3mf(object_ ? fmt::format("object {}: {}", id_, what) : what);
  }

  void model_begins(const XmlElement& element) {
    if (element.name != "model")
      return refuse(fmt::format("begins with '{}', not with a model", element.name.substr(0, 40)));
    model_.unit = std::string(element.attribute("unit"));
    std::string_view needed = element.attribute("requiredextensions");
    while (!(needed = bare(needed)).empty()) {
      const std::size_t end = std::min(needed.find_first_of(" \t\r\n"), needed.size());
      const std::string_view name = element.attribute(needed.substr(0, end));  // xmlns:name
      if (name.find("/production/") == std::string_view::npos &&
          name.find("/material/") == std::string_view::npos)
        return refuse(fmt::format(
            "cannot be understood without the extension '{}', which is not read",
            name.empty() ? needed.substr(0, std::min<std::size_t>(end, 80)) : name.substr(0, 80)));
      needed.remove_prefix(end);
    }
  }

  void object_begins(const XmlElement& element) {
    id_ = std::string(bare(element.attribute("id")).substr(0, 40));
    if (id_.empty()) return refuse("an object has no id");
    const auto [place, is_new] = model_.objects.try_emplace(id_);
    object_ = &place->second;
    if (!is_new) return refuse("its id stands twice");
    const std::string_view type = element.attribute("type");
    object_->support = type == "support" || type == "solidsupport";
  }

  void object_ends() {
    for (std::size_t i = 0; i < object_->triangles.size(); ++i) {
      for (const std::uint32_t corner : object_->triangles[i]) {
        if (corner >= object_->points.size())
          refuse(fmt::format("triangle {} names corner {}, and there are {}", i, corner,
                             object_->points.size()));
      }
    }
    if (!object_->triangles.empty() && !object_->components.empty())
      refuse("it has both triangles and components");
    object_ = nullptr;
  }

  void vertex(const XmlElement& element) {
    Vec3 p;
    if (!number_of(element.attribute("x"), p.x) || !number_of(element.attribute("y"), p.y) ||
        !number_of(element.attribute("z"), p.z) || !std::isfinite(norm(p)))
      return refuse(fmt::format("vertex {} needs three numbers", object_->points.size()));
    if (++corners_ > kMostMeshCorners) return refuse("too many corners");
    object_->points.push_back(p);
  }

  void triangle(const XmlElement& element) {
    std::array<std::uint32_t, 3> t{};
    if (!number_of(element.attribute("v1"), t[0]) || !number_of(element.attribute("v2"), t[1]) ||
        !number_of(element.attribute("v3"), t[2]))
      return refuse(fmt::format("triangle {} needs the numbers of its corners", object_->triangles.size()));
    if (++triangles_ > kMaxStlTriangles) return refuse("too many triangles");
    object_->triangles.push_back(t);
  }

  void placed(const XmlElement& element, std::vector<Placed3mf>& into, const char* what) {
    if (into.size() >= kMostInstances)
      return refuse(fmt::format("places more than {} objects", kMostInstances));
    Placed3mf one;
    one.id = std::string(bare(element.attribute("objectid")).substr(0, 40));
    one.path = std::string(element.attribute("path").substr(0, 1000));
    if (const std::string_view text = element.attribute("transform"); !text.empty()) {
      const std::optional<Transform3mf> transform = transform_of(text);
      if (!transform)
        return refuse(
            fmt::format("the transform of {} is not 12 numbers that leave a form its volume", what));
      one.transform = *transform;
    }
    into.push_back(std::move(one));
  }

  Model3mf& model_;
  std::size_t& corners_;
  std::size_t& triangles_;
  std::vector<std::string> stack_;
  std::string id_;
  Object3mf* object_ = nullptr;
  std::optional<Problem> wrong_;
};

std::string without_slash(std::string_view path) {
  return std::string(path.substr(path.starts_with('/') ? 1 : 0));
}

class Reader3mf {
 public:
  explicit Reader3mf(ZipArchive archive) : archive_(std::move(archive)) {}

  Result<StlRead> read() {
    const Result<std::string> root = root_model();
    if (!root) return root.problem();
    const Result<const Model3mf*> model = model_at(*root);
    if (!model) return model.problem();
    const std::string unit =
        (*model)->unit.empty() ? "millimeter" : (*model)->unit;  // the format's own default
    const std::optional<double> millimetres = unit_of_3mf(unit);
    if (!millimetres)
      return bad_3mf(fmt::format("the 3MF file's unit '{}' is none of the format", unit.substr(0, 40)));
    read_.millimetres = *millimetres;
    unit_ = unit;
    if ((*model)->build.empty()) return bad_3mf("the 3MF file's build lists nothing: no object is placed");
    for (const Placed3mf& item : (*model)->build) {
      if (Status placed = place(item, *root, {}, 0); !placed) return placed.problem();
    }
    if (supports_ > 0)
      read_.notes.push_back(
          fmt::format("objects for support were left out: {} of the 3MF file's build", supports_));
    return join_.in_order_of(std::move(read_), listed_);
  }

 private:
  // By the package's own relation to it (Open Packaging Conventions), or at its usual place.
  Result<std::string> root_model() {
    const std::string relations = "_rels/.rels";
    std::string found = "3D/3dmodel.model";
    if (archive_.holds(relations)) {
      const Result<std::string> text = archive_.unpacked(relations);
      if (!text) return text.problem();
      XmlHandler handler;
      handler.begins = [&](const XmlElement& element) {
        if (element.name == "Relationship" && element.attribute("Type").ends_with("/2013/01/3dmodel"))
          found = without_slash(element.attribute("Target"));
      };
      handler.ends = [](std::string_view) {};
      handler.text = [](std::string_view) {};
      if (Status read = read_xml(*text, relations + " in the 3MF file", handler); !read)
        return read.problem();
    }
    if (!archive_.holds(found))
      return Problem{
          Trouble::kSyntax, "a ZIP archive that holds no 3MF model: neither a mesh nor a solid", {}, {}, {}};
    return found;
  }

  Result<const Model3mf*> model_at(const std::string& path) {
    const auto [place, is_new] = models_.try_emplace(path);
    if (!is_new) return &place->second;
    if (models_.size() > kMostModels)
      return bad_3mf(fmt::format("the 3MF file has more than {} models", kMostModels));
    const Result<std::string> text = archive_.unpacked(path);
    if (!text) return text.problem();
    ModelPass pass(place->second, corners_, triangles_);
    XmlHandler handler;
    handler.begins = [&](const XmlElement& element) { pass.begins(element); };
    handler.ends = [&](std::string_view) { pass.ends(); };
    handler.text = [](std::string_view) {};
    const std::string what = path + " in the 3MF file";
    if (Status read = read_xml(*text, what, handler); !read) return read.problem();
    if (pass.wrong()) return bad_3mf(fmt::format("{}: {}", what, pass.wrong()->message));
    // Only the first states it; another that is stated in the others is told rather than chosen from.
    if (!unit_.empty() && !place->second.unit.empty() && place->second.unit != unit_)
      return bad_3mf(fmt::format("{} is in another unit than the first model ({})", what, unit_));
    return &place->second;
  }

  Status place(const Placed3mf& one, const std::string& home, const Transform3mf& outer, std::size_t depth) {
    if (depth > kDeepestObject)
      return bad_3mf(
          fmt::format("object {} of the 3MF file contains itself, or objects in each other {} deep", one.id,
                      kDeepestObject));
    if (++instances_ > kMostInstances)
      return bad_3mf(fmt::format("the 3MF file places more than {} objects", kMostInstances));
    const std::string path = one.path.empty() ? home : without_slash(one.path);
    const Result<const Model3mf*> model = model_at(path);
    if (!model) return model.problem();
    const auto found = (*model)->objects.find(one.id);
    if (found == (*model)->objects.end())
      return bad_3mf(fmt::format("{} in the 3MF file has no object '{}', which is placed", path, one.id));
    const Object3mf& object = found->second;
    if (object.support) {
      ++supports_;
      return Done{};
    }
    const Transform3mf transform = after(outer, one.transform);
    for (const Placed3mf& component : object.components) {
      if (Status placed = place(component, path, transform, depth + 1); !placed) return placed;
    }
    return add(object, transform, one.id);
  }

  Status add(const Object3mf& object, const Transform3mf& transform, const std::string& id) {
    std::vector<Vec3> points;
    points.reserve(object.points.size());
    for (std::size_t i = 0; i < object.points.size(); ++i) {
      const Vec3 p = read_.millimetres * transform(object.points[i]);
      if (!(std::abs(p.x) < kReach3mf && std::abs(p.y) < kReach3mf && std::abs(p.z) < kReach3mf))
        return bad_3mf(fmt::format("object {} of the 3MF file: vertex {} lies too far away", id, i));
      points.push_back(p);
    }
    listed_.insert(listed_.end(), points.begin(), points.end());
    const bool mirrored = transform.volume() < 0.0;
    for (const auto& t : object.triangles) {
      if (read_.mesh.triangles.size() >= kMaxStlTriangles)
        return Problem{Trouble::kBudget, "too many triangles", {}, {}, {}};
      std::array<Vec3, 3> corners{points[t[0]], points[t[1]], points[t[2]]};
      if (mirrored) std::swap(corners[1], corners[2]);  // they look outward again
      join_.add_triangle(read_, corners);
    }
    return Done{};
  }

  ZipArchive archive_;
  std::map<std::string, Model3mf> models_;
  std::string unit_;
  StlRead read_;
  CornerJoiner join_;
  std::vector<Vec3> listed_;  // every corner as it is placed
  std::size_t corners_ = 0;
  std::size_t triangles_ = 0;
  std::size_t instances_ = 0;
  std::size_t supports_ = 0;
};

}  // namespace

std::optional<double> unit_of_3mf(std::string_view name) {
  for (const auto& [known, millimetres] : kUnits3mf) {
    if (known == name) return millimetres;
  }
  return std::nullopt;
}

std::optional<std::string_view> name_of_3mf_unit(double millimetres) {
  for (const auto& [name, known] : kUnits3mf) {
    if (known == millimetres) return name;
  }
  return std::nullopt;
}

Result<StlRead> read_3mf(std::string_view bytes) {
  constexpr std::size_t kLeast = std::size_t{1} << 20;
  Result<ZipArchive> archive =
      ZipArchive::open(bytes, std::min(kMostUnpackedMesh, kLeast + kMostTimesUnpacked * bytes.size()));
  if (!archive) return archive.problem();
  return Reader3mf(*std::move(archive)).read();
}

}  // namespace lastwright
