#include "grading/checks/piece_girth.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>

#include "geometry/tolerance.hpp"
#include "grading/checks/style_checks.hpp"

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

  [[nodiscard]] bool belongs(const PreparedPiece& piece, std::size_t forme, const std::string& layer) const {
    if (piece.forme != forme) return false;
    const std::string& own = piece.bound.spec.layer;
    return layer.empty() || own.empty() || layers_on(forme).front().empty() || own == layer;
  }

  Result<PieceGirth> measured(const GirthSpec& girth, std::size_t measure,
                              const std::vector<std::size_t>& lines, const std::string& layer) {
    PieceGirth result{girth.measure, layer, std::vector<std::vector<std::string>>(lines.size()), {}};
    for (std::size_t k = 0; k < grade_.cells.size(); ++k) {
      PieceGirthCell cell;
      cell.asked = table_.value(measure, grade_.cells[k]);
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
        }
        cell.parts.push_back(laid_on_line(distance(line.from[k], line.to[k]), stretches));
        cell.covered += line.times * cell.parts.back().covered;
      }
      result.cells.push_back(std::move(cell));
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

std::vector<StyleFinding> check_piece_girths(const StyleGrade& grade,
                                             const Result<std::vector<PieceGirth>>& girths) {
  std::vector<StyleFinding> findings;
  if (!girths) {
    findings.push_back({"girth in pieces", "all", 1.0, 0.0, "faults", "", false, to_text(girths.problem())});
    return findings;
  }
  for (const PieceGirth& girth : *girths) {
    StyleFinding finding{"girth in pieces",
                         girth.measure + (girth.layer.empty() ? "" : ", " + girth.layer),
                         0.0,
                         tolerance::kPieceGirth.value(),
                         "mm",
                         "",
                         true,
                         ""};
    for (std::size_t k = 0; k < girth.cells.size(); ++k) {
      if (k > 0 && std::abs(girth.cells[k].off()) <= std::abs(finding.worst)) continue;
      const PieceGirthCell& cell = girth.cells[k];
      finding.worst = cell.off();
      finding.where = where(grade.cells[k]);
      finding.note =
          fmt::format("the pieces come to {:.3f} mm where the last asks {:.3f} mm", cell.covered, cell.asked);
    }
    finding.worst = std::abs(finding.worst);
    finding.passed = finding.worst <= *finding.limit;
    findings.push_back(std::move(finding));
  }
  return findings;
}

}  // namespace lastwright
