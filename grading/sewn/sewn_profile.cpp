#include "grading/sewn/sewn_profile.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

#include "geometry/counted.hpp"
#include "geometry/io/sewn/sewn_layers.hpp"
#include "grading/sewn/sewn_points.hpp"
#include "grading/sewn/sewn_sort.hpp"

namespace lastwright {

namespace {

// A dense curve must not stand still; a hair's length says nothing.
std::vector<Vec2> without_hairs(const std::vector<Vec2>& points, bool closed) {
  constexpr double kHair = 1e-4;  // mm: points so near are written alike
  std::vector<Vec2> kept;
  for (const Vec2 p : points) {
    if (kept.empty() || distance(kept.back(), p) > kHair) kept.push_back(p);
  }
  while (closed && kept.size() > 3 && distance(kept.back(), kept.front()) <= kHair) kept.pop_back();
  return kept;
}

class SetMaker {
 public:
  SetMaker(const std::vector<GradedPiece>& sizes, std::size_t base, const SewnNotes& notes,
           const SewnOptions& options)
      : sizes_(sizes), base_(base), notes_(notes), options_(options) {
    for (const GradedPiece& piece : sizes) {
      sorted_.push_back(sorted(piece));
      SewnPiece& out = set_.pieces.emplace_back();
      out.piece = piece.piece;
      out.size = piece.at.size.label;
      out.width = piece.at.width.label;
      out.grain_line = sorted_.back().grain;
    }
  }

  SewnSet run() {
    add_line([](const SewnSorted& s) -> const Track& { return s.boundary; }, "cut",
             [](SewnPiece& p) -> SewnLine& { return p.boundary; });
    add_lines(&SewnSorted::internal, &SewnPiece::internal_lines, "line");
    add_lines(&SewnSorted::cut_outs, &SewnPiece::cut_outs, "cut-out");
    add_lines(&SewnSorted::sew, &SewnPiece::sew_lines, "sew line");
    add_marks(&SewnSorted::notches, &SewnPiece::notches, "notch");
    add_size_notches();
    add_marks(&SewnSorted::drills, &SewnPiece::drill_holes, "hole");
    for (std::size_t k = 0; k < sizes_.size(); ++k) add_texts(sizes_[k], set_.pieces[k]);
    return std::move(set_);
  }

 private:
  void add_lines(std::vector<Track> SewnSorted::*from, std::vector<SewnLine> SewnPiece::*to,
                 const std::string& name) {
    for (std::size_t k = 0; k < sizes_.size(); ++k) (set_.pieces[k].*to).resize((sorted_[k].*from).size());
    const std::size_t count = (sorted_[base_].*from).size();
    const bool same = std::all_of(sorted_.begin(), sorted_.end(),
                                  [&](const SewnSorted& s) { return (s.*from).size() == count; });
    if (!same) {
      for (std::size_t k = 0; k < sizes_.size(); ++k) {
        for (std::size_t i = 0; i < (sorted_[k].*from).size(); ++i)
          unnumbered((sorted_[k].*from)[i], (set_.pieces[k].*to)[i]);
      }
      return;
    }
    for (std::size_t i = 0; i < count; ++i) {
      add_line([&](const SewnSorted& s) -> const Track& { return (s.*from)[i]; },
               fmt::format("{} {}", name, i + 1), [&](SewnPiece& p) -> SewnLine& { return (p.*to)[i]; });
    }
  }

  void unnumbered(const Track& line, SewnLine& out) {
    const NumberedTracks own = number_tracks({line}, 0, options_.tolerance);
    for (const TrackPoint& point : own.points[0]) out.points.push_back({point.at, point.turn, 0});
    finish(line, out);
    set_.unruled += out.points.size();
  }

  void finish(const Track& line, SewnLine& out) const {
    out.closed = line.closed;
    const std::vector<Vec2> dense = line.closed ? flattened(closed_path(line), options_.dense)
                                                : flattened(open_path(line), options_.dense);
    out.dense = without_hairs(dense, out.closed);
  }

  template <class From, class To>
  void add_line(const From& from, const std::string& name, const To& to) {
    std::vector<Track> tracks;
    for (const SewnSorted& s : sorted_) tracks.push_back(from(s));
    const NumberedTracks numbered = number_tracks(tracks, base_, options_.tolerance);
    const std::size_t first = set_.rules.size();
    for (std::size_t k = 0; k < sizes_.size(); ++k) {
      SewnLine& out = to(set_.pieces[k]);
      for (std::size_t j = 0; j < numbered.points[k].size(); ++j) {
        const TrackPoint& point = numbered.points[k][j];
        out.points.push_back({point.at, point.turn, numbered.alike ? static_cast<int>(first + j + 1) : 0});
      }
      if (!numbered.alike) set_.unruled += out.points.size();
      finish(from(sorted_[k]), out);
    }
    if (!numbered.alike) return;
    for (std::size_t j = 0; j < numbered.points[base_].size(); ++j) {
      std::vector<Vec2> places;
      for (const auto& points : numbered.points) places.push_back(points[j].at);
      const std::uint16_t edge = numbered.points[base_][j].label;
      const bool names_edge = tracks[base_].closed && edge < notes_.edges.size() && has_edges(tracks[base_]);
      add_rule(names_edge ? fmt::format("{} {} {}", name, notes_.edges[edge], j + 1)
                          : fmt::format("{} {}", name, j + 1),
               places);
    }
  }

  // Only outlines carry more than one label; a cut-out's label 0 is no edge.
  static bool has_edges(const Track& track) {
    return std::any_of(track.labels.begin(), track.labels.end(),
                       [&](std::uint16_t label) { return label != track.labels.front(); });
  }

  void add_marks(std::vector<Vec2> SewnSorted::*from, std::vector<SewnMark> SewnPiece::*to,
                 const std::string& name) {
    const std::size_t count = (sorted_[base_].*from).size();
    const bool same = std::all_of(sorted_.begin(), sorted_.end(),
                                  [&](const SewnSorted& s) { return (s.*from).size() == count; });
    const std::size_t first = set_.rules.size();
    for (std::size_t k = 0; k < sizes_.size(); ++k) {
      for (std::size_t i = 0; i < (sorted_[k].*from).size(); ++i) {
        (set_.pieces[k].*to).push_back({(sorted_[k].*from)[i], same ? static_cast<int>(first + i + 1) : 0});
      }
      if (!same) set_.unruled += (sorted_[k].*from).size();
    }
    if (!same) return;
    for (std::size_t i = 0; i < count; ++i) {
      std::vector<Vec2> places;
      for (const SewnSorted& s : sorted_) places.push_back((s.*from)[i]);
      add_rule(fmt::format("{} {}", name, i + 1), places);
    }
  }

  void add_size_notches() {
    for (std::size_t k = 0; k < sizes_.size(); ++k) {
      for (const Vec2 at : sorted_[k].size_notches) set_.pieces[k].notches.push_back({at, 0});
      set_.unruled += sorted_[k].size_notches.size();
    }
  }

  void add_rule(const std::string& point, const std::vector<Vec2>& places) {
    GradeRule rule{sizes_[base_].piece, point, static_cast<int>(set_.rules.size() + 1), {}};
    for (const Vec2 place : places) rule.moves.push_back(place - places[base_]);
    set_.rules.push_back(std::move(rule));
  }

  void add_texts(const GradedPiece& piece, SewnPiece& out) const {
    for (const SheetText& text : piece.texts) out.texts.push_back({text.at, text.height, text.text});
    const Vec2 at = bounds(piece.net.path).centre();
    for (const std::string& text : notes_.texts) out.texts.push_back({at, 5.0, text});
    std::map<double, int> holes;  // by diameter
    for (const GradedHole& hole : piece.holes) {
      if (hole.radius > 0.0 && hole.operation != Operation::kCutOut) ++holes[2.0 * hole.radius];
    }
    for (const auto& [diameter, count] : holes) {
      out.texts.push_back(
          {at, 5.0, fmt::format("{}holes {} of {:.3g} mm", sewn::kAnnotation, count, diameter)});
    }
  }

  const std::vector<GradedPiece>& sizes_;
  std::size_t base_;
  const SewnNotes& notes_;
  const SewnOptions& options_;
  std::vector<SewnSorted> sorted_;
  SewnSet set_;
};

using Places = std::map<int, Vec2>;  // by rule number

Places places_of(const SewnPiece& piece) {
  Places places;
  const auto add = [&](int rule, Vec2 at) {
    if (rule > 0) places.emplace(rule, at);
  };
  const auto add_line = [&](const SewnLine& line) {
    for (const SewnPoint& point : line.points) add(point.rule, point.at);
  };
  add_line(piece.boundary);
  for (const auto* group : {&piece.internal_lines, &piece.cut_outs, &piece.sew_lines}) {
    for (const SewnLine& line : *group) add_line(line);
  }
  for (const auto* marks : {&piece.notches, &piece.drill_holes}) {
    for (const SewnMark& mark : *marks) add(mark.rule, mark.at);
  }
  return places;
}

}  // namespace

Result<SewnSet> sewn_set(const std::vector<GradedPiece>& sizes, std::size_t base, const SewnNotes& notes,
                         const SewnOptions& options) {
  if (base >= sizes.size()) return Problem{Trouble::kBadValue, "a piece without sizes", {}, {}, {}};
  return SetMaker(sizes, base, notes, options).run();
}

Result<RegradeCheck> regrade(const std::vector<SewnPiece>& drawing, const GradeRuleTable& table) {
  const auto refused = [](const SewnPiece& piece, std::string message) {
    return Problem{Trouble::kGeometry, std::move(message), {}, {}, {}}
        .in("width", piece.width)
        .in("size", piece.size)
        .in("piece", piece.piece);
  };
  std::map<std::string, std::vector<const GradeRule*>> rules;
  for (const GradeRule& rule : table.rules) rules[rule.piece].push_back(&rule);
  std::map<std::string, Places> base;
  for (const SewnPiece& piece : drawing) {
    if (piece.size + " " + piece.width == table.base) base[piece.piece] = places_of(piece);
  }
  RegradeCheck check;
  for (const SewnPiece& piece : drawing) {
    const auto size = std::find(table.sizes.begin(), table.sizes.end(), piece.size + " " + piece.width);
    if (size == table.sizes.end()) return refused(piece, "a size that the rule table does not have");
    const auto column = static_cast<std::size_t>(size - table.sizes.begin());
    const Places& from = base[piece.piece];
    const Places here = places_of(piece);
    if (here.size() != rules[piece.piece].size() || from.size() != here.size()) {
      return refused(piece, fmt::format("{}, {}, {} in the base", counted(here.size(), "numbered point"),
                                        counted(rules[piece.piece].size(), "rule"),
                                        counted(from.size(), "numbered point")));
    }
    for (const GradeRule* rule : rules[piece.piece]) {
      const auto start = from.find(rule->rule);
      const auto end = here.find(rule->rule);
      if (start == from.end() || end == here.end()) {
        return refused(piece, fmt::format("no point carries the rule {} ({})", rule->rule, rule->point));
      }
      const double off = distance(start->second + rule->moves[column], end->second);
      ++check.points;
      if (!(off <= check.largest)) {
        check.largest = off;
        check.where = fmt::format("{} {}, {}", piece.piece, *size, rule->point);
      }
    }
  }
  return check;
}

}  // namespace lastwright
