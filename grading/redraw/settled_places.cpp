#include "grading/redraw/settled_places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "geometry/counted.hpp"
#include "grading/json/json_value.hpp"
#include "grading/pieces/drawing/outline_split.hpp"
#include "grading/redraw/redraw_edits.hpp"
#include "grading/redraw/redraw_proof.hpp"
#include "grading/style/stated_places.hpp"

namespace lastwright {

namespace {

// Pieces of drawings that stay vote too: a point that they
// share with a piece that was redrawn must not leave them.
void vote_of_others(RedrawWork& work) {
  for (std::size_t i = 0; i < work.old.spec.pieces.size(); ++i) {
    const PieceSpec& piece = work.old.spec.pieces[i];
    if (work.fresh_keys.count(piece.source.drawing) > 0 || lies_elsewhere(piece)) continue;
    const FormeSpec& forme = work.forme_of(piece);
    for (const CornerSpec& corner : piece.corners) {
      const auto* name = std::get_if<std::string>(&corner.at);
      if (name == nullptr) continue;
      work.votes[pointer_to(pointer_to("/formes", piece.forme) + "/points", *name)].push_back(
          {fmt::format("{}, corner {}", piece.name, corner.name),
           corner_place(corner, forme),
           {FoundHow::kSame, corner_place(corner, forme), {}, {}}});
    }
  }
}

// A point of a forme that stays though the outline that is nearest to it has changed there is named: it may
// have been meant to go with it, as the corner of the box round a strap's end.
bool tell_beside_change(RedrawWork& work, const StatedPlace& place, Vec2 was) {
  double nearest = work.options.corners.reach;
  const RedrawnPiece* beside = nullptr;
  Vec2 foot;
  for (const RedrawnPiece& piece : work.out.pieces) {
    const auto spec = std::find_if(work.old.spec.pieces.begin(), work.old.spec.pieces.end(),
                                   [&](const PieceSpec& one) { return one.name == piece.name; });
    if (spec->forme != place.forme || lies_elsewhere(*spec)) continue;
    const OutlineRuler::Foot there = OutlineRuler(piece.was).nearest(was);
    if (there.distance > nearest) continue;
    nearest = there.distance;
    beside = &piece;
    foot = there.at;
  }
  if (beside == nullptr) return false;
  const double off = OutlineRuler(beside->now).nearest(foot).distance;
  if (off <= kSameDrawn) return false;
  work.out.told.push_back(
      fmt::format("{}: it stays at {}, where nothing is drawn, and the outline of {} beside it has moved by "
                  "{:.3f} mm: see whether it is still meant there",
                  work.words_of(place.pointer), place_text(was), beside->name, off));
  return true;
}

// Whether a piece of that forme is drawn anew.
bool redrawn(const RedrawWork& work, const std::string& forme) {
  return std::any_of(work.old.spec.pieces.begin(), work.old.spec.pieces.end(), [&](const PieceSpec& piece) {
    return piece.forme == forme && work.fresh_keys.count(piece.source.drawing) > 0;
  });
}

void settle(RedrawWork& work, const std::string& pointer, Vec2 was, const std::vector<PlaceVote>& votes,
            bool named) {
  const PlaceVote* first = nullptr;
  for (const PlaceVote& vote : votes) {
    if (!vote.found.problem.empty()) {
      if (!named)
        return work.refuse(pointer, fmt::format("the place {} was on {}: {}", place_text(was), vote.from,
                                                vote.found.problem));
      continue;  // told where its corner is
    }
    if (first == nullptr) {
      first = &vote;
      continue;
    }
    const double apart = distance(first->found.at, vote.found.at);
    if (apart <= kSameDrawn) continue;
    return work.refuse(
        pointer,
        fmt::format("the place is {} by {} and {} by {} now, {:.3f} mm apart: it was one, {}; draw both to "
                    "the same place, or give each its own",
                    place_text(first->found.at), first->from, place_text(vote.found.at), vote.from, apart,
                    place_text(was)));
  }
  if (first == nullptr) return;
  const Vec2 now = first->found.at;
  // What was read off a ruler stays as it was read where the drawing stays.
  const bool stays = first->found.how == FoundHow::kOnLine || distance(first->was, now) <= kToTell;
  if (stays || distance(was, now) <= kToTell) return;
  constexpr double kDecimals = 1e6;
  const Vec2 rounded{std::round(now.x * kDecimals) / kDecimals, std::round(now.y * kDecimals) / kDecimals};
  work.edits.push_back({JsonEdit::Kind::kSet, pointer, place_json(rounded)});
  if (pointer.find("/corners/") == std::string::npos && distance(was, now) > kSameDrawn)
    work.out.moved.push_back({work.words_of(pointer), pointer, first->found.how, was, now});
}

// A place at which a point or the middle of a circle was drawn goes with it.
bool settle_by_mark(RedrawWork& work, const StatedPlace& place, Vec2 was) {
  for (const PieceSpec& piece : work.old.spec.pieces) {
    const bool own = place.piece && &piece == &work.old.spec.pieces[*place.piece];
    if (place.piece ? !own : piece.forme != place.forme) continue;
    const auto marks = work.marks.find(piece.source.drawing);
    if (marks == work.marks.end()) continue;
    const std::optional<CornerFound> found = find_mark(marks->second, was, work.options.corners.reach);
    if (!found) continue;
    if (!found->problem.empty()) {
      work.refuse(place.pointer,
                  fmt::format("the place {} is not found again: {}", place_text(was), found->problem));
    } else {
      settle(work, place.pointer, was, {{"the mark", was, *found}}, true);
    }
    return true;
  }
  return false;
}

}  // namespace

void place_points(RedrawWork& work) {
  vote_of_others(work);
  std::size_t kept = 0;
  std::string kept_first;
  each_place(work.document->root, [&](const StatedPlace& place, const Json& value) {
    if (!value.is_array()) return;
    const Vec2 was{value[0].get<double>(), value[1].get<double>()};
    auto votes = work.votes.find(place.pointer);
    const bool named = votes != work.votes.end();
    if (!named) {
      votes = work.side_votes.find(place.pointer);
      if (votes == work.side_votes.end()) {
        if (place.piece && work.fresh_keys.count(work.old.spec.pieces[*place.piece].source.drawing) == 0)
          return;
        if (place.pointer.ends_with("/outline/at") || (!place.piece && !redrawn(work, place.forme))) return;
        if (settle_by_mark(work, place, was)) return;
        if (!place.piece && tell_beside_change(work, place, was)) return;
        ++kept;
        if (kept_first.empty()) kept_first = place.pointer;
        return;
      }
    }
    settle(work, place.pointer, was, votes->second, named);
  });
  if (kept > 0)
    work.out.told.push_back(
        fmt::format("{} where {}: the first is {}",
                    counted(kept, "place given by coordinates on which nothing is drawn stays",
                            "places given by coordinates on which nothing is drawn stay"),
                    kept == 1 ? "it was" : "they were", kept_first));
}

bool place_laid(RedrawWork& work) {
  if (std::none_of(work.old.spec.pieces.begin(), work.old.spec.pieces.end(), lies_elsewhere)) return true;
  constexpr int kMostRounds = 4;
  std::map<std::string, Vec2> laid;  // points that laid pieces have moved, by pointer
  for (int round = 0; round < kMostRounds; ++round) {
    const Checked<LoadedStyle> load =
        load_redrawn({work.path, work.options, work.old, work.corner_now}, work.out.text);
    if (!load.ok()) return true;  // the proof says why
    const auto spoken = [&](const std::string& pointer) {
      return work.votes.contains(pointer) || work.side_votes.contains(pointer);
    };
    PlaceVotes moved;
    for (std::size_t i = 0; i < work.old.pieces.size() && i < load->pieces.size(); ++i) {
      const PieceSpec& piece = work.old.spec.pieces[i];
      if (lies_elsewhere(piece))
        vote_by_laid(piece, work.forme_of(piece), work.old.pieces[i], load->pieces[i], spoken,
                     work.options.corners.slide, moved);
    }
    bool changed = false;
    for (auto& [pointer, votes] : moved) {
      const Json& value = work.document->root.at(Json::json_pointer(pointer));
      if (!value.is_array()) continue;
      const Vec2 was{value[0].get<double>(), value[1].get<double>()};
      if (!votes.front().found.problem.empty()) {
        settle(work, pointer, was, votes, false);
        continue;
      }
      const auto known = laid.find(pointer);
      if (known != laid.end() && distance(known->second, votes.front().found.at) <= kSameDrawn) continue;
      if (const auto others = work.votes.find(pointer); others != work.votes.end())
        votes.insert(votes.end(), others->second.begin(), others->second.end());
      laid[pointer] = votes.front().found.at;
      std::erase_if(work.out.moved, [&](const MovedPlace& one) { return one.pointer == pointer; });
      settle(work, pointer, was, votes, true);
      changed = true;
    }
    if (!work.out.problems.empty()) return false;
    if (!changed) return true;
    if (!work.put_edits()) return false;
  }
  work.refuse(
      "",
      "points of a forme and a piece that is laid by them move each other without end: give the points "
      "their new places first");
  return false;
}

}  // namespace lastwright
