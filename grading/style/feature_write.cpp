// feature_json: the other half of grading/style/feature_json.hpp.
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/feature_json.hpp"

namespace lastwright {

namespace {

Json spot(const Spot& spot) {
  const auto* name = std::get_if<std::string>(&spot);
  return name != nullptr ? Json(*name) : place_json(std::get<Vec2>(spot));
}

void put(Json& out, const char* key, Millimetres value, Millimetres otherwise = {}) {
  if (value != otherwise) out[key] = number_json(value);
}

void put(Json& out, const EdgeStation& station) {
  if (station.share) {
    out["share"] = fraction_json(*station.share);
  } else {
    out["distance"] = number_json(station.distance);  // 0 too: without it nothing says where
    if (station.from_end) out["from_end"] = true;
  }
}

Json place(const FeaturePlace& place) {
  if (const auto* forme = std::get_if<FormePlace>(&place)) {
    if (forme->by == Vec2{}) return spot(forme->spot);
    return {{"point", spot(forme->spot)}, {"by", place_json(forme->by)}};
  }
  const auto& edge = std::get<EdgePlace>(place);
  Json out = {{"edge", edge.edge}};
  put(out, edge.station);
  put(out, "inset", edge.inset);
  return out;
}

void put(Json& out, const CourseSpec& course) {
  if (!course.edges.empty()) out["edges"] = course.edges;
  for (const Spot& one : course.through) out["through"].push_back(spot(one));
  put(out, "inset", course.inset);
  if (course.start == course.end) {
    put(out, "margin", course.start);
  } else {
    out["margin"] = Json::array({number_json(course.start), number_json(course.end)});
  }
}

void put(Json& out, const RowSpacing& spacing) {
  if (spacing.count) out["count"] = *spacing.count;
  for (const CountChange& one : spacing.counts)
    out["counts"].push_back({{"from", one.from}, {"to", one.to}, {"count", one.count}});
  if (spacing.pitch) out["pitch"] = number_json(*spacing.pitch);
  if (spacing.anchor != RowSpacing{}.anchor) out["anchor"] = name_of(spacing.anchor);
  if (spacing.fill) out["fill"] = true;
}

void put(Json& out, const NickShape& shape) {
  const NickShape usual;
  if (shape.form != usual.form) out["form"] = name_of(shape.form);
  put(out, "depth", shape.depth, usual.depth);
  put(out, "width", shape.width, usual.width);
}

void put_angle(Json& out, double degrees) {
  if (degrees != 0.0) out["angle"] = number_json(degrees);
}

struct WorkWriter {
  const std::string& name;

  Json operator()(const HoleWork& work) const {
    return {{"hole", name}, {"at", place(work.at)}, {"diameter", number_json(work.diameter)}};
  }
  Json operator()(const PrickWork& work) const { return {{"prick", name}, {"at", place(work.at)}}; }
  Json operator()(const RowWork& work) const {
    Json out = Json::object();
    const char* kind = work.kind == RowKind::kEyelets       ? "eyelets"
                       : work.kind == RowKind::kPerforation ? "perforation"
                                                            : "pricks";
    out[kind] = name;
    put(out, work.along);
    put(out, work.spacing);
    if (work.kind == RowKind::kEyelets) out["diameter"] = number_json(work.unit.front().diameter);
    if (work.kind != RowKind::kPerforation) return out;
    for (const UnitHole& hole : work.unit) {
      Json one = Json::object();
      put(one, "along", hole.along);
      put(one, "across", hole.across);
      one["diameter"] = number_json(hole.diameter);
      out["unit"].push_back(std::move(one));
    }
    return out;
  }
  Json operator()(const SlotWork& work) const {
    Json out = {{"slot", name},
                {"at", place(work.at)},
                {"length", number_json(work.length)},
                {"width", number_json(work.width)}};
    put_angle(out, work.degrees);
    return out;
  }
  Json operator()(const BuckleBarWork& work) const {
    Json out = {{"buckle_bar", name},
                {"at", place(work.at)},
                {"bar", number_json(work.bar)},
                {"slot_length", number_json(work.slot_length)},
                {"slot_width", number_json(work.slot_width)}};
    put_angle(out, work.degrees);
    return out;
  }
  Json operator()(const LineWork& work) const {
    Json out = Json::object();
    out[work.kind == LineKind::kStitch ? "stitch_line" : "lap_guide"] = name;
    put(out, work.along);
    if (work.rows != 1) out["rows"] = work.rows;
    put(out, "row_gap", work.row_gap);
    return out;
  }
  Json operator()(const SkiveWork& work) const {
    Json out = {{"skive", name}, {"edges", work.edges}, {"width", number_json(work.width)}};
    put(out, "depth", work.depth);
    return out;
  }
  Json operator()(const NickWork& work) const {
    Json out = {{"nick", name}, {"edge", work.edge}};
    put(out, work.station);
    put(out, work.shape);
    return out;
  }
  Json operator()(const SizeMarksWork& work) const {
    Json out = {{"size_marks", name}, {"code", work.code}, {"edge", work.edge}};
    put(out, work.first);
    out["pitch"] = number_json(work.pitch);
    put(out, work.shape);
    return out;
  }
  Json operator()(const TextWork& work) const {
    Json out = {{"text", name}, {"at", place(work.at)}, {"says", work.text}};
    put(out, "height", work.height, TextWork{}.height);
    put_angle(out, work.degrees);
    return out;
  }
  Json operator()(const PairNumberWork& work) const {
    Json out = {{"pair_number", name}, {"at", place(work.at)}};
    put(out, "width", work.width, PairNumberWork{}.width);
    put(out, "height", work.height, PairNumberWork{}.height);
    put_angle(out, work.degrees);
    return out;
  }
};

}  // namespace

Json feature_json(const FeatureSpec& spec) {
  Json out = std::visit(WorkWriter{spec.name}, spec.work);
  if (spec.both_halves) out["both_halves"] = *spec.both_halves;
  return out;
}

Json code_json(const MarkCode& code) {
  Json out = {{"of", name_of(code.of)}, {"marks", Json::object()}};
  for (const auto& [label, marks] : code.marks) out["marks"][label] = marks;
  return out;
}

Json feature_limits_json(const FeatureLimits& limits) {
  const FeatureLimits usual;
  Json out = Json::object();
  put(out, "hole_to_edge", limits.hole_to_edge, usual.hole_to_edge);
  put(out, "hole_to_hole", limits.hole_to_hole, usual.hole_to_hole);
  put(out, "cut_out_to_edge", limits.cut_out_to_edge, usual.cut_out_to_edge);
  put(out, "cut_out_gap", limits.cut_out_gap, usual.cut_out_gap);
  put(out, "nick_to_hole", limits.nick_to_hole, usual.nick_to_hole);
  put(out, "mark_to_hole", limits.mark_to_hole, usual.mark_to_hole);
  put(out, "nick_to_corner", limits.nick_to_corner, usual.nick_to_corner);
  put(out, "nick_to_net", limits.nick_to_net, usual.nick_to_net);
  put(out, "nick_in_edge", limits.nick_in_edge, usual.nick_in_edge);
  put(out, "nick_to_nick", limits.nick_to_nick, usual.nick_to_nick);
  return out;
}

}  // namespace lastwright
