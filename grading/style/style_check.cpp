#include "grading/style/style_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string_view>

#include "grading/json/cited.hpp"
#include "grading/json/json_text.hpp"
#include "grading/sizes/suggest.hpp"
#include "grading/style/feature_check.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/lies_check.hpp"
#include "grading/style/rule_points.hpp"

namespace lastwright {

namespace {

using Names = std::vector<std::string>;

template <class T>
Names names_of(const std::vector<T>& things, std::string T::*name) {
  Names names;
  for (const T& thing : things) names.push_back(thing.*name);
  return names;
}

class StyleChecker {
 public:
  explicit StyleChecker(const StyleSpec& style)
      : style_(style), measures_(names_of(style.measures, &MeasureSpec::name)) {}

  std::vector<StyleFault> run() {
    check_run();
    for (const FormeSpec& forme : style_.formes) check_forme(forme);
    check_girths();
    for (std::size_t i = 0; i < style_.pieces.size(); ++i) check_piece(i);
    check_seams();
    return std::move(faults_);
  }

 private:
  void add(const std::string& pointer, std::string message) {
    faults_.push_back({pointer, std::move(message)});
  }

  void not_below_zero(Millimetres allowance, const std::string& pointer) {
    if (allowance < Millimetres(0.0))
      add(pointer, fmt::format("an allowance must be 0 or more, not {:g} mm", allowance.value()));
  }

  // True when the name is one of those known; otherwise a fault with a suggestion.
  bool known(const std::string& name, std::string_view kind, const Names& all, const std::string& pointer) {
    if (std::find(all.begin(), all.end(), name) != all.end()) return true;
    add(pointer, fmt::format("there is no {} {}{}", kind, cited(name), suggestion(name, all)));
    return false;
  }

  void check_run() {
    check_part("/run", style_.run_by, style_.run_widths);
    for (std::size_t i = 0; i < style_.run_also.size(); ++i)
      check_part(pointer_to("/run/also", i), style_.run_also[i].by, style_.run_also[i].widths);
  }

  void check_part(const std::string& at, Fraction by, const std::vector<std::string>& widths) {
    if (by <= Fraction(0))
      add(at + "/by", fmt::format("the step through the run must be above 0, not {:g}", by.value()));
    std::set<std::string> seen;
    for (std::size_t i = 0; i < widths.size(); ++i) {
      if (!seen.insert(widths[i]).second) {
        add(pointer_to(at + "/widths", i),
            fmt::format("the width {} stands in the list twice", cited(widths[i])));
      }
    }
  }

  void check_forme(const FormeSpec& forme) {
    const std::string at = pointer_to("/formes", forme.name);
    const Names points = names_of(forme.points, &NamedPoint::name);
    known(forme.base_line.first, "point", points, at + "/base_line/0");
    known(forme.base_line.second, "point", points, at + "/base_line/1");
    if (forme.base_line.first == forme.base_line.second)
      add(at + "/base_line", "the base line must run between two different points");
    known(forme.fixed_point, "point", points, at + "/fixed");

    Names driving;
    std::set<std::string> lines;
    for (std::size_t i = 0; i < forme.rules.size(); ++i) {
      check_rule(forme.rules[i], points, pointer_to(at + "/rules", i), driving, lines);
    }
    if (forme.rules_from_last) {
      const std::vector<std::string>& followers = forme.rules_from_last->points;
      for (std::size_t i = 0; i < followers.size(); ++i)
        known(followers[i], "point", points, pointer_to(at + "/rules_from_last/points", i));
    }
    known(forme.length_line, "measure line", driving, at + "/length_line");
    known(forme.girth_line, "measure line", driving, at + "/girth_line");
    if (forme.length_line == forme.girth_line)
      add(at + "/girth_line", "the length line and the girth line are the same line");
  }

  void check_rule(const Rule& rule, const Names& points, const std::string& at, Names& driving,
                  std::set<std::string>& lines) {
    const MeasureLine* line = rule_line(rule);
    const bool drives = std::holds_alternative<MeasureLine>(rule);
    if (line != nullptr && !lines.insert(line->name).second)
      add(at + (drives ? "/measure_line" : "/check_line"),
          fmt::format("the name {} is given to two lines", cited(line->name)));
    for (const RulePoint& one : rule_points(rule)) known(one.name, "point", points, at + one.at);
    if (line == nullptr) return;
    if (line->from == line->to) add(at + "/to", "the line starts and ends at the same point");
    for (const auto& [measure, share] : line->carries)
      known(measure, "measure", measures_, pointer_to(at + "/carries", measure));
    if (drives) driving.push_back(line->name);
  }

  void check_girths() {
    const Names formes = names_of(style_.formes, &FormeSpec::name);
    for (const GirthSpec& girth : style_.girths) {
      const std::string at = pointer_to("/girths", girth.measure);
      known(girth.measure, "measure", measures_, at);
      for (std::size_t i = 0; i < girth.parts.size(); ++i) {
        const GirthPart& part = girth.parts[i];
        const std::string here = pointer_to(at, i);
        if (part.times <= Fraction(0))
          add(here + "/times",
              fmt::format("a line must count more than 0 times, not {:g}", part.times.value()));
        if (!known(part.forme, "forme", formes, here + "/forme")) continue;
        known(part.line, "measure line or check line", lines_of(part.forme), here + "/line");
      }
    }
  }

  [[nodiscard]] Names lines_of(const std::string& forme_name) const {
    Names lines;
    for (const FormeSpec& forme : style_.formes) {
      if (forme.name != forme_name) continue;
      for (const Rule& rule : forme.rules) {
        if (const auto* line = std::get_if<MeasureLine>(&rule)) lines.push_back(line->name);
        if (const auto* check = std::get_if<CheckLine>(&rule)) lines.push_back(check->line.name);
      }
    }
    return lines;
  }

  void check_piece(std::size_t index) {
    const PieceSpec& piece = style_.pieces[index];
    const std::string at = pointer_to("/pieces", index);
    for (std::size_t i = 0; i < index; ++i) {
      if (style_.pieces[i].name == piece.name) {
        add(at + "/name",
            fmt::format("the name {} is taken by piece {} of the list", cited(piece.name), i + 1));
        break;
      }
    }
    known(piece.source.drawing, "drawing", names_of(style_.drawings, &DrawingSpec::key),
          at + "/outline/drawing");
    const bool forme_known =
        known(piece.forme, "forme", names_of(style_.formes, &FormeSpec::name), at + "/forme");
    for (const CornerSpec& corner : piece.corners) {
      const auto* point = std::get_if<std::string>(&corner.at);
      if (point == nullptr || !forme_known) continue;
      const auto forme = std::find_if(style_.formes.begin(), style_.formes.end(),
                                      [&](const FormeSpec& one) { return one.name == piece.forme; });
      known(*point, "point", names_of(forme->points, &NamedPoint::name),
            pointer_to(at + "/corners", corner.name));
    }
    check_edges(piece, at);
    if (!piece.fold) return;
    const Names edges = names_of(piece.edges, &EdgeSpec::name);
    if (!known(*piece.fold, "edge", edges, at + "/fold")) return;
    const auto found = std::find(edges.begin(), edges.end(), *piece.fold);
    const auto place = static_cast<std::size_t>(found - edges.begin());
    if (piece.edges[place].allowance != Millimetres(0.0) || !piece.edges[place].allowance_from.empty()) {
      add(pointer_to(at + "/edges", place) + "/allowance",
          "the edge on the fold can have no allowance: the piece goes on beyond it");
    }
  }

  void check_edges(const PieceSpec& piece, const std::string& at) {
    const Names corners = names_of(piece.corners, &CornerSpec::name);
    std::set<std::string> names;
    std::set<std::string> starts;
    bool all_known = true;
    for (std::size_t i = 0; i < piece.edges.size(); ++i) {
      const EdgeSpec& edge = piece.edges[i];
      const std::string here = pointer_to(at + "/edges", i);
      if (!names.insert(edge.name).second)
        add(here + "/name", fmt::format("the name {} is given to two edges", cited(edge.name)));
      not_below_zero(edge.allowance, here + "/allowance");
      for (const AllowanceStep& step : edge.allowance_from) {
        not_below_zero(step.allowance, pointer_to(here + "/allowance_from", step.from));
      }
      const bool from_known = known(edge.from, "corner", corners, here + "/from");
      const bool to_known = known(edge.to, "corner", corners, here + "/to");
      all_known = all_known && from_known && to_known;
      if (from_known && !starts.insert(edge.from).second) {
        add(here + "/from", fmt::format("two edges start at the corner {}", cited(edge.from)));
      }
      const EdgeSpec& next = piece.edges[(i + 1) % piece.edges.size()];
      if (from_known && to_known && edge.to != next.from) {
        add(here + "/to",
            fmt::format("the edge ends at {}, but the next one, {}, starts at {}; the edges go round the "
                        "outline counter-clockwise without a gap",
                        cited(edge.to), cited(next.name), cited(next.from)));
      }
    }
    if (!all_known) return;
    for (const std::string& corner : corners) {
      if (starts.count(corner) == 0) {
        add(pointer_to(at + "/corners", corner),
            fmt::format("no edge starts at the corner {}", cited(corner)));
      }
    }
  }

  void check_seams() {
    std::set<std::string> names;
    const Names pieces = names_of(style_.pieces, &PieceSpec::name);
    for (std::size_t i = 0; i < style_.seams.size(); ++i) {
      const SeamSpec& seam = style_.seams[i];
      const std::string at = pointer_to("/seams", i);
      if (!names.insert(seam.name).second)
        add(at + "/name", fmt::format("the name {} is given to two seams", cited(seam.name)));
      check_side(seam.one, pieces, at + "/one");
      check_side(seam.other, pieces, at + "/other");
      if (seam.one.piece == seam.other.piece && seam.one.edge == seam.other.edge) {
        add(at + "/other",
            "an edge cannot be sewn to itself; a piece sewn to its own left or right mate needs no seam "
            "here");
      }
    }
    if (style_.seam_limit <= Millimetres(0.0))
      add("/limits/seam", fmt::format("the limit must be above 0, not {:g} mm", style_.seam_limit.value()));
  }

  void check_side(const SeamSide& side, const Names& pieces, const std::string& at) {
    if (!known(side.piece, "piece", pieces, at + "/piece")) return;
    const auto piece = std::find_if(style_.pieces.begin(), style_.pieces.end(),
                                    [&](const PieceSpec& one) { return one.name == side.piece; });
    known(side.edge, "edge", names_of(piece->edges, &EdgeSpec::name), at + "/edge");
  }

  const StyleSpec& style_;
  const Names measures_;
  std::vector<StyleFault> faults_;
};

}  // namespace

std::vector<StyleFault> check_style(const StyleSpec& style) {
  std::vector<StyleFault> faults = StyleChecker(style).run();
  for (StyleFault& fault : lies_faults(style)) faults.push_back(std::move(fault));
  for (StyleFault& fault : feature_faults(style)) faults.push_back(std::move(fault));
  return faults;
}

}  // namespace lastwright
