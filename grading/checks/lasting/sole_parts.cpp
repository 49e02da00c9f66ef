#include "grading/checks/lasting/sole_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "grading/checks/girths/extent_along.hpp"
#include "grading/checks/lasting/overhang.hpp"
#include "grading/checks/lasting/sole_check.hpp"
#include "grading/pieces/mirror.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kOfBaseLine = 0.8;      // of the base line: what is shorter is no insole
constexpr double kBeyondInsole = 3.0;    // mm; common practice: a sock is cut to the insole, or little larger
constexpr double kWidestWrap = 25.0;     // mm; common practice: a cover turns over the edge
constexpr double kNearerMirrored = 3.0;  // times

// Nodes and middles along an outline, a few hundred at most.
std::vector<Vec2> places_along(const ClosedArcPath& path) {
  constexpr std::size_t kMost = 128;
  const std::size_t step = path.size() / kMost + 1;
  std::vector<Vec2> places;
  for (std::size_t i = 0; i < path.size(); i += step) {
    for (const double t : {0.0, 0.5}) places.push_back(path.segment(i).point_at(t));
  }
  return places;
}

double farthest_out(const std::vector<Vec2>& places, const ClosedArcPath& insole, Vec2 by) {
  double most = 0.0;
  for (const Vec2 p : places) {
    if (!contains(insole, p + by)) most = std::max(most, distance_to(insole, p + by));
  }
  return most;
}

// The least that places run out of the insole by, shifted across it by up to this much.
double least_overhang(const std::vector<Vec2>& places, const ClosedArcPath& insole, Vec2 across) {
  constexpr int kSteps = 16;
  constexpr double kStep = 0.75;  // mm
  double least = INFINITY;
  for (int i = -kSteps; i <= kSteps; ++i)
    least = std::min(least, farthest_out(places, insole, i * kStep * across));
  return least;
}

// What is allowed beyond the insole by what a piece is called.
double allowed_beyond(const std::string& name) {
  const std::string small = small_letters(name);
  for (const char* word : {"cover", "wrap", "platform"}) {
    if (small.find(word) != std::string::npos) return kWidestWrap;
  }
  const auto says = [&](const char* word) { return small.find(word) != std::string::npos; };
  // The heel stands out as far as the sole does.
  const bool of_heel = says("lift") || says("top piece") || (says("heel") && !says("sock") && !says("pad"));
  const SoleName what = sole_name(name);
  return of_heel || what == SoleName::kSole || what == SoleName::kEdge ? kWidestRim : 0.0;
}

class BottomParts {
 public:
  BottomParts(const StyleGrade& grade, std::size_t forme)
      : grade_(grade), along_(base_direction(grade.formes[forme].map.forme())) {
    const FormeSpec& spec = grade.formes[forme].map.forme();
    line_ = drawn_place(spec, spec.base_line.first);
    const double line = distance(line_, drawn_place(spec, spec.base_line.second));
    double longest = 0.0;
    for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
      if (grade.pieces[p].forme != forme || grade.pieces[p].bound.spec.fold) continue;
      pieces_.push_back({p, grade.drawn_piece(p, grade.base_cell()).net.path});
      longest = std::max(longest, long_along(pieces_.back().path));
    }
    if (longest < kOfBaseLine * line) {
      pieces_.clear();
      return;
    }
    for (Part& part : pieces_) {
      part.whole = long_along(part.path) >= kAsLong * longest;
      if (!part.whole) continue;
      if (insole_ == nullptr ||
          (sole_name(name(part)) == SoleName::kInsole && sole_name(name(*insole_)) != SoleName::kInsole))
        insole_ = &part;
    }
  }

  void find(std::vector<StyleFinding>& all) const {
    for (const Part& part : pieces_) {
      if (!part.whole) judge(part, all);
    }
  }

 private:
  struct Part {
    std::size_t piece = 0;
    ClosedArcPath path;
    bool whole = false;  // as long as the insole
  };
  [[nodiscard]] const std::string& name(const Part& part) const {
    return grade_.pieces[part.piece].bound.spec.name;
  }
  [[nodiscard]] double long_along(const ClosedArcPath& path) const {
    const ExtentAlong extent = extent_along(path, along_);
    return extent.high - extent.low;
  }

  void judge(const Part& part, std::vector<StyleFinding>& all) const {
    const Overhang insole = overhang(part.path, insole_->path);
    if (insole.by <= kOverhang) return;
    Overhang least = insole;
    bool beside = true;  // nothing of it lies on any
    for (const Part& other : pieces_) {
      if (!other.whole) continue;
      if (const Overhang here = overhang(part.path, other.path); here.by < least.by) least = here;
      beside = beside && !lies_on(part.path, other.path);
    }
    const double allowed = allowed_beyond(name(part));
    const std::string subject = name(*insole_) + ": " + name(part);
    if (beside && sole_name(name(part)) != SoleName::kEdge) {
      all.push_back(doubtful_finding(
          "sole place", subject, insole.by, "mm",
          fmt::format(
              "is how far {} lies from {}, and nothing of it lies on a piece as long as the bottom: is "
              "it meant for another forme, or drawn elsewhere on its sheet? State \"lies\"",
              name(part), name(*insole_))));
      return;
    }
    if (insole.by <= allowed) return;
    if (allowed == 0.0 && turned_over(part, subject, insole, all)) return;
    const bool of_all = least.by > std::max(kOverhang, allowed);
    if (!of_all && insole.by <= std::max(kBeyondInsole, allowed)) return;
    all.push_back(doubtful_finding(
        "sole place", subject, insole.by, "mm",
        fmt::format("is how far {} runs out beyond {}, at ({:.1f}, {:.1f}): is it laid elsewhere than it is "
                    "meant, drawn in another size, or turned over?",
                    name(part), name(*insole_), insole.at.x, insole.at.y)));
  }

  [[nodiscard]] static bool lies_on(const ClosedArcPath& part, const ClosedArcPath& whole) {
    for (std::size_t i = 0; i < part.size(); ++i) {
      if (contains(whole, part.segment(i).a)) return true;
    }
    return false;
  }

  bool turned_over(const Part& part, const std::string& subject, const Overhang& insole,
                   std::vector<StyleFinding>& all) const {
    const Vec2 across = left_of(along_);
    const std::vector<Vec2> places = places_along(part.path);
    const auto image = [&](Vec2 on) {
      std::vector<Vec2> turned_places = places;
      for (Vec2& p : turned_places) p = Mirror{on, along_}(p);
      return turned_places;
    };
    const double in_line = farthest_out(image(line_), insole_->path, {});
    const double drawn = least_overhang(places, insole_->path, across);
    const double mirrored = least_overhang(image(bounds(part.path).centre()), insole_->path, across);
    std::string found;
    if (in_line <= kOverhang)
      found = fmt::format("its mirror image in the base line by {:.2f} mm", in_line);
    else if (drawn > kOverhang && kNearerMirrored * mirrored <= drawn)
      found = fmt::format("shifted across it by {:.2f} mm at least, and its mirror image by {:.2f} mm", drawn,
                          mirrored);
    else
      return false;
    all.push_back(doubtful_finding(
        "sole hand", subject, insole.by, "mm",
        fmt::format("is how far {} runs out beyond {}, at ({:.1f}, {:.1f}); {}: it is drawn turned over, or "
                    "for the other foot",
                    name(part), name(*insole_), insole.at.x, insole.at.y, found)));
    return true;
  }

  const StyleGrade& grade_;
  Vec2 along_;  // the base line
  Vec2 line_;   // its first end
  std::vector<Part> pieces_;
  const Part* insole_ = nullptr;
};

// A piece that is cut left and right, for a foot that is stated.
struct StatedSole {
  const PieceSpec* piece;
  std::string foot;
};

std::vector<StatedSole> stated_soles(const StyleSpec& style, const FormeSpec& forme,
                                     const std::vector<PieceHands>& hands,
                                     const std::vector<StyleFinding>& findings) {
  std::vector<StatedSole> all;
  for (const PieceSpec& piece : style.pieces) {
    const std::string foot = drawn_foot_of(style, piece);
    if (piece.forme != forme.name || piece.fold || !one_foot(foot)) continue;
    const auto found = std::find_if(hands.begin(), hands.end(),
                                    [&](const PieceHands& one) { return one.piece == piece.name; });
    const bool handed =
        found == hands.end() ? piece.hand == Hand::kHanded : found->choice.mode == HandMode::kPair;
    const bool turned = std::any_of(findings.begin(), findings.end(), [&](const StyleFinding& one) {
      return one.check == "sole hand" && one.subject.ends_with(": " + piece.name);
    });
    if (handed && !turned) all.push_back({&piece, foot});
  }
  return all;
}

}  // namespace

std::vector<StyleFinding> check_sole_parts(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  for (std::size_t f = 0; f < grade.formes.size(); ++f) {
    if (role_of(grade.formes[f].map.forme()) == FormeRole::kBottom) BottomParts(grade, f).find(all);
  }
  return all;
}

void add_sole_feet(const StyleSpec& style, const std::vector<PieceHands>& hands,
                   std::vector<StyleFinding>& findings) {
  for (const FormeSpec& forme : style.formes) {
    if (role_of(forme) != FormeRole::kBottom) continue;
    const std::vector<StatedSole> soles = stated_soles(style, forme, hands, findings);
    const auto left =
        std::count_if(soles.begin(), soles.end(), [](const StatedSole& one) { return one.foot == "left"; });
    const auto right = static_cast<std::ptrdiff_t>(soles.size()) - left;
    if (left == 0 || right == 0) continue;
    const auto insole = std::find_if(soles.begin(), soles.end(), [](const StatedSole& one) {
      return sole_name(one.piece->name) == SoleName::kInsole;
    });
    const std::string of_first = insole == soles.end() ? soles.front().foot : insole->foot;
    const std::string usual = left == right ? of_first : left > right ? "left" : "right";
    const auto as_most = [&](const StatedSole& one) { return one.foot == usual; };
    const auto like = insole != soles.end() && as_most(*insole)
                          ? insole
                          : std::find_if(soles.begin(), soles.end(), as_most);
    for (const StatedSole& one : soles) {
      if (as_most(one)) continue;
      findings.push_back(doubtful_finding(
          "sole feet", like->piece->name + ": " + one.piece->name, 1.0, "piece",
          fmt::format(
              "{} is drawn for the {} foot and {}, on the same forme, for the {}: as they lie they "
              "are for one foot, and those marked L do not go into one shoe; check \"drawn_foot\". Cut "
              "with its good side down it is for the other foot, and then that is meant",
              like->piece->name, like->foot, one.piece->name, one.foot)));
    }
  }
}

}  // namespace lastwright
