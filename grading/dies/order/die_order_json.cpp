#include "grading/dies/order/die_order_json.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/dies/die_price.hpp"
#include "grading/dies/order/die_stated.hpp"
#include "grading/dies/order/ordered_die.hpp"
#include "grading/dies/plan/die_seams.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/drawn_feet.hpp"

namespace lastwright {

namespace {

Json or_null(const MaybeLength& length) {
  return length ? Json(four_decimals(length->value)) : Json(nullptr);
}

template <class T>
Json or_null(const std::optional<T>& stated) {
  return stated ? Json(*stated) : Json(nullptr);
}

Json rounded_place(Vec2 at) {
  return {four_decimals(at.x), four_decimals(at.y)};
}

Json punches_json(const DieWork& work) {
  Json list = Json::array();
  for (const PunchGroup& group : work.punches)
    list.push_back({{"count", group.count}, {"diameter_mm", group.diameter}});
  return list;
}

Json special_punches_json(const DieWork& work) {
  Json list = Json::array();
  for (const SpecialPunchGroup& group : work.special_punches)
    list.push_back({{"count", group.count}, {"length_mm", group.length}, {"width_mm", group.width}});
  return list;
}

Json nicks_json(const DieWork& work) {
  Json list = Json::array();
  for (const NickFacts& nick : work.nicks) {
    list.push_back({{"form", name_of(nick.kind)},
                    {"depth_mm", four_decimals(nick.depth)},
                    {"mouth_mm", four_decimals(nick.mouth)},
                    {"direction", nick.outward ? "out of the piece" : "into the piece"},
                    {"tells_size", nick.tells.size},
                    {"tells_width", nick.tells.width},
                    {"at", rounded_place(nick.at)}});
  }
  return list;
}

Json joint_json(const DieWork& work) {
  if (!work.joint) return nullptr;
  return {{"at", rounded_place(work.joint->at)},
          {"straight", work.joint->straight},
          {"clear_mm", four_decimals(work.joint->clear)}};
}

Json bridges_json(const DieWork& work) {
  Json list = Json::array();
  for (const Bridge& bridge : work.bridges)
    list.push_back({{"from", rounded_place(bridge.from)},
                    {"to", rounded_place(bridge.to)},
                    {"to_hold", bridge.holds_cut_out ? "a cut-out" : "the outline"}});
  return list;
}

Json text_or_null(const std::string& text) {
  return text.empty() ? Json(nullptr) : Json(text);
}

// Names of the facts nobody stated: what stands for them in this object, if anything, is taken.
Json unstated(const std::vector<StatedFact>& facts) {
  Json list = Json::array();
  for (const StatedFact& fact : facts) {
    if (!fact.stated) list.push_back(fact.what);
  }
  return list;
}

Json making_json(const DieMaking& making) {
  return {{"cutting_edge", "the line drawn on CUT and CUT_OUT"},
          {"rule_height_mm", making.rule_height},
          {"bevel", making.bevel},
          {"rule_thickness_mm", making.rule_thickness ? Json(*making.rule_thickness) : Json(nullptr)},
          {"handle", text_or_null(making.handle)},
          {"two_edged_bridges", text_or_null(making.two_edged_bridges)},
          {"bridge_every_mm", making.bridge_every},
          {"quantity", making.quantity.value_or(1)},
          {"making_tolerance_mm", or_null(making.making_tolerance)},
          {"layers_per_stroke", or_null(making.layers_per_stroke)},
          {"not_stated", unstated(making_stated(making))}};
}

Json pieces_json(const DiePlan& plan) {
  Json list = Json::array();
  for (const PieceSummary& piece : plan.pieces) {
    Json held = Json::array();
    std::vector<std::string> together;
    for (const PieceHeld& one : plan.held) {
      if (one.piece != piece.name) continue;
      together = one.together;
      for (const PieceHeld::Seam& seam : one.seams)
        held.push_back({{"seam", seam.name}, {"mate", seam.mate}, {"outlines_without", seam.without}});
    }
    list.push_back({{"piece", piece.name},
                    {"sizes_and_widths", piece.outlines_without},
                    {"outlines", piece.outlines},
                    {"outlines_alone", alone_known(plan) ? Json(piece.alone) : Json(nullptr)},
                    {"dies_without_ties", piece.dies_without},
                    {"dies", piece.dies},
                    {"greatest_deviation_mm", four_decimals(piece.worst_deviation)},
                    {"held_by", std::move(held)},
                    {"held_together_by", together}});
  }
  return list;
}

Json line_json(const DieOrder& order, const DieOrderLine& line, const PlannedDie& die, const DieFile& file) {
  const DieFacts& facts = die.facts;
  Json served = Json::array();
  for (const auto& [size, width] : line.sizes_widths) served.push_back({{"size", size}, {"width", width}});
  Json findings = Json::array();
  for (const DieFinding& finding : die.findings) {
    findings.push_back({{"check", finding.check},
                        {"value", four_decimals(finding.value)},
                        {"limit", finding.limit.value},
                        {"unit", finding.unit},
                        {"at", {four_decimals(finding.at.x), four_decimals(finding.at.y)}},
                        {"limit_is", name_of(finding.limit.provenance)},
                        {"limit_source", finding.limit.source}});
  }
  Json json{{"die", line.number},
            {"piece", line.piece},
            {"drawn_as", line.drawn_as},
            {"serves", std::move(served)},
            {"hands", name_of(die.hands.mode)},
            {"why", die.hands.why},
            {"owned", die.owned.has_value()},
            {"owned_as", line.owned},
            {"dies_to_make", line.to_make},
            {"quantity", line.quantity},
            {"cut_per_pair", line.per_pair},
            {"cut_per_pair_by_each_die", die.hands.mode != HandMode::kPair ? Json(line.per_pair)
                                         : line.per_pair % 2 == 0          ? Json(line.per_pair / 2)
                                                                           : Json(nullptr)},
            {"rule_outside_mm", four_decimals(facts.rule_outer)},
            {"rule_inside_mm", four_decimals(die.work.rule_inner)},
            {"area_mm2", four_decimals(facts.area)},
            {"box_mm", {four_decimals(die.box_length), four_decimals(die.box_width)}},
            {"least_radius_outside_mm", or_null(facts.smallest_radius_outside)},
            {"least_radius_inside_mm", or_null(facts.smallest_radius_inside)},
            {"corners", facts.corners.size()},
            {"sharpest_corner_deg",
             facts.sharpest ? Json(four_decimals(to_degrees(facts.sharpest->inside))) : Json(nullptr)},
            {"hole_to_rule_mm", or_null(facts.hole_to_edge)},
            {"cut_outs", facts.cut_outs},
            {"punches", facts.punches},
            {"punches_by_diameter", punches_json(die.work)},
            {"special_punches", special_punches_json(die.work)},
            {"pricks", facts.pricks},
            {"nicks", facts.nicks},
            {"nicks_told", nicks_json(die.work)},
            {"joint", joint_json(die.work)},
            {"bridges", bridges_json(die.work)},
            {"bridges_without_place", text_or_null(die.work.bridges_missing)},
            {"drawn_foot", line.drawn_foot},
            {"hand", line.hand_drawn},
            {"stamp", line.stamp_drawn},
            {"material", text_or_null(line.material)},
            {"rule_height_mm", line.rule_height ? Json(*line.rule_height) : Json(nullptr)},
            {"making_tolerance_mm", or_null(making_tolerance_of(line))},
            {"layers_per_stroke", or_null(layers_of(line))},
            {"cutting_edges", line.two_edged ? 2 : 1},
            {"not_stated", unstated(die_stated(order, line))},
            {"greatest_deviation_mm", four_decimals(die.worst_deviation)},
            {"share_of_tolerance", four_decimals(die.worst_ratio)},
            {"findings", std::move(findings)}};
  if (!line.stamp_mirrored.empty()) {
    json["hand_mirrored"] = line.hand_mirrored;
    json["stamp_mirrored"] = line.stamp_mirrored;
  }
  if (die.owned) {
    Json there = Json::array();
    for (const DieThere& one : line.there) {
      there.push_back({{"die", one.number},
                       {"hand", one.hand},
                       {"rule_height_mm", one.rule_height ? Json(*one.rule_height) : Json(nullptr)},
                       {"rule_height_stated", one.rule_height && !one.height_assumed},
                       {"bevel", text_or_null(one.bevel)},
                       {"bevel_stated", !one.bevel.empty() && !one.bevel_assumed},
                       {"making_tolerance_mm", or_null(one.making_tolerance)},
                       {"layers_per_stroke", or_null(one.layers_per_stroke)},
                       {"bears", text_or_null(one.bears)},
                       {"stamp", one.stamp},
                       {"restamp", one.bears.empty() ? Json(nullptr) : Json(one.restamp())}});
    }
    json["there_already"] = std::move(there);
  }
  if (line.weight) json["weight_kg"] = four_decimals(*line.weight);
  if (line.to_make > 0) {  // of a die that is there its own order says
    const DieMaking& making = order.making;
    json["rule_thickness_mm"] = making.rule_thickness ? Json(*making.rule_thickness) : Json(nullptr);
    json["bevel"] = making.bevel;
    json["handle"] = text_or_null(making.handle);
  }
  if (order.priced) {
    json["price_of_one"] = four_decimals(line.price);
    json["price"] = four_decimals(line.total);
    json["price_of_special_punches"] =
        order.special_priced ? Json(four_decimals(line.special_price)) : Json(nullptr);
  }
  if (!file.as_drawn.empty()) json["file"] = file.as_drawn;
  if (!file.mirrored.empty()) json["file_mirrored"] = file.mirrored;
  return json;
}

// With the keys of a die of this order, so that it is read alike (ordered_die.hpp).
Json earlier_json(const EarlierDie& one) {
  const OwnedDie& die = one.die;
  const bool plain = die.foot == OwnedFoot::kUnknown;
  Json json{{"die", plain ? one.name : die.number},
            {"carried", one.carried},
            {one.other_foot ? "file_mirrored" : "file", one.file}};
  if (plain) {
    json["plain"] = true;
    if (!one.restamped.empty()) json["restamped"] = one.restamped;
    return json;
  }
  Json served = Json::array();
  for (const auto& [size, width] : die.served) served.push_back({{"size", size}, {"width", width}});
  Json unstated = Json::array();
  if (die.height_assumed) unstated.push_back("rule height");
  if (die.bevel_assumed) unstated.push_back("bevel");
  json.update({{"piece", die.piece},
               {"drawn_as", die.drawn_as},
               {"serves", std::move(served)},
               {"hands", name_of(die.of_a_pair   ? HandMode::kPair
                                 : die.two_edged ? HandMode::kTwoEdged
                                                 : HandMode::kSymmetric)},
               {"feet", die.foot == OwnedFoot::kDrawn      ? Json(kOnlyDrawn)
                        : die.foot == OwnedFoot::kMirrored ? Json(kOnlyMirrored)
                                                           : Json(nullptr)},
               {"quantity", die.quantity},
               {"stamp", die.stamp},
               {"stamp_mirrored", text_or_null(die.stamp_mirrored)},
               {"bevel", text_or_null(die.bevel)},
               {"rule_height_mm", or_null(die.rule_height)},
               {"making_tolerance_mm", or_null(die.making_tolerance)},
               {"layers_per_stroke", or_null(die.layers_per_stroke)},
               {"not_stated", std::move(unstated)}});
  if (die.weight) json["weight_kg"] = four_decimals(*die.weight);
  return json;
}

// Of all pairs of dies, else that each has its own.
std::string common_foot(const DieOrder& order) {
  std::string foot = order.drawn_foot;
  bool first = true;
  for (const DieOrderLine& line : order.lines) {
    if (line.stamp_mirrored.empty()) continue;
    if (!first && line.drawn_foot != foot) return kByPiece;
    foot = line.drawn_foot;
    first = false;
  }
  return foot;
}

}  // namespace

std::string die_order_json(const DieOrder& order, const DiePlan& plan, const std::vector<DieFile>& files,
                           const std::vector<EarlierDie>& earlier) {
  Json there = Json::array();
  for (const EarlierDie& one : earlier) there.push_back(earlier_json(one));
  Json dies = Json::array();
  for (std::size_t k = 0; k < order.lines.size(); ++k) {
    dies.push_back(line_json(order, order.lines[k], plan.dies[order.lines[k].die], files[k]));
  }
  Json curve = Json::array();
  for (const CurvePoint& point : plan.curve) {
    curve.push_back({{"tolerance_mm", point.tolerance},
                     {"dies", point.dies},
                     {"bound", point.bound},
                     {"proven", point.proven}});
    if (!point.along.empty()) curve.back()["scaled_along_mm"] = point.along;
  }
  Json failed = Json::array();
  for (const StyleFinding& finding : order.failed) {
    failed.push_back({{"check", finding.check},
                      {"subject", finding.subject},
                      {"value", four_decimals(finding.worst)},
                      {"limit", finding.limit ? Json(*finding.limit) : Json(nullptr)},
                      {"unit", finding.unit},
                      {"where", to_text(finding.where)},
                      {"note", finding.note}});
  }
  Json forced = Json::array();
  for (const KeptTie& tie : plan.forced) {
    Json missed = Json::array();
    for (const KeptTie::Missed& one : tie.missed)
      missed.push_back({{"sizes_widths", one.sizes_widths}, {"why", one.why}});
    forced.push_back({{"name", tie.name},
                      {"pieces", tie.pieces},
                      {"sets", tie.sets},
                      {"kept", tie.kept},
                      {"not_kept", std::move(missed)}});
  }
  Json unused = Json::array();
  for (const auto& [number, why] : order.unused) unused.push_back({{"die", number}, {"why", why}});
  Json totals{{"dies_without_ties", plan.dies_without},
              {"dies_needed", plan.dies_needed},
              {"dies_to_make", order.totals.dies},
              {"owned_lines", order.totals.owned},
              {"rule_outside_mm", four_decimals(order.totals.rule_outer)},
              {"rule_inside_mm", four_decimals(order.totals.rule_inner)},
              {"corners", order.totals.corners},
              {"punches", order.totals.punches},
              {"special_punches", order.totals.special_punches},
              {"bound", four_decimals(plan.bound)},
              {"bound_of", plan.minimised == Minimise::kCost ? "price" : "dies to make"},
              {"proven", plan.proven},
              {"greatest_seam_difference_mm", four_decimals(plan.worst_seam)},
              {"seam_limit_mm", plan.seam_limit},
              {"seams_eased", plan.seams_eased}};
  if (order.priced) {
    totals["price"] = four_decimals(order.totals.price);
    totals["price_of_special_punches"] =
        order.special_priced ? Json(four_decimals(order.totals.special_price)) : Json(nullptr);
    totals["currency"] = order.currency;
  }
  if (order.totals.weight) totals["weight_kg"] = four_decimals(*order.totals.weight);
  Json made_from = Json::array();
  for (const auto& [file, digest] : order.made_from)
    made_from.push_back({{"file", file}, {"sha256", digest}});
  Json tied = Json::array();
  for (const ServedSeam& seam : tied_seams(plan))
    tied.push_back({{"seam", seam.name},
                    {"difference_mm", four_decimals(seam.worst)},
                    {"limit_mm", seam.limit},
                    {"size", seam.at.size.label},
                    {"width", seam.at.width.label}});
  const Json root{
      {"lastwright_die_order", 1},
      {"about",
       "area_mm2 is the piece as it is cut, holes and cut-outs taken off: scale-areas.json has them in. "
       "price_of_one and price hold price_of_special_punches (of one die); null: not in the price. "
       "Totals add up exact values"},
      {"style", order.style},
      {"works", order.works},
      {"order_number", text_or_null(order.head.number)},
      {"date", text_or_null(order.head.date)},
      {"contact", text_or_null(order.head.contact)},
      {"delivery_wanted", text_or_null(order.head.delivery)},
      {"not_stated", not_stated(order)},
      {"drawn_foot", common_foot(order)},
      {"made_from", std::move(made_from)},
      {"making", making_json(order.making)},
      {"pieces", pieces_json(plan)},
      {"totals", std::move(totals)},
      {"seams_of_tied_pieces", std::move(tied)},
      {"tolerance_curve", std::move(curve)},
      {"notes", plan.notes},
      {"order_notes", order.notes},
      {"checks_failed", std::move(failed)},
      {"forced_ties", std::move(forced)},
      {"owned_not_used", std::move(unused)},
      {"earlier_dies", std::move(there)},
      {"dies", std::move(dies)}};
  return root.dump(1) + "\n";
}

}  // namespace lastwright
