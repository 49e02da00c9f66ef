#include "grading/draft/hand_copies.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/map/point_fit.hpp"

namespace lastwright {

namespace {

constexpr double kCopied = 0.1;  // mm: a copy that was drawn by mirroring misses by far less
constexpr double kApart = 5.0;   // mm between their middles: copies in one place are other pieces

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

// How nearly the one, or its mirror image, can be laid on the other.
double least_miss(const DraftPiece& one, const DraftPiece& other, bool mirrored) {
  double least = INFINITY;
  const std::vector<Vec2> still = all_samples(other, 0, true);
  for (std::size_t from = 0; from < one.edges.size(); ++from) {
    const std::vector<Vec2> moving = all_samples(one, from, !mirrored);
    std::vector<PointOnPoint> pairs;
    for (std::size_t i = 0; i < still.size(); ++i) pairs.push_back({moving[i], still[i]});
    least = std::min(least, fit_points(pairs, mirrored).worst);
  }
  return least;
}

std::optional<double> copy_of(const DraftPiece& one, const DraftPiece& other) {
  if (without_hand(one.name) != without_hand(other.name)) return std::nullopt;
  if (one.edges.size() != other.edges.size() || std::abs(one.area - other.area) > 1e-3 * other.area)
    return std::nullopt;
  const auto middle = [](const DraftPiece& piece) {
    Vec2 sum;
    for (const Vec2 p : piece.polygon) sum += p / static_cast<double>(piece.polygon.size());
    return sum;
  };
  if (distance(middle(one), middle(other)) < kApart) return std::nullopt;
  const double mirrored = least_miss(one, other, true);
  if (mirrored > kCopied || least_miss(one, other, false) <= 3.0 * kCopied) return std::nullopt;
  return mirrored;
}

}  // namespace

std::vector<HandCopy> take_hand_copies(std::vector<DraftPiece>& pieces, std::vector<PieceSpec>& style) {
  std::vector<HandCopy> copies;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    for (std::size_t i = 0; i < k; ++i) {
      const std::optional<double> residual = copy_of(pieces[k], pieces[i]);
      if (!residual) continue;
      copies.push_back({pieces[k].name, pieces[i].name, *residual});
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

}  // namespace lastwright
