#include "grading/draft/draft_seams.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "grading/draft/edge_roles.hpp"
#include "grading/draft/loose_pieces.hpp"

namespace lastwright {

namespace {

bool is_lining(const DraftPiece& piece) {
  return piece.words.layer == "linings";
}

class SeamFinder {
 public:
  SeamFinder(const std::vector<DraftPiece>& pieces, const DraftForme& forme, std::vector<Proposed>& proposed)
      : pieces_(pieces), which_(forme.pieces), loose_(loose_pieces(pieces, forme)), proposed_(proposed) {}

  void into(std::vector<DraftSeam>& seams) {
    std::vector<DraftSeam> out;
    for (std::size_t i = 0; i < which_.size(); ++i) {
      for (std::size_t k = i + 1; k < which_.size(); ++k) pair(which_[i], which_[k], out);
    }
    apart_by_layer(out);
    twos(out);
    strips(out);
    seams.insert(seams.end(), out.begin(), out.end());
  }

 private:
  void pair(std::size_t i, std::size_t k, std::vector<DraftSeam>& out) const {
    const DraftPiece& one = pieces_[i];
    const DraftPiece& other = pieces_[k];
    const bool twins =
        !one.fold && !other.fold && one.words.layer == other.words.layer && near_copies(one, other);
    for (std::size_t a = 0; a < one.edges.size(); ++a) {
      for (std::size_t b = 0; b < other.edges.size(); ++b) {
        const Coincide how = coincide(one.edges[a], other.edges[b]);
        if (how == Coincide::kNo) continue;
        const EdgeRole role = one.edges[a].role;
        const EdgeRole role_there = other.edges[b].role;
        if (role == EdgeRole::kFold || role_there == EdgeRole::kFold) continue;
        if (how == Coincide::kAgainst) {
          const double apart = apart_by(one.edges[a], other.edges[b], how);
          if (apart <= kDraftSame) {
            out.push_back(
                {i, a, k, b, false, Sureness::kSure, "the two edges lie on each other, side by side", true});
          } else {
            out.push_back(
                {i, a, k, b, false, Sureness::kLikely,
                 fmt::format("the two edges lie side by side, {:.3f} mm apart at most: no more than "
                             "fairing and laying may move them",
                             apart),
                 true});
          }
        } else if (twins && role == EdgeRole::kBack && role_there == EdgeRole::kBack) {
          out.push_back({i, a, k, b, true, Sureness::kLikely,
                         "the two pieces are drawn as one, and their backs are sewn to each other's mirror "
                         "image: as drawn "
                         "they are for unlike feet, which \"drawn_foot\" says of one where the style states "
                         "it of all"});
        } else if (role == EdgeRole::kTopLine && role_there == EdgeRole::kTopLine &&
                   is_lining(one) != is_lining(other) && !loose_.contains(i) && !loose_.contains(k)) {
          out.push_back(
              {i, a, k, b, false, Sureness::kLikely, "the lining's top line lies on that of its upper"});
        }
      }
    }
  }

  // Where an upper and its lining are drawn to the same lines, edges of one lie against those of the other:
  // each is sewn in its own layer.
  void apart_by_layer(std::vector<DraftSeam>& out) const {
    const auto in_one_layer = [&](const DraftSeam& seam) {
      return is_lining(pieces_[seam.one]) == is_lining(pieces_[seam.other]);
    };
    const std::vector<DraftSeam> all = out;
    const auto sewn_in_its_layer = [&](std::size_t piece, std::size_t edge) {
      return std::any_of(all.begin(), all.end(), [&](const DraftSeam& seam) {
        return in_one_layer(seam) && !seam.mirrored &&
               ((seam.one == piece && seam.one_edge == edge) ||
                (seam.other == piece && seam.other_edge == edge));
      });
    };
    std::erase_if(out, [&](const DraftSeam& seam) {
      return seam.side_by_side && !in_one_layer(seam) && sewn_in_its_layer(seam.one, seam.one_edge) &&
             sewn_in_its_layer(seam.other, seam.other_edge);
    });
  }

  // Three pieces that are drawn as one, as both sides of an upper and their lining before any has a name,
  // cannot each be sewn to the others' mirror images: no feet would go with that. They are taken two by two,
  // the largest first, and who is left is told.
  void twos(std::vector<DraftSeam>& out) {
    std::map<std::size_t, std::set<std::size_t>> twins;
    for (const DraftSeam& seam : out) {
      if (!seam.mirrored) continue;
      twins[seam.one].insert(seam.other);
      twins[seam.other].insert(seam.one);
    }
    std::set<std::size_t> seen;
    for (const auto& [first, mates] : twins) {
      if (seen.contains(first)) continue;
      std::map<std::size_t, bool> foot{{first, false}};
      std::vector<std::size_t> group{first};
      bool goes = true;
      for (std::size_t n = 0; n < group.size(); ++n) {
        for (const std::size_t mate : twins[group[n]]) {
          const bool unlike = !foot.at(group[n]);
          if (const auto [there, added] = foot.emplace(mate, unlike); added)
            group.push_back(mate);
          else
            goes = goes && there->second == unlike;
        }
      }
      seen.insert(group.begin(), group.end());
      if (!goes) match(group, twins, out);
    }
  }
  void match(std::vector<std::size_t> group, const std::map<std::size_t, std::set<std::size_t>>& twins,
             std::vector<DraftSeam>& out) {
    std::sort(group.begin(), group.end(), [&](std::size_t a, std::size_t b) {
      return naming_rank(pieces_[a]) < naming_rank(pieces_[b]);
    });
    std::map<std::size_t, std::size_t> with;
    for (const std::size_t piece : group) {
      if (with.contains(piece)) continue;
      const auto mate = std::find_if(group.begin(), group.end(), [&](std::size_t other) {
        return !with.contains(other) && twins.at(piece).contains(other);
      });
      if (mate == group.end()) {
        proposed_.push_back(
            {Sureness::kGuess,
             fmt::format(
                 "no back seam of {}: it is drawn as {} and others are, and they are taken two by two, "
                 "the larger ones first; a lining is told by its name or its \"layer\"",
                 pieces_[piece].name, pieces_[*twins.at(piece).begin()].name),
             fmt::format("/pieces/{}", pieces_[piece].index)});
        continue;
      }
      with[piece] = *mate;
      with[*mate] = piece;
    }
    std::erase_if(out, [&](const DraftSeam& seam) {
      if (!seam.mirrored || std::find(group.begin(), group.end(), seam.one) == group.end()) return false;
      const auto mate = with.find(seam.one);
      return mate == with.end() || mate->second != seam.other;
    });
  }

  // A strip on a back seam is cut double on it, and lies on both pieces.
  void strips(std::vector<DraftSeam>& out) const {
    const std::size_t found = out.size();
    for (const std::size_t i : which_) {
      const DraftPiece& strip = pieces_[i];
      if (!strip.fold) continue;
      for (std::size_t s = 0; s < found; ++s) {
        const DraftSeam back = out[s];
        if (!back.mirrored) continue;
        const bool first = naming_rank(pieces_[back.one]) < naming_rank(pieces_[back.other]);
        const std::size_t under = first ? back.one : back.other;
        const std::size_t edge = first ? back.one_edge : back.other_edge;
        if (strip.forme != pieces_[under].forme || strip.words.layer != pieces_[under].words.layer ||
            coincide(strip.edges[*strip.fold], pieces_[under].edges[edge]) != Coincide::kSameWay)
          continue;
        out.push_back({i, *strip.fold, under, edge, false, Sureness::kLikely,
                       "its fold lies on the back seam, which it covers"});
      }
    }
  }

  const std::vector<DraftPiece>& pieces_;
  const std::vector<std::size_t>& which_;
  std::set<std::size_t> loose_;  // whose top line is not that of the upper or its lining
  std::vector<Proposed>& proposed_;
};

class Treater {
 public:
  Treater(std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams, const ShoeKind& kind,
          std::vector<Proposed>& proposed)
      : pieces_(pieces), seams_(seams), kind_(kind), proposed_(proposed) {}

  void run() {
    for (const DraftSeam& seam : seams_) {
      for (const auto& [piece, edge] : {std::pair{seam.one, seam.one_edge}, {seam.other, seam.other_edge}}) {
        EdgeRole& role = pieces_[piece].edges[edge].role;
        if (role == EdgeRole::kPlain) role = EdgeRole::kSeam;
      }
    }
    for (DraftPiece& piece : pieces_) {
      for (DraftEdge& edge : piece.edges) usual(piece, edge);
    }
    for (const DraftSeam& seam : seams_) lap(seam);
    tell();
  }

 private:
  void usual(const DraftPiece& piece, DraftEdge& edge) const {
    const std::string layer = piece.words.layer.empty() ? "uppers" : piece.words.layer;
    const UsualEdge found = kind_.usual(layer, edge.role);
    edge.treatment = found.treatment;
    edge.allowance = found.allowance;
    // A piece that is cut double has no seam at its back.
    if (edge.role == EdgeRole::kBack && piece.fold) {
      edge.treatment = Treatment::kRaw;
      edge.allowance = 0.0;
    }
  }

  // Of a seam's edges one lies under the other.
  void lap(const DraftSeam& seam) {
    if (seam.mirrored) return;
    DraftEdge& one = pieces_[seam.one].edges[seam.one_edge];
    DraftEdge& other = pieces_[seam.other].edges[seam.other_edge];
    if (one.role != EdgeRole::kSeam || other.role != EdgeRole::kSeam) return;
    const bool one_under = kind_.under(pieces_[seam.one].name, pieces_[seam.one].area,
                                       pieces_[seam.other].name, pieces_[seam.other].area);
    DraftEdge& under = one_under ? one : other;
    const std::string layer = pieces_[one_under ? seam.one : seam.other].words.layer;
    const UsualEdge usual_lap = kind_.lap(layer.empty() ? "uppers" : layer);
    under.treatment = usual_lap.treatment;
    under.allowance = usual_lap.allowance;
  }

  void tell() {
    for (const DraftPiece& piece : pieces_) {
      for (std::size_t e = 0; e < piece.edges.size(); ++e) {
        const DraftEdge& edge = piece.edges[e];
        if (edge.allowance == 0.0) continue;
        proposed_.push_back({Sureness::kGuess,
                             fmt::format("{}, {}: {} with {:g} mm, common practice", piece.name, edge.name,
                                         name_of(edge.treatment), edge.allowance),
                             edge_pointer(piece, e)});
      }
    }
  }

  std::vector<DraftPiece>& pieces_;
  const std::vector<DraftSeam>& seams_;
  const ShoeKind& kind_;
  std::vector<Proposed>& proposed_;
};

}  // namespace

bool near_copies(const DraftPiece& one, const DraftPiece& other) {
  return near_copies(one, other, [](const DraftEdge& edge, const DraftEdge& that) {
    return coincide(edge, that) == Coincide::kSameWay ? edge.length : 0.0;
  });
}

bool near_copies(const DraftPiece& one, const DraftPiece& other,
                 const std::function<double(const DraftEdge&, const DraftEdge&)>& common) {
  constexpr double kShare = 0.6;  // of the longer outline: less have a piece and what is sewn on it
  double shared = 0.0;
  double here = 0.0;
  double there = 0.0;
  for (const DraftEdge& edge : other.edges) there += edge.length;
  for (const DraftEdge& edge : one.edges) {
    here += edge.length;
    for (const DraftEdge& that : other.edges) {
      const double over = common(edge, that);
      shared += over;
      if (over > 0.0) break;
    }
  }
  return shared >= kShare * std::max(here, there);
}

std::vector<DraftSeam> find_seams(const std::vector<DraftPiece>& pieces,
                                  const std::vector<DraftForme>& formes, std::vector<Proposed>& proposed) {
  std::vector<DraftSeam> seams;
  for (const DraftForme& forme : formes) {
    if (forme.kind != DraftKind::kBottom) SeamFinder(pieces, forme, proposed).into(seams);
  }
  return seams;
}

void treat_edges(std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams, const ShoeKind& kind,
                 std::vector<Proposed>& proposed) {
  Treater(pieces, seams, kind, proposed).run();
}

void state_seams(const std::vector<DraftPiece>& pieces, const std::vector<DraftSeam>& seams, StyleSpec& style,
                 std::vector<Proposed>& proposed) {
  std::set<std::string> names;
  for (const DraftSeam& seam : seams) {
    const DraftPiece& one = pieces[seam.one];
    const DraftPiece& other = pieces[seam.other];
    const std::string name = seam.mirrored ? fmt::format("back of {} to {}", one.name, other.name)
                                           : fmt::format("{} to {}", one.name, other.name);
    std::string unique = name.substr(0, 70);
    for (int n = 2; !names.insert(unique).second; ++n) unique = fmt::format("{} {}", name.substr(0, 70), n);
    SeamSpec spec;
    spec.name = unique;
    spec.one = {one.name, one.edges[seam.one_edge].name};
    spec.other = {other.name, other.edges[seam.other_edge].name};
    spec.mirrored = seam.mirrored;
    proposed.push_back({seam.sure,
                        fmt::format("seam: {}, {}, with {}, {}: {}", one.name, spec.one.edge, other.name,
                                    spec.other.edge, seam.why),
                        fmt::format("/seams/{}", style.seams.size())});
    style.seams.push_back(std::move(spec));
  }
}

}  // namespace lastwright
