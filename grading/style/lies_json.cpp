#include "grading/style/lies_json.hpp"
#include "grading/json/json_text.hpp"

#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

Vec2 place_from(const Json& pair) {
  return {pair[0].get<double>(), pair[1].get<double>()};
}

Meeting meeting(const Json& from) {
  const Json& on = from.at("on");
  if (from.contains("edge")) {
    return EdgeMeeting{from.at("edge").get<std::string>(), on.at("piece").get<std::string>(),
                       on.at("edge").get<std::string>()};
  }
  PointMeeting one;
  if (from.contains("corner")) {
    one.drawn = from.at("corner").get<std::string>();
  } else {
    one.drawn = place_from(from.at("drawn"));
  }
  if (on.is_string()) {
    one.on = on.get<std::string>();
  } else if (on.is_array()) {
    one.on = place_from(on);
  } else {
    one.on = PieceCorner{on.at("piece").get<std::string>(), on.at("corner").get<std::string>()};
  }
  return one;
}

struct Writer {
  Json operator()(const EdgeMeeting& one) const {
    return {{"edge", one.edge}, {"on", {{"piece", one.piece}, {"edge", one.on}}}};
  }
  Json operator()(const PointMeeting& one) const {
    Json out = Json::object();
    if (const auto* corner = std::get_if<std::string>(&one.drawn)) {
      out["corner"] = *corner;
    } else {
      out["drawn"] = place_json(std::get<Vec2>(one.drawn));
    }
    if (const auto* point = std::get_if<std::string>(&one.on)) {
      out["on"] = *point;
    } else if (const auto* at = std::get_if<Vec2>(&one.on)) {
      out["on"] = place_json(*at);
    } else {
      const auto& corner = std::get<PieceCorner>(one.on);
      out["on"] = {{"piece", corner.piece}, {"corner", corner.corner}};
    }
    return out;
  }
};

}  // namespace

Result<LiesSpec> read_lies(const Json& from) {
  LiesSpec lies;
  lies.as_drawn = from.is_string();
  if (lies.as_drawn) return lies;
  for (const Json& one : from.at("meets")) lies.meets.push_back(meeting(one));
  lies.mirrored = from.value("mirrored", lies.mirrored);
  if (const auto limit = from.find("limit"); limit != from.end()) {
    const Result<Millimetres> length = length_of(*limit);
    if (!length) {
      Problem problem = length.problem();
      problem.place.pointer = "/limit";
      return problem;
    }
    lies.limit = *length;
  }
  return lies;
}

Json lies_json(const LiesSpec& lies) {
  if (lies.as_drawn) return "as drawn";
  Json out = Json::object();
  out["meets"] = Json::array();
  for (const Meeting& one : lies.meets) out["meets"].push_back(std::visit(Writer{}, one));
  if (lies.mirrored) out["mirrored"] = true;
  if (lies.limit != LiesSpec{}.limit) out["limit"] = number_json(lies.limit);
  return out;
}

}  // namespace lastwright
