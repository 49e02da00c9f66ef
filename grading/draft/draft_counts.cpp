#include "grading/draft/draft_counts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>

namespace lastwright {

namespace {

class Counter {
 public:
  Counter(const std::vector<DraftPiece>& pieces, const std::vector<DraftForme>& formes,
          const std::vector<DraftSeam>& seams)
      : pieces_(pieces), formes_(formes), seams_(seams), counts_(pieces.size()) {}

  std::vector<DraftCount> run() {
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      if (lines_both_sides(i)) counts_[i] = {4, "as one shape lines the inside and the outside", {}};
    }
    for (bool changed = true; changed;) {
      changed = false;
      for (std::size_t i = 0; i < pieces_.size(); ++i) changed = find(i) || changed;
    }
    return std::move(counts_);
  }

 private:
  struct Mate {
    std::size_t piece;
    std::size_t edge;
  };

  [[nodiscard]] bool lines_both_sides(std::size_t i) const {
    const DraftPiece& piece = pieces_[i];
    if (piece.words.layer != "linings" || piece.fold) return false;
    const std::vector<std::size_t>& all = formes_[piece.forme].pieces;
    for (const std::size_t k : all) {
      for (const std::size_t l : all) {
        if (k < l && pieces_[k].words.layer != "linings" && !pieces_[k].fold &&
            near_copies(pieces_[k], pieces_[l]))
          return true;
      }
    }
    return false;
  }
  [[nodiscard]] bool has_copy(std::size_t i) const {
    const std::vector<std::size_t>& all = formes_[pieces_[i].forme].pieces;
    return std::any_of(all.begin(), all.end(), [&](std::size_t k) {
      return k != i && pieces_[k].words.layer == pieces_[i].words.layer && !pieces_[k].fold &&
             near_copies(pieces_[i], pieces_[k]);
    });
  }
  [[nodiscard]] std::vector<Mate> mates(const Mate& of) const {
    std::vector<Mate> all;
    for (const DraftSeam& seam : seams_) {
      if (seam.mirrored) continue;
      if (seam.one == of.piece && seam.one_edge == of.edge) all.push_back({seam.other, seam.other_edge});
      if (seam.other == of.piece && seam.other_edge == of.edge) all.push_back({seam.one, seam.one_edge});
    }
    return all;
  }
  // No other piece of its layer is sewn to that edge.
  [[nodiscard]] bool alone_on(const Mate& edge, std::size_t i) const {
    const std::vector<Mate> all = mates(edge);
    return std::none_of(all.begin(), all.end(), [&](const Mate& other) {
      return other.piece != i && pieces_[other.piece].words.layer == pieces_[i].words.layer;
    });
  }
  // How often a pair has an edge; one on the fold is there once in each piece.
  [[nodiscard]] int times(const Mate& edge) const {
    const DraftPiece& piece = pieces_[edge.piece];
    return counts_[edge.piece].per_pair * (piece.fold && piece.fold != edge.edge ? 2 : 1);
  }

  // Who says that a pair has it twice: another piece beside it on an edge that a pair has four times whatever
  // is guessed, two of each; or a piece it is sewn to of which that holds.
  [[nodiscard]] std::optional<std::string> held_to_two(std::size_t i, std::set<std::size_t>& seen) const {
    seen.insert(i);
    const auto alike = [&](std::size_t k) {
      return pieces_[k].words.layer == pieces_[i].words.layer && !pieces_[k].fold && counts_[k].per_pair == 2;
    };
    for (std::size_t e = 0; e < pieces_[i].edges.size(); ++e) {
      for (const Mate& one : mates({i, e})) {
        if (times(one) != 4 || !counts_[one.piece].why.empty()) continue;
        for (const Mate& beside : mates(one)) {
          if (beside.piece != i && alike(beside.piece))
            return fmt::format("{} is sewn to the edge \"{}\" of {} too, which a pair has four times",
                               pieces_[beside.piece].name, pieces_[one.piece].edges[one.edge].name,
                               pieces_[one.piece].name);
        }
      }
    }
    for (std::size_t e = 0; e < pieces_[i].edges.size(); ++e) {
      for (const Mate& one : mates({i, e})) {
        if (seen.contains(one.piece) || !alike(one.piece) || !held_to_two(one.piece, seen)) continue;
        return fmt::format("it is sewn to {}, of which there are two", pieces_[one.piece].name);
      }
    }
    return std::nullopt;
  }

  bool find(std::size_t i) {
    const DraftPiece& piece = pieces_[i];
    if (counts_[i].per_pair != 2 || piece.fold || formes_[piece.forme].kind != DraftKind::kUpper ||
        has_copy(i))
      return false;
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      const std::vector<Mate> all = mates({i, e});
      for (const Mate& one : all) {
        for (const Mate& other : all) {
          if (one.piece >= other.piece || pieces_[one.piece].fold || pieces_[other.piece].fold ||
              !near_copies(pieces_[one.piece], pieces_[other.piece]))
            continue;
          return set(i, fmt::format("as it is sewn to both {} and {}", pieces_[one.piece].name,
                                    pieces_[other.piece].name));
        }
        if (times(one) != 4 || !alone_on(one, i)) continue;
        const std::string why =
            fmt::format("as nothing else is sewn to the edge \"{}\" of {}, which a pair has four times",
                        pieces_[one.piece].edges[one.edge].name, pieces_[one.piece].name);
        std::set<std::size_t> seen;
        const std::optional<std::string> held = held_to_two(i, seen);
        if (!held) return set(i, why);
        counts_[i].asked = fmt::format("two for a pair, or four? Two, as {}; four, {}", *held, why);
      }
    }
    return false;
  }
  bool set(std::size_t i, std::string why) {
    counts_[i] = {4, std::move(why), {}};
    return true;
  }

  const std::vector<DraftPiece>& pieces_;
  const std::vector<DraftForme>& formes_;
  const std::vector<DraftSeam>& seams_;
  std::vector<DraftCount> counts_;
};

}  // namespace

std::vector<DraftCount> draft_counts(const std::vector<DraftPiece>& pieces,
                                     const std::vector<DraftForme>& formes,
                                     const std::vector<DraftSeam>& seams) {
  return Counter(pieces, formes, seams).run();
}

}  // namespace lastwright
