#include "grading/checks/lasting/layer_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <set>

#include "geometry/counted.hpp"
#include "grading/checks/girths/growth_check.hpp"
#include "grading/checks/seams/edges_together.hpp"
#include "grading/checks/seams/unsewn_check.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/seam_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kOverlapTold = 0.05;  // of the smaller piece: less is how finely two neighbours are drawn
constexpr double kSamePlace = 0.9;     // of the larger piece: an upper and its lining
constexpr double kOneOther = 0.6;      // of the larger piece: the inside's and the outside's copy of one part
constexpr double kAlong = 0.06;        // mm; what is drawn to a tenth lies as near
constexpr double kAlongShare =
    0.2;                           // of an edge: with more of it on another piece's edge it has a mate there
constexpr double kHalfOver = 0.5;  // of the smaller piece: they lie on each other by intent
constexpr std::size_t kMostLayered = 200;  // pieces of a forme; with more nothing is looked at
constexpr std::size_t kMostEdgesNamed = 6;

bool has_word(std::string text, const char* word) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text.find(word) != std::string::npos;
}

// "counter outside" and "quarter inside" are never on one shoe's side.
bool of_two_sides(const std::string& one, const std::string& other) {
  for (const auto& [here, there] : {std::pair{"inside", "outside"}, std::pair{"medial", "lateral"}}) {
    if ((has_word(one, here) && has_word(other, there)) || (has_word(one, there) && has_word(other, here)))
      return true;
  }
  return false;
}

// Whether nothing of what two pieces of one outline are cut of and into differs: one was copied.
bool same_work(const PieceSpec& one, const PieceSpec& other) {
  const auto edges = [](const PieceSpec& piece) {
    std::vector<std::pair<Treatment, double>> all;
    for (const EdgeSpec& edge : piece.edges) all.emplace_back(edge.treatment, edge.allowance.value());
    std::sort(all.begin(), all.end());
    return all;
  };
  return one.material == other.material && one.layer == other.layer && one.drawn_foot == other.drawn_foot &&
         one.features.size() == other.features.size() && edges(one) == edges(other);
}

class LayerChecker {
 public:
  LayerChecker(const StyleSpec& style, const StyleGrade& grade) : style_(style), grade_(grade) {
    for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
      nets_.push_back(grade.drawn_piece(p, grade.base_cell()).net.path);
      areas_.push_back(std::abs(signed_area(nets_.back())));
    }
  }

  std::vector<StyleFinding> find(const Result<std::vector<PieceGirth>>& girths) {
    for (std::size_t p = 0; p < nets_.size(); ++p) overlap(p);
    twice();
    left_out();
    if (girths) idle_layers(*girths);
    edges_alone();
    return std::move(findings_);
  }

 private:
  [[nodiscard]] const PieceSpec& piece(std::size_t p) const { return grade_.pieces[p].bound.spec; }
  [[nodiscard]] bool of_the_upper(std::size_t p) const {
    return role_of(grade_.formes[grade_.pieces[p].forme].map.forme()) != FormeRole::kBottom;
  }
  [[nodiscard]] bool joined(std::size_t p, std::size_t q) const {
    return std::any_of(style_.seams.begin(), style_.seams.end(),
                       [&](const SeamSpec& seam) { return seam_joins(seam, piece(p).name, piece(q).name); });
  }
  [[nodiscard]] bool two_sides_of_one(std::size_t p, std::size_t q, double common) const {
    if (of_two_sides(piece(p).name, piece(q).name)) return true;
    // What is cut for both sides has no copy.
    constexpr int kForBothSides = 4;
    if (piece(p).per_pair >= kForBothSides || piece(q).per_pair >= kForBothSides) return false;
    return !piece(p).fold && !piece(q).fold && common >= kOneOther * std::max(areas_[p], areas_[q]);
  }

  // A piece that stands in the style twice is cut, ordered and sewn in twice.
  void twice() {
    constexpr double kOne = 1.0 - 1e-6;  // of its area
    if (nets_.size() > kMostLayered) return;
    for (std::size_t p = 0; p < nets_.size(); ++p) {
      for (std::size_t q = p + 1; q < nets_.size(); ++q) {
        if (grade_.pieces[p].forme != grade_.pieces[q].forme ||
            std::min(areas_[p], areas_[q]) < kOne * std::max(areas_[p], areas_[q]) ||
            !same_work(piece(p), piece(q)) || of_two_sides(piece(p).name, piece(q).name) ||
            common_area(nets_[p], nets_[q]) < kOne * areas_[p])
          continue;
        findings_.push_back(doubtful_finding(
            "piece twice", piece(p).name + " and " + piece(q).name, piece(p).per_pair + piece(q).per_pair,
            "pieces",
            "a pair takes this many of the two together, and they are one: the same outline in the same "
            "place, of one material and layer, with the same edges. Leave one out; how many a pair takes is "
            "stated with \"per_pair\""));
      }
    }
  }

  // As large as each other and on each other, and sewn face to face: an upper and its lining, which one layer
  // cannot both be of. Two sides of a shoe that are closed with each other are drawn so too.
  [[nodiscard]] bool upper_and_lining(std::size_t p, std::size_t q, double common) const {
    if (common < kSamePlace * std::max(areas_[p], areas_[q]) || of_two_sides(piece(p).name, piece(q).name))
      return false;
    const auto closed = [&](const SeamSide& side) {
      const EdgeSpec* edge = find_edge(piece(side.piece == piece(p).name ? p : q), side.edge);
      return edge != nullptr &&
             (edge->treatment == Treatment::kClosedSeam || edge->treatment == Treatment::kOpenSeam);
    };
    return std::none_of(style_.seams.begin(), style_.seams.end(), [&](const SeamSpec& seam) {
      return seam_joins(seam, piece(p).name, piece(q).name) &&
             (seam.mirrored || closed(seam.one) || closed(seam.other));
    });
  }

  // What is laid on others and stitched down: in no seam, and a stitch line along every edge but those on its
  // fold and at the feather.
  [[nodiscard]] bool stitched_on(std::size_t p) const {
    bool any = false;
    for (const EdgeSpec& edge : piece(p).edges) {
      if (seam_names_edge(style_, piece(p).name, edge.name)) return false;
      if (piece(p).fold == edge.name || edge.treatment == Treatment::kLasting) continue;
      any = true;
      const bool stitched =
          std::any_of(piece(p).features.begin(), piece(p).features.end(), [&](const FeatureSpec& feature) {
            const auto* line = std::get_if<LineWork>(&feature.work);
            return line != nullptr && line->kind == LineKind::kStitch &&
                   std::find(line->along.edges.begin(), line->along.edges.end(), edge.name) !=
                       line->along.edges.end();
          });
      if (!stitched) return false;
    }
    return any;
  }

  // Told of the smaller piece, beside the one it lies on most.
  void overlap(std::size_t p) {
    if (piece(p).layer.empty() || !of_the_upper(p) || nets_.size() > kMostLayered || stitched_on(p)) return;
    double most = 0.0;
    std::size_t below = p;
    bool faces = false;  // sewn to it face to face
    for (std::size_t q = 0; q < nets_.size(); ++q) {
      const bool same = piece(q).layer == piece(p).layer;
      if (q == p || grade_.pieces[q].forme != grade_.pieces[p].forme || (!same && !piece(q).layer.empty()))
        continue;
      if (areas_[q] < areas_[p] || (areas_[q] == areas_[p] && q < p)) continue;
      const double common = common_area(nets_[p], nets_[q]);
      if (common < kOverlapTold * areas_[p]) continue;
      const bool sewn_to_it = joined(p, q);
      const bool lined = sewn_to_it && same && upper_and_lining(p, q, common);
      if (sewn_to_it && !lined) return;  // it is laid on them
      if (!lined && (!same || two_sides_of_one(p, q, common))) continue;
      if (common <= most) continue;
      faces = lined;
      most = common;
      below = q;
    }
    if (below == p) return;
    const std::string both = fmt::format("{} and {}", piece(p).name, piece(below).name);
    if (faces) {
      findings_.push_back(doubtful_finding(
          "layer overlap", both, 100.0 * most / areas_[p], "%",
          fmt::format(
              "of {} lies on {}, which it is sewn to face to face as an upper to its lining, and both "
              "are of the layer {}: state the \"layer\" that each belongs to; girths in pieces count "
              "what lies on each other once",
              piece(p).name, piece(below).name, piece(p).layer)));
      return;
    }
    findings_.push_back(doubtful_finding(
        "layer overlap", both, 100.0 * most / areas_[p], "%",
        fmt::format("of {} lies on {}, both are of the layer {}, and no seam joins them: state the \"layer\" "
                    "that each belongs to, or the seam by which one lies on the other, or see which of them "
                    "is drawn too large; girths in pieces count what lies on each other once",
                    piece(p).name, piece(below).name, piece(p).layer)));
  }

  [[nodiscard]] bool half_over(std::size_t p, std::size_t q) const {
    return common_area(nets_[p], nets_[q]) >= kHalfOver * std::min(areas_[p], areas_[q]);
  }
  // Layers of the pieces that a seam joins it to and that do not lie on it: as which it goes on.
  [[nodiscard]] std::set<std::string> layers_beside(std::size_t p) const {
    std::set<std::string> layers;
    for (std::size_t q = 0; q < nets_.size(); ++q) {
      if (q != p && !piece(q).layer.empty() && joined(p, q) && !half_over(p, q))
        layers.insert(piece(q).layer);
    }
    return layers;
  }
  // Pieces without a layer on which others lie, or which lie on others, that are no part of their layer. What
  // is sewn into two layers, as a tongue between upper and lining, belongs to both by intent; what is sewn
  // beside pieces of one layer and lies on others of it is of that layer.
  void left_out() {
    if (nets_.size() > kMostLayered) return;
    std::vector<std::string> told;
    for (std::size_t p = 0; p < nets_.size(); ++p) {
      const FormeSpec& forme = grade_.formes[grade_.pieces[p].forme].map.forme();
      if (!piece(p).layer.empty() || !of_the_upper(p) || !of_the_last(style_, forme) || stitched_on(p))
        continue;
      const std::set<std::string> beside = layers_beside(p);
      if (beside.size() > 1) continue;
      double most = 0.0;
      std::size_t other = p;
      bool laid_on = false;  // sewn down on what it lies on
      for (std::size_t q = 0; q < nets_.size() && !laid_on; ++q) {
        if (q == p || grade_.pieces[q].forme != grade_.pieces[p].forme) continue;
        const bool smaller = areas_[p] < areas_[q] || (areas_[p] == areas_[q] && p < q);
        if (piece(q).layer.empty() && !smaller) continue;  // told of the other of the two
        if (beside.count(piece(q).layer) > 0 || !half_over(p, q)) continue;
        const double common = common_area(nets_[p], nets_[q]);
        if (two_sides_of_one(p, q, common)) continue;
        laid_on = joined(p, q) && !upper_and_lining(p, q, common);
        if (common <= most) continue;
        most = common;
        other = q;
      }
      if (other == p || laid_on) continue;
      told.push_back(fmt::format("{}, which has {:.0f} cm2 in common with {}", piece(p).name, most / 100.0,
                                 piece(other).name));
    }
    if (told.empty()) return;
    std::string names = told.front();
    for (std::size_t i = 1; i < std::min(told.size(), kMostEdgesNamed); ++i) names += "; " + told[i];
    if (told.size() > kMostEdgesNamed) names += fmt::format("; and {} more", told.size() - kMostEdgesNamed);
    findings_.push_back(doubtful_finding(
        "layer left out", counted(told.size(), "piece"), static_cast<double>(told.size()),
        told.size() == 1 ? "piece" : "pieces",
        fmt::format(
            "without a layer: {}. What states none belongs to every layer: in the girths in pieces it "
            "closes the gaps of what lies over it or under it, and no layer of its own is asked to "
            "close them. State the \"layer\" of each",
            names)));
  }

  [[nodiscard]] static bool sewn(const EdgeSpec& edge) {
    return edge.treatment == Treatment::kClosedSeam || edge.treatment == Treatment::kOpenSeam ||
           edge.treatment == Treatment::kLap;
  }
  [[nodiscard]] bool is_sewn(std::size_t p) const {
    const std::vector<EdgeSpec>& edges = piece(p).edges;
    return std::any_of(edges.begin(), edges.end(), [&](const EdgeSpec& edge) {
      return piece(p).fold != edge.name && (sewn(edge) || seam_names_edge(style_, piece(p).name, edge.name));
    });
  }
  void idle_layers(const std::vector<PieceGirth>& girths) {
    std::set<std::string> asked;
    for (std::size_t p = 0; p < nets_.size(); ++p) {
      const std::string& layer = piece(p).layer;
      if (layer.empty() || !is_sewn(p) || !asked.emplace(layer).second) continue;
      const bool on_formes = std::any_of(style_.girths.begin(), style_.girths.end(), [&](const auto& girth) {
        return std::any_of(girth.parts.begin(), girth.parts.end(),
                           [&](const GirthPart& part) { return part.forme == piece(p).forme; });
      });
      const bool round = std::any_of(girths.begin(), girths.end(),
                                     [&](const PieceGirth& girth) { return girth.layer == layer; });
      if (!on_formes || round) continue;
      const auto count =
          std::count_if(grade_.pieces.begin(), grade_.pieces.end(),
                        [&](const PreparedPiece& one) { return one.bound.spec.layer == layer; });
      findings_.push_back(doubtful_finding(
          "layer open", layer, static_cast<double>(count), "pieces",
          "is all there is of this layer, and none lies on the line of any girth: nothing proves that the "
          "layer is as wide as the last. Is a piece left out of the style?"));
    }
  }

  // A piece that is cut for both sides of a shoe may be closed with its own mirror image.
  [[nodiscard]] bool closes_itself(std::size_t p, const EdgeSpec& edge) const {
    return edge.treatment != Treatment::kLap && piece(p).per_pair * (piece(p).fold ? 2 : 1) >= 4;
  }
  // Of all pieces, made when first asked for: most styles have every such edge in a seam.
  [[nodiscard]] const std::vector<std::vector<OpenArcPath>>& edge_paths() {
    if (paths_.empty()) {
      for (const PreparedPiece& one : grade_.pieces) {
        paths_.emplace_back();
        for (const ShapePath& edge : one.shape.edges)
          paths_.back().push_back(shaped_path(edge, one.shape.base));
      }
    }
    return paths_;
  }
  [[nodiscard]] static bool same_way(const OpenArcPath& one, const OpenArcPath& other) {
    const auto off = [](Vec2 a, Vec2 b) { return distance(a, b); };
    const Vec2 from = one.vertices.front().at;
    const Vec2 to = one.vertices.back().at;
    return off(from, other.vertices.front().at) + off(to, other.vertices.back().at) <
           off(from, other.vertices.back().at) + off(to, other.vertices.front().at);
  }
  [[nodiscard]] bool along_another(std::size_t p, std::size_t e) {
    const OpenArcPath& path = edge_paths()[p][e];
    if (path.size() == 0) return true;
    const Box2 box = bounds(path).grown(kAlong);
    for (std::size_t q = 0; q < nets_.size(); ++q) {
      if (q == p || grade_.pieces[q].forme != grade_.pieces[p].forme) continue;
      for (const OpenArcPath& other : edge_paths()[q]) {
        if (other.size() == 0 || !box.overlaps(bounds(other))) continue;
        // A copy of the piece has the same edge, and runs along it the same way: that is no mate.
        if (piece(q).layer == piece(p).layer && same_way(path, other)) continue;
        if (length_on(path, other, kAlong) >= kAlongShare * length(path)) return true;
      }
    }
    return false;
  }
  void edges_alone() {
    if (nets_.size() > kMostLayered) return;
    std::vector<std::string> alone;
    std::vector<std::string> to_upper;
    for (std::size_t p = 0; p < nets_.size(); ++p) {
      for (std::size_t e = 0; e < grade_.pieces[p].bound.edges.size(); ++e) {
        const EdgeSpec& edge = grade_.pieces[p].bound.edges[e].spec;
        if (!sewn(edge) || piece(p).fold == edge.name || seam_names_edge(style_, piece(p).name, edge.name))
          continue;
        if (closes_itself(p, edge) || along_another(p, e)) continue;
        if (at_sewn_feather(style_, grade_, p, e)) continue;
        if (!of_the_upper(p) && sewn_to_bottom(style_, grade_, edge.treatment)) {
          to_upper.push_back(fmt::format("{} of {}", edge.name, piece(p).name));
          continue;
        }
        alone.push_back(fmt::format("{} of {} ({})", edge.name, piece(p).name, name_of(edge.treatment)));
      }
    }
    if (!to_upper.empty())
      findings_.push_back(
          {"edges alone",
           "sewn to the upper",
           static_cast<double>(to_upper.size()),
           {},
           "edges",
           {},
           true,
           fmt::format("of the bottom are sewn to the feather edges of the upper, which lie on "
                       "another forme: how long the two are is not compared; {} and so on",
                       to_upper.front())});
    if (alone.empty()) return;
    std::string names = alone.front();
    for (std::size_t i = 1; i < std::min(alone.size(), kMostEdgesNamed); ++i) names += "; " + alone[i];
    if (alone.size() > kMostEdgesNamed) names += fmt::format("; and {} more", alone.size() - kMostEdgesNamed);
    findings_.push_back(doubtful_finding(
        "edges alone", alone.size() == 1 ? alone.front() : counted(alone.size(), "edge"),
        static_cast<double>(alone.size()), alone.size() == 1 ? "edge" : "edges",
        fmt::format("stated as sewn to another piece, in no seam, and no edge of another piece lies there: "
                    "{}. Is a piece left out of the style, or the treatment another?",
                    names)));
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  std::vector<ClosedArcPath> nets_;              // by piece, of the base
  std::vector<double> areas_;                    // mm2
  std::vector<std::vector<OpenArcPath>> paths_;  // by piece and edge, once they are asked for
  std::vector<StyleFinding> findings_;
};

}  // namespace

double common_area(const ClosedArcPath& one, const ClosedArcPath& other) {
  constexpr int kParts = 40;
  const Box2 a = bounds(one);
  const Box2 b = bounds(other);
  if (one.size() == 0 || other.size() == 0 || !a.overlaps(b)) return 0.0;
  const Box2 box{{std::max(a.low.x, b.low.x), std::max(a.low.y, b.low.y)},
                 {std::min(a.high.x, b.high.x), std::min(a.high.y, b.high.y)}};
  const double dx = box.width() / kParts;
  const double dy = box.height() / kParts;
  int both = 0;
  for (int i = 0; i < kParts; ++i) {
    for (int k = 0; k < kParts; ++k) {
      const Vec2 p{box.low.x + (i + 0.5) * dx, box.low.y + (k + 0.5) * dy};
      both += contains(one, p) && contains(other, p);
    }
  }
  return both * dx * dy;
}

std::vector<StyleFinding> check_layers(const StyleSpec& style, const StyleGrade& grade,
                                       const Result<std::vector<PieceGirth>>& girths) {
  return LayerChecker(style, grade).find(girths);
}

}  // namespace lastwright
