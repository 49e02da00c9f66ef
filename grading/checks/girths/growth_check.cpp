#include "grading/checks/girths/growth_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/counted.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kEndToEnd = 0.8;     // of the length line: a piece as long stands for the whole forme
constexpr double kBeyond = 1.25;      // of it: a longer one is not of that line
constexpr double kOfStep = 0.5;       // of a step of the run: a tie is off by a whole one
constexpr double kLeastOff = 1.0;     // mm
constexpr double kOfGrowth = 0.1;     // of what the line has grown: ends drawn beyond it grow a little more
constexpr double kShortestLine = 50;  // mm; on shorter formes nothing is an insole

double extent(const ClosedArcPath& path, Vec2 along) {
  double low = std::numeric_limits<double>::infinity();
  double high = -low;
  for (std::size_t i = 0; i < path.size(); ++i) {
    for (const double t : {0.0, 0.5}) {
      const double s = dot(path.segment(i).point_at(t), along);
      low = std::min(low, s);
      high = std::max(high, s);
    }
  }
  return high - low;
}

// The length line of a forme, by cell.
std::vector<double> line_lengths(const StyleGrade& grade, const GradedForme& forme) {
  std::vector<double> lengths;
  for (std::size_t k = 0; k < grade.cells.size(); ++k) {
    for (const LineReading& line : forme.map.readings(grade.steps[k], forme.drivers[k])) {
      if (line.line == forme.map.forme().length_line) lengths.push_back(line.reached);
    }
  }
  return lengths;
}

// The smallest step from size to size.
double least_step(const StyleGrade& grade, const std::vector<double>& lengths) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < lengths.size(); ++k) {
    for (std::size_t i = 0; i < k; ++i) {
      if (grade.cells[i].width.label != grade.cells[k].width.label ||
          grade.cells[i].size.position == grade.cells[k].size.position)
        continue;
      least = std::min(least, std::abs(lengths[k] - lengths[i]));
    }
  }
  return least;
}

std::string ties_of(const PieceSpec& piece) {
  std::string text;
  for (const SizeTie& tie : piece.sizes_tied)
    text += fmt::format("{}sizes {} to {} as {}", text.empty() ? "" : ", ", tie.from, tie.to, tie.as);
  return text;
}

constexpr double kWidestGroup = 20.0;  // mm of length from its first size to its last: more than two sizes

// Sizes that a piece's groups leave out, or hold too many of.
void add_groups(const StyleGrade& grade, const PreparedPiece& piece, const std::vector<double>& line,
                std::vector<StyleFinding>& all) {
  const std::vector<SizeTie>& ties = piece.bound.spec.sizes_tied;
  if (ties.empty()) return;
  const auto tell = [&](double worst, const char* unit, std::string note) {
    all.push_back(doubtful_finding("tied sizes", piece.bound.spec.name, worst, unit, std::move(note)));
  };
  const auto group_of = [&](const Size& size) -> const SizeTie* {
    for (const SizeTie& tie : ties) {
      if (grade.run.named.at(tie.from) <= size.position && size.position <= grade.run.named.at(tie.to))
        return &tie;
    }
    return nullptr;
  };
  std::size_t in = 0;
  std::string out;
  std::size_t left = 0;
  for (const Size& size : grade.run.sizes) {
    if (group_of(size) != nullptr) {
      ++in;
    } else {
      ++left;
      out += (out.empty() ? "" : ", ") + size.label;
    }
  }
  if (ties.size() > 1 && left > 0 && left < in)
    tell(static_cast<double>(left), "sizes",
         fmt::format(
             "of the run are in no group and keep an outline of their own, size {}: is one forgotten?", out));
  for (const SizeTie& tie : ties) {
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (std::size_t k = 0; k < grade.run_cells(); ++k) {
      if (group_of(grade.cells[k].size) != &tie) continue;
      if (grade.cells[k].width.label != grade.cells.front().width.label) continue;
      low = std::min(low, line[k]);
      high = std::max(high, line[k]);
    }
    if (high - low > kWidestGroup)
      tell(high - low, "mm",
           fmt::format(
               "is how much longer the forme is in size {} than in size {}, which this piece has one outline "
               "for, that of {}: see whether the group is meant so wide",
               tie.to, tie.from, tie.as));
  }
}

// The place of the size that stands for a group among its sizes in the run; nothing where the run does not
// make it.
struct GroupPlace {
  std::size_t sizes = 0;
  std::size_t at = 0;
};
std::optional<GroupPlace> place_of(const SizeRun& run, const SizeTie& tie) {
  GroupPlace place;
  bool found = false;
  for (const Size& size : run.sizes) {
    if (size.position < run.named.at(tie.from) || run.named.at(tie.to) < size.position) continue;
    if (size.position == run.named.at(tie.as)) {
      place.at = place.sizes;
      found = true;
    }
    ++place.sizes;
  }
  return found ? std::optional(place) : std::nullopt;
}

bool told_already(const std::vector<StyleFinding>& all, const std::string& piece) {
  return std::any_of(all.begin(), all.end(), [&](const StyleFinding& one) {
    return one.check == "tied sizes" && one.subject == piece;
  });
}

// One group that takes the outline of its smallest or its largest size, where two others or more, all there
// are, take one from between.
void add_group_at_end(const StyleGrade& grade, const PieceSpec& piece, std::vector<StyleFinding>& all) {
  std::size_t inside = 0;
  std::vector<const SizeTie*> at_end;
  for (const SizeTie& tie : piece.sizes_tied) {
    const std::optional<GroupPlace> place = place_of(grade.run, tie);
    if (!place || place->sizes < 3) return;
    if (place->at > 0 && place->at + 1 < place->sizes) {
      ++inside;
    } else {
      at_end.push_back(&tie);
    }
  }
  if (at_end.size() != 1 || inside < 2 || told_already(all, piece.name)) return;
  const SizeTie& tie = *at_end.front();
  all.push_back(doubtful_finding(
      "tied sizes", piece.name, 1.0, "group",
      fmt::format("sizes {} to {} take the outline of size {}, at the end of the group, and the other {} one "
                  "from between their ends: see whether it is meant",
                  tie.from, tie.to, tie.as, counted(inside, "group"))));
}

// Groups over the same sizes that take other sizes' outlines: in two pieces, which are made for the same
// lasts, or in one, where all others of as many sizes have it at one place.
void add_unlike_groups(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  struct Group {
    const PieceSpec* piece;
    const SizeTie* tie;
  };
  std::vector<Group> groups;
  for (const PreparedPiece& piece : grade.pieces) {
    const std::vector<SizeTie>& ties = piece.bound.spec.sizes_tied;
    for (const SizeTie& tie : ties) {
      const auto like = std::find_if(groups.begin(), groups.end(), [&](const Group& other) {
        return other.tie->from == tie.from && other.tie->to == tie.to && other.tie->as != tie.as;
      });
      if (like != groups.end() && like->piece != &piece.bound.spec)
        all.push_back(doubtful_finding(
            "tied sizes", piece.bound.spec.name, 1.0, "group",
            fmt::format(
                "sizes {} to {} take the outline of size {} here and that of size {} in {}: see whether "
                "both are meant",
                tie.from, tie.to, tie.as, like->tie->as, like->piece->name)));
      groups.push_back({&piece.bound.spec, &tie});
      const std::optional<GroupPlace> here = place_of(grade.run, tie);
      if (!here) continue;
      std::size_t as_many = 0;
      std::optional<std::size_t> others;
      bool one_place = true;
      for (const SizeTie& other : ties) {
        const std::optional<GroupPlace> there = place_of(grade.run, other);
        if (&other == &tie || !there || there->sizes != here->sizes) continue;
        ++as_many;
        one_place = one_place && (!others || *others == there->at);
        others = there->at;
      }
      if (as_many < 2 || !one_place || *others == here->at) continue;
      all.push_back(doubtful_finding("tied sizes", piece.bound.spec.name, 1.0, "group",
                                     fmt::format("sizes {} to {} take the outline of size {}, number {} of "
                                                 "{}, and the other {} of as many that of "
                                                 "number {}: see whether it is meant",
                                                 tie.from, tie.to, tie.as, here->at + 1, here->sizes,
                                                 counted(as_many, "group"), *others + 1)));
    }
    add_group_at_end(grade, piece.bound.spec, all);
  }
}

}  // namespace

bool of_the_last(const StyleSpec& style, const FormeSpec& forme) {
  return role_of(forme).has_value() ||
         std::any_of(style.girths.begin(), style.girths.end(), [&](const GirthSpec& girth) {
           return std::any_of(girth.parts.begin(), girth.parts.end(),
                              [&](const GirthPart& part) { return part.forme == forme.name; });
         });
}

std::vector<StyleFinding> check_growth(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  add_unlike_groups(grade, all);
  const std::size_t base = grade.base_cell();
  for (std::size_t f = 0; f < grade.formes.size(); ++f) {
    const std::vector<double> line = line_lengths(grade, grade.formes[f]);
    if (line.size() != grade.cells.size() || line[base] < kShortestLine) continue;
    const double step = least_step(grade, line);
    if (!std::isfinite(step)) continue;
    const FormeSpec& forme = grade.formes[f].map.forme();
    const bool on_the_last = of_the_last(style, forme);
    const Vec2 along = base_direction(forme);
    for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
      const PreparedPiece& piece = grade.pieces[p];
      if (piece.forme != f) continue;
      add_groups(grade, piece, line, all);
      if (!on_the_last) continue;
      const double drawn = extent(grade.drawn_piece(p, base).net.path, along);
      if (drawn < kEndToEnd * line[base] || drawn > kBeyond * line[base]) continue;
      if (role_of(forme) == FormeRole::kBottom && piece.bound.spec.per_pair != 2) {
        all.push_back(doubtful_finding(
            "piece number", piece.bound.spec.name, static_cast<double>(piece.bound.spec.per_pair), "pieces",
            "are cut for one pair, and a piece as long as the shoe is there once in each: check "
            "\"per_pair\""));
      }
      double worst = 0.0;
      std::size_t at = base;
      for (std::size_t k = 0; k < base; ++k) {
        const double grown = line[k] - line[base];
        const double off = extent(grade.drawn_piece(p, k).net.path, along) - drawn - grown;
        const double allowed = piece.drawn_as[k] == k ? kOfGrowth * std::abs(grown) : 0.0;
        if (std::abs(off) <= std::max({kLeastOff, kOfStep * step, allowed}) ||
            std::abs(off) <= std::abs(worst))
          continue;
        worst = off;
        at = k;
      }
      if (worst == 0.0) continue;
      const std::string ties = ties_of(piece.bound.spec);
      StyleFinding finding = doubtful_finding("growth", piece.bound.spec.name, std::abs(worst), "mm", "");
      finding.where = grade.cells[at];
      finding.note = fmt::format(
          "is how much {} it is than its forme's length line asks, which it runs along from end to end{}: "
          "what "
          "is as long as the shoe has to grow as the shoe does; see whether it is meant",
          worst > 0.0 ? "longer" : "shorter",
          ties.empty() ? std::string("; check its held edges and the rules beside it")
                       : fmt::format(", and it is tied: {}", ties));
      all.push_back(std::move(finding));
    }
  }
  return all;
}

}  // namespace lastwright
