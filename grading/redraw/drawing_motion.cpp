#include "grading/redraw/drawing_motion.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "geometry/map/point_fit.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/place/piece_lie.hpp"
#include "grading/redraw/corner_match.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kRoundPlaces = 48;  // places of an outline that a first guess is made from

struct Sample {
  Vec2 at;  // of the new outline
  const OutlineTwin* of = nullptr;
  double weight = 1.0;
};

// The nearest place of the old outlines that it may be of.
struct Still {
  const OutlineRuler* on = nullptr;
  OutlineRuler::Foot foot;
};
Still still_of(const OutlineTwin& twin, Vec2 p) {
  Still best;
  for (const OutlineRuler* was : twin.was) {
    const OutlineRuler::Foot foot = was->nearest(p);
    if (best.on == nullptr || foot.distance < best.foot.distance) best = {was, foot};
  }
  return best;
}

DrawingPose pose_of(const PlaneAffine& motion) {
  DrawingPose sheet;
  sheet.mirrored = motion.mirrors();
  const Vec2 x = sheet.mirrored ? -motion.x_axis : motion.x_axis;
  sheet.turn = to_degrees(Radians(std::atan2(x.y, x.x)));
  constexpr double kWhole = 1e-7;  // degrees: a quarter turn but for rounding
  const double quarter = 90.0 * std::round(sheet.turn / 90.0);
  if (std::abs(sheet.turn - quarter) < kWhole) sheet.turn = quarter;
  if (sheet.turn == -180.0) sheet.turn = 180.0;
  sheet.by = motion.origin;
  return sheet;
}

PlaneAffine motion_of_parts(bool mirrored, double angle, Vec2 origin) {
  PlaneAffine motion;
  motion.x_axis = {std::cos(angle), std::sin(angle)};
  motion.y_axis = left_of(motion.x_axis);
  if (mirrored) motion.x_axis = -motion.x_axis;
  motion.origin = origin;
  return motion;
}

class DrawingMotionFinder {
 public:
  DrawingMotionFinder(const OutlineTwins& twins, double reach, const DrawingMarks& marks)
      : twins_(twins), reach_(reach), marks_(marks) {
    for (const OutlineTwin& twin : twins) {
      if (twin.was.empty()) continue;
      std::vector<Vec2> places = twin.now->samples(kRoundPlaces);
      for (Vec2& p : places) p = twin.now->nearest(p).at;  // exactly on it
      for (const Vec2 p : places) samples_.push_back({p, &twin, 1.0 / static_cast<double>(places.size())});
    }
  }

  Result<DrawingMotion> run() {
    if (samples_.empty()) return DrawingMotion{};
    std::vector<PlaneAffine> tried{PlaneAffine{}};
    tried.push_back(refined(PlaneAffine{}));
    const Score as_it_is = score(PlaneAffine{});
    // A sheet that nobody has moved is not searched for other ways to lie.
    if (as_it_is.same < 0.9 || marked(PlaneAffine{}) < 0.5) {
      constexpr std::size_t kMostGuesses = 80;
      std::size_t guesses = 0;
      for (const OutlineTwin& twin : twins_) {
        for (const OutlineRuler* was : twin.was) {
          if (++guesses <= kMostGuesses && !settled(tried)) guess(*was, *twin.now, tried);
        }
      }
    }
    std::vector<Score> scores;
    std::size_t best = 0;
    for (std::size_t i = 0; i < tried.size(); ++i) {
      scores.push_back(score(tried[i]));
      if (better(scores[i], scores[best])) best = i;
    }
    if (scores[best].near < 0.5) {
      Problem problem{
          Trouble::kGeometry,
          "the new drawing does not lie on the old one, however it is turned, mirrored or shifted: is it "
          "of the same pieces, under the same names of blocks or layers?",
          {},
          {},
          {}};
      return problem;
    }
    // Of those that lie as well, the one that brings clearly more of the marks where they were.
    std::vector<double> shares(tried.size(), 0.0);
    for (std::size_t i = 0; i < tried.size(); ++i) {
      if (!better(scores[best], scores[i])) shares[i] = marked(tried[i]);
    }
    for (std::size_t i = 0; i < tried.size(); ++i) {
      if (shares[i] > shares[best] + clear_marks()) best = i;
    }
    if (best != 0) {
      for (std::size_t i = 0; i < tried.size(); ++i) {
        if (alike(tried[i], tried[best]) || better(scores[best], scores[i])) continue;
        if (shares[i] < shares[best] - clear_marks()) continue;
        return Problem{Trouble::kGeometry,
                       fmt::format("the new drawing lies on the old one in two ways: {}, and {}",
                                   described(tried[best]), described(tried[i])),
                       {},
                       {},
                       {}};
      }
    }
    DrawingMotion out;
    out.same = scores[best].same;
    if (best == 0) return out;
    if (exactly(tried[best]) < kLeastExact) {
      return Problem{Trouble::kGeometry,
                     fmt::format("the sheet lies differently from the old one ({}), and too little of what "
                                 "is drawn on it is unchanged to tell how: lay it as the old one lies",
                                 described(tried[best])),
                     {},
                     {},
                     {}};
    }
    out.sheet = pose_of(tried[best]);
    out.motion = motion_of(*out.sheet);
    return out;
  }

 private:
  // Shares of the outlines, each counted alike however long it is.
  struct Score {
    double same = 0.0;  // on the old one
    double near = 0.0;  // within reach of it
    double off = 0.0;   // mm, mean of those within reach
  };

  // The share of the old marks at which a new one then lies; 1 where there are none, which tell nothing.
  [[nodiscard]] double clear_marks() const {  // one of few, a fifth of many
    return std::min(0.2, 0.6 / static_cast<double>(std::max<std::size_t>(1, marks_.was.size())));
  }
  [[nodiscard]] double marked(const PlaneAffine& motion) const {
    constexpr std::size_t kMost = 1000;
    if (marks_.was.empty() || marks_.now.empty() || marks_.was.size() > kMost || marks_.now.size() > kMost)
      return 1.0;
    std::size_t there = 0;
    for (const Vec2 was : marks_.was) {
      there += std::any_of(marks_.now.begin(), marks_.now.end(),
                           [&](Vec2 now) { return distance(motion.point(now), was) <= kSameDrawn; });
    }
    return static_cast<double>(there) / static_cast<double>(marks_.was.size());
  }

  // One of the motions already lays nearly everything as it lay: the ways in which it could lie otherwise
  // have been tried with it.
  [[nodiscard]] bool settled(const std::vector<PlaneAffine>& tried) const {
    return std::any_of(tried.begin() + 1, tried.end(), [&](const PlaneAffine& motion) {
      const Score reached = score(motion);
      return reached.near > 0.95 && reached.same > 0.6 && marked(motion) >= 0.5;
    });
  }

  static std::string described(const PlaneAffine& motion) {
    const DrawingPose sheet = pose_of(motion);
    return fmt::format("{}turned by {:.2f} degrees", sheet.mirrored ? "mirrored and " : "", sheet.turn);
  }

  [[nodiscard]] Score score(const PlaneAffine& motion) const {
    Score score;
    double weight = 0.0;
    for (const Sample& one : samples_) {
      const double off = still_of(*one.of, motion.point(one.at)).foot.distance;
      weight += one.weight;
      if (off <= kSameDrawn) score.same += one.weight;
      if (off > reach_) continue;
      score.near += one.weight;
      score.off += one.weight * off;
    }
    if (score.near > 0.0) score.off /= score.near;
    score.same /= weight;
    score.near /= weight;
    return score;
  }

  // The share of the outlines that then lies on the old ones but for the rounding of a drawing.
  static constexpr double kLeastExact =
      0.15;  // less may be chance: outlines that moved cross the old ones too
  [[nodiscard]] double exactly(const PlaneAffine& motion) const {
    constexpr double kRounding = 0.003;  // mm: half a hundredth, and what a curve is flattened by
    double exact = 0.0;
    double all = 0.0;
    for (const Sample& one : samples_) {
      all += one.weight;
      if (still_of(*one.of, motion.point(one.at)).foot.distance <= kRounding) exact += one.weight;
    }
    return exact / all;
  }

  // Clearly: as much else may be chance.
  static bool better(const Score& one, const Score& other) {
    constexpr double kClear = 0.08;
    if (one.same > other.same + kClear) return true;
    if (one.same < other.same - kClear) return false;
    if (one.near > other.near + kClear) return true;
    if (one.near < other.near - kClear) return false;
    // Nothing is the same on either: the nearer, by far.
    return one.same < kClear && one.off < 0.5 * other.off - kSameDrawn;
  }

  // Of two motions, whether the pieces come to lie the same.
  [[nodiscard]] bool alike(const PlaneAffine& one, const PlaneAffine& other, double limit = 1.0) const {
    return std::all_of(samples_.begin(), samples_.end(), [&](const Sample& sample) {
      return distance(one.point(sample.at), other.point(sample.at)) <= limit;
    });
  }

  void guess(const OutlineRuler& was, const OutlineRuler& now, std::vector<PlaneAffine>& tried) const {
    // A strap lies in four ways: all are tried where marks will tell which.
    const bool told = !marks_.was.empty() && !marks_.now.empty();
    const std::size_t most_kept = told ? 4 : 3;
    struct Fit {
      double off;
      PlaneAffine motion;
    };
    std::vector<Fit> fits;
    const auto place = [](const OutlineRuler& ruler, std::size_t k) {
      return ruler.at(ruler.length() * static_cast<double>(k) / kRoundPlaces);
    };
    for (const bool mirrored : {false, true}) {
      for (std::size_t shift = 0; shift < kRoundPlaces; ++shift) {
        std::vector<PointOnPoint> pairs;
        for (std::size_t k = 0; k < kRoundPlaces; ++k) {
          // Turned over, the same outline is walked the other way.
          const std::size_t there =
              mirrored ? (2 * kRoundPlaces - k + shift) % kRoundPlaces : (k + shift) % kRoundPlaces;
          pairs.push_back({place(now, k), place(was, there)});
        }
        const PointFit fit = fit_points(pairs, mirrored);
        double off = 0.0;
        for (const PointOnPoint& pair : pairs)
          off += square(distance(fit.motion.point(pair.moving), pair.still));
        fits.push_back({off, fit.motion});
      }
    }
    std::stable_sort(fits.begin(), fits.end(), [](const Fit& a, const Fit& b) { return a.off < b.off; });
    constexpr double kNeighbour = 25.0;  // mm: the same way to lie, guessed from the next place of the round
    std::vector<PlaneAffine> kept;
    for (const Fit& fit : fits) {
      if (kept.size() == most_kept) break;
      const auto like = [&](double limit) {
        return [&, limit](const PlaneAffine& one) {
          return (!told || one.mirrors() == fit.motion.mirrors()) && alike(one, fit.motion, limit);
        };
      };
      if (std::any_of(kept.begin(), kept.end(), like(kNeighbour))) continue;
      kept.push_back(fit.motion);
      const PlaneAffine motion = refined(fit.motion);
      const bool known = std::any_of(tried.begin() + 1, tried.end(),
                                     [&](const PlaneAffine& one) { return alike(one, motion); });
      if (!known) tried.push_back(motion);
    }
  }

  static double square(double x) { return x * x; }

  // Least squares of what lies within a bound that shrinks: in the end only what was left as it is counts.
  [[nodiscard]] PlaneAffine refined(PlaneAffine motion) const {
    const bool mirrored = motion.mirrors();
    for (const double bound : {1e9, 1e9, 20.0, 10.0, 5.0, 3.0, 2.0, 1.0, 0.5, 0.3, 0.2, 0.1, 0.05, 0.02, 0.01,
                               0.003, 0.001, 0.001}) {
      const std::optional<PlaneAffine> next = step(motion, mirrored, bound);
      if (!next) break;
      motion = *next;
    }
    return motion;
  }

  // One step of Gauss and Newton on the distances square to the old outlines; none where too few lie within
  // the bound to tell a motion.
  [[nodiscard]] std::optional<PlaneAffine> step(const PlaneAffine& motion, bool mirrored,
                                                double bound) const {
    std::array<std::array<double, 4>, 3> m{};
    double weight = 0.0;
    double all = 0.0;
    for (const Sample& one : samples_) {
      const Vec2 p = motion.point(one.at);
      const auto [still, foot] = still_of(*one.of, p);
      all += one.weight;
      if (foot.distance > bound) continue;
      weight += one.weight;
      const Vec2 n = left_of(tangent_at(still->curves()[foot.curve], foot.t));
      const Vec2 arm = p - motion.origin;
      const std::array<double, 3> row{dot(n, left_of(arm)), n.x, n.y};
      const double off = dot(n, foot.at - p);
      for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t k = 0; k < 3; ++k) m[i][k] += one.weight * row[i] * row[k];
        m[i][3] += one.weight * row[i] * off;
      }
    }
    constexpr double kEnough = 0.1;  // of the outlines
    if (weight < kEnough * all) return std::nullopt;
    for (std::size_t i = 0; i < 3; ++i) {
      std::size_t pivot = i;
      for (std::size_t k = i + 1; k < 3; ++k) {
        if (std::abs(m[k][i]) > std::abs(m[pivot][i])) pivot = k;
      }
      if (std::abs(m[pivot][i]) < 1e-9) return std::nullopt;
      std::swap(m[i], m[pivot]);
      for (std::size_t k = 0; k < 3; ++k) {
        if (k == i) continue;
        const double share = m[k][i] / m[i][i];
        for (std::size_t c = i; c < 4; ++c) m[k][c] -= share * m[i][c];
      }
    }
    const Vec2 x = mirrored ? -motion.x_axis : motion.x_axis;
    const double angle = std::atan2(x.y, x.x) + m[0][3] / m[0][0];
    return motion_of_parts(mirrored, angle, motion.origin + Vec2{m[1][3] / m[1][1], m[2][3] / m[2][2]});
  }

  const OutlineTwins& twins_;
  double reach_;
  const DrawingMarks& marks_;
  std::vector<Sample> samples_;
};

}  // namespace

Result<DrawingMotion> find_drawing_motion(const OutlineTwins& twins, double reach,
                                          const DrawingMarks& marks) {
  return DrawingMotionFinder(twins, reach, marks).run();
}

}  // namespace lastwright
