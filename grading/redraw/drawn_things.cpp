#include "grading/redraw/drawn_things.hpp"

#include <fmt/format.h>

#include <optional>

#include "grading/redraw/corner_match.hpp"

namespace lastwright {

namespace {

struct ThingDrawn {
  std::string kind;
  Vec2 at;
};

std::vector<ThingDrawn> drawn_in(const BoundPiece& piece) {
  std::vector<ThingDrawn> things;
  for (const BoundHole& hole : piece.holes)
    things.push_back(
        {hole.radius > 0.0 ? fmt::format("hole of {:.2f} mm", 2.0 * hole.radius) : "prick", hole.centre});
  for (const BoundNick& nick : piece.nicks) things.push_back({"notch", nick.at});
  for (const BoundText& text : piece.texts)
    things.push_back({fmt::format("text \"{}\"", text.text), text.at});
  for (const BoundLine& line : piece.lines)
    things.push_back({fmt::format("line on {}", line.from.layer), start_of(line.chain.curves().front())});
  for (const BoundLoop& loop : piece.loops)
    things.push_back({fmt::format("closed line on {}", loop.from.layer), bounds(loop.outline).centre()});
  for (const BoundCutOut& cut_out : piece.cut_outs)
    things.push_back({"cut-out", bounds(cut_out.outline).centre()});
  return things;
}

std::string where(Vec2 p) {
  return fmt::format("({:.3f}, {:.3f})", p.x, p.y);
}

}  // namespace

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
  const auto nearest = [&](const ThingDrawn& thing, double most) {
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < after.size(); ++i) {
      if (taken[i] || after[i].kind != thing.kind || distance(after[i].at, thing.at) > most) continue;
      if (!best || distance(after[i].at, thing.at) < distance(after[*best].at, thing.at)) best = i;
    }
    return best;
  };
  // Those that stay first, so that none of them is taken for one that moved.
  std::vector<const ThingDrawn*> left;
  for (const ThingDrawn& thing : before) {
    if (const auto same = nearest(thing, kSameDrawn)) {
      taken[*same] = true;
    } else {
      left.push_back(&thing);
    }
  }
  for (const ThingDrawn* thing : left) {
    if (const auto moved = nearest(*thing, reach)) {
      taken[*moved] = true;
      told.push_back(fmt::format("{}: the {} that was drawn at {} is at {} now, {:.3f} mm", piece,
                                 thing->kind, where(thing->at), where(after[*moved].at),
                                 distance(thing->at, after[*moved].at)));
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
