#include "grading/checks/seams/alike_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "geometry/counted.hpp"
#include "grading/checks/features/feature_words.hpp"
#include "grading/checks/seams/edges_together.hpp"
#include "grading/style/seam_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kOnEachOther = 0.06;       // mm; what is drawn to a tenth lies as near
constexpr double kCopiesShare = 0.6;        // of the longer outline: less have a piece and what is sewn on it
constexpr std::size_t kMostCompared = 200;  // pieces; with more nothing is looked at
constexpr std::size_t kMostTold = 4;
constexpr double kMeetsLike = 0.3;       // mm: as two holes of two layers have to meet
constexpr std::size_t kMostHoles = 200;  // drawn in a piece; more are a perforation

class AlikeChecker {
 public:
  AlikeChecker(const StyleSpec& style, const StyleGrade& grade) : style_(style), grade_(grade) {
    for (const PreparedPiece& piece : grade.pieces) {
      std::vector<OpenArcPath> paths;
      double whole = 0.0;
      for (const ShapePath& edge : piece.shape.edges) {
        paths.push_back(shaped_path(edge, piece.shape.base));
        whole += length(paths.back());
      }
      paths_.push_back(std::move(paths));
      lengths_.push_back(whole);
    }
  }

  std::vector<StyleFinding> find() {
    if (grade_.pieces.size() > kMostCompared) return {};
    for (std::size_t p = 0; p < grade_.pieces.size(); ++p) {
      for (std::size_t q = p + 1; q < grade_.pieces.size(); ++q) compare(p, q);
    }
    return std::move(findings_);
  }

 private:
  using Pairs = std::vector<std::pair<std::size_t, std::size_t>>;

  [[nodiscard]] const PieceSpec& spec(std::size_t p) const { return grade_.pieces[p].bound.spec; }

  // Edges from the same start to the same end.
  [[nodiscard]] bool same_edge(const OpenArcPath& one, const OpenArcPath& other) const {
    return one.size() > 0 && other.size() > 0 &&
           distance(one.vertices.front().at, other.vertices.front().at) <= kOnEachOther &&
           distance(one.vertices.back().at, other.vertices.back().at) <= kOnEachOther &&
           apart(one, other) <= kOnEachOther;
  }
  [[nodiscard]] Pairs common(std::size_t p, std::size_t q) const {
    Pairs pairs;
    for (std::size_t e = 0; e < paths_[p].size(); ++e) {
      for (std::size_t f = 0; f < paths_[q].size(); ++f) {
        if (same_edge(paths_[p][e], paths_[q][f])) pairs.emplace_back(e, f);
      }
    }
    return pairs;
  }

  void compare(std::size_t p, std::size_t q) {
    const PreparedPiece& one = grade_.pieces[p];
    const PreparedPiece& other = grade_.pieces[q];
    if (one.forme != other.forme || spec(p).layer.empty() || spec(p).layer != spec(q).layer) return;
    if (spec(p).fold || spec(q).fold) return;
    if (role_of(grade_.formes[one.forme].map.forme()) == FormeRole::kBottom) return;
    const Pairs pairs = common(p, q);
    open_edges_apart(p, q, pairs);
    double on = 0.0;
    for (const auto& [e, f] : pairs) on += length(paths_[p][e]);
    if (on < kCopiesShare * std::max(lengths_[p], lengths_[q])) return;
    differences_.clear();
    for (const auto& [e, f] : pairs) {
      if (!sewn_to_each_other(p, e, q, f)) edges(p, e, q, f);
      corners(p, e, q, f);
    }
    features(p, q, pairs);
    own_places(p, q);
    drawn_holes(p, q);
    between_the_same_ends(p, q);
    whole(p, q);
    if (!differences_.empty()) tell(p, q);
  }

  [[nodiscard]] bool sewn_to_each_other(std::size_t p, std::size_t e, std::size_t q, std::size_t f) const {
    const auto is = [&](const SeamSide& side, std::size_t piece, std::size_t edge) {
      return is_edge(side, spec(piece).name, grade_.pieces[piece].bound.edges[edge].spec.name);
    };
    return std::any_of(style_.seams.begin(), style_.seams.end(), [&](const SeamSpec& seam) {
      return (is(seam.one, p, e) && is(seam.other, q, f)) || (is(seam.one, q, f) && is(seam.other, p, e));
    });
  }

  void edges(std::size_t p, std::size_t e, std::size_t q, std::size_t f) {
    const EdgeSpec& here = grade_.pieces[p].bound.edges[e].spec;
    const EdgeSpec& there = grade_.pieces[q].bound.edges[f].spec;
    if (here.treatment != there.treatment) {
      add("{} is {} and {}", here.name, name_of(here.treatment), name_of(there.treatment));
      return;
    }
    for (std::size_t k = grade_.cells.size(); k-- > 0;) {
      const double a = grade_.pieces[p].allowances[e].at(grade_.cells[k].size).value();
      const double b = grade_.pieces[q].allowances[f].at(grade_.cells[k].size).value();
      if (a == b) continue;
      add("{} has an allowance of {:g} and {:g} mm{}", here.name, a, b,
          k == grade_.base_cell() ? "" : " in " + where(grade_.cells[k]));
      return;
    }
    if (here.held != there.held) add("{} is held on one only", here.name);
  }

  // How the cut line goes round the corner where an edge begins.
  void corners(std::size_t p, std::size_t e, std::size_t q, std::size_t f) {
    const auto form_of = [&](std::size_t piece, std::size_t edge) {
      const std::string& corner = grade_.pieces[piece].bound.edges[edge].spec.from;
      const auto& all = spec(piece).corners;
      const auto found =
          std::find_if(all.begin(), all.end(), [&](const CornerSpec& one) { return one.name == corner; });
      return found == all.end() ? CornerForm::kFull : found->form;
    };
    const CornerForm here = form_of(p, e);
    const CornerForm there = form_of(q, f);
    if (here != there)
      add("the corner {} is {} and {}", grade_.pieces[p].bound.edges[e].spec.from, name_of(here),
          name_of(there));
  }

  void features(std::size_t p, std::size_t q, const Pairs& pairs) {
    CommonEdges of_first;
    CommonEdges of_second;
    for (const auto& [e, f] : pairs) {
      const std::string& name = grade_.pieces[p].bound.edges[e].spec.name;
      of_first[name] = name;
      of_second[grade_.pieces[q].bound.edges[f].spec.name] = name;
    }
    std::map<std::string, int> count;
    for (const FeatureSpec& feature : spec(p).features) {
      if (const auto words = words_of(feature, of_first)) ++count[*words];
    }
    for (const FeatureSpec& feature : spec(q).features) {
      if (const auto words = words_of(feature, of_second)) --count[*words];
    }
    for (const auto& [words, more] : count) {
      if (more != 0) add("only {} has {}", spec(more > 0 ? p : q).name, words);
    }
  }

  // Where it stands on the forme, of what stands at a place of its own.
  [[nodiscard]] std::optional<Vec2> stands(std::size_t p, const FeaturePlace& place) const {
    const auto* on = std::get_if<FormePlace>(&place);
    if (on == nullptr) return std::nullopt;
    if (const auto* at = std::get_if<Vec2>(&on->spot)) return *at + on->by;
    const auto& points = grade_.formes[grade_.pieces[p].forme].map.forme().points;
    const auto found = std::find_if(points.begin(), points.end(), [&](const NamedPoint& one) {
      return one.name == std::get<std::string>(on->spot);
    });
    return found == points.end() ? std::nullopt : std::optional(found->at + on->by);
  }

  // Slots are for a strap, which goes through both; a hole or a buckle is compared with one of its name
  // alone.
  void own_places(std::size_t p, std::size_t q) {
    for (const auto& [here, there] : {std::pair{p, q}, std::pair{q, p}}) {
      for (const FeatureSpec& one : spec(here).features) {
        const auto like = std::find_if(
            spec(there).features.begin(), spec(there).features.end(), [&](const FeatureSpec& other) {
              return other.name == one.name && other.work.index() == one.work.index();
            });
        if (like != spec(there).features.end()) {
          if (here == p) compare_placed(p, q, one, *like);
        } else if (std::holds_alternative<SlotWork>(one.work) && !has_slot_unlike(there, here)) {
          add("only {} has the slot {}", spec(here).name, one.name);
        }
      }
    }
  }
  // Whether the piece has a slot that the other has none of the name of: one of another name stands for it.
  [[nodiscard]] bool has_slot_unlike(std::size_t p, std::size_t q) const {
    return std::any_of(spec(p).features.begin(), spec(p).features.end(), [&](const FeatureSpec& one) {
      return std::holds_alternative<SlotWork>(one.work) &&
             std::none_of(spec(q).features.begin(), spec(q).features.end(),
                          [&](const FeatureSpec& other) { return other.name == one.name; });
    });
  }
  void compare_placed(std::size_t p, std::size_t q, const FeatureSpec& one, const FeatureSpec& other) {
    const auto compare_at = [&](const FeaturePlace& here, const FeaturePlace& there) {
      const std::optional<Vec2> a = stands(p, here);
      const std::optional<Vec2> b = stands(q, there);
      if (a && b && distance(*a, *b) > kMeetsLike)
        add("{} stands {:.1f} mm apart on the two", one.name, distance(*a, *b));
    };
    const auto compare_figure = [&](const char* what, double here, double there) {
      if (here != there) add("{} has a {} of {:g} and {:g}", one.name, what, here, there);
    };
    if (const auto* slot = std::get_if<SlotWork>(&one.work)) {
      const auto& like = std::get<SlotWork>(other.work);
      compare_at(slot->at, like.at);
      compare_figure("length", slot->length.value(), like.length.value());
      compare_figure("width", slot->width.value(), like.width.value());
      compare_figure("angle", slot->degrees, like.degrees);
    } else if (const auto* hole = std::get_if<HoleWork>(&one.work)) {
      const auto& like = std::get<HoleWork>(other.work);
      compare_at(hole->at, like.at);
      compare_figure("diameter", hole->diameter.value(), like.diameter.value());
    }
  }

  // Features that punch or slot.
  [[nodiscard]] std::size_t made_holes(std::size_t p) const {
    const auto& all = spec(p).features;
    return static_cast<std::size_t>(std::count_if(all.begin(), all.end(), [](const FeatureSpec& one) {
      return std::holds_alternative<HoleWork>(one.work) || std::holds_alternative<RowWork>(one.work) ||
             std::holds_alternative<SlotWork>(one.work) || std::holds_alternative<BuckleBarWork>(one.work) ||
             std::holds_alternative<PrickWork>(one.work);
    }));
  }
  // As many holes drawn in both: each beside its like.
  void drawn_holes(std::size_t p, std::size_t q) {
    constexpr double kAsWide = 0.05;  // mm of radius
    const std::vector<BoundHole>& here = grade_.pieces[p].bound.holes;
    const std::vector<BoundHole>& there = grade_.pieces[q].bound.holes;
    if (here.empty() || there.empty()) return;  // a buckle sits on one side
    if (here.size() > kMostHoles || there.size() > kMostHoles) return;
    if (here.size() != there.size()) {
      // Fewer are drawn in one, and no feature of its own stands for what is missing.
      const bool first = here.size() > there.size();
      const std::size_t poor = first ? q : p;
      if (made_holes(poor) > made_holes(first ? p : q)) return;
      add("{} in one and {} in the other", counted(here.size(), "drawn hole"), there.size());
      return;
    }
    for (const BoundHole& hole : here) {
      const auto like =
          std::min_element(there.begin(), there.end(), [&](const BoundHole& a, const BoundHole& b) {
            return distance(a.centre, hole.centre) < distance(b.centre, hole.centre);
          });
      const double off = distance(like->centre, hole.centre);
      if (off > kMeetsLike)
        add("the hole drawn at ({:.1f}, {:.1f}) stands {:.1f} mm apart on the two", hole.centre.x,
            hole.centre.y, off);
      else if (std::abs(like->radius - hole.radius) > kAsWide)
        add("the hole drawn at ({:.1f}, {:.1f}) is {:g} and {:g} mm wide", hole.centre.x, hole.centre.y,
            2.0 * hole.radius, 2.0 * like->radius);
    }
  }

  // Lasted edges of one name from the same start to the same end, and not on each other: the feather is drawn
  // once for both, while an inside's top line may be cut higher.
  void between_the_same_ends(std::size_t p, std::size_t q) {
    constexpr double kFar = 5.0;  // mm: farther apart they are two edges
    for (std::size_t e = 0; e < paths_[p].size(); ++e) {
      for (std::size_t f = 0; f < paths_[q].size(); ++f) {
        const OpenArcPath& here = paths_[p][e];
        const OpenArcPath& there = paths_[q][f];
        const std::string& name = grade_.pieces[p].bound.edges[e].spec.name;
        const EdgeSpec& like = grade_.pieces[q].bound.edges[f].spec;
        if (here.size() == 0 || there.size() == 0 || name != like.name ||
            like.treatment != Treatment::kLasting)
          continue;
        if (distance(here.vertices.front().at, there.vertices.front().at) > kOnEachOther ||
            distance(here.vertices.back().at, there.vertices.back().at) > kOnEachOther)
          continue;
        const double off = std::max(apart(here, there), apart(there, here));
        if (off > kOnEachOther && off <= kFar) add("{} is drawn up to {:.1f} mm apart on the two", name, off);
      }
    }
  }

  [[nodiscard]] bool in_seam(std::size_t p, const EdgeSpec& edge) const {
    return seam_names_edge(style_, spec(p).name, edge.name);
  }
  // Whether the one is the other, a little longer: where it ends is told of what it meets there.
  [[nodiscard]] static bool runs_on(const OpenArcPath& one, const OpenArcPath& other) {
    constexpr double kAll = 0.98;
    const bool first = length(one) <= length(other);
    return length_on(first ? one : other, first ? other : one, kOnEachOther) >=
           kAll * length(first ? one : other);
  }
  // Edges of one name that are sewn to nothing, such as top lines, of two pieces that have others in common:
  // one side may be cut higher than the other, so it is a figure and no doubt.
  void open_edges_apart(std::size_t p, std::size_t q, const Pairs& pairs) {
    constexpr double kFar = 5.0;  // mm: farther apart they are two edges
    if (pairs.empty()) return;
    for (std::size_t e = 0; e < paths_[p].size(); ++e) {
      for (std::size_t f = 0; f < paths_[q].size(); ++f) {
        const EdgeSpec& here = grade_.pieces[p].bound.edges[e].spec;
        const EdgeSpec& there = grade_.pieces[q].bound.edges[f].spec;
        if (here.name != there.name || here.treatment == Treatment::kLasting || paths_[p][e].size() == 0 ||
            paths_[q][f].size() == 0 || in_seam(p, here) || in_seam(q, there))
          continue;
        const double off = apart(paths_[p][e], paths_[q][f]);
        if (off <= kOnEachOther || off > kFar || runs_on(paths_[p][e], paths_[q][f])) continue;
        findings_.push_back(
            {"sides apart",
             fmt::format("{} of {} and of {}", here.name, spec(p).name, spec(q).name),
             off,
             {},
             "mm",
             {},
             true,
             "is how far apart the two edges of one name are drawn at most, and neither is in a seam: right "
             "where one side of the shoe is cut higher than the other"});
      }
    }
  }

  void whole(std::size_t p, std::size_t q) {
    const auto ties = [](const PieceSpec& piece) {
      std::string text;
      for (const SizeTie& tie : piece.sizes_tied)
        text += fmt::format("{}{} to {} as {}", text.empty() ? "" : ", ", tie.from, tie.to, tie.as);
      return text.empty() ? std::string("none") : text;
    };
    if (ties(spec(p)) != ties(spec(q))) add("sizes tied: {} and {}", ties(spec(p)), ties(spec(q)));
    if (spec(p).per_pair != spec(q).per_pair)
      add("{} and {} are cut for a pair", spec(p).per_pair, spec(q).per_pair);
    if (spec(p).material != spec(q).material)
      add("one is of \"{}\" and one of \"{}\"", spec(p).material, spec(q).material);
    grains(grade_.pieces[p].bound.grain, grade_.pieces[q].bound.grain);
    if (spec(p).hand != spec(q).hand)
      add("one is {} and one {}", name_of(spec(p).hand), name_of(spec(q).hand));
  }

  void grains(const std::optional<BoundAxis>& one, const std::optional<BoundAxis>& other) {
    constexpr double kOneWay = 5.0;  // degrees; a cutter lays no truer
    if (one.has_value() != other.has_value()) {
      add("a grain line is drawn on one only");
    } else if (one) {
      const Vec2 here = one->to - one->from;
      const Vec2 there = other->to - other->from;
      const double off =
          to_degrees(Radians(std::atan2(std::abs(cross(here, there)), std::abs(dot(here, there)))));
      if (off > kOneWay) add("their grain lines lie {:.0f} degrees apart", off);
    }
  }

  template <class... Values>
  void add(const char* format, const Values&... values) {
    differences_.push_back(fmt::format(fmt::runtime(format), values...));
  }
  void tell(std::size_t p, std::size_t q) {
    std::string text = differences_.front();
    for (std::size_t i = 1; i < std::min(differences_.size(), kMostTold); ++i) text += "; " + differences_[i];
    if (differences_.size() > kMostTold)
      text += fmt::format("; and {} more", differences_.size() - kMostTold);
    StyleFinding finding =
        doubtful_finding("sides alike", fmt::format("{} and {}", spec(p).name, spec(q).name),
                         static_cast<double>(differences_.size()),
                         differences_.size() == 1 ? "difference" : "differences", "");
    finding.note = fmt::format(
        "the two are drawn on each other, as one part for the inside and the outside, and are not alike: {}. "
        "See whether that is meant",
        text);
    findings_.push_back(std::move(finding));
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  std::vector<std::vector<OpenArcPath>> paths_;  // by piece and edge
  std::vector<double> lengths_;                  // of the outlines
  std::vector<std::string> differences_;
  std::vector<StyleFinding> findings_;
};

}  // namespace

std::vector<StyleFinding> check_alike(const StyleSpec& style, const StyleGrade& grade) {
  return AlikeChecker(style, grade).find();
}

}  // namespace lastwright
