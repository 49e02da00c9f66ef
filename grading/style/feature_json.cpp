#include "grading/style/feature_json.hpp"

#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/style_values.hpp"

namespace lastwright {

namespace {

Spot spot_from(const Json& from) {
  if (from.is_string()) return from.get<std::string>();
  return Vec2{from[0].get<double>(), from[1].get<double>()};
}

constexpr NickForm kNickForms[] = {NickForm::kSlit, NickForm::kVee, NickForm::kRound, NickForm::kOutward};
constexpr RowAnchor kAnchors[] = {RowAnchor::kStart, RowAnchor::kMiddle, RowAnchor::kEnd};

}  // namespace

Millimetres FeatureReader::length(const Json& from, const char* key, const std::string& at,
                                  Millimetres otherwise) {
  if (!from.contains(key)) return otherwise;
  const Result<Millimetres> found = length_at(document_, pointer_to(at, key));
  if (found) return *found;
  problems_.push_back(found.problem());
  return otherwise;
}

void FeatureReader::refuse(const std::string& pointer, const std::string& message) {
  problems_.push_back(document_.bad(pointer, message));
}

Vec2 FeatureReader::shift(const Json& pair, const std::string& at) {
  double along[2] = {0.0, 0.0};
  for (std::size_t i = 0; i < pair.size() && i < 2; ++i) {
    const Result<Millimetres> found = length_at(document_, pointer_to(at, i));
    if (found) {
      along[i] = found->value();
    } else {
      problems_.push_back(found.problem());
    }
  }
  return {along[0], along[1]};
}

EdgeStation FeatureReader::station(const Json& from, const std::string& at) {
  EdgeStation station;
  // Left out it would lie at the edge's start, and of two one would go unheard.
  const bool shared = from.contains("share");
  if (shared == from.contains("distance"))
    refuse(at, shared ? "a share and a distance both say how far along the edge it lies: give one of the two"
                      : "how far along the edge it lies is not said: give a share or a distance");
  if (shared && from.contains("from_end"))
    refuse(at + "/from_end",
           "a share is counted from the edge's first corner: from_end goes with a distance; leave it out");
  if (from.contains("share")) {
    const Result<Fraction> share = fraction_at(document_, pointer_to(at, "share"));
    if (share) {
      station.share = *share;
    } else {
      problems_.push_back(share.problem());
    }
  }
  station.distance = length(from, "distance", at);
  station.from_end = from.value("from_end", false);
  return station;
}

FeaturePlace FeatureReader::place(const Json& from, const std::string& at) {
  if (!from.is_object()) return FormePlace{spot_from(from), {}};
  if (from.contains("point"))
    return FormePlace{spot_from(from.at("point")), shift(from.at("by"), at + "/by")};
  return EdgePlace{from.at("edge").get<std::string>(), station(from, at), length(from, "inset", at)};
}

CourseSpec FeatureReader::course(const Json& from, const std::string& at) {
  CourseSpec course;
  if (from.contains("edges")) course.edges = from.at("edges").get<std::vector<std::string>>();
  if (from.contains("through")) {
    for (const Json& one : from.at("through")) course.through.push_back(spot_from(one));
  }
  course.inset = length(from, "inset", at);
  if (const auto margin = from.find("margin"); margin != from.end()) {
    if (margin->is_array()) {
      const Vec2 both = shift(*margin, at + "/margin");
      course.start = Millimetres(both.x);
      course.end = Millimetres(both.y);
    } else {
      course.start = course.end = length(from, "margin", at);
    }
  }
  return course;
}

RowSpacing FeatureReader::spacing(const Json& from, const std::string& at) {
  RowSpacing spacing;
  if (from.contains("anchor")) {
    if (!from.contains("pitch"))
      refuse(at + "/anchor", "a row without a pitch fills its room from end to end: leave the anchor out");
    else if (from.value("fill", false))
      refuse(at + "/anchor", "a row that fills its room has no end to be put to: leave anchor or fill out");
  }
  if (from.contains("count")) spacing.count = from.at("count").get<int>();
  if (const auto counts = from.find("counts"); counts != from.end()) {
    for (const Json& one : *counts) {
      spacing.counts.push_back(
          {one.at("from").get<std::string>(), one.at("to").get<std::string>(), one.at("count").get<int>()});
    }
  }
  if (from.contains("pitch")) spacing.pitch = length(from, "pitch", at);
  spacing.anchor = StyleValues::named(from, "anchor", kAnchors, spacing.anchor);
  spacing.fill = from.value("fill", false);
  return spacing;
}

RowWork FeatureReader::row(RowKind kind, const Json& from, const std::string& at) {
  RowWork work{kind, course(from, at), spacing(from, at), {}};
  if (const auto unit = from.find("unit"); unit != from.end()) {
    for (std::size_t i = 0; i < unit->size(); ++i) {
      const std::string here = pointer_to(at + "/unit", i);
      work.unit.push_back({length((*unit)[i], "along", here), length((*unit)[i], "across", here),
                           length((*unit)[i], "diameter", here)});
    }
  } else {
    work.unit.push_back({{}, {}, length(from, "diameter", at)});
  }
  return work;
}

NickShape FeatureReader::nick_shape(const Json& from, const std::string& at) {
  const NickShape usual;
  return {StyleValues::named(from, "form", kNickForms, usual.form), length(from, "depth", at, usual.depth),
          length(from, "width", at, usual.width)};
}

FeatureWork FeatureReader::work(const std::string& kind, const Json& from, const std::string& at) {
  const auto here = [&] { return place(from.at("at"), at + "/at"); };
  const auto name = [&](const char* key) { return from.at(key).get<std::string>(); };
  const double angle = from.value("angle", 0.0);
  if (kind == "hole") return HoleWork{here(), length(from, "diameter", at)};
  if (kind == "prick") return PrickWork{here()};
  if (kind == "eyelets") return row(RowKind::kEyelets, from, at);
  if (kind == "perforation") return row(RowKind::kPerforation, from, at);
  if (kind == "pricks") return row(RowKind::kPricks, from, at);
  if (kind == "slot") return SlotWork{here(), length(from, "length", at), length(from, "width", at), angle};
  if (kind == "buckle_bar") {
    return BuckleBarWork{here(), length(from, "bar", at), length(from, "slot_length", at),
                         length(from, "slot_width", at), angle};
  }
  if (kind == "stitch_line")
    return LineWork{LineKind::kStitch, course(from, at), from.value("rows", 1), length(from, "row_gap", at)};
  if (kind == "lap_guide") return LineWork{LineKind::kLapGuide, course(from, at), 1, {}};
  if (kind == "skive")
    return SkiveWork{course(from, at).edges, length(from, "width", at), length(from, "depth", at)};
  if (kind == "nick") return NickWork{name("edge"), station(from, at), nick_shape(from, at)};
  if (kind == "size_marks") {
    return SizeMarksWork{name("code"), name("edge"), station(from, at), length(from, "pitch", at),
                         nick_shape(from, at)};
  }
  if (kind == "text")
    return TextWork{here(), name("says"), length(from, "height", at, TextWork{}.height), angle};
  const PairNumberWork usual;
  return PairNumberWork{here(), length(from, "width", at, usual.width),
                        length(from, "height", at, usual.height), angle};
}

FeatureSpec FeatureReader::feature(const Json& from, const std::string& at) {
  FeatureSpec spec;
  for (const char* kind :
       {"hole", "prick", "eyelets", "perforation", "pricks", "slot", "buckle_bar", "stitch_line", "lap_guide",
        "skive", "nick", "size_marks", "text", "pair_number"}) {
    if (!from.contains(kind)) continue;
    spec.name = from.at(kind).get<std::string>();
    spec.work = work(kind, from, at);
    if (from.contains("both_halves")) spec.both_halves = from.at("both_halves").get<bool>();
    return spec;
  }
  throw InvariantBroken("the schema lets a kind of feature through that the reader does not know, at " + at);
}

void FeatureReader::limits(const Json& from, const std::string& at, FeatureLimits& limits) {
  limits.hole_to_edge = length(from, "hole_to_edge", at, limits.hole_to_edge);
  limits.hole_to_hole = length(from, "hole_to_hole", at, limits.hole_to_hole);
  limits.cut_out_to_edge = length(from, "cut_out_to_edge", at, limits.cut_out_to_edge);
  limits.cut_out_gap = length(from, "cut_out_gap", at, limits.cut_out_gap);
  limits.nick_to_hole = length(from, "nick_to_hole", at, limits.nick_to_hole);
  limits.mark_to_hole = length(from, "mark_to_hole", at, limits.mark_to_hole);
  limits.nick_to_corner = length(from, "nick_to_corner", at, limits.nick_to_corner);
  limits.nick_to_net = length(from, "nick_to_net", at, limits.nick_to_net);
  limits.nick_in_edge = length(from, "nick_in_edge", at, limits.nick_in_edge);
  limits.nick_to_nick = length(from, "nick_to_nick", at, limits.nick_to_nick);
}

MarkCode read_code(const std::string& name, const Json& from) {
  MarkCode code{name, StyleValues::named(from, "of", {CodeOf::kSize, CodeOf::kWidth}, CodeOf::kSize), {}};
  for (const auto& [label, marks] : from.at("marks").items()) {
    code.marks.emplace_back(label, marks.get<std::vector<int>>());
  }
  return code;
}

}  // namespace lastwright
