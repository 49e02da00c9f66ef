#include "cli/report/piece_sheet_info.hpp"

namespace lastwright {

namespace {

const char* said(Hand hand) {
  switch (hand) {
    case Hand::kHanded:
      return "left and right, mirrored";
    case Hand::kSymmetric:
      return "the same left and right";
    case Hand::kReversible:
      return "reversible material, turned over";
  }
  return "";
}

}  // namespace

PieceSheetInfo piece_sheet_info(const PieceSpec& piece, const std::string& style) {
  PieceSheetInfo info;
  info.style = style;
  info.material = piece.material;
  info.hand = said(piece.hand);
  info.per_pair = piece.per_pair;
  for (const EdgeSpec& edge : piece.edges) {
    if (edge.name == piece.fold) {
      info.edges.push_back({edge.name, "cut double", 0.0});
    } else {
      info.edges.push_back({edge.name, name_of(edge.treatment), edge.allowance.value()});
    }
  }
  return info;
}

}  // namespace lastwright
