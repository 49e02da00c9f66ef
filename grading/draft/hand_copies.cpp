#include "grading/draft/hand_copies.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/map/point_fit.hpp"

namespace lastwright {

namespace {

constexpr double kCopied = 0.1;              // mm: a copy that was drawn by mirroring misses by far less
constexpr double kSameMark = 2.0 * kCopied;  // mm: a mark is measured from an outline that may miss
constexpr double kApart = 5.0;               // mm between their middles: copies in one place are other pieces

// Without the words for a hand and the number of a second one.
std::string without_hand(const std::string& name) {
  std::string out;
  std::string word;
  const auto flush = [&] {
    if (word != "left" && word != "right" && word != "l" && word != "r" && word != "lh" && word != "rh")
      out += word + " ";
    word.clear();
  };
  for (const char c : name) {
    if (c == ' ' || c == '-' || c == '.') {
      flush();
    } else if (c < '0' || c > '9') {
      word += c;
    }
  }
  flush();
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

std::vector<Vec2> all_samples(const DraftPiece& piece, std::size_t from, bool forward) {
  std::vector<Vec2> all;
  const std::size_t n = piece.edges.size();
  for (std::size_t k = 0; k < n; ++k) {
    const std::size_t e = forward ? (from + k) % n : (from + n - k) % n;
    for (std::size_t s = 0; s < kDraftSamples; ++s)
      all.push_back(piece.edges[e].samples[forward ? s : kDraftSamples - s]);
  }
  return all;
}

// The one, or its mirror image, laid on the other as nearly as it goes.
PointFit nearest_lie(const DraftPiece& one, const DraftPiece& other, bool mirrored) {
  PointFit least;
  least.worst = INFINITY;
  const std::vector<Vec2> still = all_samples(other, 0, true);
  for (std::size_t from = 0; from < one.edges.size(); ++from) {
    const std::vector<Vec2> moving = all_samples(one, from, !mirrored);
    std::vector<PointOnPoint> pairs;
    for (std::size_t i = 0; i < still.size(); ++i) pairs.push_back({moving[i], still[i]});
    if (const PointFit fit = fit_points(pairs, mirrored); fit.worst < least.worst) least = fit;
  }
  return least;
}

// What is drawn in one of the two alone, the first moved onto the second; empty: nothing.
std::string odd_mark(const DraftPiece& one, const DraftPiece& other, const PlaneAffine& motion) {
  std::vector<DraftMark> left = other.marks;
  for (const DraftMark& mark : one.marks) {
    const auto same = std::find_if(left.begin(), left.end(), [&](const DraftMark& there) {
      return there.what == mark.what && distance(there.at, motion.point(mark.at)) <= kSameMark &&
             std::abs(there.size - mark.size) <= kSameMark;
    });
    if (same == left.end())
      return fmt::format("a {} at ({:.1f}, {:.1f}) of {}", mark.what, mark.at.x, mark.at.y, one.name);
    left.erase(same);
  }
  if (left.empty()) return "";
  return fmt::format("a {} at ({:.1f}, {:.1f}) of {}", left.front().what, left.front().at.x,
                     left.front().at.y, other.name);
}

std::optional<HandCopy> copy_of(const DraftPiece& one, const DraftPiece& other) {
  if (without_hand(one.name) != without_hand(other.name)) return std::nullopt;
  if (one.edges.size() != other.edges.size() || std::abs(one.area - other.area) > 1e-3 * other.area)
    return std::nullopt;
  const auto middle = [](const DraftPiece& piece) {
    Vec2 sum;
    for (const Vec2 p : piece.polygon) sum += p / static_cast<double>(piece.polygon.size());
    return sum;
  };
  if (distance(middle(one), middle(other)) < kApart) return std::nullopt;
  const PointFit mirrored = nearest_lie(one, other, true);
  if (mirrored.worst > kCopied || nearest_lie(one, other, false).worst <= 3.0 * kCopied) return std::nullopt;
  return HandCopy{one.name, other.name, mirrored.worst, odd_mark(one, other, mirrored.motion)};
}

}  // namespace

std::vector<HandCopy> take_hand_copies(std::vector<DraftPiece>& pieces, std::vector<PieceSpec>& style) {
  std::vector<HandCopy> copies;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    for (std::size_t i = 0; i < k; ++i) {
      const std::optional<HandCopy> copy = copy_of(pieces[k], pieces[i]);
      if (!copy) continue;
      copies.push_back(*copy);
      if (!copy->odd.empty()) continue;
      const std::size_t gone = pieces[k].index;
      style.erase(style.begin() + static_cast<std::ptrdiff_t>(gone));
      pieces.erase(pieces.begin() + static_cast<std::ptrdiff_t>(k));
      for (DraftPiece& piece : pieces) {
        if (piece.index > gone) --piece.index;
      }
      --k;
      break;
    }
  }
  return copies;
}

bool tell_copies(const std::vector<HandCopy>& copies, std::vector<Proposed>& proposed) {
  bool left_out = false;
  for (const HandCopy& copy : copies) {
    const std::string same =
        fmt::format("{} is the mirror image of {} within {:.3f} mm", copy.name, copy.of, copy.residual);
    if (copy.odd.empty()) {
      left_out = true;
      proposed.push_back({Sureness::kLikely,
                          same + ", its other hand: left out, because a handed piece is cut for both feet",
                          ""});
    } else {
      proposed.push_back({Sureness::kGuess,
                          fmt::format("{}, but {} is in one of them only: both stay. If they are the two "
                                      "hands of one piece, draw it in both and take one of them out, for "
                                      "a handed piece is cut for both feet",
                                      same, copy.odd),
                          ""});
    }
  }
  return left_out;
}

}  // namespace lastwright
