#include "grading/style/piece_spec.hpp"

#include <algorithm>

#include "grading/style/style.hpp"

namespace lastwright {

const char* name_of(Treatment treatment) {
  switch (treatment) {
    case Treatment::kRaw:
      return "raw";
    case Treatment::kLasting:
      return "lasting";
    case Treatment::kLap:
      return "lap";
    case Treatment::kFold:
      return "fold";
    case Treatment::kClosedSeam:
      return "closed seam";
    case Treatment::kOpenSeam:
      return "open seam";
    case Treatment::kBound:
      return "bound";
    case Treatment::kBagged:
      return "bagged";
    case Treatment::kTrim:
      return "trim";
  }
  return "raw";
}

const char* name_of(CornerForm form) {
  switch (form) {
    case CornerForm::kFull:
      return "full";
    case CornerForm::kMitre:
      return "mitre";
    case CornerForm::kSquare:
      return "square";
    case CornerForm::kStep:
      return "step";
    case CornerForm::kRound:
      return "round";
  }
  return "mitre";
}

const char* name_of(Hand hand) {
  switch (hand) {
    case Hand::kHanded:
      return "handed";
    case Hand::kSymmetric:
      return "symmetric";
    case Hand::kReversible:
      return "reversible";
  }
  return "handed";
}

const char* name_of(Sureness sureness) {
  switch (sureness) {
    case Sureness::kSure:
      return "sure";
    case Sureness::kLikely:
      return "likely";
    case Sureness::kGuess:
      return "guess";
  }
  return "guess";
}

const char* name_of(FormeRole role) {
  return role == FormeRole::kUpper ? "upper" : "bottom";
}

std::optional<FormeRole> role_of(const FormeSpec& forme) {
  if (forme.stated_role) return forme.stated_role;
  if (forme.name == "shell") return FormeRole::kUpper;
  if (forme.name == "bottom") return FormeRole::kBottom;
  return std::nullopt;
}

const char* name_of(Drawn drawn) {
  return drawn == Drawn::kNet ? "net" : "cut";
}

const EdgeSpec* find_edge(const PieceSpec& piece, const std::string& name) {
  const auto found = std::find_if(piece.edges.begin(), piece.edges.end(),
                                  [&](const EdgeSpec& one) { return one.name == name; });
  return found == piece.edges.end() ? nullptr : &*found;
}

}  // namespace lastwright
