#include "grading/style/stated_places.hpp"

#include <algorithm>
#include <initializer_list>
#include <utility>

#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

using Visit = std::function<void(const StatedPlace&, const Json&)>;

void places_of_feature(const Json& feature, const StatedPlace& piece, const Visit& visit) {
  const auto call = [&](const std::string& pointer, const Json& value) {
    visit({pointer, piece.forme, piece.piece}, value);
  };
  if (const auto at = feature.find("at"); at != feature.end()) {
    const std::string here = piece.pointer + "/at";
    if (!at->is_object() || is_reference(*at)) {
      call(here, *at);
    } else if (at->contains("point")) {
      call(here + "/point", at->at("point"));
    }
  }
  if (const auto through = feature.find("through"); through != feature.end()) {
    for (std::size_t i = 0; i < through->size(); ++i)
      call(pointer_to(piece.pointer + "/through", i), (*through)[i]);
  }
}

void places_of_piece(const Json& piece, std::size_t index, const Visit& visit) {
  const std::string at = pointer_to("/pieces", index);
  const std::string forme = piece.at("forme").get<std::string>();
  if (const auto where = piece.at("outline").find("at"); where != piece.at("outline").end())
    visit({at + "/outline/at", forme, index}, *where);
  if (const auto lies = piece.find("lies"); lies != piece.end() && lies->is_object()) {
    const Json& meets = lies->at("meets");
    for (std::size_t i = 0; i < meets.size(); ++i) {
      const std::string here = pointer_to(at + "/lies/meets", i);
      if (const auto drawn = meets[i].find("drawn"); drawn != meets[i].end())
        visit({here + "/drawn", forme, index}, *drawn);
      const Json& on = meets[i].at("on");
      if (!on.is_object() || is_reference(on)) visit({here + "/on", forme, std::nullopt}, on);
    }
  }
  for (const auto& [name, corner] : piece.at("corners").items()) {
    const std::string here = pointer_to(at + "/corners", name);
    if (corner.is_object() && corner.contains("at")) {
      visit({here + "/at", forme, index}, corner.at("at"));
    } else {
      visit({here, forme, index}, corner);
    }
  }
  if (const auto features = piece.find("features"); features != piece.end()) {
    for (std::size_t i = 0; i < features->size(); ++i)
      places_of_feature((*features)[i], {pointer_to(at + "/features", i), forme, index}, visit);
  }
}

std::size_t values_below(const Json& value) {
  std::size_t count = 1;
  if (!value.is_structured()) return count;
  for (const Json& child : value) count += values_below(child);
  return count;
}

// The lines of `now` from those of `was`: a reference starts where its coordinates stand.
void follow_lines(const Json& was, const Json& now, const std::vector<long>& lines, std::size_t& read,
                  std::vector<long>& out) {
  const long line = lines[read];
  if (was.type() != now.type()) {
    out.insert(out.end(), values_below(now), line);
    read += values_below(was);
    return;
  }
  out.push_back(line);
  ++read;
  if (!was.is_structured()) return;
  auto child = now.begin();
  for (const Json& one : was) follow_lines(one, *child++, lines, read, out);
}

}  // namespace

bool is_reference(const Json& value) {
  if (!value.is_object()) return false;
  const auto among = [](const std::string& key, std::initializer_list<const char*> keys) {
    return std::any_of(keys.begin(), keys.end(), [&](const char* one) { return key == one; });
  };
  bool leads = false;
  for (const auto& [key, part] : value.items()) {
    const bool leading = among(key, {"corner", "edges", "along", "crossing", "mark", "from"});
    leads = leads || leading;
    if (!leading && !among(key, {"of", "share", "distance", "from_end", "near", "drawing", "by", "toward"}))
      return false;
  }
  return leads;
}

void each_place(const Json& root, const Visit& visit) {
  if (const auto formes = root.find("formes"); formes != root.end()) {
    for (const auto& [name, forme] : formes->items()) {
      const std::string at = pointer_to("/formes", name) + "/points";
      for (const auto& [point, where] : forme.at("points").items())
        visit({pointer_to(at, point), name, std::nullopt}, where);
    }
  }
  if (const auto pieces = root.find("pieces"); pieces != root.end()) {
    for (std::size_t i = 0; i < pieces->size(); ++i) places_of_piece((*pieces)[i], i, visit);
  }
}

JsonDocument with_places(const JsonDocument& document, const std::map<std::string, Vec2>& places,
                         std::vector<PointReference>& references) {
  each_place(document.root, [&](const StatedPlace& place, const Json& value) {
    if (is_reference(value)) references.push_back({place.pointer, value.dump()});
  });
  if (references.empty()) return document;
  JsonDocument out;
  out.file = document.file;
  out.root = document.root;
  for (const PointReference& one : references) {
    const auto found = places.find(one.pointer);
    const Vec2 at = found == places.end() ? Vec2{} : found->second;
    out.root[Json::json_pointer(one.pointer)] = Json::array({at.x, at.y});
  }
  std::size_t read = 0;
  out.lines.reserve(document.lines.size());
  follow_lines(document.root, out.root, document.lines, read, out.lines);
  return out;
}

}  // namespace lastwright
