#include "grading/checks/features/figure_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>

#include "geometry/tolerance.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

std::optional<double> thickness_in(const std::string& material) {
  const std::size_t unit = material.rfind(" mm");
  if (unit == std::string::npos || unit == 0) return std::nullopt;
  std::size_t from = unit;
  while (from > 0 &&
         (std::isdigit(static_cast<unsigned char>(material[from - 1])) != 0 || material[from - 1] == '.'))
    --from;
  double value = 0.0;
  const auto [end, error] = std::from_chars(material.data() + from, material.data() + unit, value);
  if (error != std::errc() || end != material.data() + unit || !(value > 0.0)) return std::nullopt;
  return value;
}

namespace {

// Holes along one of the edges, nearer to it: the row goes round them.
bool goes_round_holes(const PieceSpec& piece, const CourseSpec& row) {
  return std::any_of(piece.features.begin(), piece.features.end(), [&](const FeatureSpec& feature) {
    const auto* holes = std::get_if<RowWork>(&feature.work);
    if (holes == nullptr || holes->along.inset.value() >= row.inset.value()) return false;
    return std::any_of(holes->along.edges.begin(), holes->along.edges.end(), [&](const std::string& edge) {
      return std::find(row.edges.begin(), row.edges.end(), edge) != row.edges.end();
    });
  });
}

// The largest piece beside the length of the base size.
std::optional<StyleFinding> drawn_size(const StyleSpec& style, const StyleGrade& grade,
                                       const MeasureTable& table) {
  double length = 0.0;
  for (std::size_t m = 0; m < style.measures.size(); ++m) {
    if (style.measures[m].from_scale) length = table.value(m, grade.run.base);
  }
  if (!(length > 0.0)) return std::nullopt;
  double largest = 0.0;
  std::string of;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const Box2 box = bounds(grade.drawn_piece(p, grade.base_cell()).net.path);
    const double here = std::max(box.width(), box.height());
    if (here <= largest) continue;
    largest = here;
    of = grade.pieces[p].bound.spec.name;
  }
  const double share = largest / length;
  if (share >= kSmallDrawn && share <= kLargeDrawn) return std::nullopt;
  // The largest piece of a shoe in lengths of its size, from a strap to a boot's leg; chosen here.
  constexpr double kSmallestOwn = 0.3;
  constexpr double kLargestOwn = 1.5;
  StyleFinding finding = doubtful_finding(
      "drawing size", of, largest, "mm",
      fmt::format(
          "is how large the largest piece is drawn, {:.2g} times the {:.1f} mm of size {}: check the unit "
          "of the drawing and the base size",
          share, length, grade.run.base.size.label));
  for (const auto& [times, unit] : {std::pair{25.4, "inches taken for mm, or mm for inches"},
                                    {10.0, "centimetres taken for mm, or mm for centimetres"}}) {
    const double other = share > 1.0 ? share / times : share * times;
    if (other >= kSmallestOwn && other <= kLargestOwn)
      finding.note += fmt::format("; it looks like {}", unit);
  }
  if (share > kLargestDrawn) finding.limit = kLargestDrawn * length;
  if (share < kSmallestDrawn) {
    finding.limit = kSmallestDrawn * length;
    finding.least = true;
  }
  finding.passed = !finding.limit;
  finding.doubtful = finding.passed;
  return finding;
}

void add_skive(const StyleGrade& grade, std::size_t p, const FeatureSpec& feature, const SkiveWork& skive,
               std::vector<StyleFinding>& all) {
  const BoundPiece& piece = grade.pieces[p].bound;
  const std::optional<double> thick = thickness_in(piece.spec.material);
  if (thick && skive.depth.value() >= *thick)
    all.push_back(
        doubtful_finding("skive depth", piece.spec.name + ": " + feature.name, skive.depth.value(), "mm",
                         fmt::format("is taken off, and the material is \"{}\": nothing would be left; check "
                                     "\"depth\"",
                                     piece.spec.material)));
  if (skive.depth.value() > 0.0 && skive.depth.value() < kLeastSkived)
    all.push_back(doubtful_finding(
        "skive depth", piece.spec.name + ": " + feature.name, skive.depth.value(), "mm",
        fmt::format("is taken off, and no machine takes less than {:g} mm: check \"depth\" and its unit",
                    kLeastSkived)));
  if (skive.width.value() > 0.0 && skive.width.value() < kNarrowestSkive)
    all.push_back(doubtful_finding(
        "skive width", piece.spec.name + ": " + feature.name, skive.width.value(), "mm",
        fmt::format("is how wide the skive is, and skives are {:g} mm wide or more by common practice: check "
                    "\"width\" and its unit",
                    kNarrowestSkive)));
  for (std::size_t e = 0; e < piece.edges.size(); ++e) {
    const EdgeSpec& edge = piece.edges[e].spec;
    const bool folded = edge.treatment == Treatment::kFold;
    if ((edge.treatment != Treatment::kLap && !folded) ||
        std::find(skive.edges.begin(), skive.edges.end(), edge.name) == skive.edges.end())
      continue;
    const double allowance = grade.allowances(p, grade.base_cell())[e].value();
    // What is folded over lies on as much again, which is thinned with it.
    const double needed = folded ? 2.0 * allowance : allowance;
    if (allowance <= 0.0 || skive.width.value() <= needed + kPastLap) continue;
    all.push_back(
        doubtful_finding("skive width", piece.spec.name + ": " + feature.name, skive.width.value(), "mm",
                         fmt::format("is how wide the skive is, and {} {} {:g} mm: what is thinned beyond "
                                     "{}; check \"width\"",
                                     edge.name, folded ? "is folded over by" : "laps by", allowance,
                                     folded ? "twice that lies under nothing" : "shows")));
    return;
  }
}

// Whether an edge is left as it is cut or trimmed afterwards, so that no other piece asks for a step in it.
bool left_open(Treatment treatment) {
  return treatment == Treatment::kRaw || treatment == Treatment::kTrim;
}

// Edges that run on in one line, of one treatment or both raw or trimmed, with unlike
// allowances: the cut line steps there.
void add_steps_within(const StyleSpec& style, const StyleGrade& grade, std::size_t p,
                      std::vector<StyleFinding>& all) {
  const PreparedPiece& piece = grade.pieces[p];
  const std::size_t n = piece.bound.edges.size();
  for (std::size_t e = 0; n > 1 && e < n; ++e) {
    const std::size_t next = (e + 1) % n;
    const EdgeSpec& one = piece.bound.edges[e].spec;
    const EdgeSpec& other = piece.bound.edges[next].spec;
    const bool alike = one.treatment == other.treatment;
    if ((!alike && !(left_open(one.treatment) && left_open(other.treatment))) ||
        piece.bound.spec.fold == one.name || piece.bound.spec.fold == other.name)
      continue;
    const OpenArcPath here = shaped_path(piece.shape.edges[e], piece.shape.base);
    const OpenArcPath there = shaped_path(piece.shape.edges[next], piece.shape.base);
    if (here.size() == 0 || there.size() == 0) continue;
    const double turn =
        angle_between(here.segment(here.size() - 1).end_tangent(), there.segment(0).start_tangent());
    if (std::abs(turn) > tolerance::kCorner.value()) continue;
    double worst = style.seam_limits.allowances.value();
    std::size_t at = grade.cells.size();
    for (std::size_t k = grade.cells.size(); k-- > 0;) {
      const std::vector<Millimetres> allowances = grade.allowances(p, k);
      const double off = std::abs(allowances[e].value() - allowances[next].value());
      if (off <= worst) continue;
      worst = off;
      at = k;
    }
    if (at == grade.cells.size()) continue;
    const std::vector<Millimetres> allowances = grade.allowances(p, at);
    const std::string are =
        alike ? fmt::format("both edges are {}", name_of(one.treatment))
              : fmt::format("the edges are {} and {}", name_of(one.treatment), name_of(other.treatment));
    StyleFinding finding = doubtful_finding(
        "allowance step", fmt::format("{}: {} and {}", piece.bound.spec.name, one.name, other.name), worst,
        "mm",
        fmt::format("{}, run on in one line and have {:g} and {:g} mm, so the cut "
                    "line steps there: see "
                    "whether it is meant",
                    are, allowances[e].value(), allowances[next].value()));
    if (at != grade.base_cell()) finding.where = grade.cells[at];
    all.push_back(std::move(finding));
  }
}

// What follows edges that lie on both halves of a piece cut double, and is made on one.
void add_half(const PieceSpec& piece, const FeatureSpec& feature, std::vector<StyleFinding>& all) {
  if (!piece.fold || piece.hand != Hand::kSymmetric || feature.both_halves.value_or(true)) return;
  const auto* row = std::get_if<RowWork>(&feature.work);
  const auto* line = std::get_if<LineWork>(&feature.work);
  const auto* skive = std::get_if<SkiveWork>(&feature.work);
  const bool along = (row != nullptr && !row->along.edges.empty()) ||
                     (line != nullptr && !line->along.edges.empty()) || skive != nullptr;
  if (!along) return;
  all.push_back(
      doubtful_finding("half alone", piece.name + ": " + feature.name, 1.0, "feature",
                       "follows edges of a symmetric piece that is cut double, and is made on one half of it "
                       "alone (\"both_halves\": false): see whether that is meant"));
}

bool has_skive(const PieceSpec& piece, Treatment on) {
  return std::any_of(piece.features.begin(), piece.features.end(), [&](const FeatureSpec& feature) {
    const auto* skive = std::get_if<SkiveWork>(&feature.work);
    return skive != nullptr && std::any_of(piece.edges.begin(), piece.edges.end(), [&](const EdgeSpec& edge) {
             return edge.treatment == on &&
                    std::find(skive->edges.begin(), skive->edges.end(), edge.name) != skive->edges.end();
           });
  });
}

// One piece whose folded edges are not skived, where those of three others or more all are.
void add_unskived(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  constexpr std::size_t kOthers = 3;
  std::size_t skived = 0;
  const PieceSpec* without = nullptr;
  std::size_t bare = 0;
  for (const PreparedPiece& prepared : grade.pieces) {
    const PieceSpec& piece = prepared.bound.spec;
    const bool folded = std::any_of(piece.edges.begin(), piece.edges.end(), [&](const EdgeSpec& edge) {
      return edge.treatment == Treatment::kFold && edge.allowance.value() > 0.0 && piece.fold != edge.name;
    });
    if (!folded) continue;
    if (has_skive(piece, Treatment::kFold)) {
      ++skived;
    } else {
      without = &piece;
      ++bare;
    }
  }
  if (bare != 1 || skived < kOthers) return;
  all.push_back(
      doubtful_finding("no skive", without->name, static_cast<double>(skived), "pieces",
                       "with folded edges are skived there, and this one is not: is the skive forgotten?"));
}

void add_stitches(const PieceSpec& piece, const FeatureSpec& feature, const LineWork& line,
                  std::vector<StyleFinding>& all) {
  if (line.kind != LineKind::kStitch) return;
  const auto tell = [&](double mm, std::string note) {
    all.push_back(
        doubtful_finding("stitch distance", piece.name + ": " + feature.name, mm, "mm", std::move(note)));
  };
  const double gap = line.row_gap.value();
  if (line.rows > 1 && gap > 0.0 && gap < kNearestRow)
    tell(gap,
         fmt::format("is how far apart its rows lie, and a needle makes no two nearer than {:g} mm: check "
                     "\"row_gap\" and its unit",
                     kNearestRow));
  if (line.along.edges.empty()) return;
  const double inset = line.along.inset.value();
  if (inset > 0.0 && inset < kNearestRow)
    tell(inset,
         fmt::format("is how far it runs from its edge, and stitches nearer than {:g} mm tear out: check "
                     "\"inset\" and its unit",
                     kNearestRow));
  if (inset <= kFarthestRow || goes_round_holes(piece, line.along)) return;
  tell(inset,
       fmt::format("is how far it runs from its edge, and stitches hold what lies within {:g} mm of it as "
                   "a rule, unless they go round a row of holes: check \"inset\"",
                   kFarthestRow));
}

// What is seen of a nick is enough with a few millimetres.
void add_nick(const PieceSpec& piece, const FeatureSpec& feature, std::vector<StyleFinding>& all) {
  const NickShape* shape = nullptr;
  if (const auto* nick = std::get_if<NickWork>(&feature.work)) shape = &nick->shape;
  if (const auto* marks = std::get_if<SizeMarksWork>(&feature.work)) shape = &marks->shape;
  if (shape == nullptr) return;
  const double wide = shape->form == NickForm::kSlit ? 0.0 : shape->width.value();
  const double large = std::max(shape->depth.value(), wide);
  if (large <= kLargestNick) return;
  all.push_back(doubtful_finding(
      "nick size", piece.name + ": " + feature.name, large, "mm",
      fmt::format("is how {} it is, and nicks are 2 to 5 mm by common practice: check \"{}\" and its unit",
                  shape->depth.value() >= wide ? "deep" : "wide",
                  shape->depth.value() >= wide ? "depth" : "width")));
}

// Size marks are read at a glance, on an edge that is seen until the shoe is lasted.
void add_size_marks_figures(const PieceSpec& piece, const FeatureSpec& feature, const SizeMarksWork& marks,
                            std::vector<StyleFinding>& all) {
  const auto tell = [&](double mm, std::string note) {
    all.push_back(
        doubtful_finding("size marks", piece.name + ": " + feature.name, mm, "mm", std::move(note)));
  };
  if (marks.pitch.value() > kWidestPitch)
    tell(marks.pitch.value(),
         fmt::format("is how far its marks lie apart, and {:g} mm are the most by common practice: check "
                     "\"pitch\" and its unit",
                     kWidestPitch));
  const auto edge = std::find_if(piece.edges.begin(), piece.edges.end(),
                                 [&](const EdgeSpec& one) { return one.name == marks.edge; });
  if (edge != piece.edges.end() &&
      (edge->treatment == Treatment::kFold || edge->treatment == Treatment::kBound))
    tell(edge->allowance.value(),
         fmt::format("is the allowance of {}, which is {}, and its marks are cut into it: they are turned in "
                     "or show; check \"edge\"",
                     edge->name, name_of(edge->treatment)));
}

// The bottom is not lasted: it is what the upper is lasted to.
void add_lasted_bottom(const StyleGrade& grade, std::size_t p, std::vector<StyleFinding>& all) {
  const PreparedPiece& piece = grade.pieces[p];
  if (role_of(grade.formes[piece.forme].map.forme()) != FormeRole::kBottom) return;
  const auto& edges = piece.bound.spec.edges;
  const auto lasted = std::count_if(
      edges.begin(), edges.end(), [](const EdgeSpec& edge) { return edge.treatment == Treatment::kLasting; });
  if (lasted == 0) return;
  all.push_back(doubtful_finding(
      "bottom lasted", piece.bound.spec.name, static_cast<double>(lasted), "edges",
      "are stated as lasting on a piece of the bottom, to which the upper is lasted: check their "
      "treatment, or the forme of the piece"));
}

}  // namespace

std::vector<StyleFinding> check_figures(const StyleSpec& style, const StyleGrade& grade,
                                        const MeasureTable& table) {
  std::vector<StyleFinding> all;
  if (auto size = drawn_size(style, grade, table)) all.push_back(*std::move(size));
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PieceSpec& piece = grade.pieces[p].bound.spec;
    add_steps_within(style, grade, p, all);
    add_lasted_bottom(grade, p, all);
    if (piece.per_pair > kMostPieces)
      all.push_back(doubtful_finding(
          "piece number", piece.name, piece.per_pair, "pieces",
          fmt::format(
              "are cut for one pair, and a pair takes at most {} of a kind as a rule: check \"per_pair\"",
              kMostPieces)));
    for (const FeatureSpec& feature : piece.features) {
      add_half(piece, feature, all);
      if (const auto* skive = std::get_if<SkiveWork>(&feature.work))
        add_skive(grade, p, feature, *skive, all);
      if (const auto* text = std::get_if<TextWork>(&feature.work);
          text != nullptr && text->height.value() < kSmallestText)
        all.push_back(doubtful_finding(
            "text height", piece.name + ": " + feature.name, text->height.value(), "mm",
            fmt::format("is how high it is, and nothing lower than {:g} mm can be read: check "
                        "\"height\" and its unit",
                        kSmallestText)));
      add_nick(piece, feature, all);
      if (const auto* marks = std::get_if<SizeMarksWork>(&feature.work))
        add_size_marks_figures(piece, feature, *marks, all);
      if (const auto* line = std::get_if<LineWork>(&feature.work)) add_stitches(piece, feature, *line, all);
    }
  }
  add_unskived(grade, all);
  return all;
}

}  // namespace lastwright
