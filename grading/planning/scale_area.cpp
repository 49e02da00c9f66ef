#include "grading/planning/scale_area.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/lattice/outer_polygon.hpp"
#include "geometry/parallel.hpp"

namespace lastwright {

namespace {

// A polygon is drawn round each outline within this: of a piece of 2 dm2 it takes less than a thousandth.
constexpr Millimetres kRound{0.05};

struct AreaJob {
  std::size_t row = 0;  // of the pieces asked for
  std::size_t cell = 0;
  std::optional<LatticeShape> shape;
};

const LayRules& lay_rules_of(const StyleGrade& grade, std::size_t piece, const ScaleAreaOptions& options) {
  const auto own = options.materials.find(grade.pieces[piece].bound.spec.material);
  return own == options.materials.end() ? options.rules : own->second;
}

void take_better(FoundLattice& best, const FoundLattice& other) {
  if (best.per_shape <= 0.0 || other.per_shape < best.per_shape * (1.0 - 1e-9)) best = other;
}

// The lattice of another outline, about as large for this one.
Lattice scaled_to(const FoundLattice& found, const ScaleArea& from, const ScaleArea& to) {
  const double x = to.box_length / from.box_length;
  const double y = to.box_width / from.box_width;
  const auto scaled = [&](Vec2 v) { return Vec2{x * v.x, y * v.y}; };
  Lattice lattice = found.lattice;
  lattice.a = scaled(lattice.a);
  lattice.b = scaled(lattice.b);
  if (lattice.second) lattice.second = scaled(*lattice.second);
  return lattice;
}

// The cells whose outlines a row of the selection takes, rising, each once.
std::vector<std::size_t> made_cells(const StyleGrade& grade, std::size_t piece,
                                    const std::vector<std::size_t>& cells) {
  std::vector<std::size_t> made;
  for (const std::size_t k : cells) made.push_back(grade.pieces[piece].drawn_as[k]);
  std::sort(made.begin(), made.end());
  made.erase(std::unique(made.begin(), made.end()), made.end());
  return made;
}

class AreaMaker {
 public:
  AreaMaker(const StyleGrade& grade, const AreaSelection& selection, const ScaleAreaOptions& options)
      : grade_(grade), selection_(selection), options_(options) {
    made_.resize(selection.pieces.size());
    for (std::size_t r = 0; r < selection.pieces.size(); ++r) {
      for (const std::size_t k : made_cells(grade, selection.pieces[r], selection.cells)) {
        made_[r].emplace(k, ScaleArea{});
        jobs_.push_back({r, k, {}});
      }
    }
  }

  Result<ScaleAreas> make() {
    Status done = run_jobs(jobs_.size(), options_.threads, [&](std::size_t j) { return search(jobs_[j]); });
    if (!done) return done.problem();
    // What the sizes beside an outline have found may be better
    // for it too. Twice, each time from what stood before.
    for (int round = 0; round < 2; ++round) {
      const std::vector<Made> before = made_;
      done = run_jobs(jobs_.size(), options_.threads, [&](std::size_t j) {
        compare(jobs_[j], before);
        return Status(Done{});
      });
      if (!done) return done.problem();
    }
    done = run_jobs(jobs_.size(), options_.threads, [&](std::size_t j) {
      take_alike(jobs_[j]);
      return Status(Done{});
    });
    if (!done) return done.problem();
    return in_rows();
  }

 private:
  using Made = std::map<std::size_t, ScaleArea>;  // by the cell whose outline it is

  Status search(AreaJob& job) {
    const std::size_t piece = selection_.pieces[job.row];
    const Result<GradedPiece> made = grade_.outlined_piece(piece, job.cell);
    if (!made) return made.problem();
    const LayRules& rules = lay_rules_of(grade_, piece, options_);
    const auto at_piece = [&](const Problem& problem) {
      const SizeWidth& at = grade_.cells[job.cell];
      return problem.in("width", at.width.label).in("size", at.size.label).in("piece", made->piece);
    };
    Result<LaidOutline> laid = laid_outline(*made, rules.gap);
    if (!laid) return at_piece(laid.problem());
    ScaleArea& area = made_[job.row].at(job.cell);
    area.piece = piece;
    area.cell = job.cell;
    area.net = signed_area(made->cut.path);
    area.turn = laid->turn;
    const Box2 box = bounds(laid->outline);
    area.box_length = box.width();
    area.box_width = box.height();
    const Polygon hull = convex_hull(laid->shape.polygon);
    area.hull_area = signed_area(hull);
    for (std::size_t i = 0; i < hull.size(); ++i)
      area.hull_perimeter += distance(hull[i], hull[(i + 1) % hull.size()]);
    area.lattice = densest_lattice(laid->shape, lattice_kinds_of(grade_.pieces[piece].bound.spec, rules),
                                   options_.bounds);
    if (!(area.lattice.per_shape > 0.0)) {
      return at_piece({Trouble::kInternal, "no lattice of the piece was found", {}, {}, {}});
    }
    if (rules.half_turned)
      area.alike = densest_lattice(laid->shape, LatticeKind::kTranslated, {.bound = false});
    job.shape = std::move(laid->shape);
    if (options_.advance) options_.advance(1);
    return Done{};
  }

  void compare(const AreaJob& job, const std::vector<Made>& before) {
    ScaleArea& area = made_[job.row].at(job.cell);
    if (area.lattice.exact) return;
    if (area.alike) compare_alike(job, before, area);
    std::map<LatticeKind, LatticeSearch> searches;
    for (const std::size_t other : beside(job.cell)) {
      const auto from = before[job.row].find(other);
      // Only where it is denser there than here.
      if (from == before[job.row].end() || from->second.lattice.density < area.lattice.density + 1e-6)
        continue;
      LatticeSearch& search = searches[from->second.lattice.kind];
      search.hints_only = true;
      search.hints.push_back(scaled_to(from->second.lattice, from->second, area));
    }
    for (auto& [kind, search] : searches) {
      // The bound of its own kind stands already.
      const bool known = kind == area.lattice.kind;
      search.bound = options_.bounds && !known;
      FoundLattice found = densest_lattice(*job.shape, kind, search);
      if (known) found.least = area.lattice.least;
      take_better(area.lattice, found);
    }
  }

  // As where no half turns are allowed.
  void compare_alike(const AreaJob& job, const std::vector<Made>& before, ScaleArea& area) const {
    LatticeSearch search;
    search.hints_only = true;
    search.bound = false;
    for (const std::size_t other : beside(job.cell)) {
      const auto from = before[job.row].find(other);
      if (from == before[job.row].end() || !from->second.alike) continue;
      if (from->second.alike->density < area.alike->density + 1e-6) continue;
      search.hints.push_back(scaled_to(*from->second.alike, from->second, area));
    }
    if (!search.hints.empty())
      take_better(*area.alike, densest_lattice(*job.shape, LatticeKind::kTranslated, search));
  }

  // Where pieces that all lie alike take less, they are laid so; what no such lattice goes below is looked
  // for only then.
  void take_alike(const AreaJob& job) {
    ScaleArea& area = made_[job.row].at(job.cell);
    if (!area.alike || !(area.alike->per_shape < area.lattice.per_shape * (1.0 - 1e-9))) return;
    area.lattice = *area.alike;
    if (!options_.bounds) return;
    LatticeSearch search;
    search.hints = {area.alike->lattice};
    search.hints_only = true;
    area.lattice.least = densest_lattice(*job.shape, LatticeKind::kTranslated, search).least;
  }

  // The next smaller and larger size in its width, and the next narrower and wider of its size.
  [[nodiscard]] std::vector<std::size_t> beside(std::size_t cell) const {
    const SizeRun& run = grade_.run;
    std::vector<std::size_t> cells;
    for (std::size_t s = 0; s < run.sizes.size(); ++s) {
      for (std::size_t w = 0; w < run.widths.size(); ++w) {
        if (run.cell(s, w) != cell) continue;
        if (s > 0 && run.makes(s - 1, w)) cells.push_back(grade_.cell(s - 1, w));
        if (s + 1 < run.sizes.size() && run.makes(s + 1, w)) cells.push_back(grade_.cell(s + 1, w));
        if (w > 0 && run.makes(s, w - 1)) cells.push_back(grade_.cell(s, w - 1));
        if (w + 1 < run.widths.size() && run.makes(s, w + 1)) cells.push_back(grade_.cell(s, w + 1));
        return cells;
      }
    }
    return cells;
  }

  // The theorem is of the polygon round the grown outline; pieces a gap apart may lie closer by its corners.
  void without_claim(std::size_t piece, ScaleArea& area) const {
    if (!area.lattice.exact || lay_rules_of(grade_, piece, options_).gap <= 0.0) return;
    area.lattice.exact = false;
    area.lattice.least = std::min(area.lattice.least, area.net);
  }

  [[nodiscard]] ScaleAreas in_rows() const {
    ScaleAreas areas(selection_.pieces.size());
    for (std::size_t r = 0; r < selection_.pieces.size(); ++r) {
      for (const std::size_t k : selection_.cells) {
        areas[r].push_back(made_[r].at(grade_.pieces[selection_.pieces[r]].drawn_as[k]));
        areas[r].back().cell = k;
        without_claim(selection_.pieces[r], areas[r].back());
      }
    }
    return areas;
  }

  const StyleGrade& grade_;
  const AreaSelection& selection_;
  const ScaleAreaOptions& options_;
  std::vector<AreaJob> jobs_;
  std::vector<Made> made_;
};

// Of the first grain line that is drawn; 0 without one.
double grain_turn(const GradedPiece& piece) {
  for (const GradedLine& line : piece.lines) {
    if (line.operation != Operation::kGrain || line.path.vertices.size() < 2) continue;
    const Vec2 along = line.path.vertices.back().at - line.path.vertices.front().at;
    if (along != Vec2{}) return -std::atan2(along.y, along.x);
  }
  return 0.0;
}

}  // namespace

Result<LaidOutline> laid_outline(const GradedPiece& piece, double gap) {
  LaidOutline laid;
  laid.turn = grain_turn(piece);
  laid.outline = placed(piece.cut.path, Radians(laid.turn), {});
  const Result<ClosedArcPath> grown = grown_by_half(laid.outline, Millimetres(gap));
  if (!grown) return grown.problem();
  Result<LatticeShape> shape = lattice_shape(*grown, kRound);
  if (!shape) return shape.problem();
  laid.shape = *std::move(shape);
  return laid;
}

std::vector<LatticeKind> lattice_kinds_of(const PieceSpec& piece, const LayRules& rules) {
  std::vector<LatticeKind> kinds{rules.half_turned ? LatticeKind::kHalfTurned : LatticeKind::kTranslated};
  if (!rules.mixed_hands || piece.hand != Hand::kHanded || piece.per_pair < 2) return kinds;
  // The grain lies along x: mirrored in y = 0 it keeps its way, mirrored in x = 0 it is turned round.
  if (rules.half_turned) kinds.push_back(LatticeKind::kMirrored);
  kinds.push_back(LatticeKind::kMirroredHalfTurned);
  return kinds;
}

std::string laid_words(LatticeKind kind, const LayRules& rules) {
  if (kind == LatticeKind::kMirroredHalfTurned && !rules.half_turned) return "both hands, grain one way";
  return name_of(kind);
}

std::size_t outlines_of(const StyleGrade& grade, const AreaSelection& selection) {
  std::size_t count = 0;
  for (const std::size_t p : selection.pieces) count += made_cells(grade, p, selection.cells).size();
  return count;
}

Result<ScaleAreas> scale_areas(const StyleGrade& grade, const AreaSelection& selection,
                               const ScaleAreaOptions& options) {
  return AreaMaker(grade, selection, options).make();
}

}  // namespace lastwright
