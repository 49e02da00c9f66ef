#include "grading/dies/order/die_order_read.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include "grading/dies/die_price.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

// An order comes from a file that anybody may have changed:
// what is missing or of another kind is a fault of it.
class WrittenOrderReader {
 public:
  WrittenOrderReader(const JsonDocument& document, const StyleSpec& style, const SizeRun& run)
      : document_(document), style_(style), places_(die_places(run, false)) {}

  Result<ReadOrder> read() {
    const Json& root = document_.root;
    if (!root.is_object() || number(root, "lastwright_die_order", "") != 1.0)
      return document_.bad("", "this is not a die order: lastwright_die_order is missing");
    if (text(root, "style") != style_.name)
      return document_.bad("/style", "the order is for the style \"" + text(root, "style") +
                                         "\", not for \"" + style_.name + "\"");
    result_.order.style = style_.name;
    result_.order.works = style_.works;
    result_.order.head = {text(root, "order_number"), text(root, "date"), text(root, "contact"),
                          text(root, "delivery_wanted")};
    result_.order.drawn_foot = text(root, "drawn_foot");
    for (const Json& file : list(root, "made_from"))
      result_.order.made_from.emplace_back(text(file, "file"), text(file, "sha256"));
    for (const Json& note : list(root, "notes")) result_.plan.notes.push_back(plain(note));
    for (const Json& note : list(root, "order_notes")) result_.order.notes.push_back(plain(note));
    for (const Json& one : list(root, "checks_failed")) result_.order.failed.push_back(failed(one));
    for (const Json& one : list(root, "owned_not_used"))
      result_.order.unused.emplace_back(text(one, "die"), text(one, "why"));
    totals(root.contains("totals") ? root["totals"] : Json::object());
    pieces(list(root, "pieces"));
    curve(list(root, "tolerance_curve"));
    const Json& dies = list(root, "dies");
    for (std::size_t k = 0; k < dies.size() && !problem_; ++k) die(dies[k], pointer_to("/dies", k));
    if (problem_) return *problem_;
    return std::move(result_);
  }

  static OrderFailed failed_of(const Json& root) {
    OrderFailed result{text(root, "style"), {}};
    for (const Json& one : list(root, "checks_failed")) result.failed.push_back(failed(one));
    return result;
  }

 private:
  static std::string plain(const Json& value) { return value.is_string() ? value.get<std::string>() : ""; }
  static std::string text(const Json& of, const char* key) {
    return of.is_object() && of.contains(key) ? plain(of[key]) : "";
  }
  static const Json& list(const Json& of, const char* key) {
    static const Json kNone = Json::array();
    return of.is_object() && of.contains(key) && of[key].is_array() ? of[key] : kNone;
  }
  static bool yes(const Json& of, const char* key) {
    return of.is_object() && of.contains(key) && of[key].is_boolean() && of[key].get<bool>();
  }
  double number(const Json& of, const char* key, const std::string& at) {
    if (of.is_object() && of.contains(key) && of[key].is_number()) {
      const double value = of[key].get<double>();
      if (std::isfinite(value) && std::abs(value) < 1e12) return value;
    }
    refuse(document_.bad(at + "/" + key, std::string("the order has no number \"") + key + "\" here"));
    return 0.0;
  }
  int whole(const Json& of, const char* key, const std::string& at) {
    const double value = number(of, key, at);
    if (value == std::floor(value) && std::abs(value) < 1e9) return static_cast<int>(value);
    refuse(document_.bad(at + "/" + key, std::string("\"") + key + "\" is not a whole number"));
    return 0;
  }
  void refuse(Problem problem) {
    if (!problem_) problem_ = std::move(problem);
  }

  static StyleFinding failed(const Json& one) {
    StyleFinding finding;
    finding.check = text(one, "check");
    finding.subject = text(one, "subject");
    if (one.is_object() && one.contains("value") && one["value"].is_number())
      finding.worst = one["value"].get<double>();
    if (one.is_object() && one.contains("limit") && one["limit"].is_number())
      finding.limit = one["limit"].get<double>();
    finding.unit = text(one, "unit");
    finding.where.more = text(one, "where");  // an order has it in words alone
    finding.note = text(one, "note");
    finding.passed = false;
    return finding;
  }

  void totals(const Json& from) {
    const std::string at = "/totals";
    DiePlan& plan = result_.plan;
    DieOrderTotals& totals = result_.order.totals;
    plan.dies_without = whole(from, "dies_without_ties", at);
    plan.dies_needed = whole(from, "dies_needed", at);
    plan.dies_to_make = totals.dies = whole(from, "dies_to_make", at);
    totals.owned = whole(from, "owned_lines", at);
    totals.rule_outer = number(from, "rule_outside_mm", at);
    totals.rule_inner = number(from, "rule_inside_mm", at);
    totals.corners = whole(from, "corners", at);
    totals.punches = whole(from, "punches", at);
    totals.special_punches = whole(from, "special_punches", at);
    plan.bound = number(from, "bound", at);
    plan.minimised = text(from, "bound_of") == "price" ? Minimise::kCost : Minimise::kCount;
    plan.proven = yes(from, "proven");
    plan.worst_seam = number(from, "greatest_seam_difference_mm", at);
    plan.seam_limit = number(from, "seam_limit_mm", at);
    if (from.is_object() && from.contains("seams_eased"))  // an older order does not say
      plan.seams_eased = static_cast<std::size_t>(std::max(0, whole(from, "seams_eased", at)));
    if (from.is_object() && from.contains("weight_kg")) totals.weight = number(from, "weight_kg", at);
    if (!from.is_object() || !from.contains("price")) return;
    result_.order.priced = true;
    result_.order.currency = text(from, "currency");
    totals.price = number(from, "price", at);
    result_.order.special_priced =
        from.contains("price_of_special_punches") && !from["price_of_special_punches"].is_null();
    if (result_.order.special_priced) totals.special_price = number(from, "price_of_special_punches", at);
  }

  void pieces(const Json& from) {
    for (std::size_t k = 0; k < from.size(); ++k) {
      const std::string at = pointer_to("/pieces", k);
      PieceSummary piece;
      piece.name = text(from[k], "piece");
      piece.outlines_without = whole(from[k], "sizes_and_widths", at);
      piece.outlines = whole(from[k], "outlines", at);
      const bool alone = !(from[k].is_object() && from[k].contains("outlines_alone") &&
                           from[k]["outlines_alone"].is_null());  // null: not reckoned
      piece.alone = alone ? whole(from[k], "outlines_alone", at) : piece.outlines;
      piece.dies_without = whole(from[k], "dies_without_ties", at);
      piece.dies = whole(from[k], "dies", at);
      piece.worst_deviation = number(from[k], "greatest_deviation_mm", at);
      if (piece.alone < piece.outlines) {
        PieceHeld held{piece.name, piece.outlines, piece.alone, {}, {}};
        for (const Json& seam : list(from[k], "held_by"))
          held.seams.push_back({text(seam, "seam"), text(seam, "mate"), whole(seam, "outlines_without", at)});
        for (const Json& name : list(from[k], "held_together_by")) held.together.push_back(plain(name));
        result_.plan.held.push_back(std::move(held));
      }
      result_.plan.pieces.push_back(std::move(piece));
    }
  }

  void curve(const Json& from) {
    for (std::size_t k = 0; k < from.size(); ++k) {
      const std::string at = pointer_to("/tolerance_curve", k);
      result_.plan.curve.push_back({number(from[k], "tolerance_mm", at), whole(from[k], "dies", at),
                                    whole(from[k], "bound", at), yes(from[k], "proven")});
    }
  }

  void serves(const Json& from, const std::string& at, DieOrderLine& line, PlannedDie& die) {
    const Json& served = list(from, "serves");
    if (served.empty()) return refuse(document_.bad(at + "/serves", "the die serves no size"));
    for (const Json& one : served) {
      const std::string size = text(one, "size");
      const std::string width = text(one, "width");
      const auto found = std::find_if(
          places_.demands.begin(), places_.demands.end(),
          [&](const SizeWidth& demand) { return demand.size.label == size && demand.width.label == width; });
      const std::string what = line.piece + ", size " + size + ", width " + width;
      if (found == places_.demands.end())
        return refuse(document_.bad(at + "/serves", "the run does not have this: " + what));
      const auto demand = static_cast<std::uint32_t>(found - places_.demands.begin());
      if (!seen_.emplace(die.piece, demand).second)
        return refuse(document_.bad(at + "/serves", "two dies serve the same: " + what));
      die.serves.push_back(demand);
      line.sizes_widths.emplace_back(size, width);
    }
    line.serves = served_text(die.serves, places_);
  }

  void die(const Json& from, const std::string& at) {
    DieOrderLine line;
    PlannedDie die;
    line.die = result_.plan.dies.size();
    line.number = text(from, "die");
    line.piece = text(from, "piece");
    line.owned = text(from, "owned_as");
    line.drawn_as = text(from, "drawn_as");
    line.to_make = whole(from, "dies_to_make", at);
    const auto piece = std::find_if(style_.pieces.begin(), style_.pieces.end(),
                                    [&](const PieceSpec& one) { return one.name == line.piece; });
    if (line.number.empty() || piece == style_.pieces.end())
      return refuse(document_.bad(at, "a die needs its number, and a piece that the style has"));
    die.piece = static_cast<std::size_t>(piece - style_.pieces.begin());
    serves(from, at, line, die);
    for (const HandMode mode :
         {HandMode::kPair, HandMode::kSymmetric, HandMode::kTurned, HandMode::kTwoEdged}) {
      if (text(from, "hands") == name_of(mode)) die.hands.mode = mode;
    }
    die.hands.why = text(from, "why");
    line.drawn_foot = text(from, "drawn_foot");
    if (!from.contains("drawn_foot")) line.drawn_foot = result_.order.drawn_foot;  // an older order: of all
    line.hand_drawn = text(from, "hand");
    line.hand_mirrored = text(from, "hand_mirrored");
    if (yes(from, "owned")) die.owned = 0;
    die.worst_deviation = number(from, "greatest_deviation_mm", at);
    die.worst_ratio = number(from, "share_of_tolerance", at);
    for (const Json& one : list(from, "findings")) die.findings.push_back(finding(one, at + "/findings"));
    result_.plan.dies.push_back(std::move(die));
    result_.order.lines.push_back(std::move(line));
  }

  DieFinding finding(const Json& from, const std::string& at) {
    DieFinding finding;
    finding.check = text(from, "check");
    finding.value = number(from, "value", at);
    finding.unit = text(from, "unit");
    finding.limit.value = number(from, "limit", at);
    finding.limit.source = text(from, "limit_source");
    for (const Provenance standing : {Provenance::kPublished, Provenance::kDerived,
                                      Provenance::kCommonPractice, Provenance::kFromMemory}) {
      if (text(from, "limit_is") == name_of(standing)) finding.limit.provenance = standing;
    }
    return finding;
  }

  const JsonDocument& document_;
  const StyleSpec& style_;
  DiePlaces places_;
  ReadOrder result_;
  std::optional<Problem> problem_;
  std::set<std::pair<std::size_t, std::uint32_t>> seen_;  // piece, demand
};

}  // namespace

Result<ReadOrder> read_order_again(std::string_view text, const std::string& file, const StyleSpec& style,
                                   const SizeRun& run) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  return WrittenOrderReader(*document, style, run).read();
}

Result<OrderFailed> read_order_failed(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  return WrittenOrderReader::failed_of(document->root);
}

}  // namespace lastwright
