#include "grading/piece_hands.hpp"

#include <optional>

namespace lastwright {

namespace {

// The sample first: a piece that is not symmetric there need not be looked at elsewhere.
Result<PieceHands> hands_of(const StyleGrade& grade, std::size_t piece, const std::vector<PieceLook>& looks) {
  const PieceSpec& spec = grade.pieces[piece].bound.spec;
  PieceHands hands;
  hands.piece = spec.name;
  hands.stated = spec.hand;
  std::size_t worst = grade.base_cell();
  hands.mirror = looks[worst].mirror.value_or(0.0);
  for (std::size_t k = looks.size(); k-- > 0;) {
    for (const std::optional<Problem>& fault : {looks[k].cut_fault, looks[k].features_fault}) {
      if (fault) return *fault;
    }
    if (looks[k].mirror && *looks[k].mirror > hands.mirror) {
      worst = k;
      hands.mirror = *looks[k].mirror;
    }
  }
  const Result<GradedPiece> cut = grade.cut_piece(piece, worst);
  if (!cut) return cut.problem();
  if (!looks[worst].mirror) hands.mirror = mirror_deviation(*cut);
  hands.where = grade.cells[worst];
  hands.choice = choose_hands(spec, die_shape_of(*cut), hands.mirror, false);
  if (hands.choice.mode == HandMode::kPair) {
    hands.mirrored = spec.per_pair / 2;
    hands.drawn = spec.per_pair - hands.mirrored;
  } else {
    hands.either = spec.per_pair;
  }
  return hands;
}

}  // namespace

double mirror_deviation(const GradedPiece& cut) {
  const DieShape shape = die_shape_of(cut);
  for (const GradedLine& line : cut.lines) {
    if (line.operation != Operation::kFold || line.path.size() != 1) continue;
    const double about = mirror_deviation(shape, line.path.vertices[0].at, line.path.vertices[1].at);
    if (about <= kMirrorImage.value()) return about;
  }
  return mirror_deviation(shape);
}

Result<std::vector<PieceHands>> piece_hands(const StyleGrade& grade, const StyleLooks& looks) {
  std::vector<PieceHands> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    Result<PieceHands> one = hands_of(grade, p, looks[p]);
    if (!one) return one.problem();
    all.push_back(*std::move(one));
  }
  return all;
}

void add_hand_findings(const std::vector<PieceHands>& all, std::vector<StyleFinding>& findings) {
  for (const PieceHands& hands : all) {
    const bool symmetric = hands.choice.mode == HandMode::kSymmetric;
    StyleFinding finding{"hand", hands.piece,     symmetric ? hands.mirror : 0.0, {}, "mm", "",
                         true,   hands.choice.why};
    if (symmetric) {
      finding.subject += ", symmetric";
    } else {
      finding.subject += hands.choice.mode == HandMode::kTurned ? ", reversible" : ", handed";
    }
    if (hands.stated == Hand::kSymmetric) {
      finding.worst = hands.mirror;
      finding.limit = kMirrorImage.value();
      finding.passed = symmetric;
      finding.where = where(hands.where);
    }
    findings.push_back(std::move(finding));
  }
}

}  // namespace lastwright
