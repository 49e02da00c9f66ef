#include "grading/style/style_unused.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "grading/json/json_text.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/rule_points.hpp"

namespace lastwright {

namespace {

class UnusedFinder {
 public:
  UnusedFinder(const StyleSpec& style, const SizeRun& run, const Scale& scale)
      : style_(style), run_(run), scale_(scale) {}

  std::vector<std::string> find() {
    measures();
    drawings();
    for (const FormeSpec& forme : style_.formes) points(forme);
    for (std::size_t i = 0; i < style_.pieces.size(); ++i) sizes_of(i);
    codes();
    limits();
    widths();
    base();
    for (std::size_t i = 0; i < style_.pieces.size(); ++i) features(i);
    return std::move(notes_);
  }

 private:
  void note(const std::string& pointer, const std::string& what) {
    notes_.push_back(fmt::format("{}: {}", pointer, what));
  }

  void measures() {
    std::set<std::string> carried;
    for (const FormeSpec& forme : style_.formes) {
      for (const Rule& rule : forme.rules) {
        const MeasureLine* line = rule_line(rule);
        if (line == nullptr) continue;
        for (const auto& [measure, share] : line->carries) {
          if (share != Fraction(0)) carried.insert(measure);
        }
      }
    }
    for (const MeasureSpec& measure : style_.measures) {
      const std::string at = pointer_to("/measures", measure.name);
      if (carried.count(measure.name) == 0)
        note(at, "no line carries this measure: it stands in the girth table and grades no piece");
      if (!measure.from_scale && measure.law == Law::kProportional &&
          measure.per_size.millimetres != Fraction(0))
        note(at + "/per_size",
             "a proportional measure keeps its ratio to the length of the size: no step is used; state 0, or "
             "leave out the law");
      for (std::size_t i = 0; i < measure.breaks.size(); ++i) {
        const MeasureBreakSpec& one = measure.breaks[i];
        if (outside(one.from, one.to))
          note(pointer_to(at + "/breaks", i),
               fmt::format("no size of the run lies from {} to {}", one.from, one.to));
      }
    }
  }

  void drawings() {
    for (const DrawingSpec& drawing : style_.drawings) {
      if (std::none_of(style_.pieces.begin(), style_.pieces.end(),
                       [&](const PieceSpec& piece) { return piece.source.drawing == drawing.key; }))
        note(pointer_to("/drawings", drawing.key), "no piece is drawn here");
    }
  }

  void points(const FormeSpec& forme) {
    const std::string at = pointer_to("/formes", forme.name);
    std::set<std::string> named{forme.base_line.first, forme.base_line.second, forme.fixed_point};
    const auto add = [&](const std::vector<std::string>& all) { named.insert(all.begin(), all.end()); };
    for (const Rule& rule : forme.rules) {
      for (const RulePoint& one : rule_points(rule)) named.insert(one.name);
    }
    bool lies_here = false;
    for (const PieceSpec& piece : style_.pieces) {
      if (piece.forme != forme.name) continue;
      lies_here = true;
      for (const CornerSpec& corner : piece.corners) add(names_in(corner.at));
      for (const FeatureSpec& feature : piece.features)
        std::visit([&](const auto& work) { add(names_in_work(work)); }, feature.work);
      if (!piece.lies) continue;
      for (const Meeting& one : piece.lies->meets) {
        const auto* place = std::get_if<PointMeeting>(&one);
        if (place == nullptr) continue;
        if (const auto* name = std::get_if<std::string>(&place->on)) add({*name});
      }
    }
    if (!lies_here) note(at, "no piece lies on this forme");
    std::vector<std::string> idle;
    for (const NamedPoint& point : forme.points) {
      if (named.count(point.name) == 0) idle.push_back(point.name);
    }
    if (idle.size() == 1) {
      note(pointer_to(at + "/points", idle.front()),
           "nothing names this point: it only stands in the grade sheet");
    } else if (!idle.empty()) {
      note(at + "/points", fmt::format("nothing names these points: {}; they only stand in the grade sheet",
                                       fmt::join(idle, ", ")));
    }
  }

  static std::vector<std::string> names_in(const Spot& spot) {
    const auto* name = std::get_if<std::string>(&spot);
    return name != nullptr ? std::vector<std::string>{*name} : std::vector<std::string>{};
  }
  template <class Work>
  static std::vector<std::string> names_in_work(const Work& work) {
    std::vector<std::string> names;
    if constexpr (requires { work.at; }) {
      if (const auto* place = std::get_if<FormePlace>(&work.at)) names = names_in(place->spot);
    }
    if constexpr (requires { work.along; }) {
      for (const Spot& spot : work.along.through) {
        for (std::string& name : names_in(spot)) names.push_back(std::move(name));
      }
    }
    return names;
  }

  [[nodiscard]] bool outside(const std::string& from, const std::string& to) const {
    const Result<Size> low = scale_.size(from);
    const Result<Size> high = scale_.size(to);
    if (!low || !high || run_.stated_sizes.empty()) return false;
    return high->position < run_.stated_sizes.front().position ||
           run_.stated_sizes.back().position < low->position;
  }

  void sizes_of(std::size_t index) {
    const PieceSpec& piece = style_.pieces[index];
    const std::string at = pointer_to("/pieces", index);
    for (const auto& [list, ties] :
         {std::pair{"/sizes_tied", &piece.sizes_tied}, std::pair{"/cut_outs_held", &piece.cut_outs_held}}) {
      for (std::size_t i = 0; i < ties->size(); ++i) {
        const SizeTie& tie = (*ties)[i];
        for (const auto& [label, key] : {std::pair{&tie.from, "/from"}, std::pair{&tie.to, "/to"}}) {
          if (outside(*label, *label))
            note(pointer_to(at + list, i) + key, fmt::format("the run does not reach size {}", *label));
        }
      }
    }
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      for (const AllowanceStep& step : piece.edges[e].allowance_from) {
        const Result<Size> from = scale_.size(step.from);
        if (!from || run_.stated_sizes.empty() || from->position <= run_.stated_sizes.back().position)
          continue;
        note(pointer_to(pointer_to(at + "/edges", e) + "/allowance_from", step.from),
             fmt::format("the run ends before size {}: this allowance is never used", step.from));
      }
    }
  }

  // The ladder orders the widths, not the list.
  void widths() {
    if (!style_.run_also.empty()) return;
    std::vector<std::string> ordered;
    for (const Width& width : run_.stated_widths) ordered.push_back(width.label);
    if (!std::is_permutation(ordered.begin(), ordered.end(), style_.run_widths.begin(),
                             style_.run_widths.end()) ||
        ordered == style_.run_widths)
      return;
    note("/run/widths",
         fmt::format("the list does not begin with the narrowest: the widths are made in the order {}",
                     fmt::join(ordered, ", ")));
  }

  // Nothing that is made can be laid on the approved sample then.
  void base() {
    if (run_.stated_sizes.empty() || run_.stated_widths.empty()) return;
    if (!run_.makes(run_.base))
      note("/base", fmt::format("the run does not hold the base, size {}, width {}: no piece is made in it",
                                run_.base.size.label, run_.base.width.label));
  }

  void features(std::size_t index) {
    const PieceSpec& piece = style_.pieces[index];
    for (std::size_t i = 0; i < piece.features.size(); ++i) {
      const FeatureSpec& feature = piece.features[i];
      const std::string at = pointer_to(pointer_to("/pieces", index) + "/features", i);
      const auto shape = [&](const NickShape& nick) {
        if (nick.form == NickForm::kSlit && nick.width != NickShape{}.width)
          note(at + "/width", "a slit has no width; another form has");
      };
      if (const auto* line = std::get_if<LineWork>(&feature.work);
          line != nullptr && line->rows == 1 && line->row_gap != Millimetres(0.0))
        note(at + "/row_gap", "there is one row: say with rows how many there are");
      if (const auto* nick = std::get_if<NickWork>(&feature.work)) shape(nick->shape);
      if (const auto* marks = std::get_if<SizeMarksWork>(&feature.work)) shape(marks->shape);
      if (feature.both_halves && !piece.fold)
        note(at + "/both_halves", "the piece is not cut double: it has no halves");
    }
  }

  void codes() {
    std::set<std::string> used;
    for (const PieceSpec& piece : style_.pieces) {
      for (const FeatureSpec& feature : piece.features) {
        if (const auto* marks = std::get_if<SizeMarksWork>(&feature.work)) used.insert(marks->code);
      }
    }
    for (const MarkCode& code : style_.codes) {
      if (used.count(code.name) == 0) note(pointer_to("/codes", code.name), "no size marks use this code");
    }
  }

  template <class Fits>
  [[nodiscard]] bool any_edge(const Fits& fits) const {
    return std::any_of(style_.pieces.begin(), style_.pieces.end(), [&](const PieceSpec& piece) {
      return std::any_of(piece.edges.begin(), piece.edges.end(), fits);
    });
  }
  [[nodiscard]] bool treated(Treatment treatment) const {
    return any_edge([&](const EdgeSpec& edge) { return edge.treatment == treatment; });
  }
  // Somewhere in the run: elsewhere the cut line is the net line and reaches nowhere.
  [[nodiscard]] bool allowed(Treatment treatment) const {
    const auto wide = [](Millimetres allowance) { return allowance > Millimetres(0.0); };
    return any_edge([&](const EdgeSpec& edge) {
      return edge.treatment == treatment &&
             (wide(edge.allowance) ||
              std::any_of(edge.allowance_from.begin(), edge.allowance_from.end(),
                          [&](const AllowanceStep& step) { return wide(step.allowance); }));
    });
  }

  // A limit that is not the usual one has been stated.
  void limits() {
    const StyleSpec usual;
    if (style_.seams.empty() && style_.seam_limit != usual.seam_limit)
      note("/limits/seam", "there is no seam");
    if (style_.seams.empty() && style_.seam_limits != usual.seam_limits)
      note("/limits",
           "there is no seam: seam_base, seam_nicks, seam_allowances, lap_stitch and holes_meet judge "
           "nothing");
    if (style_.seams.empty() && style_.seam_turn_limit != usual.seam_turn_limit)
      note("/limits/seam_turn", "there is no seam");
    const bool folds = std::any_of(style_.pieces.begin(), style_.pieces.end(),
                                   [](const PieceSpec& piece) { return piece.fold.has_value(); });
    if (!folds && style_.fold_turn_limit != usual.fold_turn_limit)
      note("/limits/fold_turn", "no piece is cut double");
    for (const auto& [treatment, limit] : style_.reach_limits) {
      if (!allowed(treatment))
        note(pointer_to("/limits/cut_line_reach", name_of(treatment)),
             "no edge of this treatment has an allowance: this limit judges nothing");
    }
    for (const auto& [treatment, limit] : style_.missing_limits) {
      if (!treated(treatment))
        note(pointer_to("/limits/missing_allowance", name_of(treatment)),
             "no edge has this treatment: this limit judges nothing");
    }
    if (!style_.girths.empty()) return;
    if (style_.girth_base_limit != usual.girth_base_limit) note("/limits/girth_base", "there is no girth");
    if (style_.open_girth_limit != usual.open_girth_limit) note("/limits/open_girth", "there is no girth");
    if (style_.piece_girth_limit != usual.piece_girth_limit)
      note("/limits/girth_in_pieces", "there is no girth");
  }

  const StyleSpec& style_;
  const SizeRun& run_;
  const Scale& scale_;
  std::vector<std::string> notes_;
};

}  // namespace

std::vector<std::string> unused_statements(const StyleSpec& style, const SizeRun& run, const Scale& scale) {
  return UnusedFinder(style, run, scale).find();
}

}  // namespace lastwright
