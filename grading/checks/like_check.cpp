#include "grading/checks/like_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <string>

#include "geometry/counted.hpp"
#include "grading/checks/features/figure_check.hpp"
#include "grading/checks/work_check.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/sizes/stated_run.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

using Specs = std::vector<const PieceSpec*>;

std::map<std::string, Specs> by_layer(const StyleGrade& grade) {
  std::map<std::string, Specs> layers;
  for (const PreparedPiece& piece : grade.pieces) {
    const PieceSpec& spec = piece.bound.spec;
    if (!spec.layer.empty()) layers[spec.layer].push_back(&spec);
  }
  return layers;
}

bool has_edge(const PieceSpec& piece, Treatment treatment) {
  return std::any_of(piece.edges.begin(), piece.edges.end(),
                     [&](const EdgeSpec& edge) { return edge.treatment == treatment; });
}

void add_materials(const std::map<std::string, Specs>& layers, std::vector<StyleFinding>& all) {
  for (const auto& [layer, pieces] : layers) {
    for (const PieceSpec* piece : pieces) {
      if (piece->material.empty()) continue;
      std::map<std::string, std::size_t> others;
      for (const PieceSpec* other : pieces) {
        if (other != piece) ++others[other->material];
      }
      if (others.size() != 1 || others.begin()->second < kHabit || others.begin()->first == piece->material)
        continue;
      for (const auto& [of, like] : layers) {
        if (of == layer || std::none_of(like.begin(), like.end(), [&](const PieceSpec* one) {
              return one->material == piece->material;
            }))
          continue;
        all.push_back(doubtful_finding(
            "material", piece->name, static_cast<double>(others.begin()->second), "pieces",
            fmt::format("of the layer {} are of \"{}\", and this one is of \"{}\", as pieces of the layer {} "
                        "are: check its material, or its layer",
                        layer, others.begin()->first, piece->material, of)));
        break;
      }
    }
  }
}

void add_grains(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  std::map<std::string, std::vector<const BoundPiece*>> layers;
  for (const PreparedPiece& piece : grade.pieces) {
    if (!piece.bound.spec.layer.empty()) layers[piece.bound.spec.layer].push_back(&piece.bound);
  }
  for (const auto& [layer, pieces] : layers) {
    const auto without = [](const BoundPiece* piece) { return !piece->grain; };
    if (pieces.size() <= kHabit || std::count_if(pieces.begin(), pieces.end(), without) != 1) continue;
    all.push_back(doubtful_finding(
        "grain", (*std::find_if(pieces.begin(), pieces.end(), without))->spec.name,
        static_cast<double>(pieces.size() - 1), "pieces",
        fmt::format(
            "of the layer {} have a grain line drawn, and this one has none: it may be laid any way; is "
            "the line rubbed out?",
            layer)));
  }
}

// The size marks of lasted pieces, each beside those of the others.
void add_size_marks(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  struct Marked {
    const PieceSpec* piece;
    const FeatureSpec* feature;
    bool lasted;
    std::optional<bool> both;  // of a piece cut double
  };
  std::vector<Marked> marks;
  for (const PreparedPiece& prepared : grade.pieces) {
    const PieceSpec& piece = prepared.bound.spec;
    if (!has_edge(piece, Treatment::kLasting)) continue;
    for (const FeatureSpec& feature : piece.features) {
      const auto* work = std::get_if<SizeMarksWork>(&feature.work);
      const bool of_size =
          work != nullptr && std::any_of(style.codes.begin(), style.codes.end(), [&](const MarkCode& code) {
            return code.name == work->code && code.of == CodeOf::kSize;
          });
      const EdgeSpec* edge = of_size ? find_edge(piece, work->edge) : nullptr;
      if (edge == nullptr) continue;
      Marked one{&piece, &feature, edge->treatment == Treatment::kLasting, {}};
      if (piece.fold && piece.hand == Hand::kSymmetric) one.both = feature.both_halves.value_or(false);
      marks.push_back(one);
    }
  }
  for (const Marked& one : marks) {
    std::size_t lasted = 0;
    std::size_t elsewhere = 0;
    std::size_t both = 0;
    std::size_t single = 0;
    for (const Marked& other : marks) {
      if (&other == &one) continue;
      ++(other.lasted ? lasted : elsewhere);
      if (other.both) ++(*other.both ? both : single);
    }
    const std::string subject = one.piece->name + ": " + one.feature->name;
    if (!one.lasted && elsewhere == 0 && lasted >= kHabit)
      all.push_back(doubtful_finding(
          "size marks", subject, static_cast<double>(lasted), "pieces",
          fmt::format("have their size marks along a lasted edge, and this one along {}, though it has one: "
                      "check \"edge\"",
                      std::get<SizeMarksWork>(one.feature->work).edge)));
    if (one.both && !*one.both && single == 0 && both + 1 >= kHabit)
      all.push_back(doubtful_finding(
          "size marks", subject, static_cast<double>(both), "pieces",
          "that are cut double have their size marks on both halves, and this one on one half: check "
          "\"both_halves\""));
  }
}

void add_skive_depths(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  constexpr double kTimes = 1.5;   // as deep as the deepest of the others
  constexpr double kAlike = 1.25;  // the deepest of the others beside their least
  struct Skive {
    const PieceSpec* piece;
    const FeatureSpec* feature;
    double depth;
  };
  std::map<std::string, std::vector<Skive>> skives;  // by material
  for (const PreparedPiece& prepared : grade.pieces) {
    const PieceSpec& piece = prepared.bound.spec;
    for (const FeatureSpec& feature : piece.features) {
      if (const auto* work = std::get_if<SkiveWork>(&feature.work);
          work != nullptr && !piece.material.empty())
        skives[piece.material].push_back({&piece, &feature, work->depth.value()});
    }
  }
  for (const auto& [material, like] : skives) {
    for (const Skive& one : like) {
      double least = 0.0;
      double most = 0.0;
      std::size_t count = 0;
      for (const Skive& other : like) {
        if (other.piece == one.piece) continue;
        least = count == 0 ? other.depth : std::min(least, other.depth);
        most = std::max(most, other.depth);
        ++count;
      }
      if (count < kHabit || most > kAlike * least) continue;
      if (one.depth <= kTimes * most && one.depth * kTimes >= least) continue;
      all.push_back(doubtful_finding(
          "skive depth", one.piece->name + ": " + one.feature->name, one.depth, "mm",
          fmt::format("is taken off, and the other {} on \"{}\" take off {:g}{}: check \"depth\"",
                      counted(count, "skive"), material, least,
                      most > least ? fmt::format(" to {:g} mm", most) : " mm")));
    }
  }
}

// What lies on a lap of its layer is stitched down.
void add_bare_laps(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  const auto piece_of = [&](const std::string& name) -> const BoundPiece& {
    return std::find_if(grade.pieces.begin(), grade.pieces.end(),
                        [&](const PreparedPiece& one) { return one.bound.spec.name == name; })
        ->bound;
  };
  std::map<std::string, std::vector<std::string>> bare;  // by layer
  std::map<std::string, std::set<std::string>> held;
  for (const SeamSpec& seam : style.seams) {
    const BoundPiece& one = piece_of(seam.one.piece);
    const BoundPiece& other = piece_of(seam.other.piece);
    const std::string& layer = one.spec.layer;
    const EdgeSpec* here = find_edge(one.spec, seam.one.edge);
    const EdgeSpec* there = find_edge(other.spec, seam.other.edge);
    if (seam.mirrored || layer.empty() || layer != other.spec.layer || here == nullptr || there == nullptr)
      continue;
    const bool under = here->treatment == Treatment::kLap;
    const EdgeSpec* top = under ? there : here;
    if (under == (there->treatment == Treatment::kLap) || top->treatment != Treatment::kFold ||
        has_drawn_stitches(one) || has_drawn_stitches(other) || stitched(one.spec, seam.one.edge) ||
        stitched(other.spec, seam.other.edge))
      continue;
    const std::string edge = fmt::format("{} of {}", top->name, (under ? other : one).spec.name);
    if (std::find(bare[layer].begin(), bare[layer].end(), edge) == bare[layer].end())
      bare[layer].push_back(edge);
  }
  for (const auto& [layer, edges] : bare) {
    std::size_t rows = 0;
    for (const PreparedPiece& piece : grade.pieces) {
      if (piece.bound.spec.layer != layer) continue;
      for (const EdgeSpec& edge : piece.bound.spec.edges)
        rows += edge.treatment == Treatment::kFold && stitched(piece.bound.spec, edge.name) ? 1 : 0;
    }
    if (rows < kHabit || rows <= edges.size()) continue;
    std::string text;
    for (const std::string& edge : edges) text += (text.empty() ? "" : ", ") + edge;
    all.push_back(doubtful_finding(
        "lap unstitched", text, static_cast<double>(edges.size()), noun_of(edges.size(), "edge"),
        fmt::format("folded and laid on a lap, with no stitch line to hold {}, where {} of the layer {} "
                    "have one: is the row left out?",
                    edges.size() == 1 ? "it" : "them", counted(rows, "folded edge"), layer)));
  }
}

void add_numbers(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  for (const PreparedPiece& piece : grade.pieces) {
    const PieceSpec& spec = piece.bound.spec;
    if (!spec.fold || spec.hand != Hand::kSymmetric || spec.per_pair <= 2 || spec.per_pair > kMostPieces ||
        !has_edge(spec, Treatment::kLasting) ||
        role_of(grade.formes[piece.forme].map.forme()) != FormeRole::kUpper)
      continue;
    all.push_back(doubtful_finding("piece number", spec.name, spec.per_pair, "pieces",
                                   "are cut for one pair, and it is lasted and cut double, so that it goes "
                                   "round the last: as a rule once "
                                   "in each shoe; check \"per_pair\""));
  }
}

void add_thickness(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  constexpr double kTimes = 1.5;  // common practice: a welted insole may be as thick as its outsole
  const auto named = [&](const char* name, const PieceSpec*& found) {
    for (const PreparedPiece& piece : grade.pieces) {
      if (small_letters(piece.bound.spec.name) == name) found = &piece.bound.spec;
    }
    return found != nullptr ? thickness_in(found->material) : std::nullopt;
  };
  const PieceSpec* insole = nullptr;
  const PieceSpec* outsole = nullptr;
  const std::optional<double> inner = named("insole", insole);
  const std::optional<double> outer = named("outsole", outsole);
  if (!inner || !outer || *inner <= kTimes * *outer) return;
  all.push_back(doubtful_finding(
      "sole thickness", insole->name, *inner, "mm",
      fmt::format("is how thick its \"{}\" is, and {} is of \"{}\": are the materials exchanged?",
                  insole->material, outsole->name, outsole->material)));
}

void add_counts(const StyleGrade& grade, std::vector<StyleFinding>& all) {
  const auto position = [&](const std::string& label) -> std::optional<Fraction> {
    for (const Size& size : stated_sizes(grade.run)) {
      if (size.label == label) return size.position;
    }
    const auto named = grade.run.named.find(label);
    return named == grade.run.named.end() ? std::nullopt : std::optional(named->second);
  };
  for (const PreparedPiece& prepared : grade.pieces) {
    const PieceSpec& piece = prepared.bound.spec;
    for (const FeatureSpec& feature : piece.features) {
      const auto* row = std::get_if<RowWork>(&feature.work);
      if (row == nullptr || !row->spacing.count || row->spacing.counts.empty()) continue;
      int before = 0;
      for (const Size& size : stated_sizes(grade.run)) {
        int here = *row->spacing.count;
        for (const CountChange& change : row->spacing.counts) {
          const auto from = position(change.from);
          const auto to = position(change.to);
          if (from && to && *from <= size.position && size.position <= *to) here = change.count;
        }
        if (here < before) {
          StyleFinding finding = doubtful_finding(
              "hole count", piece.name + ": " + feature.name, here, "holes",
              fmt::format("are made from this size on, and {} in the size below: a larger shoe has as many "
                          "or more; check \"counts\"",
                          before));
          finding.where.size = size.label;
          all.push_back(std::move(finding));
          break;
        }
        before = here;
      }
    }
  }
}

}  // namespace

bool stated_alike(const PieceSpec& one, const PieceSpec& other) {
  return !one.fold && !other.fold && one.forme == other.forme && one.layer == other.layer &&
         one.edges.size() == other.edges.size() &&
         std::equal(one.edges.begin(), one.edges.end(), other.edges.begin(),
                    [](const EdgeSpec& a, const EdgeSpec& b) {
                      return a.name == b.name && a.treatment == b.treatment;
                    });
}

std::vector<StyleFinding> check_likes(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  add_materials(by_layer(grade), all);
  add_grains(grade, all);
  add_size_marks(style, grade, all);
  add_skive_depths(grade, all);
  add_bare_laps(style, grade, all);
  add_numbers(grade, all);
  add_thickness(grade, all);
  add_counts(grade, all);
  return all;
}

}  // namespace lastwright
