#include "grading/checks/allowances/missing_allowance.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/style_checks.hpp"
#include "grading/pieces/allowance.hpp"

namespace lastwright {

namespace {

constexpr double kLacks = tolerance::kOffset.value();
constexpr double kNearlyAll = 0.9;   // of an allowance
constexpr double kStretch = 3.0;     // mm of an edge that may lack it at a mitre or a step
constexpr double kTooMuch = 0.3;     // mm beyond an allowance that are worth a look
constexpr double kTold = 0.5;        // mm of a shared stretch that are worth a word
constexpr double kTooLong = 3.0;     // mm of it
constexpr double kNoStretch = 1e-3;  // mm: shorter stretches of an edge are rounding

// A stretch of a net segment, by its parameter.
struct Reach {
  double from = 0.0;
  double to = 1.0;
};

// One net segment and the parallel that its allowance asks for.
struct Asked {
  ArcSegment net;
  double allowance = 0.0;
  Vec2 a;  // ends of the parallel
  Vec2 b;

  Asked(const ArcSegment& segment, double width) : net(segment), allowance(width) {
    a = net.a - width * left_of(net.start_tangent());
    b = net.b - width * left_of(net.end_tangent());
  }
  [[nodiscard]] Vec2 outward(double t) const { return -left_of(net.tangent_at(t)); }
  [[nodiscard]] Vec2 point(double t) const { return net.point_at(t) + allowance * outward(t); }
};

bool within(Vec2 p, Vec2 q) {
  return square_of(q - p) <= kLacks * kLacks;
}

// Whether this segment of the cut line is the whole parallel: bows of one chord differ by half of it times
// the difference of the bulges.
bool matches(const Asked& asked, const ArcSegment& cut) {
  const double bulge = cut.bulge - asked.net.bulge;
  return within(cut.a, asked.a) && within(cut.b, asked.b) &&
         bulge * bulge * square_of(cut.b - cut.a) <= kLacks * kLacks;
}

// The stretch of the net segment whose parallel this segment of the cut line is; empty where it is not.
Reach found_on(const Asked& asked, const ArcSegment& cut) {
  constexpr Reach kNone{0.0, 0.0};
  if (matches(asked, cut)) return {};
  const Reach reach{asked.net.nearest(cut.a), asked.net.nearest(cut.b)};
  if (!(reach.to > reach.from)) return kNone;
  for (const double t : {reach.from, 0.5 * (reach.from + reach.to), reach.to}) {
    if (cut.distance_to(asked.point(t)) > kLacks) return kNone;
  }
  return reach;
}

class EdgeLooker {
 public:
  EdgeLooker(const GradedPiece& piece, std::span<const Millimetres> allowances)
      : net_(piece.net), cut_(piece.cut.path), allowances_(allowances) {
    for (const Millimetres one : allowances) widest_ = std::max(widest_, one.value());
  }

  std::vector<MissingAllowance> look(std::size_t segments) {
    std::vector<MissingAllowance> found(allowances_.size());
    for (std::size_t e = 0; e < found.size(); ++e) found[e].edge = e;
    for (std::size_t i = 0; i < segments; ++i) {
      const std::uint16_t e = net_.edge[i];
      const ArcSegment s = net_.path.segment(i);
      found[e].edge_length += s.length();
      const Asked asked(s, allowances_[e].value());
      if (found_whole(asked)) continue;
      for (const Reach& open : not_found(asked)) measure(asked, open, found[e]);
    }
    const auto whole = [](const MissingAllowance& one) {
      return one.worst <= kLacks && one.shared == 0.0 && one.more <= kLacks;
    };
    found.erase(std::remove_if(found.begin(), found.end(), whole), found.end());
    return found;
  }

 private:
  // Most segments: both lines go round alike, so the parallel is next to where the last one was.
  bool found_whole(const Asked& asked) {
    const std::size_t n = cut_.size();
    for (std::size_t k = 0; k < std::min<std::size_t>(3, n); ++k) {
      const std::size_t j = hint_ + k < n ? hint_ + k : hint_ + k - n;
      if (!matches(asked, cut_.segment(j))) continue;
      hint_ = j;
      return true;
    }
    return false;
  }

  // Stretches whose parallel is not on the cut line.
  std::vector<Reach> not_found(const Asked& asked) {
    std::vector<Reach> open{{}};
    const std::size_t n = cut_.size();
    constexpr std::size_t kAhead = 4;  // segments from the last hit: nearly always there, else all are tried
    for (std::size_t k = 0; k < std::min(kAhead, n) && !open.empty(); ++k) {
      const std::size_t j = (hint_ + k) % n;
      if (take(asked, j, open)) hint_ = j;
    }
    for (std::size_t j = 0; j < n && !open.empty(); ++j) {
      if (take(asked, j, open)) hint_ = j;
    }
    return open;
  }

  // Takes what a segment of the cut line shows out of what is still open.
  bool take(const Asked& asked, std::size_t j, std::vector<Reach>& open) const {
    const Reach shown = found_on(asked, cut_.segment(j));
    if (!(shown.to > shown.from)) return false;
    const double least = kNoStretch / std::max(asked.net.length(), kNoStretch);
    std::vector<Reach> rest;
    for (const Reach& one : open) {
      for (const Reach& part :
           {Reach{one.from, std::min(one.to, shown.from)}, Reach{std::max(one.from, shown.to), one.to}}) {
        if (part.to - part.from > least) rest.push_back(part);
      }
    }
    open = std::move(rest);
    return true;
  }

  void need_boxes() {
    if (!boxes_.empty()) return;
    for (std::size_t j = 0; j < cut_.size(); ++j) boxes_.push_back(loose_bounds(cut_.segment(j)));
  }

  // How much farther out than the allowance the cut line runs at one place, where it runs nearly along the
  // edge.
  [[nodiscard]] double too_much(const Asked& asked, double t) {
    if (!(widest_ > asked.allowance + kLacks)) return 0.0;
    need_boxes();
    constexpr double kAlong = 0.866;  // cosine of 30 degrees: a steeper corner shares its material
    const Vec2 p = asked.net.point_at(t);
    const Vec2 out = asked.outward(t);
    const ArcSegment way{p + asked.allowance * out, p + (widest_ + kLacks) * out, 0.0};
    const Box2 box = loose_bounds(way).grown(kLacks);
    double first = INFINITY;
    bool along = false;
    for (std::size_t j = 0; j < cut_.size(); ++j) {
      if (!boxes_[j].overlaps(box)) continue;
      const ArcSegment segment = cut_.segment(j);
      for (const Contact& contact : contacts(way, segment, tolerance::kNode.value())) {
        const double here = distance(way.a, contact.at);
        if (here >= first) continue;
        first = here;
        along = dot(asked.net.tangent_at(t), segment.tangent_at(segment.nearest(contact.at))) > kAlong;
      }
    }
    return along && std::isfinite(first) ? first : 0.0;
  }

  // What is missing at one place.
  [[nodiscard]] double lack(const Asked& asked, double t) {
    if (asked.allowance == 0.0) return 0.0;
    need_boxes();
    const Vec2 p = asked.net.point_at(t);
    const ArcSegment way{p, p + asked.allowance * asked.outward(t), 0.0};
    const double touch = tolerance::kNode.value();
    const Box2 box = loose_bounds(way).grown(touch);
    double first = asked.allowance;
    for (std::size_t j = 0; j < cut_.size(); ++j) {
      if (!boxes_[j].overlaps(box)) continue;
      for (const Contact& contact : contacts(way, cut_.segment(j), touch))
        first = std::min(first, distance(p, contact.at));
    }
    return asked.allowance - first;
  }

  void measure(const Asked& asked, const Reach& open, MissingAllowance& found) {
    constexpr double kFoundWithin = 0.01;  // of a span: what is told is a share in hundredths
    static constexpr std::array kPlaces = {0.001, 0.02, 0.1, 0.2, 0.3,  0.4,  0.5,
                                           0.6,   0.7,  0.8, 0.9, 0.98, 0.999};
    const double long_mm = (open.to - open.from) * asked.net.length();
    const auto at = [&](double share) { return open.from + share * (open.to - open.from); };
    const auto lacks = [&](double share) { return lack(asked, at(share)) > kLacks; };
    double share = 0.0;  // of the stretch that lacks something
    double before = 0.0;
    bool lacked = false;
    for (std::size_t i = 0; i < kPlaces.size(); ++i) {
      const double here = lack(asked, at(kPlaces[i]));
      const bool lacking = here > kLacks;
      if (!lacking) {
        const double more = too_much(asked, at(kPlaces[i]));
        const double next = i + 1 < kPlaces.size() ? 0.5 * (kPlaces[i] + kPlaces[i + 1]) : 1.0;
        const double last = i > 0 ? 0.5 * (kPlaces[i - 1] + kPlaces[i]) : 0.0;
        if (more > kTooMuch) found.more_over += (next - last) * long_mm;
        if (more > found.more) {
          found.more = more;
          found.more_at = asked.net.point_at(at(kPlaces[i]));
        }
      }
      if (here > found.worst) {
        found.worst = here;
        found.at = asked.net.point_at(at(kPlaces[i]));
      }
      if (i == 0) lacked = lacking;
      double low = before;  // where it changes between the two places
      double high = kPlaces[i];
      if (lacked != lacking) {
        while (high - low > kFoundWithin) {
          const double middle = 0.5 * (low + high);
          (lacks(middle) == lacked ? low : high) = middle;
        }
        share += lacked ? low - before : kPlaces[i] - high;
      } else if (lacking) {
        share += high - low;
      }
      before = kPlaces[i];
      lacked = lacking;
    }
    if (lacked) share += 1.0 - before;
    found.length += share * long_mm;
    found.shared += (1.0 - share) * long_mm;
  }

  const EdgedOutline& net_;
  const ClosedArcPath& cut_;
  std::span<const Millimetres> allowances_;
  double widest_ = 0.0;  // of them, mm
  std::size_t hint_ = 0;
  std::vector<Box2> boxes_;  // of the cut line's segments, where any is asked for
};

}  // namespace

std::vector<MissingAllowance> missing_allowances(const GradedPiece& piece,
                                                 std::span<const Millimetres> allowances, bool half) {
  const auto none = [](Millimetres allowance) { return allowance.value() == 0.0; };
  if (std::all_of(allowances.begin(), allowances.end(), none)) return {};
  const std::size_t all = piece.net.path.size();
  return EdgeLooker(piece, allowances).look(half ? all / 2 : all);
}

std::optional<double> most_missing(const StyleSpec& style, const PieceSpec& piece, const EdgeSpec& edge,
                                   Millimetres allowance) {
  if (const auto stated = style.missing_limits.find(edge.treatment); stated != style.missing_limits.end())
    return stated->second.value();
  for (const std::string& end : {edge.from, edge.to}) {
    const OffsetCorner form = corner_form(piece, end);
    if (form == OffsetCorner::kMitre || form == OffsetCorner::kStep) return std::nullopt;
  }
  constexpr double kHolds = 0.1;  // mm; common practice
  const bool cut_away = edge.treatment == Treatment::kLasting || edge.treatment == Treatment::kTrim;
  return cut_away ? std::max(kHolds, 0.5 * allowance.value()) : kHolds;
}

std::vector<StyleFinding> check_allowances(const StyleSpec& style, const StyleGrade& grade,
                                           const StyleLooks& looks) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PieceSpec& spec = grade.pieces[p].bound.spec;
    for (std::size_t e = 0; e < spec.edges.size(); ++e) {
      const EdgeSpec& edge = spec.edges[e];
      double widest = 0.0;
      double longest = 0.0;
      double shared = 0.0;
      StyleFinding finding{"allowance", spec.name + ": " + edge.name, 0.0, {}, "mm", {}, true, ""};
      const MissingAllowance* worst = nullptr;
      const MissingAllowance* most = nullptr;  // too much
      FindingPlace most_where;
      for (std::size_t k = 0; k < grade.run_cells(); ++k) {
        const Millimetres allowance = grade.allowances(p, k)[e];
        for (const MissingAllowance& one : looks[p][k].missing) {
          if (one.edge != e || one.more <= kTooMuch || one.more_over < kTooLong) continue;
          if (most != nullptr && one.more <= most->more) continue;
          most = &one;
          most_where = grade.cells[k];
        }
        if (allowance.value() == 0.0) continue;
        widest = std::max(widest, allowance.value());
        const std::optional<double> limit = most_missing(style, spec, edge, allowance);
        if (limit) finding.limit = std::min(finding.limit.value_or(*limit), *limit);
        for (const MissingAllowance& one : looks[p][k].missing) {
          if (one.edge != e) continue;
          longest = std::max(longest, one.length);
          shared = std::max(shared, one.shared);
          if (one.worst <= kLacks) continue;
          finding.passed = finding.passed && (!limit || one.worst <= *limit);
          if (worst != nullptr && one.worst <= worst->worst) continue;
          worst = &one;
          finding.worst = one.worst;
          finding.where = grade.cells[k];
        }
      }
      if (widest == 0.0 && most == nullptr) continue;
      if (worst != nullptr) {
        finding.note = fmt::format(
            "this much of the {:g} mm ({}) is missing at ({:.1f}, {:.1f}); some of it is missing over {:.1f} "
            "mm, {:.0f} % of the edge",
            widest, name_of(edge.treatment), worst->at.x, worst->at.y, longest,
            100.0 * longest / std::max(worst->edge_length, longest));
      } else {
        finding.note = fmt::format("all of the {:g} mm ({}) is there", widest, name_of(edge.treatment));
      }
      // Reported only, at a corner whose form cuts into it: but an edge that lacks all of it over a stretch
      // is sewn on nothing there, and the corner may have been meant for a neighbour that has an allowance
      // too.
      if (worst != nullptr && !finding.limit && finding.worst >= kNearlyAll * widest && longest >= kStretch) {
        finding.doubtful = true;
        finding.note +=
            "; nearly all of it is gone there: check the allowance of the edge that it meets at that corner, "
            "or the corner's form";
      }
      if (shared > kTold)
        finding.note += fmt::format("; {:.1f} mm beside hollow corners are its neighbours' too", shared);
      if (most != nullptr) {
        finding.doubtful = true;
        if (finding.where.empty()) finding.where = most_where;
        finding.note += fmt::format(
            "; it is cut up to {:.1f} mm wider than stated over {:.1f} mm, at ({:.1f}, {:.1f}) of {}: at a "
            "hollow "
            "corner that turns little the wider line of the neighbour reaches over it. A corner of the form "
            "\"step\" ends it sooner; else let the allowance change at a corner that turns more, or state "
            "the "
            "same on both",
            most->more, most->more_over, most->more_at.x, most->more_at.y, to_text(most_where));
      }
      findings.push_back(std::move(finding));
    }
  }
  return findings;
}

}  // namespace lastwright
