#include "grading/live/forme_changes.hpp"

#include <fmt/format.h>

#include <functional>
#include <set>
#include <string>
#include <utility>

#include "grading/live/style_names.hpp"
#include "grading/style/stated_places.hpp"

namespace lastwright {

namespace {

using EditKind = JsonEdit::Kind;

class FormeChange : private StyleNames {
 public:
  FormeChange(const Json& root, const Json& asked) : StyleNames(root, asked) {}

  std::optional<std::vector<JsonEdit>> run() {
    const std::string what = text("what");
    if (what == "rename measure") {
      rename_measure();
    } else if (what == "remove measure") {
      remove_measure();
    } else if (what == "rename forme") {
      rename_forme();
    } else if (what == "remove forme") {
      remove_forme();
    } else if (what == "own forme") {
      own_forme();
    } else {
      return std::nullopt;
    }
    return std::move(edits_);
  }

 private:
  // A name of the change that must be a key of that part of the style.
  std::string known(const char* kind, const char* part) const {
    std::string name = text(kind);
    if (!under(root_, part).contains(name))
      throw ChangeRefused{fmt::format("there is no {} {}", kind, shown(Json(name)))};
    return name;
  }
  std::string free_key(const char* part) const {
    return free_name("name", [&](const std::string& one) { return under(root_, part).contains(one); });
  }

  // Every line that carries measures: its forme, its name, the list and where that stands.
  void each_line(const std::function<void(const std::string& forme, const std::string& line, const Json&,
                                          const std::string&)>& seen) const {
    const Json& formes = under(root_, "formes");
    if (!formes.is_object()) return;
    for (const auto& [name, forme] : formes.items()) {
      const Json& rules = under(forme, "rules");
      for (std::size_t i = 0; rules.is_array() && i < rules.size(); ++i) {
        const Json& drives = under(rules[i], "measure_line");
        const Json& line = drives.is_string() ? drives : under(rules[i], "check_line");
        seen(name, line.is_string() ? line.get<std::string>() : "", under(rules[i], "carries"),
             pointer_to(pointer_to("/formes", name) + "/rules", i) + "/carries");
      }
    }
  }

  void rename_key(const std::string& in, const std::string& old, const std::string& name) {
    edits_.push_back({EditKind::kRename, pointer_to(in, old), name});
  }

  void rename_measure() {
    const std::string old = known("measure", "measures");
    const std::string name = free_key("measures");
    rename_key("/measures", old, name);
    if (under(root_, "girths").contains(old)) rename_key("/girths", old, name);
    each_line([&](const std::string&, const std::string&, const Json& carries, const std::string& at) {
      if (carries.is_object() && carries.contains(old)) rename_key(at, old, name);
    });
  }

  void remove_measure() {
    const std::string name = known("measure", "measures");
    each_line(
        [&](const std::string& forme, const std::string& line, const Json& carries, const std::string&) {
          if (carries.is_object() && carries.contains(name))
            throw ChangeRefused{fmt::format("the line {} of forme {} carries it", line, forme)};
        });
    if (under(root_, "girths").contains(name))
      edits_.push_back({EditKind::kRemove, pointer_to("/girths", name), {}});
    edits_.push_back({EditKind::kRemove, pointer_to("/measures", name), {}});
  }

  // The part of the last that a forme shows, which its old name may have said.
  static const char* role_by_name(const std::string& name) {
    return name == "shell" ? "upper" : name == "bottom" ? "bottom" : nullptr;
  }

  void rename_forme() {
    const std::string old = known("forme", "formes");
    const std::string name = free_key("formes");
    const Json& forme = under(under(root_, "formes"), old);
    const bool stated = forme.is_object() && forme.contains("role");
    if (!stated && role_by_name(name) != role_by_name(old)) {
      if (role_by_name(old) == nullptr)
        throw ChangeRefused{
            fmt::format("a forme called {} is taken for the {} of the last: state its role first", name,
                        role_by_name(name))};
      set(pointer_to("/formes", old) + "/role", role_by_name(old));
    }
    rename_key("/formes", old, name);
    const Json& pieces = under(root_, "pieces");
    for (std::size_t i = 0; pieces.is_array() && i < pieces.size(); ++i)
      set_key(pieces[i], pointer_to("/pieces", i), "forme", old, name);
    each_girth_part([&](const std::string&, const Json& part, const std::string& at) {
      set_key(part, at, "forme", old, name);
    });
  }

  void each_girth_part(
      const std::function<void(const std::string& girth, const Json&, const std::string&)>& seen) const {
    const Json& girths = under(root_, "girths");
    if (!girths.is_object()) return;
    for (const auto& [girth, parts] : girths.items()) {
      for (std::size_t i = 0; parts.is_array() && i < parts.size(); ++i)
        seen(girth, parts[i], pointer_to(pointer_to("/girths", girth), i));
    }
  }

  void remove_forme() {
    const std::string name = known("forme", "formes");
    const Json& pieces = under(root_, "pieces");
    for (std::size_t i = 0; pieces.is_array() && i < pieces.size(); ++i) {
      if (says(under(pieces[i], "forme"), name))
        throw ChangeRefused{fmt::format("piece {} lies on it", under(pieces[i], "name").dump())};
    }
    each_girth_part([&](const std::string& girth, const Json& part, const std::string&) {
      if (says(under(part, "forme"), name))
        throw ChangeRefused{fmt::format("the {} runs over its line {}", girth, under(part, "line").dump())};
    });
    edits_.push_back({EditKind::kRemove, pointer_to("/formes", name), {}});
  }

  // The point of the new forme that a corner lies on.
  std::string point_of(const FoundPiece& in, const char* end, Json& points) const {
    const std::string corner = text(end);
    const Json& corners = under(in.json, "corners");
    if (!corners.contains(corner))
      throw ChangeRefused{fmt::format("piece {} has no corner {}", in.name, shown(Json(corner)))};
    const Json& stated = corners[corner];
    const Json& at = stated.is_object() && !is_reference(stated) ? under(stated, "at") : stated;
    if (at.is_string()) return at.get<std::string>();  // copied with the others
    points[corner] = {{"corner", corner}, {"of", in.name}};
    return corner;
  }

  // Points of the old forme that anything of the piece names.
  void copy_points(const Json& value, const Json& old, Json& points) const {
    if (value.is_string() && old.contains(value.get_ref<const std::string&>())) {
      const auto& name = value.get_ref<const std::string&>();
      if (points.contains(name)) return;
      points[name] = old[name];
      copy_points(old[name], old, points);  // it may be stated by others
    }
    if (!value.is_structured()) return;
    for (const Json& one : value) copy_points(one, old, points);
  }

  void own_forme() {
    const FoundPiece in = piece();
    const std::string name = free_key("formes");
    const Json& of = under(in.json, "forme");
    each_meeting([&](const std::string& other, const Json& meeting, const std::string&) {
      if (other != in.name && says(under(under(meeting, "on"), "piece"), in.name))
        throw ChangeRefused{
            fmt::format("piece {} lies on it; first say in another way where that one lies", other)};
    });
    each_stated([&](const Stated& stated) {
      if (stated.piece == in.name && !stated.place.starts_with(in.pointer + "/"))
        throw ChangeRefused{
            fmt::format("{} is stated by it: first give that place in another way", stated.place)};
    });
    Json points = Json::object();
    const std::string from = point_of(in, "from", points);
    const std::string to = point_of(in, "to", points);
    const std::string side = point_of(in, "side", points);
    if (std::set<std::string>{from, to, side}.size() < 3)
      throw ChangeRefused{"its length and width need three corners"};
    static const Json kNone = Json::object();
    const Json& old =
        of.is_string() ? under(under(under(root_, "formes"), of.get<std::string>()), "points") : kNone;
    if (old.is_object()) {
      copy_points(under(in.json, "corners"), old, points);
      copy_points(under(in.json, "features"), old, points);
    }
    const auto line = [&](const char* called, const std::string& end, const char* key) {
      const Json& carries = under(asked_, key);
      if (!carries.is_object() || carries.empty())
        throw ChangeRefused{fmt::format("the change does not say what its {} carries", key)};
      return Json{{"measure_line", called}, {"from", from}, {"to", end}, {"carries", carries}};
    };
    const Json forme = {
        {"points", points},      {"base_line", {from, to}},
        {"fixed", from},         {"length_line", "length"},
        {"girth_line", "width"}, {"rules", {line("length", to, "length"), line("width", side, "width")}}};
    set(pointer_to("/formes", name), forme);
    set(in.pointer + "/forme", name);
    if (in.json.contains("lies")) edits_.push_back({EditKind::kRemove, in.pointer + "/lies", {}});
  }
};

}  // namespace

std::optional<std::vector<JsonEdit>> forme_change(const Json& root, const Json& asked) {
  return FormeChange(root, asked).run();
}

}  // namespace lastwright
