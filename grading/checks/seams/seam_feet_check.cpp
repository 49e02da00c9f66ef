#include "grading/checks/seams/seam_feet_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"
#include "grading/style/seam_feet.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

using FaultKind = SeamFeetFault::Kind;

class FeetTeller {
 public:
  explicit FeetTeller(const StyleSpec& style) : style_(style) {}

  [[nodiscard]] std::string note(const SeamFeetFault& fault) const {
    const bool mirrored = style_.seams[fault.seam].mirrored;
    const std::string seam_is = mirrored ? "the seam is mirrored" : "the seam is not mirrored";
    switch (fault.kind) {
      case FaultKind::kStated:
        return fmt::format("{}, {}, and {}: the two that are marked L do not go into one shoe; {}",
                           foot(fault.one), foot(fault.other), seam_is, way_out(fault));
      case FaultKind::kRound:
        return fmt::format("{}, {}, and {}, which does not go with {} and the feet that are stated; {}",
                           foot(fault.one), foot(fault.other), seam_is, through(fault), way_out(fault));
      case FaultKind::kLoop:
        return fmt::format(
            "no feet of its pieces go with it: {}{}, and the seams back from {} to {} ({}) say the "
            "contrary; check \"mirrored\" of each",
            seam_is,
            mirrored ? ", so that they are drawn for unlike feet" : ", so that they are drawn for one foot",
            name(fault.other), name(fault.one), fault.through.empty() ? "it is one piece" : through(fault));
      case FaultKind::kBoth:
        return fmt::format(
            "{}, {}, and a pair takes {} of it: half of them would have nothing to be sewn to; state "
            "\"drawn_foot\": \"both\" in {}, or check \"per_pair\"",
            foot(fault.one), foot(fault.other), style_.pieces[fault.other].per_pair, name(fault.other));
    }
    return "";
  }

 private:
  [[nodiscard]] const std::string& name(std::size_t piece) const { return style_.pieces[piece].name; }
  [[nodiscard]] std::string foot(std::size_t piece) const {
    const PieceSpec& spec = style_.pieces[piece];
    const std::string drawn = drawn_foot_of(style_, spec);
    if (drawn.empty()) return fmt::format("which foot is drawn of {} is not stated", spec.name);
    if (drawn == "both") return fmt::format("each shoe takes both hands of {}", spec.name);
    return fmt::format("{} is drawn for the {} foot{}", spec.name, drawn,
                       spec.drawn_foot.empty() ? ", as the style says of all" : "");
  }
  [[nodiscard]] std::string through(const SeamFeetFault& fault) const {
    std::vector<std::string> names;
    for (const std::size_t seam : fault.through)
      names.push_back(style_.seams[seam].name + (style_.seams[seam].mirrored ? ", mirrored" : ""));
    return names.empty() ? "" : fmt::format("{}", fmt::join(names, "; "));
  }
  // What to state, the pieces of which a pair takes enough for both hands in each shoe first.
  [[nodiscard]] std::string way_out(const SeamFeetFault& fault) const {
    std::string words;
    for (const std::size_t piece : {fault.one, fault.other}) {
      if (may_be_both(style_.pieces[piece]))
        words += fmt::format(
            "state \"drawn_foot\": \"both\" in {} if each shoe takes as many of it as drawn as "
            "mirrored; or ",
            name(piece));
    }
    std::vector<std::string> other;
    for (const std::size_t piece : {fault.one, fault.other}) {
      const std::string drawn = drawn_foot_of(style_, style_.pieces[piece]);
      if (one_foot(drawn))
        other.push_back(
            fmt::format("\"drawn_foot\": \"{}\" in {}", drawn == "left" ? "right" : "left", name(piece)));
    }
    if (!other.empty()) words += fmt::format("state {}; or ", fmt::join(other, " or "));
    return words +
           (style_.seams[fault.seam].mirrored
                ? "leave \"mirrored\" out of the seam, if neither is cut as its mirror image to be sewn here"
                : "state \"mirrored\": true in the seam, if one is cut as its mirror image to be sewn here");
  }

  const StyleSpec& style_;
};

// By piece: whether it is cut left and right.
std::vector<bool> cut_left_and_right(const StyleSpec& style, const std::vector<PieceHands>& hands) {
  std::vector<bool> handed;
  for (const PieceSpec& piece : style.pieces) {
    const auto found = std::find_if(hands.begin(), hands.end(),
                                    [&](const PieceHands& one) { return one.piece == piece.name; });
    handed.push_back(found == hands.end() ? piece.hand == Hand::kHanded
                                          : found->choice.mode == HandMode::kPair);
  }
  return handed;
}

StyleFinding failed_finding(std::string subject, double worst, std::string note) {
  StyleFinding finding;
  finding.check = "seam feet";
  finding.subject = std::move(subject);
  finding.worst = worst;
  finding.limit = 0.0;
  finding.unit = "contradicted";
  finding.passed = false;
  finding.note = std::move(note);
  return finding;
}

// Once for each two layers: pieces that lie on each other, both for the foot that the style states of all.
void tell_layers(const StyleSpec& style, const std::vector<bool>& handed,
                 std::vector<StyleFinding>& findings) {
  std::set<std::pair<std::string, std::string>> told;
  const auto index_of = [&](const SeamSide& side) {
    const auto found = std::find_if(style.pieces.begin(), style.pieces.end(),
                                    [&](const PieceSpec& piece) { return piece.name == side.piece; });
    return static_cast<std::size_t>(found - style.pieces.begin());
  };
  if (style.drawn_foot.empty()) return;
  for (const SeamSpec& seam : style.seams) {
    const std::size_t p = index_of(seam.one);
    const std::size_t q = index_of(seam.other);
    const auto silent = [&](std::size_t piece) {
      return piece < handed.size() && handed[piece] && !style.pieces[piece].fold &&
             style.pieces[piece].drawn_foot.empty() && !style.pieces[piece].layer.empty();
    };
    if (!silent(p) || !silent(q) || seam.mirrored) continue;
    const PieceSpec& one = style.pieces[p];
    const PieceSpec& other = style.pieces[q];
    if (one.layer == other.layer || !told.insert(std::minmax(one.layer, other.layer)).second) continue;
    findings.push_back(doubtful_finding(
        "seam feet", seam.name, 1.0, "seam",
        fmt::format(
            "{} of the layer {} and {} of {} are drawn for the {} foot as the style says of all: cut good "
            "side up, what lies with its good side to the foot, as a lining does, is for the other foot "
            "than what it lies on; state \"drawn_foot\" of such pieces by themselves",
            one.name, one.layer, other.name, other.layer, style.drawn_foot)));
  }
}

}  // namespace

void add_seam_feet(const StyleSpec& style, const std::vector<PieceHands>& hands,
                   std::vector<StyleFinding>& findings) {
  const std::vector<bool> handed = cut_left_and_right(style, hands);
  const FeetTeller teller(style);
  std::vector<std::pair<SeamFeetFault, std::vector<std::string>>>
      told;  // and further seams of the two pieces
  for (const SeamFeetFault& fault : seam_feet_faults(style, handed)) {
    const bool mirrored = style.seams[fault.seam].mirrored;
    const auto same = std::find_if(told.begin(), told.end(), [&](const auto& one) {
      const auto ends = [](const SeamFeetFault& of) { return std::minmax(of.one, of.other); };
      return one.first.kind == fault.kind && ends(one.first) == ends(fault) &&
             style.seams[one.first.seam].mirrored == mirrored;
    });
    if (same == told.end()) {
      told.push_back({fault, {}});
    } else {
      same->second.push_back(style.seams[fault.seam].name);
    }
  }
  for (const auto& [fault, more] : told) {
    std::string note = teller.note(fault);
    if (!more.empty()) note += fmt::format(" (and so of {})", fmt::join(more, ", "));
    findings.push_back(
        failed_finding(style.seams[fault.seam].name, static_cast<double>(1 + more.size()), std::move(note)));
  }
  for (std::size_t p = 0; p < style.pieces.size(); ++p) {
    const PieceSpec& piece = style.pieces[p];
    if (piece.drawn_foot.empty()) continue;
    if (!handed[p]) {
      findings.push_back(doubtful_finding(
          "seam feet", piece.name, 1.0, "stated",
          fmt::format("\"drawn_foot\": \"{}\" counts for nothing: the piece is cut alike for both feet",
                      piece.drawn_foot)));
    } else if (piece.drawn_foot == "both" && !may_be_both(piece)) {
      findings.push_back(failed_finding(
          piece.name, 1.0,
          fmt::format(
              "\"drawn_foot\": \"both\" says that each shoe takes as many as drawn as mirrored, and a pair "
              "takes {}: then \"per_pair\" is 4, 8, 12 ...",
              piece.per_pair)));
    }
  }
  tell_layers(style, handed, findings);
}

}  // namespace lastwright
