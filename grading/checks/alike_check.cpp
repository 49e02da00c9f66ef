#include "grading/checks/alike_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "grading/checks/edges_together.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kOnEachOther = 0.06;       // mm; what is drawn to a tenth lies as near
constexpr double kCopiesShare = 0.6;        // of the longer outline: less have a piece and what is sewn on it
constexpr std::size_t kMostCompared = 200;  // pieces; with more nothing is looked at
constexpr std::size_t kMostTold = 4;

using CommonEdges = std::map<std::string, std::string>;  // edges of the first piece, and of the second

// What a feature along edges is, in words that are equal where it is the same. Nothing for what stands at a
// place of its own, or along edges that the two have not in common.
class FeatureWords {
 public:
  explicit FeatureWords(const CommonEdges& names) : names_(names) {}

  [[nodiscard]] std::optional<std::string> of(const FeatureSpec& feature) const {
    return std::visit([&](const auto& work) { return words(work); }, feature.work);
  }

 private:
  [[nodiscard]] std::optional<std::string> named(const std::vector<std::string>& edges) const {
    if (edges.empty()) return std::nullopt;
    std::string text;
    for (const std::string& edge : edges) {
      const auto found = names_.find(edge);
      if (found == names_.end()) return std::nullopt;
      text += (text.empty() ? "" : ", ") + found->second;
    }
    return text;
  }
  template <class... Values>
  [[nodiscard]] std::optional<std::string> along(const char* kind, const std::vector<std::string>& edges,
                                                 const char* format, const Values&... values) const {
    const std::optional<std::string> where = named(edges);
    if (!where) return std::nullopt;
    return fmt::format("{} along {} ({})", kind, *where, fmt::format(fmt::runtime(format), values...));
  }
  [[nodiscard]] std::optional<std::string> words(const RowWork& row) const {
    const char* kind = row.kind == RowKind::kEyelets       ? "eyelets"
                       : row.kind == RowKind::kPerforation ? "a perforation"
                                                           : "pricks";
    std::string counts = row.spacing.count ? std::to_string(*row.spacing.count) : "";
    for (const CountChange& change : row.spacing.counts)
      counts += fmt::format(", {} from {} to {}", change.count, change.from, change.to);
    return along(kind, row.along.edges, "{} at {:g} mm, margins {:g} and {:g}, pitch {:g}, {:g} mm wide",
                 counts, row.along.inset.value(), row.along.start.value(), row.along.end.value(),
                 row.spacing.pitch.value_or(Millimetres(0.0)).value(),
                 row.unit.empty() ? 0.0 : row.unit.front().diameter.value());
  }
  [[nodiscard]] std::optional<std::string> words(const LineWork& line) const {
    return along(line.kind == LineKind::kStitch ? "a stitch line" : "a lap guide", line.along.edges,
                 "{} at {:g} mm, {:g} mm apart", line.rows, line.along.inset.value(), line.row_gap.value());
  }
  [[nodiscard]] std::optional<std::string> words(const SkiveWork& skive) const {
    return along("a skive", skive.edges, "{:g} mm wide, {:g} mm off", skive.width.value(),
                 skive.depth.value());
  }
  [[nodiscard]] std::optional<std::string> words(const NickWork& nick) const {
    return along("a nick", {nick.edge}, "{:.4g} of it and {:g} mm{}, {} {:g} deep",
                 nick.station.share ? nick.station.share->value() : 0.0, nick.station.distance.value(),
                 nick.station.from_end ? " from its end" : "", name_of(nick.shape.form),
                 nick.shape.depth.value());
  }
  [[nodiscard]] std::optional<std::string> words(const SizeMarksWork& marks) const {
    return along("marks", {marks.edge}, "of the code {}", marks.code);
  }
  template <class Work>
  [[nodiscard]] static std::optional<std::string> words(const Work& /*at a place of its own*/) {
    return std::nullopt;
  }

  const CommonEdges& names_;
};

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
    double on = 0.0;
    for (const auto& [e, f] : pairs) on += length(paths_[p][e]);
    if (on < kCopiesShare * std::max(lengths_[p], lengths_[q])) return;
    differences_.clear();
    for (const auto& [e, f] : pairs) {
      if (!sewn_to_each_other(p, e, q, f)) edges(p, e, q, f);
    }
    features(p, q, pairs);
    whole(p, q);
    if (!differences_.empty()) tell(p, q);
  }

  [[nodiscard]] bool sewn_to_each_other(std::size_t p, std::size_t e, std::size_t q, std::size_t f) const {
    const auto is = [&](const SeamSide& side, std::size_t piece, std::size_t edge) {
      return side.piece == spec(piece).name && side.edge == grade_.pieces[piece].bound.edges[edge].spec.name;
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
    if (here.held != there.held) add("{} is held on one alone", here.name);
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
      if (const auto words = FeatureWords(of_first).of(feature)) ++count[*words];
    }
    for (const FeatureSpec& feature : spec(q).features) {
      if (const auto words = FeatureWords(of_second).of(feature)) --count[*words];
    }
    for (const auto& [words, more] : count) {
      if (more != 0) add("only {} has {}", spec(more > 0 ? p : q).name, words);
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
      add("a grain line is drawn on one alone");
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
