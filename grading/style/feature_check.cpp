#include "grading/style/feature_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "grading/json/cited.hpp"
#include "grading/json/json_text.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

using NameList = std::vector<std::string>;

// The features of one piece.
class PieceFeatureChecker {
 public:
  PieceFeatureChecker(const StyleSpec& style, const PieceSpec& piece, std::string at,
                      std::vector<StyleFault>& faults)
      : style_(style), piece_(piece), at_(std::move(at)), faults_(faults) {
    for (const EdgeSpec& edge : piece.edges) edges_.push_back(edge.name);
    for (const FormeSpec& forme : style.formes) {
      if (forme.name != piece.forme) continue;
      for (const NamedPoint& point : forme.points) points_.push_back(point.name);
    }
  }

  void run() {
    const std::string pieces_at = at_;
    std::set<std::string> names;
    for (std::size_t i = 0; i < piece_.features.size(); ++i) {
      const FeatureSpec& feature = piece_.features[i];
      at_ = pointer_to(pieces_at + "/features", i);
      if (!names.insert(feature.name).second)
        add("", fmt::format("the name {} is given to two features of this piece", cited(feature.name)));
      std::visit(*this, feature.work);
    }
  }

  void operator()(const HoleWork& work) {
    place(work.at);
    above_zero(work.diameter, "/diameter", "a diameter");
  }
  void operator()(const PrickWork& work) { place(work.at); }
  void operator()(const RowWork& work) {
    course(work.along);
    const RowSpacing& spacing = work.spacing;
    if (!spacing.count && !spacing.pitch) add("", "a row needs a count, a pitch, or both");
    if (spacing.pitch) above_zero(*spacing.pitch, "/pitch", "a pitch");
    if (spacing.fill && (!spacing.pitch || spacing.count))
      add("/fill", "only a pitch without a count can be changed to fill");
    if (work.kind == RowKind::kPricks) return;
    for (std::size_t i = 0; i < work.unit.size(); ++i) {
      above_zero(work.unit[i].diameter,
                 work.kind == RowKind::kEyelets ? "/diameter" : pointer_to("/unit", i) + "/diameter",
                 "a diameter");
    }
  }
  void operator()(const SlotWork& work) {
    place(work.at);
    above_zero(work.width, "/width", "a width");
    longer_than_wide(work.length, work.width, "/length");
  }
  void operator()(const BuckleBarWork& work) {
    place(work.at);
    above_zero(work.bar, "/bar", "a length");
    above_zero(work.slot_width, "/slot_width", "a width");
    longer_than_wide(work.slot_length, work.slot_width, "/slot_length");
  }
  void operator()(const LineWork& work) {
    course(work.along);
    if (work.kind == LineKind::kStitch && work.along.through.empty())
      above_zero(work.along.inset, "/inset", "the distance of a stitch line from its edge");
    if (work.rows > 1) above_zero(work.row_gap, "/row_gap", "the distance between two rows");
  }
  void operator()(const SkiveWork& work) {
    consecutive(work.edges);
    above_zero(work.width, "/width", "the width of a skive band");
    not_below_zero(work.depth, "/depth", "a depth");
  }
  void operator()(const NickWork& work) {
    if (edge(work.edge, "/edge")) {
      const bool end = work.station.share
                           ? *work.station.share == Fraction(0) || *work.station.share == Fraction(1)
                           : work.station.distance == Millimetres(0.0);
      if (piece_.fold == work.edge && !end)
        add("/edge", "the edge on the fold is not cut: a nick there must lie at its start or its end");
    }
    station(work.station, "");
    shape(work.shape);
  }
  void operator()(const SizeMarksWork& work) {
    if (edge(work.edge, "/edge") && piece_.fold == work.edge) add("/edge", "the edge on the fold is not cut");
    station(work.first, "");
    above_zero(work.pitch, "/pitch", "a pitch");
    shape(work.shape);
    NameList codes;
    for (const MarkCode& code : style_.codes) codes.push_back(code.name);
    known(work.code, "code", codes, "/code");
  }
  void operator()(const TextWork& work) {
    place(work.at);
    above_zero(work.height, "/height", "a height");
    const NameList words{"style", "piece", "size", "width"};
    for (std::size_t open = work.text.find('{'); open != std::string::npos;
         open = work.text.find('{', open + 1)) {
      const std::size_t close = work.text.find('}', open);
      if (close == std::string::npos) break;
      known(work.text.substr(open + 1, close - open - 1), "word to fill in", words, "/says");
    }
  }
  void operator()(const PairNumberWork& work) {
    place(work.at);
    above_zero(work.width, "/width", "a width");
    above_zero(work.height, "/height", "a height");
  }

 private:
  void add(const std::string& below, std::string message) {
    faults_.push_back({at_ + below, std::move(message)});
  }

  bool known(const std::string& name, const char* kind, const NameList& all, const std::string& below) {
    if (std::find(all.begin(), all.end(), name) != all.end()) return true;
    add(below, fmt::format("there is no {} {}{}", kind, cited(name), suggestion(name, all)));
    return false;
  }
  bool edge(const std::string& name, const std::string& below) { return known(name, "edge", edges_, below); }
  void spot(const Spot& spot, const std::string& below) {
    if (const auto* name = std::get_if<std::string>(&spot)) known(*name, "point", points_, below);
  }

  void above_zero(Millimetres value, const std::string& below, const char* what) {
    if (!(value > Millimetres(0.0)))
      add(below, fmt::format("{} must be above 0, not {:g} mm", what, value.value()));
  }
  void not_below_zero(Millimetres value, const std::string& below, const char* what) {
    if (value < Millimetres(0.0))
      add(below, fmt::format("{} must be 0 or more, not {:g} mm", what, value.value()));
  }
  void longer_than_wide(Millimetres length, Millimetres width, const std::string& below) {
    if (!(length > width))
      add(below, fmt::format("a slot must be longer than it is wide: {:g} mm long, {:g} mm wide",
                             length.value(), width.value()));
  }

  void consecutive(const NameList& names) {
    for (std::size_t i = 0; i < names.size(); ++i) {
      if (!edge(names[i], pointer_to("/edges", i))) return;
      if (i == 0) continue;
      const auto before = std::find(edges_.begin(), edges_.end(), names[i - 1]);
      const auto after = before + 1 == edges_.end() ? edges_.begin() : before + 1;
      if (*after != names[i]) {
        add(pointer_to("/edges", i), fmt::format("after {} comes the edge {}, not {}", cited(names[i - 1]),
                                                 cited(*after), cited(names[i])));
        return;
      }
    }
  }

  void course(const CourseSpec& course) {
    if (course.edges.empty() == course.through.empty())
      add("", "a line runs along edges or through places: give one of the two");
    consecutive(course.edges);
    for (std::size_t i = 0; i < course.through.size(); ++i)
      spot(course.through[i], pointer_to("/through", i));
    if (!course.edges.empty() && course.inset < Millimetres(0.0))
      add("/inset", fmt::format("a line along edges must lie inside the finished edge: its inset must be 0 "
                                "or more, not {:g} mm",
                                course.inset.value()));
    not_below_zero(std::min(course.start, course.end), "/margin", "a margin");
  }

  void station(const EdgeStation& station, const std::string& below) {
    if (station.share && (*station.share < Fraction(0) || *station.share > Fraction(1)))
      add(below + "/share",
          fmt::format("a share of an edge must lie between 0 and 1, not at {:g}", station.share->value()));
    not_below_zero(station.distance, below + "/distance", "a distance along an edge");
  }

  void place(const FeaturePlace& place) {
    if (const auto* forme = std::get_if<FormePlace>(&place)) {
      spot(forme->spot, "/at");
      return;
    }
    const auto& inside = std::get<EdgePlace>(place);
    edge(inside.edge, "/at/edge");
    station(inside.station, "/at");
  }

  void shape(const NickShape& shape) {
    above_zero(shape.depth, "/depth", "the depth of a nick");
    if (shape.form != NickForm::kSlit) above_zero(shape.width, "/width", "the width of a nick");
    if (shape.form == NickForm::kRound && 2.0 * shape.depth.value() < shape.width.value())
      add("/depth",
          fmt::format("a round nick must be at least half as deep as it is wide: {:g} mm deep, {:g} mm wide",
                      shape.depth.value(), shape.width.value()));
  }

  const StyleSpec& style_;
  const PieceSpec& piece_;
  std::string at_;
  std::vector<StyleFault>& faults_;
  NameList edges_;
  NameList points_;
};

void check_code(const MarkCode& code, std::vector<StyleFault>& faults) {
  for (std::size_t i = 0; i < code.marks.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      if (code.marks[i].second != code.marks[k].second) continue;
      faults.push_back({pointer_to(pointer_to("/codes", code.name) + "/marks", code.marks[i].first),
                        fmt::format("these marks already mean {}", cited(code.marks[k].first))});
      break;
    }
  }
}

}  // namespace

std::vector<StyleFault> feature_faults(const StyleSpec& style) {
  std::vector<StyleFault> faults;
  for (std::size_t i = 0; i < style.pieces.size(); ++i) {
    PieceFeatureChecker(style, style.pieces[i], pointer_to("/pieces", i), faults).run();
  }
  for (const MarkCode& code : style.codes) check_code(code, faults);
  const FeatureLimits& limits = style.feature_limits;
  const std::pair<const char*, Millimetres> all[] = {
      {"hole_to_edge", limits.hole_to_edge},       {"hole_to_hole", limits.hole_to_hole},
      {"cut_out_to_edge", limits.cut_out_to_edge}, {"cut_out_gap", limits.cut_out_gap},
      {"nick_to_hole", limits.nick_to_hole},       {"mark_to_hole", limits.mark_to_hole},
      {"nick_to_corner", limits.nick_to_corner},   {"nick_in_edge", limits.nick_in_edge},
      {"nick_to_nick", limits.nick_to_nick}};
  for (const auto& [key, value] : all) {
    if (value < Millimetres(0.0))
      faults.push_back(
          {pointer_to("/limits", key), fmt::format("a limit must be 0 or more, not {:g} mm", value.value())});
  }
  return faults;
}

}  // namespace lastwright
