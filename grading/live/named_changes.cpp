#include "grading/live/named_changes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>
#include <string>
#include <utility>

#include "grading/live/forme_changes.hpp"
#include "grading/live/style_names.hpp"
#include "grading/style/stated_places.hpp"

namespace lastwright {

namespace {

using EditKind = JsonEdit::Kind;

class NamedChange : private StyleNames {
 public:
  NamedChange(const Json& root, const Json& asked) : StyleNames(root, asked) {}

  std::vector<JsonEdit> run() {
    const std::string what = text("what");
    if (what == "rename piece") {
      rename_piece();
    } else if (what == "rename edge") {
      rename_edge();
    } else if (what == "rename corner") {
      rename_corner();
    } else if (what == "rename point") {
      rename_point();
    } else if (what == "rename line") {
      rename_line();
    } else if (what == "remove piece") {
      remove_piece();
    } else if (what == "corner off") {
      corner_off();
    } else if (what == "corner on") {
      corner_on();
    } else if (auto edits = forme_change(root_, asked_)) {
      return *std::move(edits);
    } else {
      throw ChangeRefused{fmt::format("there is no change called {}", shown(Json(what)))};
    }
    return std::move(edits_);
  }

 private:
  void rename_piece() {
    const FoundPiece found = piece();
    const std::string name = free_name("name", [&](const std::string& one) {
      return place_in(under(root_, "pieces"), "name", one).has_value();
    });
    set(found.pointer + "/name", name);
    each_seam_side(
        [&](const Json& side, const std::string& at) { set_key(side, at, "piece", found.name, name); });
    each_meeting([&](const std::string&, const Json& meeting, const std::string& at) {
      set_key(under(meeting, "on"), at + "/on", "piece", found.name, name);
    });
    each_stated([&](const Stated& stated) { set_key(stated.json, stated.pointer, "of", found.name, name); });
  }

  void rename_edge() {
    const FoundPiece in = piece();
    const FoundEdge found = edge(in, text("edge"));
    const std::string name = free_name("name", [&](const std::string& one) { return has_edge(in, one); });
    set(found.pointer + "/name", name);
    set_key(in.json, in.pointer, "fold", found.name, name);
    rename_in_features(under(in.json, "features"), in.pointer + "/features", {"edge"}, "edges", found.name,
                       name);
    each_seam_side([&](const Json& side, const std::string& at) {
      if (says(under(side, "piece"), in.name)) set_key(side, at, "edge", found.name, name);
    });
    each_meeting([&](const std::string& of, const Json& meeting, const std::string& at) {
      if (of == in.name) set_key(meeting, at, "edge", found.name, name);
      const Json& on = under(meeting, "on");
      if (says(under(on, "piece"), in.name)) set_key(on, at + "/on", "edge", found.name, name);
    });
    each_stated([&](const Stated& stated) {
      if (stated.piece != in.name) return;
      for (const char* key : {"along", "edge"}) set_key(stated.json, stated.pointer, key, found.name, name);
      set_list(under(stated.json, "edges"), stated.pointer + "/edges", found.name, name);
    });
  }

  void need_corner(const FoundPiece& in, const std::string& name) const {
    if (!under(in.json, "corners").contains(name))
      throw ChangeRefused{fmt::format("piece {} has no corner {}", in.name, shown(Json(name)))};
  }

  void rename_corner() {
    const FoundPiece in = piece();
    const std::string old = text("corner");
    need_corner(in, old);
    const std::string name =
        free_name("name", [&](const std::string& one) { return under(in.json, "corners").contains(one); });
    edits_.push_back({EditKind::kRename, pointer_to(in.pointer + "/corners", old), name});
    const Json& edges = under(in.json, "edges");
    for (std::size_t i = 0; edges.is_array() && i < edges.size(); ++i) {
      for (const char* end : {"from", "to"})
        set_key(edges[i], pointer_to(in.pointer + "/edges", i), end, old, name);
    }
    each_meeting([&](const std::string& of, const Json& meeting, const std::string& at) {
      if (of == in.name) set_key(meeting, at, "corner", old, name);
      const Json& on = under(meeting, "on");
      if (says(under(on, "piece"), in.name)) set_key(on, at + "/on", "corner", old, name);
    });
    each_stated([&](const Stated& stated) {
      if (stated.piece != in.name) return;
      set_key(stated.json, stated.pointer, "corner", old, name);
      set_list(under(stated.json, "along"), stated.pointer + "/along", old, name);
    });
  }

  const Json& forme(const std::string& name) const {
    const Json& found = under(under(root_, "formes"), name);
    if (!found.is_object()) throw ChangeRefused{fmt::format("there is no forme {}", shown(Json(name)))};
    return found;
  }

  void rename_point() {
    const std::string of = text("forme");
    const Json& in = forme(of);
    const std::string at = pointer_to("/formes", of);
    const std::string old = text("point");
    if (!under(in, "points").contains(old))
      throw ChangeRefused{fmt::format("forme {} has no point {}", of, shown(Json(old)))};
    const std::string name =
        free_name("name", [&](const std::string& one) { return under(in, "points").contains(one); });
    edits_.push_back({EditKind::kRename, pointer_to(at + "/points", old), name});
    set_list(under(in, "base_line"), at + "/base_line", old, name);
    set_key(in, at, "fixed", old, name);
    const Json& rules = under(in, "rules");
    for (std::size_t i = 0; rules.is_array() && i < rules.size(); ++i) {
      const std::string rule = pointer_to(at + "/rules", i);
      for (const char* key : {"from", "to", "point"}) set_key(rules[i], rule, key, old, name);
      for (const char* key : {"hold", "straight", "square", "to"})
        set_list(under(rules[i], key), rule + "/" + key, old, name);
    }
    const Json& pieces = under(root_, "pieces");
    for (std::size_t i = 0; pieces.is_array() && i < pieces.size(); ++i) {
      if (!says(under(pieces[i], "forme"), of)) continue;
      point_in_piece(pieces[i], pointer_to("/pieces", i), old, name);
    }
    each_stated([&](const Stated& stated) {
      if (stated.forme != of) return;
      for (const char* key : {"from", "toward", "near"}) set_key(stated.json, stated.pointer, key, old, name);
      set_list(under(stated.json, "through"), stated.pointer + "/through", old, name);
    });
  }

  void point_in_piece(const Json& in, const std::string& pointer, const std::string& old,
                      const std::string& name) {
    const Json& corners = under(in, "corners");
    if (corners.is_object()) {
      for (const auto& [key, corner] : corners.items()) {
        const std::string at = pointer_to(pointer + "/corners", key);
        set_if(corner, at, old, name);
        set_key(corner, at, "at", old, name);
      }
    }
    rename_in_features(under(in, "features"), pointer + "/features", {"at", "point"}, "through", old, name);
    const Json& meets = under(under(in, "lies"), "meets");
    for (std::size_t k = 0; meets.is_array() && k < meets.size(); ++k)
      set_key(meets[k], pointer_to(pointer + "/lies/meets", k), "on", old, name);
  }

  void rename_line() {
    const std::string of = text("forme");
    const Json& in = forme(of);
    const std::string at = pointer_to("/formes", of);
    const std::string old = text("line");
    const Json& rules = under(in, "rules");
    const auto has = [&](const std::string& one) {
      return place_in(rules, "measure_line", one) || place_in(rules, "check_line", one);
    };
    if (!has(old)) throw ChangeRefused{fmt::format("forme {} has no line {}", of, shown(Json(old)))};
    const std::string name = free_name("name", has);
    for (std::size_t i = 0; i < rules.size(); ++i) {
      for (const char* key : {"measure_line", "check_line"})
        set_key(rules[i], pointer_to(at + "/rules", i), key, old, name);
    }
    for (const char* key : {"length_line", "girth_line"}) set_key(in, at, key, old, name);
    const Json& girths = under(root_, "girths");
    if (!girths.is_object()) return;
    for (const auto& [measure, parts] : girths.items()) {
      for (std::size_t i = 0; parts.is_array() && i < parts.size(); ++i) {
        if (says(under(parts[i], "forme"), of))
          set_key(parts[i], pointer_to(pointer_to("/girths", measure), i), "line", old, name);
      }
    }
  }

  void remove_piece() {
    const FoundPiece found = piece();
    each_meeting([&](const std::string& of, const Json& meeting, const std::string&) {
      if (of != found.name && says(under(under(meeting, "on"), "piece"), found.name))
        throw ChangeRefused{
            fmt::format("piece {} lies on it; first say in another way where that one lies", of)};
    });
    each_stated([&](const Stated& stated) {
      if (stated.piece == found.name && !stated.place.starts_with(found.pointer + "/"))
        throw ChangeRefused{
            fmt::format("{} is stated by it: first give that place in another way", stated.place)};
    });
    const Json& seams = under(root_, "seams");
    for (std::size_t i = seams.is_array() ? seams.size() : 0; i-- > 0;) {
      if (says(under(under(seams[i], "one"), "piece"), found.name) ||
          says(under(under(seams[i], "other"), "piece"), found.name))
        edits_.push_back({EditKind::kRemove, pointer_to("/seams", i), {}});
    }
    edits_.push_back({EditKind::kRemove, found.pointer, {}});
  }

  bool is_sewn(const FoundPiece& in, const std::string& name) const {
    bool sewn = false;
    each_seam_side([&](const Json& side, const std::string&) {
      sewn = sewn || (says(under(side, "piece"), in.name) && says(under(side, "edge"), name));
    });
    return sewn;
  }

  // Lists of edges in features: `gone` becomes `stays`, and is left out where that stands there too.
  void merge_in_lists(const Json& value, const std::string& pointer, const std::string& gone,
                      const std::string& stays) {
    if (value.is_array() && pointer.ends_with("/edges")) {
      std::optional<std::size_t> at;
      bool both = false;
      for (std::size_t i = 0; i < value.size(); ++i) {
        if (says(value[i], gone)) at = i;
        both = both || says(value[i], stays);
      }
      if (at && both) edits_.push_back({EditKind::kRemove, pointer_to(pointer, *at), {}});
      if (at && !both) set(pointer_to(pointer, *at), stays);
      return;
    }
    if (!value.is_structured() || is_reference(value)) return;
    std::size_t i = 0;
    for (const auto& [key, child] : value.items()) {
      const std::string at = value.is_array() ? pointer_to(pointer, i++) : pointer_to(pointer, key);
      if (key == "edge") set_if(child, at, gone, stays);
      merge_in_lists(child, at, gone, stays);
    }
  }

  void corner_off() {
    const FoundPiece in = piece();
    const std::string corner = text("corner");
    need_corner(in, corner);
    const Json& edges = under(in.json, "edges");
    const auto before = place_in(edges, "to", corner);
    const auto after = place_in(edges, "from", corner);
    if (!before || !after || *before == *after)
      throw ChangeRefused{fmt::format("corner {} does not lie between two edges", shown(Json(corner)))};
    const Json& stays = under(edges[*before], "name");
    const Json& gone = under(edges[*after], "name");
    if (!stays.is_string() || !gone.is_string()) throw ChangeRefused{"its edges have no names"};
    const auto& kept = stays.get_ref<const std::string&>();
    const auto& lost = gone.get_ref<const std::string&>();
    if (is_sewn(in, kept) && is_sewn(in, lost))
      throw ChangeRefused{fmt::format("both {} and {} are sewn: remove one of the seams first", kept, lost)};
    each_meeting([&](const std::string& of, const Json& meeting, const std::string&) {
      const Json& on = under(meeting, "on");
      const bool here =
          of == in.name && (says(under(meeting, "corner"), corner) || says(under(meeting, "edge"), lost));
      const bool there = says(under(on, "piece"), in.name) &&
                         (says(under(on, "corner"), corner) || says(under(on, "edge"), lost));
      if (here || there) throw ChangeRefused{fmt::format("where piece {} lies is said by it", of)};
    });
    each_stated([&](const Stated& stated) {
      if (stated.piece == in.name &&
          (names_corner(stated, corner) || names_edge(stated, lost) || names_edge(stated, kept)))
        throw ChangeRefused{
            fmt::format("{} is stated by it: first give that place in another way", stated.place)};
    });
    merge_in_lists(under(in.json, "features"), in.pointer + "/features", lost, kept);
    each_seam_side([&](const Json& side, const std::string& at) {
      if (says(under(side, "piece"), in.name)) set_key(side, at, "edge", lost, kept);
    });
    set_key(in.json, in.pointer, "fold", lost, kept);
    const std::string edge_at = pointer_to(in.pointer + "/edges", *before);
    set(edge_at + "/to", under(edges[*after], "to"));
    edits_.push_back({EditKind::kRemove, pointer_to(in.pointer + "/edges", *after), {}});
    edits_.push_back({EditKind::kRemove, pointer_to(in.pointer + "/corners", corner), {}});
  }

  // Lists of edges in features: the new part follows the old one.
  void split_in_lists(const Json& value, const std::string& pointer, const std::string& old,
                      const std::string& name) {
    if (value.is_array() && pointer.ends_with("/edges")) {
      for (std::size_t i = 0; i < value.size(); ++i) {
        if (says(value[i], old)) edits_.push_back({EditKind::kInsert, pointer_to(pointer, i + 1), name});
      }
      return;
    }
    if (!value.is_structured() || is_reference(value)) return;
    std::size_t i = 0;
    for (const auto& [key, child] : value.items())
      split_in_lists(child, value.is_array() ? pointer_to(pointer, i++) : pointer_to(pointer, key), old,
                     name);
  }

  void corner_on() {
    const FoundPiece in = piece();
    const FoundEdge found = edge(in, text("edge"));
    const std::string corner =
        free_name("corner", [&](const std::string& one) { return under(in.json, "corners").contains(one); });
    const std::string name = free_name("name", [&](const std::string& one) { return has_edge(in, one); });
    const Json& at = under(asked_, "at");
    if (at.is_null()) throw ChangeRefused{"the change does not say where the corner is"};
    each_stated([&](const Stated& stated) {
      if (stated.piece == in.name && names_edge(stated, found.name))
        throw ChangeRefused{fmt::format("{} is stated by the edge {}: first give that place in another way",
                                        stated.place, found.name)};
    });
    set(pointer_to(in.pointer + "/corners", corner), at);
    Json part = found.json;
    part["name"] = name;
    part["from"] = corner;
    set(found.pointer + "/to", corner);
    edits_.push_back(
        {EditKind::kInsert, pointer_to(in.pointer + "/edges", found.index + 1), std::move(part)});
    split_in_lists(under(in.json, "features"), in.pointer + "/features", found.name, name);
  }
};

}  // namespace

Result<std::vector<JsonEdit>> named_change(const Json& root, const Json& asked) {
  try {
    return NamedChange(root, asked).run();
  } catch (const ChangeRefused& refused) {
    return bad_value(refused.why);
  }
}

}  // namespace lastwright
