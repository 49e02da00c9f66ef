#include "grading/piece_hands.hpp"

#include <algorithm>
#include <atomic>
#include <future>
#include <optional>
#include <thread>

namespace lastwright {

namespace {

// A piece that is cut double is looked at about its fold.
double deviation(const GradedPiece& cut, const DieShape& shape) {
  for (const GradedLine& line : cut.lines) {
    if (line.operation != Operation::kFold || line.path.size() != 1) continue;
    const double about = mirror_deviation(shape, line.path.vertices[0].at, line.path.vertices[1].at);
    if (about <= kMirrorImage.value()) return about;
  }
  return mirror_deviation(shape);
}

// The sample first: a piece that is not symmetric there need not be looked at elsewhere.
Result<PieceHands> hands_of(const StyleGrade& grade, std::size_t piece) {
  const PieceSpec& spec = grade.pieces[piece].bound.spec;
  PieceHands hands;
  hands.piece = spec.name;
  hands.stated = spec.hand;
  for (std::size_t k = grade.cells.size(); k-- > 0;) {
    if (grade.pieces[piece].drawn_as[k] != k) continue;  // tied: looked at where it is made
    const Result<GradedPiece> cut = grade.cut_piece(piece, k);
    if (!cut) return cut.problem();
    const DieShape shape = die_shape_of(*cut);
    const double mirror = deviation(*cut, shape);
    if (k + 1 == grade.cells.size() || mirror > hands.mirror) {
      hands.mirror = mirror;
      hands.where = grade.cells[k];
      hands.choice = choose_hands(spec, shape, mirror, false);
    }
    if (hands.choice.mode != HandMode::kSymmetric) break;
  }
  if (hands.choice.mode == HandMode::kPair) {
    hands.mirrored = spec.per_pair / 2;
    hands.drawn = spec.per_pair - hands.mirrored;
  } else {
    hands.either = spec.per_pair;
  }
  return hands;
}

}  // namespace

Result<std::vector<PieceHands>> piece_hands(const StyleGrade& grade, const PieceHandsOptions& options) {
  const std::size_t pieces = grade.pieces.size();
  std::vector<std::optional<Result<PieceHands>>> found(pieces);
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t p = next++; p < pieces; p = next++) found[p] = hands_of(grade, p);
  };
  const std::size_t cores =
      options.threads > 0 ? options.threads : std::max(1u, std::thread::hardware_concurrency());
  std::vector<std::future<void>> workers;
  for (std::size_t k = 1; k < std::min(cores, pieces); ++k)
    workers.push_back(std::async(std::launch::async, work));
  work();
  for (std::future<void>& worker : workers) worker.get();
  std::vector<PieceHands> all;
  for (std::optional<Result<PieceHands>>& one : found) {
    if (!*one) return one->problem();
    all.push_back(std::move(*one).value());
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

JudgedStyle judge_style(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                        const PieceHandsOptions& options) {
  JudgedStyle judged;
  judged.findings = check_style(style, grade, table, style_check_options(style));
  if (Result<std::vector<PieceHands>> hands = piece_hands(grade, options)) judged.hands = *std::move(hands);
  add_hand_findings(judged.hands, judged.findings);
  return judged;
}

}  // namespace lastwright
