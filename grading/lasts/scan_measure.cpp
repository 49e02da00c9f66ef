#include "grading/lasts/scan_measure.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "grading/lasts/roles.hpp"
#include "grading/lasts/scan_cover.hpp"

namespace lastwright {

namespace {

// Faces that run smoothly into each other count as one: the number of each face's group.
std::vector<int> smooth_groups(const Body& body) {
  constexpr double kSmooth = 0.35;  // radians; a feather edge has more than one
  std::vector<int> group(body.faces.size());
  for (std::size_t f = 0; f < group.size(); ++f) group[f] = static_cast<int>(f);
  if (body.facets) return group;  // bottom, upper and top, parted where they are sharp
  std::vector<int> first(body.edges.size(), -1);
  for (std::size_t f = 0; f < body.faces.size(); ++f) {
    for (const BodyLoop& loop : body.faces[f].loops) {
      for (const EdgeUse& use : loop.uses) {
        int& other = first[static_cast<std::size_t>(use.edge)];
        if (other >= 0 && body.edges[static_cast<std::size_t>(use.edge)].kink < kSmooth) {
          const int from = group[f];
          const int to = group[static_cast<std::size_t>(other)];
          std::replace(group.begin(), group.end(), std::max(from, to), std::min(from, to));
        }
        other = static_cast<int>(f);
      }
    }
  }
  return group;
}

// Buckets of residuals in space, one grid per group of faces.
class Field {
 public:
  Field(const ScanFit& fit, const Body& nominal, double reach)
      : fit_(&fit), groups_(smooth_groups(nominal)), reach_(reach), seen_(fit) {
    for (std::size_t i = 0; i < fit.residuals.size(); ++i) {
      if (fit.residuals[i].apart) continue;
      cells_[key(group_of(fit.residuals[i].face), fit.residuals[i].foot)].push_back(i);
    }
  }
  [[nodiscard]] int group_of(int face) const { return groups_[static_cast<std::size_t>(face)]; }
  // One face of each group.
  [[nodiscard]] std::vector<int> leaders() const {
    std::vector<int> faces;
    for (std::size_t f = 0; f < groups_.size(); ++f) {
      if (groups_[f] == static_cast<int>(f)) faces.push_back(groups_[f]);
    }
    return faces;
  }

  struct Mean {
    double off = 0.0;
    double variance = 0.0;  // of `off`, by the spread of the scanner's own points
    double chords = 0.0;    // how far `off` lies from their mean
    int count = 0;
  };
  // Weighted by a bell that falls to nothing at the reach; a plane is taken out, so that one-sided
  // neighbourhoods at an edge do not lean.
  [[nodiscard]] Mean at(int face, Vec3 p) const {
    Mean mean;
    Sums all;
    Sums own;
    const Key here = key(group_of(face), p);
    for (int i = -1; i <= 1; ++i) {
      for (int j = -1; j <= 1; ++j) {
        for (int k = -1; k <= 1; ++k) {
          // Neighbours by whole cells: p shifted by the reach could round over a cell's rim.
          const auto it = cells_.find({here[0], here[1] + i, here[2] + j, here[3] + k});
          if (it == cells_.end()) continue;
          for (std::size_t r : it->second) {
            const Residual& residual = fit_->residuals[r];
            const double d = distance(residual.foot, p) / reach_;
            if (d >= 1.0) continue;
            const double w = (1.0 - d * d) * (1.0 - d * d);
            all.add(w, residual.off);
            if (residual.own) own.add(w, residual.off);
            ++mean.count;
          }
        }
      }
    }
    if (mean.count == 0) return mean;
    mean.off = all.mean();
    // Points filled in between the scanner's own share their errors: only the own ones count. The spread is
    // taken about the mean of as many points, hence the divisor.
    const double points = own.effective();
    mean.variance = points > 1.5 ? own.spread() / (points - 1.0) : std::max(all.spread(), own.spread());
    // Corners of a mesh lie on the surface and its chords within it, most where a sharp edge is bridged. That
    // is no chance that averages out: what was filled in says how far it goes.
    if (points > 0.0) mean.chords = all.mean() - own.mean();
    return mean;
  }
  [[nodiscard]] const SeenPoints& seen() const { return seen_; }
  // How much the means at two places of one face group have in common: the bells' overlap, as a bell.
  [[nodiscard]] double common(double apart) const {
    const double d = apart / (0.54 * reach_);
    return std::exp(-0.5 * d * d);
  }

 private:
  struct Sums {
    double weights = 0.0;
    double squared_weights = 0.0;
    double sum = 0.0;
    double square = 0.0;
    void add(double w, double off) {
      weights += w;
      squared_weights += w * w;
      sum += w * off;
      square += w * off * off;
    }
    [[nodiscard]] double mean() const { return sum / weights; }
    // How many points of equal weight would average as well.
    [[nodiscard]] double effective() const {
      return weights > 0.0 ? weights * weights / squared_weights : 0.0;
    }
    [[nodiscard]] double spread() const {
      return weights > 0.0 ? std::max(0.0, square / weights - mean() * mean()) : 0.0;
    }
  };
  using Key = std::array<int, 4>;
  [[nodiscard]] Key key(int group, Vec3 p) const {
    return {group, static_cast<int>(std::floor(p.x / reach_)), static_cast<int>(std::floor(p.y / reach_)),
            static_cast<int>(std::floor(p.z / reach_))};
  }
  const ScanFit* fit_;
  std::vector<int> groups_;
  double reach_;
  SeenPoints seen_;
  std::map<Key, std::vector<std::size_t>> cells_;
};

// A place on a tape's way that no point of the scan lies near.
struct Unseen {
  Vec3 p;              // on the nominal form
  double along = 0.0;  // mm of the way that it stands for
  int face = 0;
};

// Those that hang together as one.
std::vector<ScannedMeasure::Gap> gaps_of(std::vector<Unseen> places) {
  constexpr double kApart = 1.0;  // mm: places stand half of that from each other
  std::vector<ScannedMeasure::Gap> gaps;
  while (!places.empty()) {
    std::vector<Unseen> one{places.back()};
    places.pop_back();
    for (std::size_t i = 0; i < one.size(); ++i) {
      for (std::size_t k = places.size(); k-- > 0;) {
        if (distance(places[k].p, one[i].p) > kApart) continue;
        one.push_back(places[k]);
        places.erase(places.begin() + static_cast<std::ptrdiff_t>(k));
      }
    }
    ScannedMeasure::Gap gap;
    Vec3 mean;
    for (const Unseen& u : one) {
      gap.size += u.along;
      mean += u.p / static_cast<double>(one.size());
    }
    const auto middle = std::min_element(one.begin(), one.end(), [&mean](const Unseen& a, const Unseen& b) {
      return distance(a.p, mean) < distance(b.p, mean);
    });
    gap.size += 2.0 * kSeenWithin;  // what is hidden begins at what is seen
    gap.middle = middle->p;
    gap.face = middle->face;
    gaps.push_back(gap);
  }
  std::stable_sort(gaps.begin(), gaps.end(), [](const auto& a, const auto& b) { return a.size > b.size; });
  return gaps;
}

// Of a section whose points are moved as the scan says.
struct MovedPoint {
  Vec3 nominal;
  Vec3 by;  // for a unit of distance
  double deviation = 0.0;
  bool enough = false;  // points near it
};

void tell_hidden(const Body& nominal, const Section& section, const std::vector<MovedPoint>& moved,
                 const Field& field, ScannedMeasure& result) {
  constexpr double kStep = 0.5;  // mm
  std::vector<Vec3> out;
  std::vector<Vec3> in;
  for (const SectionPoint& p : section.points) out.push_back(p.p);
  in = out;
  std::vector<Unseen> places;
  double way = 0.0;
  double missing = 0.0;
  for (const SectionStretch& stretch : section.stretches) {
    if (nominal.faces[static_cast<std::size_t>(stretch.face)].role == FaceRole::kHole) continue;
    for (std::size_t part = 0; part < 2; ++part) {
      const std::size_t a = stretch.point[part];
      const std::size_t b = stretch.point[part + 1];
      const double length = distance(moved[a].nominal, moved[b].nominal);
      way += length;
      const int steps = std::max(1, static_cast<int>(std::ceil(length / kStep)));
      for (int i = 0; i < steps; ++i) {
        const double t = (i + 0.5) / steps;
        const Vec3 p = moved[a].nominal + t * (moved[b].nominal - moved[a].nominal);
        const double away = field.seen().nearest(p);
        if (away <= kSeenWithin && (moved[a].enough || moved[b].enough)) continue;
        places.push_back({p, length / steps, stretch.face});
        missing += length / steps;
        const Vec3 by = moved[a].by + t * (moved[b].by - moved[a].by);
        const Vec3 here = section.points[a].p + t * (section.points[b].p - section.points[a].p);
        const SeenPoints::LeftOut left = field.seen().left_out(p);
        out.push_back(here + std::max(may_lie_off(away), left.out) * by);
        in.push_back(here + std::min(-may_lie_off(away), left.in) * by);
      }
    }
  }
  if (way > 0.0) result.covered = 1.0 - missing / way;
  if (places.empty()) return;
  for (std::size_t i = 0; i < moved.size(); ++i) {
    const double away = field.seen().nearest(moved[i].nominal);
    if (away <= kSeenWithin) continue;
    in[i] += std::min(-may_lie_off(away), field.seen().left_out(moved[i].nominal).in) * moved[i].by;
  }
  for (const std::vector<Vec3>* points : {&out, &in}) {
    const double tape = perimeter(*points, convex_hull(*points, section.plane));
    result.hidden = std::max(result.hidden, std::abs(tape - result.value));
  }
  result.gaps = gaps_of(std::move(places));
}

Result<ScannedMeasure> scanned_length(const MeasureDefinition& definition, const Body& nominal,
                                      const Landmarks& landmarks, const Field& field,
                                      const ScanFitOptions& options) {
  ScannedMeasure result;
  result.definition = definition.id();
  const auto a = landmarks.find(definition.points.at(0));
  const auto b = landmarks.find(definition.points.at(1));
  if (a == landmarks.end() || b == landmarks.end()) {
    return Problem{Trouble::kBadValue, "a landmark of the measure is not named", {}, {}, {}};
  }
  std::array<Vec3, 2> p;
  int covered = 0;
  double variance = 0.0;
  double chords = 0.0;
  const std::array<const SurfaceSpot*, 2> spots{&a->second, &b->second};
  for (std::size_t i = 0; i < 2; ++i) {
    const Vec3 at = nominal.at(*spots[i]).p;
    const Vec3 outward = unit(at - nominal.at(*spots[1 - i]).p);
    p[i] = at;
    int parts = 0;
    const auto moved_by = [&](int f, Vec3 way) {
      const Field::Mean mean = field.at(f, at);
      if (mean.count < options.least) return;
      p[i] += mean.off * way;
      variance += mean.variance;
      chords += std::abs(mean.chords);
      ++parts;
    };
    // Extremes of the length move along their own face's normal. A width ends
    // at the feather edge: there the wall beside it moves the end, the bottom
    // does not; where the bottom goes over into the wall, they are one.
    const int home = field.group_of(spots[i]->face);
    if (definition.method != Method::kExtent) {
      for (int f : field.leaders()) {
        if (f != home) moved_by(f, outward);
      }
    }
    if (parts == 0) moved_by(home, nominal.normal_at(*spots[i]));
    covered += parts > 0;
    const double away = field.seen().nearest(at);
    if (away <= kSeenWithin) continue;
    result.hidden += may_lie_off(away);
    result.gaps.push_back({2.0 * away, at, spots[i]->face});
  }
  result.value = definition.method == Method::kExtent ? p[1].x - p[0].x : distance(p[0], p[1]);
  result.covered = covered / 2.0;
  result.noise = std::hypot(std::sqrt(variance), 0.5 * chords);  // what chords lack is a most, two deviations
  return result;
}

Result<ScannedMeasure> scanned(const MeasureDefinition& definition, const Body& nominal,
                               const Landmarks& landmarks, const Field& field,
                               const ScanFitOptions& options) {
  if (definition.method == Method::kExtent || definition.method == Method::kDistance) {
    return scanned_length(definition, nominal, landmarks, field, options);
  }
  if (definition.method != Method::kPlaneHull) {
    return Problem{
        Trouble::kUnsupported, fmt::format("{} is not taken from a scan", definition.id()), {}, {}, {}};
  }
  const Form form = make_form(nominal);
  const Result<Plane3> plane = plane_of(definition.plane, form, landmarks);
  if (!plane) return plane.problem();
  Section section = cut_section(form, *plane);
  std::vector<MovedPoint> moved(section.points.size());
  for (std::size_t i = 0; i < section.points.size(); ++i) {
    SectionPoint& p = section.points[i];
    moved[i].nominal = p.p;
    const Field::Mean mean = field.at(p.face, p.p);
    moved[i].enough = mean.count >= options.least;
    // Outward in the plane, by what the surface has moved along its own normal.
    const SurfaceSpot spot{p.face, p.u, p.v};
    const Vec3 n = nominal.normal_at(spot);
    const Vec3 in_plane = n - dot(n, plane->normal) * plane->normal;
    const double share = norm(in_plane);
    if (share <= 0.3) continue;
    moved[i].by = in_plane / (share * share);
    if (!moved[i].enough) continue;
    moved[i].deviation = std::sqrt(mean.variance);
    p.p += mean.off * moved[i].by;
  }
  const Tape tape = tape_of(section);
  ScannedMeasure result;
  result.value = tape.length;
  result.definition = definition.id();
  tell_hidden(nominal, section, moved, field, result);
  // The tape follows its corners; what their means have in common moves it together.
  std::vector<std::pair<std::size_t, double>> pulls;
  for (const TapeCorner& corner : tape_gradient(section, tape)) {
    const double pull = dot(corner.pull, moved[corner.point].by) * moved[corner.point].deviation;
    if (pull != 0.0) pulls.emplace_back(corner.point, pull);
  }
  double variance = 0.0;
  for (const auto& [i, a] : pulls) {
    for (const auto& [j, b] : pulls) {
      if (field.group_of(section.points[i].face) != field.group_of(section.points[j].face)) continue;
      variance += a * b * field.common(distance(moved[i].nominal, moved[j].nominal));
    }
  }
  result.noise = std::sqrt(std::max(0.0, variance));
  return result;
}

}  // namespace

Result<std::vector<ScannedMeasure>> scanned_measures(const std::vector<MeasureDefinition>& definitions,
                                                     const Body& nominal, const Landmarks& landmarks,
                                                     const ScanFit& fit, const ScanFitOptions& options) {
  const Field field(fit, nominal, options.reach);
  std::vector<ScannedMeasure> all;
  for (const MeasureDefinition& definition : definitions) {
    const Result<ScannedMeasure> one = scanned(definition, nominal, landmarks, field, options);
    if (!one) return one.problem();
    all.push_back(*one);
  }
  return all;
}

Result<ScannedMeasure> scanned_measure(const MeasureDefinition& definition, const Body& nominal,
                                       const Landmarks& landmarks, const ScanFit& fit,
                                       const ScanFitOptions& options) {
  const Result<std::vector<ScannedMeasure>> one =
      scanned_measures({definition}, nominal, landmarks, fit, options);
  if (!one) return one.problem();
  return one->front();
}

}  // namespace lastwright
