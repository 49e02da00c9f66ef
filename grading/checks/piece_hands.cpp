#include "grading/checks/piece_hands.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

namespace lastwright {

namespace {

// The cell in which a piece is farthest from its mirror image: the sample where it is not symmetric there,
// for then it need not be cut in any other. Fails where a symmetric one cannot be cut.
Result<std::size_t> least_symmetric(const PreparedPiece& piece, const std::vector<PieceLook>& looks) {
  std::size_t worst = looks.size() - 1;  // the base
  const auto measured = [](const PieceLook& look) { return look.mirror.has_value(); };
  if (std::none_of(looks.begin(), looks.end(), measured)) return worst;
  for (std::size_t k = looks.size(); k-- > 0;) {
    const PieceLook& look = looks[k];
    if (piece.drawn_as[k] != k) continue;  // tied: measured where it is made
    if (!look.mirror) return look.features_fault ? *look.features_fault : look.cut_fault.value();
    if (!looks[worst].mirror || *look.mirror > *looks[worst].mirror) worst = k;
  }
  return worst;
}

Result<PieceHands> hands_of(const StyleGrade& grade, std::size_t piece, const std::vector<PieceLook>& looks) {
  const PieceSpec& spec = grade.pieces[piece].bound.spec;
  const Result<std::size_t> worst = least_symmetric(grade.pieces[piece], looks);
  if (!worst) return worst.problem();
  const Result<GradedPiece> cut = grade.cut_piece(piece, *worst);
  if (!cut) return cut.problem();
  const std::optional<double>& mirror = looks[*worst].mirror;
  PieceHands hands;
  hands.piece = spec.name;
  hands.stated = spec.hand;
  hands.mirror = mirror ? *mirror : mirror_deviation(*cut);
  hands.where = grade.cells[*worst];
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
    StyleFinding finding{"hand", hands.piece,     symmetric ? hands.mirror : 0.0, {}, "mm", {},
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
      finding.where = hands.where;
    }
    if (hands.choice.mode == HandMode::kPair && hands.drawn != hands.mirrored) {
      finding.doubtful = true;
      finding.note = fmt::format(
          "\"per_pair\" {} of a piece with a left and a right: {} are cut as drawn and {} mirrored, so one "
          "shoe "
          "of the pair gets one more",
          hands.drawn + hands.mirrored, hands.drawn, hands.mirrored);
    }
    if (symmetric && (hands.drawn + hands.mirrored + hands.either) % 2 != 0) {
      finding.doubtful = true;
      finding.note = fmt::format("\"per_pair\" {} of a piece that both shoes need alike: one gets one more",
                                 hands.drawn + hands.mirrored + hands.either);
    }
    findings.push_back(std::move(finding));
  }
}

}  // namespace lastwright
