#include "grading/checks/seams/unsewn_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/box2.hpp"
#include "geometry/curve/course.hpp"
#include "grading/checks/seams/edges_together.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/seam_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kTouching = 0.06;       // mm; what is drawn to a tenth lies as near
constexpr double kShare = 0.8;           // of the shorter edge: less is a crossing or a common end
constexpr double kShortest = 10.0;       // mm; shorter edges lie alike by chance
constexpr double kAlike = 0.1;           // mm; of edges that are drawn apart
constexpr std::size_t kShapePlaces = 8;  // where the shape of two edges is compared
// Comparisons of a place with a segment: a thousand times what the demo takes.
constexpr std::size_t kMostUnsewnWork = 100'000'000;

struct Edge {
  std::size_t piece = 0;
  const EdgeSpec* spec = nullptr;
  OpenArcPath path;
  Box2 box;
  double length = 0.0;
  bool sewn = false;
  std::vector<Vec2> shape;   // places along it in the frame of its chord, and of the edge run backwards
  std::size_t partners = 0;  // edges drawn apart that are as long and of the same shape
  std::size_t partner = 0;   // the last of them
};

struct Lying {
  double over = 0.0;  // mm
  bool side_by_side = false;
};

bool edge_on_edge(Treatment treatment) {
  return treatment == Treatment::kClosedSeam || treatment == Treatment::kOpenSeam ||
         treatment == Treatment::kBagged;
}

bool plain(Treatment treatment) {
  return treatment == Treatment::kRaw || treatment == Treatment::kLasting || treatment == Treatment::kTrim;
}

// What is sewn together when it is drawn apart.
bool go_together(const EdgeSpec& one, const EdgeSpec& other) {
  if (edge_on_edge(one.treatment) || edge_on_edge(other.treatment)) return one.treatment == other.treatment;
  const auto laps_under = [](const EdgeSpec& under, const EdgeSpec& top) {
    return under.treatment == Treatment::kLap &&
           (top.treatment == Treatment::kRaw || top.treatment == Treatment::kFold);
  };
  return laps_under(one, other) || laps_under(other, one);
}

// How far along the course lies the place of it that is nearest to p, to a two hundredth of its length.
double station_near(const Course& course, Vec2 p) {
  constexpr int kParts = 200;
  double best = 0.0;
  double nearest = distance(course.at(0.0).at, p);
  for (int i = 1; i <= kParts; ++i) {
    const double s = static_cast<double>(i) / kParts * course.length();
    const double away = distance(course.at(s).at, p);
    if (away >= nearest) continue;
    nearest = away;
    best = s;
  }
  return best;
}

// More along the base line of its forme than across it.
bool along_base(const StyleGrade& grade, std::size_t piece, const OpenArcPath& path) {
  const Vec2 along = base_direction(grade.formes[grade.pieces[piece].forme].map.forme());
  const Vec2 way = path.vertices.back().at - path.vertices.front().at;
  return std::abs(dot(way, along)) > std::abs(cross(along, way));
}

class UnsewnFinder {
 public:
  UnsewnFinder(const StyleSpec& style, const StyleGrade& grade) : style_(style), grade_(grade) {
    for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
      const PreparedPiece& piece = grade.pieces[p];
      for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
        const EdgeSpec& spec = piece.bound.edges[e].spec;
        if (piece.bound.spec.fold == spec.name) continue;
        Edge edge;
        edge.piece = p;
        edge.spec = &spec;
        edge.path = shaped_path(piece.shape.edges[e], piece.shape.base);
        if (edge.path.size() == 0) continue;
        edge.box = bounds(edge.path);
        edge.length = length(edge.path);
        edge.sewn = in_seam(piece.bound.spec.name, spec.name);
        add_shape(edge.path, edge.shape);
        add_shape(reversed(edge.path), edge.shape);
        edges_.push_back(std::move(edge));
      }
    }
  }

  std::vector<StyleFinding> find() {
    for (std::size_t i = 0; i < edges_.size(); ++i) {
      for (std::size_t k = i + 1; k < edges_.size(); ++k) look_at(i, k);
      if (work_ > kMostUnsewnWork) return {too_much()};
    }
    for (std::size_t i = 0; i < edges_.size(); ++i) {
      const Edge& one = edges_[i];
      if (one.partners == 1 && i < one.partner && edges_[one.partner].partners == 1)
        tell_apart(one, edges_[one.partner]);
    }
    return std::move(findings_);
  }

 private:
  [[nodiscard]] const PieceSpec& piece(const Edge& edge) const {
    return grade_.pieces[edge.piece].bound.spec;
  }
  [[nodiscard]] bool same_forme(const Edge& one, const Edge& other) const {
    return grade_.pieces[one.piece].forme == grade_.pieces[other.piece].forme;
  }
  [[nodiscard]] bool same_layer(const Edge& one, const Edge& other) const {
    const std::string& here = piece(one).layer;
    const std::string& there = piece(other).layer;
    return here.empty() || there.empty() || here == there;
  }
  // One outside and one inside of every shoe.
  [[nodiscard]] bool sews_itself(const Edge& edge) const {
    return !edge.sewn && piece(edge).per_pair >= 4 && edge_on_edge(edge.spec->treatment);
  }
  [[nodiscard]] bool in_seam(const std::string& piece, const std::string& edge) const {
    return seam_names_edge(style_, piece, edge);
  }

  void look_at(std::size_t i, std::size_t k) {
    Edge& one = edges_[i];
    Edge& other = edges_[k];
    ++work_;
    if (one.piece == other.piece || (one.sewn && other.sewn) || !same_forme(one, other)) return;
    if (std::min(one.length, other.length) < kShortest || sews_itself(one) || sews_itself(other)) return;
    if (const std::optional<Lying> lying = together(one, other)) {
      const bool end_to_end = lying->over >= kShare * std::max(one.length, other.length);
      if (looks_sewn(one, other, *lying) && (end_to_end || (!one.sewn && !other.sewn)))
        tell(one, other, *lying);
      else if (end_to_end && !lying->side_by_side && as_another_seam(one, other))
        add(one, other, lying->over,
            "lie on each other in the base size, and a seam joins other edges of the two pieces that are "
            "treated as these are");
      else if (const SeamSide* mate = end_to_end && !lying->side_by_side ? other_copy(one, other) : nullptr)
        add(one, other, lying->over,
            fmt::format("lie on each other in the base size, and a seam joins {} to {} of {} there, which is "
                        "the other copy: of {} four are cut for a pair, two for each foot",
                        named(one.sewn ? one : other), mate->edge, mate->piece,
                        piece(one.sewn ? one : other).name));
    } else if (const std::optional<NearMates> near = nearly_mates(one, other)) {
      add(one, other, near->off,
          fmt::format("is how far apart they run at most, side by side {} in the base size, and so are not "
                      "drawn on each other",
                      near->both_ends ? "between the same two ends" : "from the one end that they share"));
    } else if (!one.sewn && !other.sewn && alike(one, other)) {
      for (const auto& [edge, partner] : {std::pair{&one, k}, std::pair{&other, i}}) {
        ++edge->partners;
        edge->partner = partner;
      }
    }
  }

  // Neither in a seam, of two layers, and a seam joins edges of the two pieces that are treated alike: a
  // lining is sewn to its upper all along.
  [[nodiscard]] bool as_another_seam(const Edge& one, const Edge& other) const {
    if (one.sewn || other.sewn || same_layer(one, other) || one.spec->treatment == Treatment::kLasting)
      return false;
    const auto treated = [&](const SeamSide& side, const Edge& like) {
      if (side.piece != piece(like).name) return false;
      const EdgeSpec* edge = find_edge(piece(like), side.edge);
      return edge != nullptr && edge->treatment == like.spec->treatment;
    };
    return std::any_of(style_.seams.begin(), style_.seams.end(), [&](const SeamSpec& seam) {
      return (treated(seam.one, one) && treated(seam.other, other)) ||
             (treated(seam.one, other) && treated(seam.other, one));
    });
  }

  // What the sewn one of two edges of two layers is sewn to, where it is cut four times for a pair, and that
  // and the edge in no seam are of a piece for each of its copies: inside and outside, one of each for a
  // foot.
  [[nodiscard]] const SeamSide* other_copy(const Edge& one, const Edge& other) const {
    if (one.sewn == other.sewn || same_layer(one, other)) return nullptr;
    const Edge& twice = one.sewn ? one : other;
    const Edge& alone = one.sewn ? other : one;
    if (piece(twice).per_pair != 4 || piece(alone).per_pair != 2) return nullptr;
    const auto copy = [&](const SeamSide& own, const SeamSide& mate) {
      if (own.piece != piece(twice).name || own.edge != twice.spec->name) return false;
      return std::any_of(edges_.begin(), edges_.end(), [&](const Edge& edge) {
        return piece(edge).name == mate.piece && edge.spec->name == mate.edge && edge.piece != alone.piece &&
               piece(edge).per_pair == 2 && piece(edge).layer == piece(alone).layer &&
               edge.spec->treatment == alone.spec->treatment && same_forme(edge, alone) &&
               length_on(alone.path, edge.path, kTouching) >= kShare * alone.length;
      });
    };
    for (const SeamSpec& seam : style_.seams) {
      if (copy(seam.one, seam.other)) return &seam.other;
      if (copy(seam.other, seam.one)) return &seam.one;
    }
    return nullptr;
  }

  struct NearMates {
    double off = 0.0;  // mm that they run apart at most
    bool both_ends = false;
  };
  // Of two edges that have both ends in common, or one, and face each other.
  [[nodiscard]] std::optional<NearMates> nearly_mates(const Edge& one, const Edge& other) {
    constexpr double kNear = 5.0;    // mm
    constexpr double kNarrow = 0.2;  // of the shorter: from one end on; more is two edges of a throat
    constexpr double kAsLong =
        0.8;  // of the longer, with both ends in common: less is the way round an opening
    if (one.sewn || other.sewn || !same_layer(one, other)) return std::nullopt;
    const double begin = distance(one.path.vertices.front().at, other.path.vertices.back().at);
    const double end = distance(one.path.vertices.back().at, other.path.vertices.front().at);
    const bool both_ends = std::max(begin, end) <= kTouching;
    if (std::min(begin, end) > kTouching || std::max(begin, end) > kNear) return std::nullopt;
    const double shorter = std::min(one.length, other.length);
    const bool as_long =
        both_ends && !opens(one, other) && shorter >= kAsLong * std::max(one.length, other.length);
    const double most = as_long ? INFINITY : both_ends ? kNear : std::min(kNear, kNarrow * shorter);
    work_ += 3 * one.path.size() * other.path.size();
    const double off = apart(one.path, other.path);
    return off <= most ? std::optional(NearMates{off, both_ends}) : std::nullopt;
  }
  // What is folded or bound on both sides is the rim of an opening.
  [[nodiscard]] static bool opens(const Edge& one, const Edge& other) {
    const auto finished = [](const Edge& edge) {
      return edge.spec->treatment == Treatment::kFold || edge.spec->treatment == Treatment::kBound;
    };
    return finished(one) && finished(other);
  }

  [[nodiscard]] std::optional<Lying> together(const Edge& one, const Edge& other) {
    if (!one.box.grown(kTouching).overlaps(other.box)) return std::nullopt;
    const Edge& shorter = one.length <= other.length ? one : other;
    const Edge& longer = one.length <= other.length ? other : one;
    const Course here(shorter.path);
    work_ += 3 * longer.path.size();
    int near = 0;  // of three places; where two lie elsewhere the share is not reached
    for (const double share : {0.25, 0.5, 0.75})
      near += distance_to(longer.path, here.at(share * shorter.length).at) <= kTouching;
    if (near < 2) return std::nullopt;
    work_ += 200 * longer.path.size();
    Lying lying{length_on(shorter.path, longer.path, kTouching), false};
    if (lying.over < kShare * shorter.length) return std::nullopt;
    const Course there(longer.path);
    const auto on_longer = [&](double share) {
      return station_near(there, here.at(share * shorter.length).at);
    };
    lying.side_by_side = on_longer(0.7) < on_longer(0.3);
    return lying;
  }

  // Both at the feather of an upper that is sewn to its bottom there.
  [[nodiscard]] bool both_at_sewn_feather(const Edge& one, const Edge& other) const {
    return along_base(grade_, one.piece, one.path) && along_base(grade_, other.piece, other.path) &&
           sewn_to_bottom(style_, grade_, one.spec->treatment);
  }

  [[nodiscard]] bool looks_sewn(const Edge& one, const Edge& other, const Lying& lying) const {
    if (!lying.side_by_side && both_at_sewn_feather(one, other)) return false;
    if (lying.side_by_side)
      return same_layer(one, other) && (!(plain(one.spec->treatment) && plain(other.spec->treatment)) ||
                                        left_raw_whole(one, other, lying));
    return edge_on_edge(one.spec->treatment) && one.spec->treatment == other.spec->treatment &&
           (one.spec->treatment == Treatment::kBagged || same_layer(one, other));
  }

  // Neither has more than its net, and they lie on each other over all of the shorter.
  [[nodiscard]] static bool left_raw_whole(const Edge& one, const Edge& other, const Lying& lying) {
    constexpr double kAll = 0.98;
    const auto raw = [](const Edge& edge) { return edge.spec->treatment == Treatment::kRaw; };
    return raw(one) && raw(other) && lying.over >= kAll * std::min(one.length, other.length);
  }

  // Whether a rigid motion, turned over or not, brings one edge onto the other, either way round.
  [[nodiscard]] bool alike(const Edge& one, const Edge& other) const {
    if (std::abs(one.length - other.length) > kAlike || !same_layer(one, other) ||
        !go_together(*one.spec, *other.spec))
      return false;
    for (const std::size_t from : {std::size_t{0}, kShapePlaces}) {
      for (const double hand : {1.0, -1.0}) {
        double off = 0.0;
        for (std::size_t i = 0; i < kShapePlaces; ++i) {
          const Vec2 there = other.shape[from + i];
          off = std::max(off, distance(one.shape[i], {there.x, hand * there.y}));
        }
        if (off <= kAlike) return true;
      }
    }
    return false;
  }
  static void add_shape(const OpenArcPath& path, std::vector<Vec2>& places) {
    const Course course(path);
    const Vec2 from = course.at(0.0).at;
    const Vec2 to = course.at(course.length()).at;
    const Vec2 along = distance(from, to) > kAlike ? unit(to - from) : course.at(0.0).along;
    for (std::size_t i = 1; i <= kShapePlaces; ++i) {
      const double share = static_cast<double>(i) / static_cast<double>(kShapePlaces);
      const Vec2 p = course.at(share * course.length()).at - from;
      places.push_back({dot(p, along), cross(along, p)});
    }
  }

  [[nodiscard]] std::string named(const Edge& edge) const {
    return edge.spec->name + " of " + piece(edge).name;
  }

  [[nodiscard]] static StyleFinding too_much() {
    StyleFinding finding{"edges unsewn",
                         "all",
                         0.0,
                         {},
                         "mm",
                         {},
                         true,
                         "too much is drawn to look for edges that are sewn and that no seam names: none was "
                         "looked at"};
    finding.doubtful = true;
    return finding;
  }
  void tell(const Edge& one, const Edge& other, const Lying& lying) {
    add(one, other, lying.over,
        fmt::format("of them lie on each other in the base size, the pieces {}",
                    lying.side_by_side ? "side by side" : "on one side"));
    if (!lying.side_by_side)
      findings_.back().note += " (\"mirrored\": true where one is cut as its mirror image)";
  }
  void tell_apart(const Edge& one, const Edge& other) {
    add(one, other, one.length,
        fmt::format("is how long each is, {} and {}, and they have the same shape",
                    name_of(one.spec->treatment), name_of(other.spec->treatment)));
  }
  void add(const Edge& one, const Edge& other, double over, const std::string& what) {
    StyleFinding finding{
        "edges unsewn", fmt::format("{} and {}", named(one), named(other)), over, {}, "mm", {}, true, ""};
    finding.doubtful = true;
    finding.note = fmt::format(
        "{}, and no seam names {}: if they are sewn together, state the seam: without it nothing checks how "
        "they meet in any size",
        what, !one.sewn && !other.sewn ? std::string("either") : named(one.sewn ? other : one));
    findings_.push_back(std::move(finding));
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  std::vector<Edge> edges_;
  std::size_t work_ = 0;
  std::vector<StyleFinding> findings_;
};

}  // namespace

bool at_sewn_feather(const StyleSpec& style, const StyleGrade& grade, std::size_t piece, std::size_t edge) {
  const PreparedPiece& of = grade.pieces[piece];
  const OpenArcPath path = shaped_path(of.shape.edges[edge], of.shape.base);
  return role_of(grade.formes[of.forme].map.forme()) == FormeRole::kUpper && path.size() > 0 &&
         along_base(grade, piece, path) && sewn_to_bottom(style, grade, of.bound.edges[edge].spec.treatment);
}

bool sewn_to_bottom(const StyleSpec& style, const StyleGrade& grade, Treatment treatment) {
  if (!edge_on_edge(treatment)) return false;
  bool upper = false;
  bool bottom = false;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PreparedPiece& piece = grade.pieces[p];
    const std::optional<FormeRole> role = role_of(grade.formes[piece.forme].map.forme());
    for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
      const EdgeSpec& edge = piece.bound.edges[e].spec;
      if (edge.treatment != treatment || seam_names_edge(style, piece.bound.spec.name, edge.name)) continue;
      if (role == FormeRole::kBottom) bottom = true;
      const OpenArcPath path = shaped_path(piece.shape.edges[e], piece.shape.base);
      if (role == FormeRole::kUpper && path.size() > 0 && along_base(grade, p, path)) upper = true;
    }
  }
  return upper && bottom;
}

std::vector<StyleFinding> check_unsewn(const StyleSpec& style, const StyleGrade& grade) {
  return UnsewnFinder(style, grade).find();
}

}  // namespace lastwright
