#include "grading/redraw/drawn_things.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <set>

#include "geometry/curve/biarc.hpp"
#include "geometry/curve/placed_curve.hpp"
#include "grading/pieces/place/piece_lie.hpp"
#include "grading/redraw/corner_match.hpp"
#include "grading/redraw/place_pairs.hpp"
#include "grading/redraw/place_votes.hpp"

namespace lastwright {

namespace {

struct ThingDrawn {
  std::string kind;
  Vec2 at;
  std::vector<Vec2> shape;  // as many for all of one kind; two things of one shape have the same ones
  bool either_way = false;  // the shape may run backwards
  std::optional<double> depth = {};  // mm, of a notch; 0: it is drawn without one
};

// How far an outline reaches in directions all round, and the side of a square as large: whatever entities it
// is drawn with and wherever it starts.
std::vector<Vec2> reaches(const ClosedOutline& outline, const PlaneAffine& back) {
  constexpr int kDirections = 16;
  constexpr int kPlaces = 4;  // on each arc
  const ClosedArcPath path = arc_fit(outline, Millimetres(0.1 * kSameDrawn));
  std::vector<Vec2> all{{std::sqrt(std::abs(signed_area(path))), 0.0}};
  for (int k = 0; k < kDirections; ++k) {
    const double angle = 2.0 * std::numbers::pi * k / kDirections;
    const Vec2 along{std::cos(angle), std::sin(angle)};
    double most = -INFINITY;
    for (std::size_t i = 0; i < path.size(); ++i) {
      for (int j = 0; j < kPlaces; ++j)
        most = std::max(most,
                        dot(back.point(path.segment(i).point_at(static_cast<double>(j) / kPlaces)), along));
    }
    all.push_back({most, 0.0});
  }
  return all;
}

// The middle of its box on the sheet.
Vec2 middle_of(const ClosedOutline& outline, const PlaneAffine& back) {
  Box2 box;
  for (const Curve& curve : outline.curves()) box.add(bounds(placed(curve, back)));
  return box.centre();
}

// All where it is drawn on its sheet, wherever the piece lies on its forme: so its corners are told, too.
std::vector<ThingDrawn> drawn_in(const BoundPiece& piece) {
  constexpr std::size_t kPlacesOfLine = 9;
  const PlaneAffine back = piece.lie ? as_drawn(*piece.lie) : PlaneAffine{};
  const auto closed_thing = [&](std::string kind, const ClosedOutline& outline) {
    return ThingDrawn{std::move(kind), middle_of(outline, back), reaches(outline, back)};
  };
  const auto all_back = [&](std::vector<Vec2> places) {
    for (Vec2& p : places) p = back.point(p);
    return places;
  };
  std::vector<ThingDrawn> things;
  for (const BoundHole& hole : piece.holes)
    things.push_back({hole.radius > 0.0 ? fmt::format("hole of {:.2f} mm", 2.0 * hole.radius) : "prick",
                      back.point(hole.centre),
                      {}});
  for (const BoundNick& nick : piece.nicks)
    things.push_back({"notch", back.point(nick.at), {}, false, nick.depth});
  for (const BoundText& text : piece.texts) {
    const Vec2 along{std::cos(text.angle.value()), std::sin(text.angle.value())};
    things.push_back({fmt::format("text \"{}\"", text.text),
                      back.point(text.at),
                      {back.point(text.at + text.height * along)}});
  }
  for (const BoundLine& line : piece.lines) {
    things.push_back({fmt::format("line on {}", line.from.layer),
                      back.point(start_of(line.chain.curves().front())),
                      all_back(evenly_along(line.chain, kPlacesOfLine)), true});
  }
  for (const BoundLoop& loop : piece.loops)
    things.push_back(closed_thing(fmt::format("closed line on {}", loop.from.layer), loop.outline));
  for (const BoundCutOut& cut_out : piece.cut_outs)
    things.push_back(closed_thing("cut-out", cut_out.outline));
  if (piece.grain)
    things.push_back(
        {"grain line", back.point(piece.grain->from), all_back({piece.grain->from, piece.grain->to}), true});
  for (const BoundAxis& mirror : piece.mirrors)
    things.push_back({"mirror line", back.point(mirror.from), all_back({mirror.from, mirror.to}), true});
  return things;
}

// The farthest that a place of one lies from the same place of the other.
double apart(const ThingDrawn& one, const ThingDrawn& other) {
  if (one.shape.size() != other.shape.size()) return INFINITY;
  const std::size_t n = one.shape.size();
  const auto off = [&](bool backwards) {
    double worst = 0.0;
    for (std::size_t i = 0; i < n; ++i)
      worst = std::max(worst, distance(one.shape[i], other.shape[backwards ? n - 1 - i : i]));
    return worst;
  };
  if (one.either_way) return std::min(off(false), off(true));
  const double deeper = one.depth && other.depth ? std::abs(*one.depth - *other.depth) : 0.0;
  return std::max({distance(one.at, other.at), off(false), deeper});
}

// Of what closes: that its area is another.
std::string resized(const ThingDrawn& was, const ThingDrawn& now) {
  if (was.shape.size() < 3 || was.shape.size() != now.shape.size() || was.either_way) return {};
  const double before = was.shape.front().x;
  const double after = now.shape.front().x;
  if (std::abs(after - before) <= kSameDrawn) return {};
  return fmt::format("; its area is {:.2f} mm2, and was {:.2f}", after * after, before * before);
}

// Of a notch: that it is drawn as deep as it was no more, and what then is cut.
std::string deepened(const ThingDrawn& was, const ThingDrawn& now) {
  if (!was.depth || !now.depth || std::abs(*was.depth - *now.depth) <= kSameDrawn) return {};
  const auto drawn = [](double depth) {
    return depth > 0.0 ? fmt::format("{:.3f} mm deep", depth) : std::string("without a depth");
  };
  return fmt::format(
      "it is drawn {}, and was {}; its nick is now cut {:g} mm deep, less where the allowance "
      "is narrower",
      drawn(*now.depth), drawn(*was.depth),
      std::round(1e3 * (*now.depth > 0.0 ? *now.depth : kUsualNick)) / 1e3);
}

// Which of the new things each of these is now: all of one kind together, for a row moves as a whole.
std::vector<std::optional<std::size_t>> paired(const std::vector<const ThingDrawn*>& left,
                                               const std::vector<ThingDrawn>& after,
                                               const std::vector<bool>& taken, double reach) {
  std::vector<std::optional<std::size_t>> gone_to(left.size());
  std::set<std::string> kinds;
  for (const ThingDrawn* thing : left) kinds.insert(thing->kind);
  for (const std::string& kind : kinds) {
    std::vector<std::size_t> which_was;
    std::vector<std::size_t> which_now;
    std::vector<Vec2> was;
    std::vector<Vec2> now;
    for (std::size_t k = 0; k < left.size(); ++k) {
      if (left[k]->kind != kind) continue;
      which_was.push_back(k);
      was.push_back(left[k]->at);
    }
    for (std::size_t i = 0; i < after.size(); ++i) {
      if (taken[i] || after[i].kind != kind) continue;
      which_now.push_back(i);
      now.push_back(after[i].at);
    }
    const auto pairs = pair_places(was, now, reach, kSameDrawn);
    for (std::size_t n = 0; n < pairs.size(); ++n) {
      if (pairs[n]) gone_to[which_was[n]] = which_now[*pairs[n]];
    }
  }
  return gone_to;
}

std::string where(Vec2 p) {
  return fmt::format("({:.3f}, {:.3f})", p.x, p.y);
}

}  // namespace

bool nicks_as_deep(const BoundPiece& was, const BoundPiece& now) {
  const auto depths = [](const BoundPiece& piece) {
    std::vector<double> all;
    for (const BoundNick& nick : piece.nicks) all.push_back(nick.depth);
    std::sort(all.begin(), all.end());
    return all;
  };
  const std::vector<double> before = depths(was);
  const std::vector<double> after = depths(now);
  return std::equal(before.begin(), before.end(), after.begin(), after.end(),
                    [](double a, double b) { return std::abs(a - b) <= kSameDrawn; });
}

void tell_drawn_things(const BoundPiece& was, const BoundPiece& now, double reach,
                       std::vector<std::string>& told) {
  const std::vector<ThingDrawn> before = drawn_in(was);
  const std::vector<ThingDrawn> after = drawn_in(now);
  const std::string& piece = now.spec.name;
  constexpr std::size_t kMostCompared = 4'000'000;  // of a thing before and one after
  if (before.size() * after.size() > kMostCompared) {
    if (before.size() != after.size())
      told.push_back(
          fmt::format("{}: {} things are drawn in it, where {} were", piece, after.size(), before.size()));
    return;
  }
  std::vector<bool> taken(after.size(), false);
  const auto same_as = [&](const ThingDrawn& thing) {
    std::optional<std::size_t> best;
    double least = kSameDrawn;
    for (std::size_t i = 0; i < after.size(); ++i) {
      if (taken[i] || after[i].kind != thing.kind) continue;
      const double here = apart(after[i], thing);
      if (here > least || (best && here == least)) continue;
      least = here;
      best = i;
    }
    return best;
  };
  const auto moved_by = [](const ThingDrawn& one, const ThingDrawn& other) {
    return distance(one.at, other.at);
  };
  // Those that stay first, so that none of them is taken for one that moved.
  std::vector<const ThingDrawn*> left;
  for (const ThingDrawn& thing : before) {
    if (const auto same = same_as(thing)) {
      taken[*same] = true;
    } else {
      left.push_back(&thing);
    }
  }
  const std::vector<std::optional<std::size_t>> gone_to = paired(left, after, taken, reach);
  for (std::size_t k = 0; k < left.size(); ++k) {
    const ThingDrawn* thing = left[k];
    if (const auto moved = gone_to[k]) {
      taken[*moved] = true;
      const ThingDrawn& now_at = after[*moved];
      const double by = moved_by(*thing, now_at);
      const std::string deeper = deepened(*thing, now_at);
      if (by <= kSameDrawn && !deeper.empty()) {
        told.push_back(fmt::format("{}: the {} at {}: {}", piece, thing->kind, where(thing->at), deeper));
        continue;
      }
      told.push_back((by > kSameDrawn
                          ? fmt::format("{}: the {} that was drawn at {} is at {} now, {:.3f} mm", piece,
                                        thing->kind, where(thing->at), where(now_at.at), by)
                          : fmt::format("{}: the {} at {} is drawn differently now, by up to {:.3f} mm",
                                        piece, thing->kind, where(thing->at), apart(*thing, now_at))) +
                     resized(*thing, now_at) + (deeper.empty() ? deeper : "; " + deeper));
    } else {
      told.push_back(
          fmt::format("{}: the {} that was drawn at {} is gone", piece, thing->kind, where(thing->at)));
    }
  }
  for (std::size_t i = 0; i < after.size(); ++i) {
    if (!taken[i])
      told.push_back(
          fmt::format("{}: a {} is drawn at {}, which is new", piece, after[i].kind, where(after[i].at)));
  }
}

}  // namespace lastwright
