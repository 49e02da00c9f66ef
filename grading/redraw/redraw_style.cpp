#include "grading/redraw/redraw_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <iterator>
#include <memory>
#include <set>
#include <utility>

#include "geometry/counted.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf_read.hpp"
#include "geometry/tolerance.hpp"
#include "grading/json/json_splice.hpp"
#include "grading/json/json_value.hpp"
#include "grading/pieces/outline_split.hpp"
#include "grading/pieces/piece_lie.hpp"
#include "grading/redraw/mark_match.hpp"
#include "grading/redraw/piece_twins.hpp"
#include "grading/redraw/place_votes.hpp"
#include "grading/redraw/redraw_edits.hpp"
#include "grading/redraw/redraw_proof.hpp"
#include "grading/style/stated_places.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

constexpr double kToTell = 1e-3;  // mm: less is the rounding of a drawing

std::string place_text(Vec2 p) {
  // What rounds to nothing has no sign.
  const auto plain = [](double x) { return std::abs(x) < 5e-4 ? 0.0 : x; };
  return fmt::format("({:.3f}, {:.3f})", plain(p.x), plain(p.y));
}

void append(std::vector<JsonEdit>& edits, std::vector<JsonEdit> more) {
  std::move(more.begin(), more.end(), std::back_inserter(edits));
}

class Redrawing {
 public:
  Redrawing(const std::string& path, const RedrawOptions& options) : path_(path), options_(options) {}

  Redraw run() {
    if (!read_old()) return std::move(out_);
    for (const auto& [key, file] : options_.fresh) take_drawing(key, file);
    if (out_.problems.empty()) place_points();
    if (out_.problems.empty()) write();
    return std::move(out_);
  }

 private:
  void refuse(const std::string& pointer, std::string message, Trouble trouble = Trouble::kGeometry) {
    Problem problem{trouble, std::move(message), {}, {}, {}};
    const Place at = document_->place(pointer);
    problem.place = at;
    problem.place.file = path_;
    out_.problems.push_back(std::move(problem));
  }
  void add(Problem problem) {
    if (problem.place.file.empty()) {
      problem.place.line = document_->place(problem.place.pointer).line;
      problem.place.file = path_;
    }
    out_.problems.push_back(std::move(problem));
  }

  bool read_old() {
    const Result<std::string> text =
        options_.text ? Result<std::string>(*options_.text) : read_file(path_, std::size_t{16} << 20);
    if (!text) {
      out_.problems.push_back(text.problem());
      return false;
    }
    text_ = *text;
    std::string was = text_;
    for (const auto& [key, file] : options_.was) {
      const Result<Splice> splice =
          splice_of(was, {JsonEdit::Kind::kSet, pointer_to("/drawings", key) + "/file",
                          std::filesystem::absolute(file).string()});
      if (splice) was = spliced(was, *splice);
    }
    // A unit is said of the new drawings; of the old ones only where they cannot be read without.
    fresh_unit_ = options_.files.unit;
    options_.files.unit.reset();
    StyleLoad load = load_style_text(path_, was, options_.files);
    if (!load.ok() && fresh_unit_) {
      options_.files.unit = fresh_unit_;
      load = load_style_text(path_, was, options_.files);
    }
    if (!load.ok()) {
      out_.problems = std::move(load.problems);
      return false;
    }
    old_ = *std::move(load.style);
    out_.inputs = old_.inputs;
    document_ = read_style(text_, path_).document;
    return true;
  }

  void take_drawing(const std::string& key, const std::string& file) {
    const auto spec = std::find_if(old_.spec.drawings.begin(), old_.spec.drawings.end(),
                                   [&](const DrawingSpec& one) { return one.key == key; });
    invariant(spec != old_.spec.drawings.end(), "the command asked for a drawing that the style has");
    out_.inputs.push_back(file);
    DxfReadOptions reading;
    reading.file_name = file;
    reading.limits = options_.files.limits;
    reading.unit = fresh_unit_;
    if (fresh_unit_ && !options_.files.unit && !unit_named(spec->units))
      edits_.push_back({JsonEdit::Kind::kSet, pointer_to("/drawings", key) + "/units",
                        *fresh_unit_ == DrawingUnit::kInch         ? "in"
                        : *fresh_unit_ == DrawingUnit::kCentimetre ? "cm"
                                                                   : "mm"});
    if (const auto unit = unit_named(spec->units)) reading.unit = unit;
    const Result<std::string> bytes = read_file(file, reading.limits.bytes);
    if (!bytes) return out_.problems.push_back(bytes.problem());
    Result<Drawing> drawing = read_dxf(*bytes, reading);
    if (!drawing) return out_.problems.push_back(drawing.problem().in_file(file));
    TwinnedDrawing twins = twin_pieces(old_.spec, key, old_.drawings.at(key),
                                       pattern_drawing(*std::move(drawing), *spec), options_.corners.reach);
    for (Problem& problem : twins.problems) add(std::move(problem));
    if (twins.sheet.sheet) {
      const SheetSpec& sheet = *twins.sheet.sheet;
      out_.told.push_back(
          fmt::format("drawing {}: the sheet lies differently from the old one and is laid back: {}turned by "
                      "{:g} degrees, shifted by {}; {:.0f} percent of its outlines then lie where they were",
                      key, sheet.mirrored ? "mirrored, " : "",
                      std::round(sheet.turn * 1e4) / 1e4 + 0.0,  // which has no sign
                      place_text(sheet.by), 100.0 * twins.sheet.same));
    }
    append(edits_, sheet_edits(document_->root, key, twins.sheet.sheet));
    for (const std::string& told : twins.told) out_.told.push_back(fmt::format("drawing {}: {}", key, told));
    for (const PieceTwin& piece : twins.pieces) {
      if (piece.now) take_piece(piece);
    }
    fresh_keys_.insert(key);
    marks_[key] = mark_pairs(old_.drawings.at(key).drawing, twins.drawing.drawing);
    if (!marks_[key].compared)
      out_.told.push_back(
          fmt::format("drawing {}: it has too many points and circles to find them again", key));
  }

  const FormeSpec& forme_of(const PieceSpec& piece) const {
    return *std::find_if(old_.spec.formes.begin(), old_.spec.formes.end(),
                         [&](const FormeSpec& one) { return one.name == piece.forme; });
  }

  // Where a corner was on the drawn outline.
  Vec2 drawn_corner(const PieceTwin& twin, const CornerSpec& corner, const FormeSpec& forme) const {
    Vec2 stated = corner_place(corner, forme);
    if (drawn_apart(*twin.spec) && std::holds_alternative<std::string>(corner.at)) {
      stated = as_drawn(*old_.pieces[twin.index].lie).point(stated);
    }
    const std::optional<SnappedPlace> found = snapped(twin.was.curves(), stated);
    return found ? found->place.at : stated;
  }

  void take_piece(const PieceTwin& twin) {
    const PieceSpec& spec = *twin.spec;
    const FormeSpec& forme = forme_of(spec);
    const std::string at = pointer_to("/pieces", twin.index);
    if (twin.renamed) append(edits_, source_edits(at, spec.source, *twin.renamed));
    std::vector<Vec2> places;
    for (const CornerSpec& corner : spec.corners) places.push_back(drawn_corner(twin, corner, forme));
    const std::size_t corners = places.size();
    // Whatever else the style puts on this outline goes by it as well.
    const std::vector<Stated> stated = stated_on(twin);
    for (const Stated& one : stated) places.push_back(one.on_outline);
    CornerMatchOptions how = options_.corners;
    const auto drawing = std::find_if(old_.spec.drawings.begin(), old_.spec.drawings.end(),
                                      [&](const DrawingSpec& one) { return one.key == spec.source.drawing; });
    how.faired = drawing != old_.spec.drawings.end() && drawing->fair.has_value();
    const CornersFound found = match_corners(twin.was, *twin.now, places, how);
    RedrawnPiece shown_piece{spec.name, twin.was.curves(), twin.now->curves(), {}, {}};
    bool all = true;
    for (std::size_t i = 0; i < corners; ++i) {
      const CornerSpec& corner = spec.corners[i];
      const std::string pointer = pointer_to(at + "/corners", corner.name);
      const CornerFound& one = found.corners[i];
      if (!one.problem.empty()) {
        refuse_corner(pointer, spec.name, corner.name, places[i], one.problem);
        all = false;
        continue;
      }
      const MovedPlace moved{fmt::format("{}, corner {}", spec.name, corner.name), pointer, one.how,
                             places[i], one.at};
      if (distance(places[i], one.at) > kToTell) {
        out_.moved.push_back(moved);
        shown_piece.corners.push_back(moved);
      }
      if (!one.told.empty())
        out_.told.push_back(fmt::format("{}, corner {}: {}", spec.name, corner.name, one.told));
      corner_now_[pointer] = one.at;
      votes_for(twin, corner, pointer, places[i], one);
    }
    for (std::size_t i = 0; i < stated.size(); ++i) {
      const CornerFound& one = found.corners[corners + i];
      side_votes_[stated[i].pointer].push_back(
          {fmt::format("the outline of {}", spec.name), places[corners + i], one});
      if (!one.told.empty())
        out_.told.push_back(
            fmt::format("{}, on the outline of {}: {}", words_of(stated[i].pointer), spec.name, one.told));
    }
    for (const Vec2 added : found.added)
      out_.told.push_back(fmt::format("{}: the outline has a new corner at {}, which the style does not name",
                                      spec.name, place_text(added)));
    if (all) shown_piece.edges = moved_edges(twin, places, found);
    out_.pieces.push_back(std::move(shown_piece));
  }

  void refuse_corner(const std::string& pointer, const std::string& piece, const std::string& corner,
                     Vec2 was, const std::string& why) {
    Problem problem{Trouble::kGeometry,
                    fmt::format("the corner, which was at {}, is not found again: {}", place_text(was), why),
                    {},
                    {},
                    {}};
    problem.place.pointer = pointer;
    add(problem.in("corner", corner).in("piece", piece));
  }

  // Places of the style that are given by coordinates and were
  // put on the old outline of a piece, but for its corners.
  struct Stated {
    std::string pointer;
    Vec2 on_outline;
  };
  std::vector<Stated> stated_on(const PieceTwin& twin) const {
    std::vector<Stated> out;
    const bool apart = drawn_apart(*twin.spec);
    each_place(document_->root, [&](const StatedPlace& place, const Json& value) {
      if (!value.is_array()) return;
      if (place.pointer.find("/corners/") != std::string::npos && place.piece) return;
      if (place.pointer.ends_with("/outline/at")) return;
      const bool own = place.piece && *place.piece == twin.index;
      if (apart ? !own : (place.forme != twin.spec->forme || (place.piece && !own))) return;
      const Vec2 at{value[0].get<double>(), value[1].get<double>()};
      const bool meets = place.pointer.find("/lies/meets/") != std::string::npos;
      if (meets && own) {
        if (const auto found = snapped(twin.was.curves(), at))
          out.push_back({place.pointer, found->place.at});
        return;
      }
      const OutlineRuler::Foot foot = twin.was.nearest(at);
      if (foot.distance > kOnDrawn) return;
      Vec2 on = foot.at;
      for (const OutlineRuler::Vertex& one : twin.was.vertices()) {
        if (distance(one.at, at) <= kOnDrawn) on = one.at;
      }
      out.push_back({place.pointer, on});
    });
    return out;
  }

  // A corner that names a point of the forme says where that
  // point is; one given by coordinates says where they are.
  void votes_for(const PieceTwin& twin, const CornerSpec& corner, const std::string& pointer, Vec2 was,
                 const CornerFound& found) {
    const std::string from = fmt::format("{}, corner {}", twin.spec->name, corner.name);
    const Json& value = document_->root.at(Json::json_pointer(pointer));
    const bool formed = value.is_object() && value.contains("at");
    const Json& spot = formed ? value.at("at") : value;
    if (spot.is_array()) {
      votes_[formed ? pointer + "/at" : pointer].push_back({from, was, found});
    } else if (spot.is_string() && !drawn_apart(*twin.spec)) {
      votes_[pointer_to(pointer_to("/formes", twin.spec->forme) + "/points", spot.get<std::string>())]
          .push_back({from, was, found});
    }
  }

  // Pieces of drawings that stay vote too: a point that they
  // share with a piece that was redrawn must not leave them.
  void vote_of_others() {
    for (std::size_t i = 0; i < old_.spec.pieces.size(); ++i) {
      const PieceSpec& piece = old_.spec.pieces[i];
      if (fresh_keys_.count(piece.source.drawing) > 0 || drawn_apart(piece)) continue;
      const FormeSpec& forme = forme_of(piece);
      for (const CornerSpec& corner : piece.corners) {
        const auto* name = std::get_if<std::string>(&corner.at);
        if (name == nullptr) continue;
        votes_[pointer_to(pointer_to("/formes", piece.forme) + "/points", *name)].push_back(
            {fmt::format("{}, corner {}", piece.name, corner.name),
             corner_place(corner, forme),
             {FoundHow::kSame, corner_place(corner, forme), {}, {}}});
      }
    }
  }

  void place_points() {
    vote_of_others();
    std::size_t kept = 0;
    std::string kept_first;
    each_place(document_->root, [&](const StatedPlace& place, const Json& value) {
      if (!value.is_array()) return;
      const Vec2 was{value[0].get<double>(), value[1].get<double>()};
      auto votes = votes_.find(place.pointer);
      const bool named = votes != votes_.end();
      if (!named) {
        votes = side_votes_.find(place.pointer);
        if (votes == side_votes_.end()) {
          if (place.piece && fresh_keys_.count(old_.spec.pieces[*place.piece].source.drawing) == 0) return;
          if (place.pointer.ends_with("/outline/at") || (!place.piece && !redrawn(place.forme))) return;
          if (settle_by_mark(place, was)) return;
          if (!place.piece && tell_beside_change(place, was)) return;
          ++kept;
          if (kept_first.empty()) kept_first = place.pointer;
          return;
        }
      }
      settle(place.pointer, was, votes->second, named);
    });
    if (kept > 0)
      out_.told.push_back(
          fmt::format("{} where {}: the first is {}",
                      counted(kept, "place given by coordinates on which nothing is drawn stays",
                              "places given by coordinates on which nothing is drawn stay"),
                      kept == 1 ? "it was" : "they were", kept_first));
  }

  // A point of a forme that stays though the outline that is nearest to it has changed there is named: it may
  // have been meant to go with it, as the corner of the box round a strap's end.
  bool tell_beside_change(const StatedPlace& place, Vec2 was) {
    double nearest = options_.corners.reach;
    const RedrawnPiece* beside = nullptr;
    Vec2 foot;
    for (const RedrawnPiece& piece : out_.pieces) {
      const auto spec = std::find_if(old_.spec.pieces.begin(), old_.spec.pieces.end(),
                                     [&](const PieceSpec& one) { return one.name == piece.name; });
      if (spec->forme != place.forme || drawn_apart(*spec)) continue;
      const OutlineRuler::Foot there = OutlineRuler(piece.was).nearest(was);
      if (there.distance > nearest) continue;
      nearest = there.distance;
      beside = &piece;
      foot = there.at;
    }
    if (beside == nullptr) return false;
    const double off = OutlineRuler(beside->now).nearest(foot).distance;
    if (off <= kSameDrawn) return false;
    out_.told.push_back(fmt::format(
        "{}: it stays at {}, where nothing is drawn, and the outline of {} beside it has moved by "
        "{:.3f} mm: see whether it is still meant there",
        words_of(place.pointer), place_text(was), beside->name, off));
    return true;
  }

  // Whether a piece of that forme is drawn anew.
  bool redrawn(const std::string& forme) const {
    return std::any_of(old_.spec.pieces.begin(), old_.spec.pieces.end(), [&](const PieceSpec& piece) {
      return piece.forme == forme && fresh_keys_.count(piece.source.drawing) > 0;
    });
  }

  // A place at which a point or the middle of a circle was drawn goes with it.
  bool settle_by_mark(const StatedPlace& place, Vec2 was) {
    for (const PieceSpec& piece : old_.spec.pieces) {
      const bool own = place.piece && &piece == &old_.spec.pieces[*place.piece];
      if (place.piece ? !own : piece.forme != place.forme) continue;
      const auto marks = marks_.find(piece.source.drawing);
      if (marks == marks_.end()) continue;
      const std::optional<CornerFound> found = find_mark(marks->second, was, options_.corners.reach);
      if (!found) continue;
      if (!found->problem.empty()) {
        refuse(place.pointer,
               fmt::format("the place {} is not found again: {}", place_text(was), found->problem));
      } else {
        settle(place.pointer, was, {{"the mark", was, *found}}, true);
      }
      return true;
    }
    return false;
  }

  void settle(const std::string& pointer, Vec2 was, const std::vector<PlaceVote>& votes, bool named) {
    const PlaceVote* first = nullptr;
    for (const PlaceVote& vote : votes) {
      if (!vote.found.problem.empty()) {
        if (!named)
          return refuse(pointer, fmt::format("the place {} was on {}: {}", place_text(was), vote.from,
                                             vote.found.problem));
        continue;  // told where its corner is
      }
      if (first == nullptr) {
        first = &vote;
        continue;
      }
      const double apart = distance(first->found.at, vote.found.at);
      if (apart <= kSameDrawn) continue;
      return refuse(
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
    edits_.push_back({JsonEdit::Kind::kSet, pointer, place_json(rounded)});
    if (pointer.find("/corners/") == std::string::npos && distance(was, now) > kSameDrawn)
      out_.moved.push_back({words_of(pointer), pointer, first->found.how, was, now});
  }

  std::string words_of(const std::string& pointer) const {
    for (const FormeSpec& forme : old_.spec.formes) {
      for (const NamedPoint& point : forme.points) {
        if (pointer == pointer_to(pointer_to("/formes", forme.name) + "/points", point.name))
          return fmt::format("point {} of the forme {}", point.name, forme.name);
      }
    }
    for (std::size_t i = 0; i < old_.spec.pieces.size(); ++i) {
      const std::string at = pointer_to("/pieces", i);
      if (pointer.starts_with(at + "/"))
        return fmt::format("{}, {}", old_.spec.pieces[i].name, pointer.substr(at.size() + 1));
    }
    return pointer;
  }

  bool edited() {
    std::string text = text_;
    for (const JsonEdit& edit : edits_) {
      const Result<Splice> splice = splice_of(text, edit);
      if (!splice) {
        add(splice.problem());
        return false;
      }
      text = spliced(text, *splice);
    }
    out_.text = std::move(text);
    return true;
  }

  void write() {
    for (const auto& [pointer, name] : options_.names)
      edits_.push_back({JsonEdit::Kind::kSet, pointer, name});
    if (!edited() || !place_laid()) return;
    prove_redraw({path_, options_, old_, corner_now_}, out_);
  }

  // Corners of pieces that are laid onto their forme say where its points are only once they lie there: so
  // far as such a corner has moved, its point moves too, which may lay the piece anew.
  bool place_laid() {
    if (std::none_of(old_.spec.pieces.begin(), old_.spec.pieces.end(), drawn_apart)) return true;
    constexpr int kMostRounds = 4;
    for (int round = 0; round < kMostRounds; ++round) {
      const StyleLoad load = load_redrawn({path_, options_, old_, corner_now_}, out_.text);
      if (!load.ok()) return true;  // the proof says why
      const auto spoken = [&](const std::string& pointer) {
        return votes_.contains(pointer) || side_votes_.contains(pointer);
      };
      PlaceVotes moved;
      for (std::size_t i = 0; i < old_.pieces.size() && i < load.style->pieces.size(); ++i) {
        const PieceSpec& piece = old_.spec.pieces[i];
        if (drawn_apart(piece))
          vote_by_laid(piece, forme_of(piece), old_.pieces[i], load.style->pieces[i], spoken,
                       options_.corners.slide, moved);
      }
      bool changed = false;
      for (auto& [pointer, votes] : moved) {
        const Json& value = document_->root.at(Json::json_pointer(pointer));
        if (!value.is_array()) continue;
        const Vec2 was{value[0].get<double>(), value[1].get<double>()};
        if (!votes.front().found.problem.empty()) {
          settle(pointer, was, votes, false);
          continue;
        }
        const auto known = laid_.find(pointer);
        if (known != laid_.end() && distance(known->second, votes.front().found.at) <= kSameDrawn) continue;
        if (const auto others = votes_.find(pointer); others != votes_.end())
          votes.insert(votes.end(), others->second.begin(), others->second.end());
        laid_[pointer] = votes.front().found.at;
        std::erase_if(out_.moved, [&](const MovedPlace& one) { return one.pointer == pointer; });
        settle(pointer, was, votes, true);
        changed = true;
      }
      if (!out_.problems.empty()) return false;
      if (!changed) return true;
      if (!edited()) return false;
    }
    refuse("",
           "points of a forme and a piece that is laid by them move each other without end: give the points "
           "their new places first");
    return false;
  }

  const std::string& path_;
  RedrawOptions options_;
  std::optional<DrawingUnit> fresh_unit_;
  std::string text_;
  LoadedStyle old_;
  std::shared_ptr<const JsonDocument> document_;
  std::set<std::string> fresh_keys_;
  std::vector<JsonEdit> edits_;
  PlaceVotes votes_;                        // by pointer: of corners
  PlaceVotes side_votes_;                   // of outlines that a place lies on
  std::map<std::string, Vec2> corner_now_;  // by pointer
  std::map<std::string, Vec2> laid_;        // points that laid pieces have moved, by pointer
  std::map<std::string, MarkPairs> marks_;  // by drawing
  Redraw out_;
};

}  // namespace

Redraw redraw_style(const std::string& path, const RedrawOptions& options) {
  return Redrawing(path, options).run();
}

}  // namespace lastwright
