#include "grading/checks/seams/closed_edges.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/checks/girths/base_edges.hpp"
#include "grading/checks/seams/unsewn_check.hpp"
#include "grading/style/seam_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kLeastClosed = 20.0;       // mm; shorter ones lie alike by chance
constexpr std::size_t kMostClosed = 1'000;  // edges of a style; with more nothing is looked at

class ClosedEdges {
 public:
  ClosedEdges(const StyleSpec& style, const StyleGrade& grade) : style_(style), grade_(grade) {}

  std::vector<StyleFinding> find() {
    const std::vector<BaseEdge> edges =
        base_edges(grade_, kLeastClosed, [](const PieceSpec& piece, const EdgeSpec& edge) {
          return !piece.layer.empty() && piece.fold != edge.name;
        });
    if (edges.size() > kMostClosed) return {};
    for (const BaseEdge& closed : edges) {
      if (!closes(*closed.spec)) continue;
      for (const BaseEdge& other : edges) {
        if (contradicts(closed, other)) tell(closed, other);
      }
    }
    return std::move(all_);
  }

 private:
  [[nodiscard]] const PieceSpec& piece(const BaseEdge& edge) const { return spec_of(grade_, edge); }
  static bool closes(const EdgeSpec& edge) {
    return edge.treatment == Treatment::kClosedSeam || edge.treatment == Treatment::kOpenSeam;
  }
  [[nodiscard]] bool sewn(const BaseEdge& edge) const {
    return seam_names_edge(style_, piece(edge).name, edge.spec->name);
  }
  // Inside and outside of every shoe.
  [[nodiscard]] bool twice_a_shoe(const BaseEdge& edge) const { return piece(edge).per_pair >= 4; }
  [[nodiscard]] bool mirrored(const BaseEdge& edge) const {
    return std::any_of(style_.seams.begin(), style_.seams.end(), [&](const SeamSpec& seam) {
      const std::string& name = piece(edge).name;
      return seam.mirrored &&
             (is_edge(seam.one, name, edge.spec->name) || is_edge(seam.other, name, edge.spec->name));
    });
  }

  [[nodiscard]] bool contradicts(const BaseEdge& closed, const BaseEdge& other) const {
    if (closes(*other.spec) || other.spec->treatment == Treatment::kBagged ||
        grade_.pieces[closed.piece].forme != grade_.pieces[other.piece].forme ||
        piece(closed).layer == piece(other).layer || !closed.box.overlaps(other.box) || sewn(other))
      return false;
    const bool with_other_hand = mirrored(closed) || (!sewn(closed) && twice_a_shoe(closed));
    const bool lasted = other.spec->treatment == Treatment::kLasting;
    return (lasted || (with_other_hand && twice_a_shoe(other))) && lie_on_one_side(closed, other) &&
           !at_sewn_feather(style_, grade_, closed.piece, closed.edge);
  }

  void tell(const BaseEdge& closed, const BaseEdge& other) {
    const auto treated = [](const BaseEdge& edge) {
      return edge.allowance > 0.0
                 ? fmt::format("{} with {:g} mm", name_of(edge.spec->treatment), edge.allowance)
                 : fmt::format("{} without an allowance", name_of(edge.spec->treatment));
    };
    all_.push_back(doubtful_finding(
        "closed edge", edge_of_piece(grade_, other) + " and " + edge_of_piece(grade_, closed),
        length_together(closed, other), "mm",
        fmt::format("of them lie on each other, in two layers; {} is {}, and {} is {}: what is closed in one "
                    "layer is as a rule closed in the other. No seam says what is sewn there: check the "
                    "treatment and the allowance of both",
                    piece(closed).name, treated(closed), piece(other).name, treated(other))));
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  std::vector<StyleFinding> all_;
};

}  // namespace

std::vector<StyleFinding> check_closed_edges(const StyleSpec& style, const StyleGrade& grade) {
  return ClosedEdges(style, grade).find();
}

}  // namespace lastwright
