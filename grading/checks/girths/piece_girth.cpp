#include "grading/checks/girths/piece_girth.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <set>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/lasting/sole_check.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/seam_lookup.hpp"

namespace lastwright {

namespace {

double united(std::vector<Stretch> stretches) {
  std::sort(stretches.begin(), stretches.end(),
            [](const Stretch& a, const Stretch& b) { return a.from < b.from; });
  double covered = 0.0;
  double reached = 0.0;
  for (const Stretch& s : stretches) {
    if (s.to <= reached) continue;
    covered += s.to - std::max(s.from, reached);
    reached = s.to;
  }
  return covered;
}

// How much more of a line is open than the sample's share of it.
double opened_beyond(const PieceGirthPart& here, const PieceGirthPart& sample) {
  const double open = here.line - here.covered;
  return sample.line > 0.0 ? open - (sample.line - sample.covered) * here.line / sample.line : open;
}

class GirthMeasurer {
 public:
  GirthMeasurer(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                const std::vector<GirthLine>& lines, const StyleLooks& looks)
      : style_(style), grade_(grade), table_(table), lines_(lines), looks_(looks) {}

  Result<std::vector<PieceGirth>> run() {
    std::vector<PieceGirth> all;
    for (std::size_t g = 0; g < style_.girths.size(); ++g) {
      const GirthSpec& girth = style_.girths[g];
      const std::optional<std::size_t> measure = table_.index(girth.measure);
      if (!measure || girth.parts.empty()) continue;
      std::vector<std::size_t> lines;
      for (std::size_t l = 0; l < lines_.size(); ++l) {
        if (lines_[l].girth == g) lines.push_back(l);
      }
      for (const std::string& layer : layers_on(lines_[lines.front()].forme)) {
        Result<PieceGirth> one = measured(girth, *measure, lines, layer);
        if (!one) return one.problem();
        all.push_back(std::move(*one));
      }
    }
    const auto idle = [&](const PieceGirth& girth) {
      return !girth.layer.empty() && round_.count(girth.layer) == 0;
    };
    all.erase(std::remove_if(all.begin(), all.end(), idle), all.end());
    return all;
  }

 private:
  // In the order of the pieces; one without a name where no piece names any.
  [[nodiscard]] std::vector<std::string> layers_on(std::size_t forme) const {
    std::vector<std::string> layers;
    for (const PreparedPiece& piece : grade_.pieces) {
      const std::string& layer = piece.bound.spec.layer;
      if (piece.forme == forme && !layer.empty() &&
          std::find(layers.begin(), layers.end(), layer) == layers.end())
        layers.push_back(layer);
    }
    if (layers.empty()) layers.emplace_back();
    return layers;
  }

  // The line of the upper where no piece lies on the forme of any but the bottom's; else empty.
  [[nodiscard]] std::string bare_line(const GirthSpec& girth, const std::vector<std::size_t>& lines) const {
    std::string bare;
    for (std::size_t l = 0; l < lines.size(); ++l) {
      const std::size_t forme = lines_[lines[l]].forme;
      if (role_of(grade_.formes[forme].map.forme()) == FormeRole::kBottom) continue;
      if (std::any_of(grade_.pieces.begin(), grade_.pieces.end(),
                      [&](const PreparedPiece& piece) { return piece.forme == forme; }))
        return {};
      if (bare.empty()) bare = girth.parts[l].forme + ": " + girth.parts[l].line;
    }
    return bare;
  }

  [[nodiscard]] bool belongs(const PreparedPiece& piece, std::size_t forme, const std::string& layer) const {
    if (piece.forme != forme) return false;
    const std::string& own = piece.bound.spec.layer;
    return layer.empty() || own.empty() || layers_on(forme).front().empty() || own == layer;
  }

  // Where pieces that are sewn on are missing, the shoe is not open.
  [[nodiscard]] bool is_opening(const GirthLine& line, const Stretch& gap, double whole,
                                const std::string& layer) const {
    const double least = tolerance::kPieceGirth.value();
    const bool from_end = gap.from <= least;
    const bool to_end = gap.to >= whole - least;
    if (gap.to - gap.from < kLeastOpening || (from_end && to_end)) return false;
    const Vec2 start = line.from[grade_.base_cell()];
    const Vec2 along = unit(line.to[grade_.base_cell()] - start);
    return (from_end || finished_at(start + gap.from * along, line.forme, layer)) &&
           (to_end || finished_at(start + gap.to * along, line.forme, layer));
  }

  // Whether no seam names the edge that is nearest to a place of the sample.
  [[nodiscard]] bool finished_at(Vec2 place, std::size_t forme, const std::string& layer) const {
    double nearest_by = std::numeric_limits<double>::infinity();
    bool finished = false;
    for (const PreparedPiece& piece : grade_.pieces) {
      if (!belongs(piece, forme, layer)) continue;
      for (const BoundEdge& edge : piece.bound.edges) {
        for (const Curve& curve : edge.chain.curves()) {
          const double off = nearest(curve, place).distance;
          if (off >= nearest_by) continue;
          nearest_by = off;
          finished = !seam_names_edge(style_, piece.bound.spec.name, edge.spec.name);
        }
      }
    }
    return finished;
  }

  [[nodiscard]] double extra_of(const GirthPart& part) const {
    for (const FormeSpec& forme : style_.formes) {
      if (forme.name != part.forme) continue;
      const MeasureLine* line = find_line(forme, part.line);
      if (line != nullptr && line->extra) return line->extra->value();
    }
    return 0.0;
  }

  // How far a piece goes on over an end of the line in the sample; nothing where it does not reach the end.
  [[nodiscard]] std::optional<double> beyond(const GirthLine& line, std::size_t piece, bool at_start) const {
    const std::size_t base = grade_.base_cell();
    const Vec2 end = at_start ? line.from[base] : line.to[base];
    const Vec2 other = at_start ? line.to[base] : line.from[base];
    const double whole = distance(end, other);
    if (!(whole > 0.0)) return std::nullopt;
    // As far again beyond the end: no piece that lies on the line goes on farther.
    const ArcSegment both{other, end + (end - other), 0.0};
    for (const Stretch& one : stretches_inside(both, grade_.drawn_piece(piece, base).net.path)) {
      if (one.from < whole - tolerance::kPieceGirth.value() &&
          one.to > whole - tolerance::kPieceGirth.value())
        return one.to - whole;
    }
    return std::nullopt;
  }

  [[nodiscard]] const EdgeSpec& edge_near(Vec2 place, std::size_t piece) const {
    const std::vector<BoundEdge>& edges = grade_.pieces[piece].bound.edges;
    const EdgeSpec* found = &edges.front().spec;
    double nearest_by = std::numeric_limits<double>::infinity();
    for (const BoundEdge& edge : edges) {
      for (const Curve& curve : edge.chain.curves()) {
        const double off = nearest(curve, place).distance;
        if (off >= nearest_by) continue;
        nearest_by = off;
        found = &edge.spec;
      }
    }
    return *found;
  }

  // The insole carries the bottom's share of a girth, not the soles round it.
  [[nodiscard]] bool goes_round(std::size_t forme, const std::string& piece) const {
    const SoleName name = sole_name(piece);
    return role_of(grade_.formes[forme].map.forme()) == FormeRole::kBottom &&
           (name == SoleName::kSole || name == SoleName::kEdge);
  }

  void note_beyond(const GirthLine& line, std::size_t part, bool at_start, const std::string& layer,
                   PieceGirth& result) const {
    std::vector<BeyondLine> all;
    for (std::size_t p = 0; p < grade_.pieces.size(); ++p) {
      if (!belongs(grade_.pieces[p], line.forme, layer)) continue;
      const std::optional<double> by = beyond(line, p, at_start);
      if (!by) continue;
      BeyondLine one{part, at_start, *by, grade_.pieces[p].bound.spec.name};
      const std::size_t base = grade_.base_cell();
      const Vec2 end = at_start ? line.from[base] : line.to[base];
      const Vec2 other = at_start ? line.to[base] : line.from[base];
      one.trimmed = edge_near(end + *by * unit(end - other), p).treatment == Treatment::kTrim;
      all.push_back(std::move(one));
    }
    if (all.empty()) return;
    const auto least = std::min_element(all.begin(), all.end(),
                                        [](const BeyondLine& a, const BeyondLine& b) { return a.by < b.by; });
    if (least->by > tolerance::kPieceGirth.value()) result.beyond.push_back(*least);
    for (BeyondLine& one : all) {
      const double more = one.by - std::max(least->by, 0.0);
      if (more <= kLeastOpening || one.trimmed || (more <= kWidestRim && goes_round(line.forme, one.piece)))
        continue;
      one.beside = least->piece;
      result.beyond.push_back(std::move(one));
    }
  }

  // A tied piece that others cover, as a shank under an insole, changes nothing of the girth.
  void note_tied(std::size_t line, std::size_t forme, const std::string& layer,
                 const std::vector<Stretch>& all, PieceGirth& result) const {
    for (std::size_t p = 0; p < grade_.pieces.size(); ++p) {
      const PieceSpec& spec = grade_.pieces[p].bound.spec;
      if (spec.sizes_tied.empty() || !belongs(grade_.pieces[p], forme, layer)) continue;
      std::vector<Stretch> others;
      for (std::size_t q = 0; q < grade_.pieces.size(); ++q) {
        if (q == p || !belongs(grade_.pieces[q], forme, layer)) continue;
        const std::vector<Stretch>& own = looks_[q][grade_.base_cell()].on_lines[line];
        others.insert(others.end(), own.begin(), own.end());
      }
      if (united(others) > united(all) - tolerance::kPieceGirth.value()) continue;
      if (std::find(result.tied.begin(), result.tied.end(), spec.name) == result.tied.end())
        result.tied.push_back(spec.name);
    }
  }

  Result<PieceGirth> measured(const GirthSpec& girth, std::size_t measure,
                              const std::vector<std::size_t>& lines, const std::string& layer) {
    PieceGirth result;
    result.measure = girth.measure;
    result.layer = layer;
    result.pieces.resize(lines.size());
    result.absent = !layer.empty();
    result.bare = bare_line(girth, lines);
    for (const GirthPart& part : girth.parts) {
      result.lines.push_back(part.forme + ": " + part.line);
      result.extra += part.times.value() * extra_of(part);
    }
    for (std::size_t k = 0; k < grade_.cells.size(); ++k) {
      PieceGirthCell cell;
      cell.asked = table_.value(measure, grade_.cells[k]) + result.extra;
      for (std::size_t l = 0; l < lines.size(); ++l) {
        const GirthLine& line = lines_[lines[l]];
        std::vector<Stretch> stretches;
        for (std::size_t p = 0; p < grade_.pieces.size(); ++p) {
          const PreparedPiece& piece = grade_.pieces[p];
          if (!belongs(piece, line.forme, layer)) continue;
          const PieceLook& look = looks_[p][k];
          const std::vector<Stretch>& own = look.on_lines[lines[l]];
          stretches.insert(stretches.end(), own.begin(), own.end());
          if (k != grade_.base_cell() || own.empty()) continue;
          result.pieces[l].push_back(piece.bound.spec.name);
          round_.insert(piece.bound.spec.layer);
          result.absent = result.absent && piece.bound.spec.layer != layer;
        }
        const double whole = distance(line.from[k], line.to[k]);
        if (k == grade_.base_cell()) {
          note_tied(lines[l], line.forme, layer, stretches, result);
          for (const Stretch& one : left_open(whole, stretches, tolerance::kPieceGirth.value()))
            result.open.push_back({l, one, whole, is_opening(line, one, whole, layer)});
          for (const bool at_start : {true, false}) note_beyond(line, l, at_start, layer, result);
        }
        cell.parts.push_back(laid_on_line(whole, stretches));
        cell.covered += line.times * cell.parts.back().covered;
        cell.lines += line.times * whole;
      }
      result.cells.push_back(std::move(cell));
    }
    const PieceGirthCell sample = result.cells.back();
    for (PieceGirthCell& cell : result.cells) {
      for (std::size_t l = 0; l < lines.size(); ++l)
        cell.opened += lines_[lines[l]].times * opened_beyond(cell.parts[l], sample.parts[l]);
    }
    return result;
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  const MeasureTable& table_;
  const std::vector<GirthLine>& lines_;
  const StyleLooks& looks_;
  std::set<std::string> round_;  // layers with a piece on any girth's line
};

}  // namespace

std::vector<Stretch> left_open(double line, std::vector<Stretch> stretches, double least) {
  std::sort(stretches.begin(), stretches.end(),
            [](const Stretch& a, const Stretch& b) { return a.from < b.from; });
  std::vector<Stretch> open;
  double reached = 0.0;
  const auto up_to = [&](double next) {
    if (next - reached > least) open.push_back({reached, next});
  };
  for (const Stretch& s : stretches) {
    up_to(s.from);
    reached = std::max(reached, s.to);
  }
  up_to(line);
  return open;
}

PieceGirthPart laid_on_line(double line, const std::vector<Stretch>& stretches) {
  PieceGirthPart part;
  part.line = line;
  for (const Stretch& s : stretches) part.laid += s.to - s.from;
  part.covered = united(stretches);
  return part;
}

Result<std::vector<PieceGirth>> piece_girths(const StyleSpec& style, const StyleGrade& grade,
                                             const MeasureTable& table, const std::vector<GirthLine>& lines,
                                             const StyleLooks& looks) {
  return GirthMeasurer(style, grade, table, lines, looks).run();
}

}  // namespace lastwright
