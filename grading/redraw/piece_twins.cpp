#include "grading/redraw/piece_twins.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "geometry/curve/outline.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/drawing/contour_source.hpp"
#include "grading/pieces/drawing/drawn_marks.hpp"
#include "grading/pieces/piece_contour.hpp"
#include "grading/pieces/place/piece_lie.hpp"
#include "grading/redraw/corner_match.hpp"
#include "grading/redraw/twin_causes.hpp"
#include "grading/redraw/twin_names.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kTwinSamples = 64;

// The farthest that either outline leaves the other, at places of both.
double apart(const OutlineRuler& one, const OutlineRuler& other) {
  double most = 0.0;
  for (const Vec2 p : one.samples(kTwinSamples)) most = std::max(most, other.nearest(p).distance);
  for (const Vec2 p : other.samples(kTwinSamples)) most = std::max(most, one.nearest(p).distance);
  return most;
}

std::optional<OutlineRuler> ruler_of(const PatternDrawing& drawing, std::size_t contour) {
  const Result<ClosedOutline> outline =
      make_closed_outline(drawing.contours[contour].contour.raw, drawing.spec.chain_gap);
  if (!outline) return std::nullopt;
  return OutlineRuler(outline->curves());
}

// An outline by its middle and the direction in which it is longest.
struct OwnFrame {
  Vec2 middle;
  Vec2 axis;
};
OwnFrame own_frame(const OutlineRuler& one) {
  constexpr std::size_t kRound = 4096;  // places: the middle then lies to a hundredth of a millimetre
  const auto place = [&](std::size_t k) {
    return one.at(one.length() * static_cast<double>(k) / static_cast<double>(kRound));
  };
  OwnFrame frame;
  for (std::size_t k = 0; k < kRound; ++k)
    frame.middle = frame.middle + (1.0 / static_cast<double>(kRound)) * place(k);
  double along = 0.0;
  double skew = 0.0;
  for (std::size_t k = 0; k < kRound; ++k) {
    const Vec2 arm = place(k) - frame.middle;
    along += arm.x * arm.x - arm.y * arm.y;
    skew += 2.0 * arm.x * arm.y;
  }
  frame.axis = turned({1.0, 0.0}, 0.5 * std::atan2(skew, along));
  return frame;
}

std::vector<Vec2> marks_in(const Drawing& drawing) {
  std::vector<Vec2> places = drawn_marks(drawing);
  for (const DrawnText& text : drawing.texts) places.push_back(text.at);
  return places;
}

class PieceTwins {
 public:
  PieceTwins(const StyleSpec& style, const std::string& key, const PatternDrawing& was, PatternDrawing fresh,
             double reach)
      : style_(style), key_(key), was_(was), fresh_(std::move(fresh)), reach_(reach) {}

  TwinnedDrawing run() {
    read_old();
    if (!affordable()) return std::move(out_);
    by_name();
    if (!lay_sheet()) return std::move(out_);
    for (std::size_t i = 0; i < out_.pieces.size(); ++i) take_named(i);
    for (std::size_t i = 0; i < out_.pieces.size(); ++i) {
      if (!out_.pieces[i].now && !failed_.count(i)) take_nearest(i);
    }
    tell_new();
    out_.drawing = std::move(fresh_);
    return std::move(out_);
  }

 private:
  void refuse(std::size_t i, std::string message) {
    Problem problem{Trouble::kGeometry, std::move(message), {}, {}, {}};
    problem.place.pointer = pointer_to("/pieces", out_.pieces[i].index) + "/outline";
    out_.problems.push_back(problem.in("piece", out_.pieces[i].spec->name));
    failed_.insert(i);
  }

  void read_old() {
    for (std::size_t i = 0; i < style_.pieces.size(); ++i) {
      const PieceSpec& spec = style_.pieces[i];
      if (spec.source.drawing != key_) continue;
      const Result<std::size_t> contour = find_contour(spec.source, was_);
      invariant(contour.ok(), "the old style was loaded");
      std::optional<OutlineRuler> ruler = ruler_of(was_, *contour);
      invariant(ruler.has_value(), "the old style was loaded");
      out_.pieces.push_back({&spec, i, *std::move(ruler), 0, {}, {}});
    }
  }

  // Each piece may have to be compared with every outline.
  bool affordable() {
    constexpr std::size_t kMost = 5'000'000;
    std::size_t curves = 0;
    for (const PatternContour& one : fresh_.contours) curves += one.contour.raw.curves.size();
    if (curves * out_.pieces.size() <= kMost) return true;
    Problem problem{Trouble::kBudget,
                    "the new drawing has too many curves for so many pieces to be found in it",
                    {},
                    {},
                    {}};
    problem.value = static_cast<double>(curves);
    problem.limit = static_cast<double>(kMost / out_.pieces.size());
    problem.place.pointer = pointer_to("/drawings", key_);
    out_.problems.push_back(problem.in_file(fresh_.drawing.file));
    return false;
  }

  // By block or layer, before anything is known of how the sheet lies.
  void by_name() {
    for (const PieceTwin& piece : out_.pieces) {
      OutlineSource source = piece.spec->source;
      source.at.reset();
      named_.emplace_back();
      // A place alone means something only once the sheet is laid; nothing at all means the only outline.
      if (piece.spec->source.at && !source.block && !source.layer) continue;
      if (const Result<std::size_t> found = find_contour(source, fresh_)) named_.back() = *found;
    }
  }

  [[nodiscard]] bool may_be_piece(std::size_t contour) const {
    const PatternContour& one = fresh_.contours[contour];
    return one.contour.closed && !one.inner && (!one.role || one.role == LayerRole::kBoundary);
  }

  void refuse_sheet(std::string message) {
    Problem problem{Trouble::kGeometry, std::move(message), {}, {}, {}};
    problem.place.pointer = pointer_to("/drawings", key_);
    out_.problems.push_back(problem.in_file(fresh_.drawing.file));
  }

  // How much larger the new outlines are, by the one in the middle; none where they are about as large.
  static std::optional<double> size_ratio(const OutlineTwins& twins) {
    constexpr double kAlike = 1.3;  // no sample is drawn again so much larger
    std::vector<double> ratios;
    for (const OutlineTwin& twin : twins) {
      if (twin.was.size() == 1) ratios.push_back(twin.now->length() / twin.was.front()->length());
    }
    if (ratios.empty()) return std::nullopt;
    std::sort(ratios.begin(), ratios.end());
    const double middle = ratios[ratios.size() / 2];
    if (middle < kAlike && middle > 1.0 / kAlike) return std::nullopt;
    return middle;
  }

  bool lay_sheet() {
    std::vector<std::optional<OutlineRuler>> rulers(fresh_.contours.size());
    const auto ruler = [&](std::size_t c) -> const OutlineRuler* {
      if (!rulers[c]) rulers[c] = ruler_of(fresh_, c);
      return rulers[c] ? &*rulers[c] : nullptr;
    };
    OutlineTwins twins;
    std::set<std::size_t> taken;
    for (std::size_t i = 0; i < out_.pieces.size(); ++i) {
      if (!named_[i] || ruler(*named_[i]) == nullptr) continue;
      taken.insert(*named_[i]);
      // Pieces that are drawn elsewhere than they lie are often put elsewhere again: each is found by itself.
      twins.push_back({ruler(*named_[i]), {&out_.pieces[i].was}});
    }
    // Where there are more outlines than any pattern has, the sheet is taken as it is.
    constexpr std::size_t kMostOutlines = 300;
    if (2 * twins.size() < out_.pieces.size() && fresh_.contours.size() <= kMostOutlines) {
      for (std::size_t c = 0; c < fresh_.contours.size(); ++c) {
        if (taken.count(c) > 0 || !may_be_piece(c) || ruler(c) == nullptr) continue;
        OutlineTwin twin{ruler(c), {}};
        for (const PieceTwin& piece : out_.pieces) {
          constexpr double kAlike = 0.1;  // of the length round it
          if (std::abs(piece.was.length() - twin.now->length()) <= kAlike * piece.was.length())
            twin.was.push_back(&piece.was);
        }
        if (!twin.was.empty()) twins.push_back(std::move(twin));
      }
    }
    if (const auto ratio = size_ratio(twins)) {
      refuse_sheet(
          fmt::format("the outlines of the new drawing are {:.4g} times as large as the old ones: is it in "
                      "another unit than it says, or than the style says (\"units\")?",
                      *ratio));
      return false;
    }
    const Result<DrawingMotion> found =
        find_drawing_motion(twins, reach_, {marks_in(was_.drawing), marks_in(fresh_.drawing)});
    if (!found) {
      refuse_sheet(found.problem().message);
      return false;
    }
    out_.sheet = *found;
    if (found->sheet) fresh_ = moved(fresh_, found->motion);
    return true;
  }

  void take(std::size_t i, std::size_t contour, OutlineRuler ruler) {
    out_.pieces[i].contour = contour;
    out_.pieces[i].now = std::move(ruler);
    used_.insert(contour);
  }

  void take_named(std::size_t i) {
    PieceTwin& piece = out_.pieces[i];
    std::optional<std::size_t> contour = named_[i];
    if (!contour && piece.spec->source.at) {
      if (const Result<std::size_t> found = find_contour(piece.spec->source, fresh_)) {
        std::optional<OutlineRuler> there = ruler_of(fresh_, *found);
        if (there && apart(piece.was, *there) <= reach_) contour = *found;
      }
    }
    if (!contour) return;
    std::optional<OutlineRuler> ruler = ruler_of(fresh_, *contour);
    if (!ruler) {
      refuse(i, "the outline of its name is not sound: " + described(fresh_.contours[*contour]));
      return;
    }
    if (const double off = apart(piece.was, *ruler); off > reach_) {
      // Far off under its own name: another may carry the shape that it had.
      for (std::size_t c = 0; c < fresh_.contours.size(); ++c) {
        if (c == *contour || !may_be_piece(c)) continue;
        const std::optional<OutlineRuler> other = ruler_of(fresh_, c);
        if (!other || apart(piece.was, *other) > 0.1 * off) continue;
        refuse(i,
               fmt::format(
                   "its name is on another outline now, {:.1f} mm from where it was, and its shape is that "
                   "of {}: say which is meant",
                   off, described(fresh_.contours[c])));
        return;
      }
      if (elsewhere(i, *ruler)) return;
    } else if (off > kSameDrawn && other_way_round(i, *ruler)) {
      return;
    }
    take(i, *contour, *std::move(ruler));
  }

  // A piece whose own place on the sheet is another one.
  bool elsewhere(std::size_t i, const OutlineRuler& now) {
    const Result<DrawingMotion> own = find_drawing_motion({{&now, {&out_.pieces[i].was}}}, 1.0);
    if (!own || !own->sheet || own->same < 0.3) return false;
    refuse(
        i,
        fmt::format(
            "it is drawn elsewhere on the sheet now, while others are where they were: {}turned by {:.2f} "
            "degrees and shifted by ({:.3f}, {:.3f}) it lies as it lay; draw it there",
            own->sheet->mirrored ? "mirrored, " : "", own->sheet->turn, own->sheet->by.x, own->sheet->by.y));
    return true;
  }

  // A piece that lies in its place the other way round, and is else as it was: turned half round about its
  // middle, or mirrored along or across itself. What is only shifted or turned a little is not.
  bool other_way_round(std::size_t i, const OutlineRuler& now) {
    const OutlineRuler& ruler = out_.pieces[i].was;
    const OwnFrame was = own_frame(ruler);
    OwnFrame is = own_frame(now);
    if (dot(is.axis, was.axis) < 0.0) is.axis = -is.axis;
    const std::vector<Vec2> places = now.samples(kTwinSamples);
    const auto lies = [&](double along, double across) {
      return std::all_of(places.begin(), places.end(), [&](Vec2 p) {
        const Vec2 arm = p - is.middle;
        const Vec2 back = was.middle + along * dot(arm, is.axis) * was.axis +
                          across * dot(arm, left_of(is.axis)) * left_of(was.axis);
        return ruler.nearest(back).distance <= kSameDrawn;
      });
    };
    const bool half_round = lies(-1.0, -1.0);
    const bool over_along = lies(1.0, -1.0);
    if (lies(1.0, 1.0) || (!half_round && !over_along && !lies(-1.0, 1.0))) return false;
    const Vec2 mid = 0.5 * (was.middle + is.middle);
    const Vec2 line = unit(over_along ? was.axis + is.axis : left_of(was.axis + is.axis));
    refuse(i, fmt::format(
                  "it lies in its place the other way round now: {} ({:.3f}, {:.3f}){} it lies as it "
                  "lay; draw it so",
                  half_round ? "turned by 180 degrees about" : "mirrored in the line through", mid.x, mid.y,
                  half_round ? std::string() : fmt::format(" along ({:.4f}, {:.4f})", line.x, line.y)));
    return true;
  }

  void take_nearest(std::size_t i) {
    const OutlineSource& source_was = out_.pieces[i].spec->source;
    const std::string name = named_source(source_was);
    // What goes by its name is the piece, or nothing is: another outline that lies there is another piece.
    const NamedOutlines own = source_was.at ? NamedOutlines{} : outlines_named(source_was, fresh_);
    if (own.closed.empty() && !own.open.empty())
      return refuse(i,
                    fmt::format("{} is in the new drawing, and {}", name, does_not_close(own.open, fresh_)));
    struct Near {
      double off;
      std::size_t contour;
    };
    std::vector<Near> near;
    for (std::size_t c = 0; c < fresh_.contours.size(); ++c) {
      if (used_.count(c) > 0 || !may_be_piece(c)) continue;
      if (!own.closed.empty() && std::find(own.closed.begin(), own.closed.end(), c) == own.closed.end())
        continue;
      if (const std::optional<OutlineRuler> ruler = ruler_of(fresh_, c))
        near.push_back({apart(out_.pieces[i].was, *ruler), c});
    }
    std::stable_sort(near.begin(), near.end(), [](const Near& a, const Near& b) { return a.off < b.off; });
    const bool several = own.closed.size() > 1;
    const bool far = near.empty() || near.front().off > reach_;
    if (several && (far || (near.size() > 1 && near[1].off <= 2.0 * near[0].off + 1.0)))
      return refuse(
          i, fmt::format("{}, and it was there once: take {} out", drawn_again(name, own.closed, fresh_),
                         own.closed.size() == 2 ? "one of them" : "all but one of them"));
    if (far) {
      if (const std::vector<std::size_t> open = open_there(out_.pieces[i].was, fresh_, reach_); !open.empty())
        return refuse(i, fmt::format("the new drawing has no closed {}, and where it lay a line is drawn: {}",
                                     name, does_not_close(open, fresh_)));
      refuse(i,
             fmt::format("the new drawing has no {}, and no outline lies within {:g} mm of where it lay{}",
                         name, reach_,
                         near.empty() ? std::string()
                                      : fmt::format("; the nearest is {:.1f} mm away: {}", near.front().off,
                                                    described(fresh_.contours[near.front().contour]))));
      return;
    }
    std::vector<std::size_t> there;  // as near as the nearest
    for (const Near& one : near) {
      if (one.off <= 2.0 * near[0].off + 1.0) there.push_back(one.contour);
    }
    if (const auto own_name = of_same_name(there, source_was, fresh_)) {
      std::swap(near[0], *std::find_if(near.begin(), near.end(),
                                       [&](const Near& one) { return one.contour == *own_name; }));
    } else if (there.size() > 1) {
      refuse(i, fmt::format("the new drawing has no {}, and two outlines lie where it lay: {}; {}", name,
                            described(fresh_.contours[near[0].contour]),
                            described(fresh_.contours[near[1].contour])));
      return;
    }
    const std::size_t contour = near.front().contour;
    const std::optional<OutlineSource> source = source_of(contour, fresh_);
    if (!source) {
      refuse(i, "another outline lies on the one that it is now: nothing distinguishes them");
      return;
    }
    out_.pieces[i].renamed = source;
    out_.told.push_back(
        several ? fmt::format(
                      "piece {}: {}; the one that lies where it lay is taken, at most {:.2f} mm from there",
                      out_.pieces[i].spec->name, drawn_again(name, own.closed, fresh_), near.front().off)
                : fmt::format("piece {}: it is {} now, at most {:.2f} mm from where {} was",
                              out_.pieces[i].spec->name, described(fresh_.contours[contour]),
                              near.front().off, name));
    take(i, contour, *ruler_of(fresh_, contour));
  }

  static std::string named_source(const OutlineSource& source) {
    if (source.block) return "block " + *source.block;
    if (source.layer) return "layer " + *source.layer;
    return "outline round its place";
  }

  void tell_new() {
    constexpr std::size_t kMostTold = 20;
    std::size_t left = 0;
    for (std::size_t c = 0; c < fresh_.contours.size(); ++c) {
      if (used_.count(c) > 0 || !may_be_piece(c) || !fresh_.contours[c].role) continue;
      if (++left <= kMostTold) out_.told.push_back("no piece takes " + described(fresh_.contours[c]));
    }
    if (left > kMostTold)
      out_.told.push_back(fmt::format("no piece takes {} more outlines", left - kMostTold));
  }

  const StyleSpec& style_;
  const std::string& key_;
  const PatternDrawing& was_;
  PatternDrawing fresh_;
  double reach_;
  std::vector<std::optional<std::size_t>> named_;  // by piece
  std::set<std::size_t> used_;                     // new contours
  std::set<std::size_t> failed_;                   // pieces
  TwinnedDrawing out_;
};

}  // namespace

TwinnedDrawing twin_pieces(const StyleSpec& style, const std::string& key, const PatternDrawing& was,
                           PatternDrawing fresh, double reach) {
  return PieceTwins(style, key, was, std::move(fresh), reach).run();
}

}  // namespace lastwright
