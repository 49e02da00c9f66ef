#include "grading/live/style_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "grading/style/stated_places.hpp"

namespace lastwright {

const Json& StyleNames::under(const Json& value, const std::string& key) {
  static const Json kNull;
  if (!value.is_object()) return kNull;
  const auto at = value.find(key);
  return at == value.end() ? kNull : *at;
}

bool StyleNames::says(const Json& value, const std::string& text) {
  return value.is_string() && value.get_ref<const std::string&>() == text;
}

std::string StyleNames::text(const char* key) const {
  const Json& value = under(asked_, key);
  if (!value.is_string() || value.get_ref<const std::string&>().empty())
    throw ChangeRefused{fmt::format("the change does not say which {}", key)};
  return value.get<std::string>();
}

std::string StyleNames::free_name(const char* key,
                                  const std::function<bool(const std::string&)>& taken) const {
  std::string name = text(key);
  if (taken(name)) throw ChangeRefused{fmt::format("the name {} is taken", shown(Json(name)))};
  return name;
}

void StyleNames::set(std::string pointer, Json value) {
  edits_.push_back({JsonEdit::Kind::kSet, std::move(pointer), std::move(value)});
}

void StyleNames::set_if(const Json& value, const std::string& pointer, const std::string& old,
                        const std::string& now) {
  if (says(value, old)) set(pointer, now);
}

void StyleNames::set_key(const Json& in, const std::string& pointer, const char* key, const std::string& old,
                         const std::string& now) {
  set_if(under(in, key), pointer_to(pointer, key), old, now);
}

void StyleNames::set_list(const Json& list, const std::string& pointer, const std::string& old,
                          const std::string& now) {
  for (std::size_t i = 0; list.is_array() && i < list.size(); ++i)
    set_if(list[i], pointer_to(pointer, i), old, now);
}

std::optional<std::size_t> StyleNames::place_in(const Json& list, const char* key, const std::string& name) {
  for (std::size_t i = 0; list.is_array() && i < list.size(); ++i) {
    if (says(under(list[i], key), name)) return i;
  }
  return std::nullopt;
}

StyleNames::FoundPiece StyleNames::piece() const {
  const std::string name = text("piece");
  const Json& pieces = under(root_, "pieces");
  const auto index = place_in(pieces, "name", name);
  if (!index) throw ChangeRefused{fmt::format("there is no piece {}", shown(Json(name)))};
  return {name, pointer_to("/pieces", *index), *index, pieces[*index]};
}

StyleNames::FoundEdge StyleNames::edge(const FoundPiece& in, const std::string& name) {
  const Json& edges = under(in.json, "edges");
  const auto index = place_in(edges, "name", name);
  if (!index) throw ChangeRefused{fmt::format("piece {} has no edge {}", in.name, shown(Json(name)))};
  return {name, pointer_to(in.pointer + "/edges", *index), *index, edges[*index]};
}

bool StyleNames::has_edge(const FoundPiece& in, const std::string& name) {
  return place_in(under(in.json, "edges"), "name", name).has_value();
}

void StyleNames::each_meeting(
    const std::function<void(const std::string& piece, const Json&, const std::string&)>& seen) const {
  const Json& pieces = under(root_, "pieces");
  for (std::size_t i = 0; pieces.is_array() && i < pieces.size(); ++i) {
    const Json& name = under(pieces[i], "name");
    const Json& meets = under(under(pieces[i], "lies"), "meets");
    for (std::size_t k = 0; meets.is_array() && k < meets.size(); ++k)
      seen(name.is_string() ? name.get<std::string>() : "", meets[k],
           pointer_to(pointer_to("/pieces", i) + "/lies/meets", k));
  }
}

void StyleNames::each_seam_side(const std::function<void(const Json&, const std::string&)>& seen) const {
  const Json& seams = under(root_, "seams");
  for (std::size_t i = 0; seams.is_array() && i < seams.size(); ++i) {
    for (const char* side : {"one", "other"})
      seen(under(seams[i], side), pointer_to("/seams", i) + "/" + side);
  }
}

void StyleNames::stated_in(const Json& value, const std::string& pointer, const std::string& own,
                           const std::string& of_forme, const std::string& place,
                           const SeeStated& seen) const {
  const bool stands = is_reference(value);
  const std::string here = place.empty() && stands ? pointer : place;
  if (!here.empty() && value.is_object()) {
    const Json& of = under(value, "of");
    seen({value, pointer, of.is_string() ? of.get<std::string>() : own, of_forme, here});
  }
  if (!value.is_structured()) return;
  std::size_t i = 0;
  for (const auto& [key, child] : value.items())
    stated_in(child, value.is_array() ? pointer_to(pointer, i++) : pointer_to(pointer, key), own, of_forme,
              here, seen);
}

void StyleNames::each_stated(const SeeStated& seen) const {
  const Json& formes = under(root_, "formes");
  if (formes.is_object()) {
    for (const auto& [name, forme] : formes.items())
      stated_in(under(forme, "points"), pointer_to("/formes", name) + "/points", "", name, "", seen);
  }
  const Json& pieces = under(root_, "pieces");
  for (std::size_t i = 0; pieces.is_array() && i < pieces.size(); ++i) {
    const Json& name = under(pieces[i], "name");
    const Json& of_forme = under(pieces[i], "forme");
    stated_in(pieces[i], pointer_to("/pieces", i), name.is_string() ? name.get<std::string>() : "",
              of_forme.is_string() ? of_forme.get<std::string>() : "", "", seen);
  }
}

bool StyleNames::names_in(const Json& list, const std::string& name) {
  return list.is_array() &&
         std::any_of(list.begin(), list.end(), [&](const Json& one) { return says(one, name); });
}

bool StyleNames::names_edge(const Stated& stated, const std::string& name) {
  return says(under(stated.json, "along"), name) || says(under(stated.json, "edge"), name) ||
         names_in(under(stated.json, "edges"), name);
}

bool StyleNames::names_corner(const Stated& stated, const std::string& name) {
  return says(under(stated.json, "corner"), name) || names_in(under(stated.json, "along"), name);
}

void StyleNames::rename_in_features(const Json& value, const std::string& pointer,
                                    const std::vector<std::string>& keys, const std::string& list,
                                    const std::string& old, const std::string& now) {
  if (value.is_array()) {
    for (std::size_t i = 0; i < value.size(); ++i)
      rename_in_features(value[i], pointer_to(pointer, i), keys, list, old, now);
  }
  // What a reference names may be another piece's.
  if (!value.is_object() || is_reference(value)) return;
  for (const auto& [key, child] : value.items()) {
    const std::string at = pointer_to(pointer, key);
    for (const std::string& one : keys) {
      if (key == one) set_if(child, at, old, now);
    }
    if (key == list) set_list(child, at, old, now);
    rename_in_features(child, at, keys, list, old, now);
  }
}

}  // namespace lastwright
