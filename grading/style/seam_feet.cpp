#include "grading/style/seam_feet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kStatedFoot = static_cast<std::size_t>(-1);

// Pieces that are joined one after the other, and whether they are for unlike feet.
class FeetForest {
 public:
  explicit FeetForest(std::size_t nodes) : from_(nodes) {}

  struct Way {
    bool unlike = false;
    bool stated = false;  // by way of feet that are stated
    std::vector<std::size_t> seams = {};
  };
  [[nodiscard]] std::optional<Way> way(std::size_t from, std::size_t to) const {
    std::vector<const Step*> by(from_.size(), nullptr);  // the step that reached a node
    std::vector<std::size_t> before(from_.size(), from_.size());
    std::vector<std::size_t> next{from};
    before[from] = from;
    for (std::size_t i = 0; i < next.size() && before[to] == from_.size(); ++i) {
      for (const Step& step : from_[next[i]]) {
        if (before[step.to] != from_.size()) continue;
        before[step.to] = next[i];
        by[step.to] = &step;
        next.push_back(step.to);
      }
    }
    if (before[to] == from_.size()) return std::nullopt;
    Way way;
    for (std::size_t at = to; at != from; at = before[at]) {
      way.unlike = way.unlike != by[at]->unlike;
      if (by[at]->seam == kStatedFoot) {
        way.stated = true;
      } else {
        way.seams.push_back(by[at]->seam);
      }
    }
    std::reverse(way.seams.begin(), way.seams.end());
    return way;
  }
  // Of each node its tree, and whether it is unlike that tree's first.
  struct Side {
    std::size_t tree = 0;
    bool unlike = false;
  };
  [[nodiscard]] std::vector<Side> sides() const {
    std::vector<Side> all(from_.size(), Side{from_.size()});
    for (std::size_t tree = 0; tree < from_.size(); ++tree) {
      if (all[tree].tree != from_.size()) continue;
      all[tree] = {tree, false};
      std::vector<std::size_t> next{tree};
      for (std::size_t i = 0; i < next.size(); ++i) {
        for (const Step& step : from_[next[i]]) {
          if (all[step.to].tree != from_.size()) continue;
          all[step.to] = {tree, all[next[i]].unlike != step.unlike};
          next.push_back(step.to);
        }
      }
    }
    return all;
  }
  // Joins them; where they are joined already and unlike that, says by what.
  std::optional<Way> join(std::size_t one, std::size_t other, bool unlike, std::size_t seam) {
    if (std::optional<Way> there = way(one, other))
      return there->unlike == unlike ? std::nullopt : std::move(there);
    from_[one].push_back({other, unlike, seam});
    from_[other].push_back({one, unlike, seam});
    return std::nullopt;
  }

 private:
  struct Step {
    std::size_t to;
    bool unlike;
    std::size_t seam;
  };
  std::vector<std::vector<Step>> from_;
};

struct JoiningSeam {
  std::size_t seam;
  std::size_t one;
  std::size_t other;
  bool unlike;
};

// Seams whose two pieces both pass, in the order of the style.
template <class Passes>
std::vector<JoiningSeam> joining_seams(const StyleSpec& style, const Passes& passes) {
  std::map<std::string, std::size_t> index;
  for (std::size_t p = 0; p < style.pieces.size(); ++p) index.emplace(style.pieces[p].name, p);
  std::vector<JoiningSeam> all;
  for (std::size_t s = 0; s < style.seams.size(); ++s) {
    const SeamSpec& seam = style.seams[s];
    const auto one = index.find(seam.one.piece);
    const auto other = index.find(seam.other.piece);
    if (one == index.end() || other == index.end()) continue;
    if (passes(one->second) && passes(other->second))
      all.push_back({s, one->second, other->second, seam.mirrored});
  }
  return all;
}

bool in_one_layer(const StyleSpec& style, const JoiningSeam& seam) {
  return style.pieces[seam.one].layer == style.pieces[seam.other].layer;
}

// A piece whose number for a pair allows for both hands in each shoe, and whose foot nobody states, takes
// either.
bool takes_either(const StyleSpec& style, std::size_t piece) {
  return drawn_foot_of(style, style.pieces[piece]).empty() && may_be_both(style.pieces[piece]);
}

class FeetFaults {
 public:
  FeetFaults(const StyleSpec& style, const std::vector<bool>& handed) : style_(style) {
    for (std::size_t p = 0; p < style.pieces.size(); ++p) {
      handed_.push_back(handed[p] && !style.pieces[p].fold);
      foot_.push_back(drawn_foot_of(style, style.pieces[p]));
    }
  }

  std::vector<SeamFeetFault> run() {
    const std::vector<SeamFeetFault> loops = in_loops();
    for (SeamFeetFault& fault : by_feet()) {
      const bool loop = std::any_of(loops.begin(), loops.end(),
                                    [&](const SeamFeetFault& one) { return one.seam == fault.seam; });
      if (fault.kind != SeamFeetFault::Kind::kLoop || !loop) {
        if (fault.kind == SeamFeetFault::Kind::kLoop) fault.kind = SeamFeetFault::Kind::kRound;
        faults_.push_back(std::move(fault));
      }
    }
    std::stable_sort(faults_.begin(), faults_.end(), [](auto& a, auto& b) { return a.seam < b.seam; });
    faults_.insert(faults_.end(), loops.begin(), loops.end());
    return std::move(faults_);
  }

 private:
  [[nodiscard]] bool joins(std::size_t piece) const {
    return handed_[piece] && foot_[piece] != "both" && !takes_either(style_, piece);
  }
  // Seams whose pieces pass, those within a layer first: what is sewn in one is known, and between two is
  // judged by it.
  template <class Passes>
  [[nodiscard]] std::vector<JoiningSeam> layers_first(const Passes& passes) const {
    std::vector<JoiningSeam> seams = joining_seams(style_, passes);
    std::stable_partition(seams.begin(), seams.end(),
                          [&](const JoiningSeam& seam) { return in_one_layer(style_, seam); });
    return seams;
  }

  // Each layer has a node behind those of the pieces, and a piece whose foot is stated is joined to it:
  // unlike it for the right foot.
  [[nodiscard]] std::vector<SeamFeetFault> by_feet() const {
    const std::size_t pieces = style_.pieces.size();
    std::map<std::string, std::size_t> layers;
    for (const PieceSpec& piece : style_.pieces) layers.emplace(piece.layer, pieces + layers.size());
    FeetForest forest(pieces + layers.size());
    for (std::size_t p = 0; p < pieces; ++p) {
      if (joins(p) && one_foot(foot_[p]))
        forest.join(p, layers.at(style_.pieces[p].layer), foot_[p] == "right", kStatedFoot);
    }
    std::vector<SeamFeetFault> found;
    for (const JoiningSeam& seam : layers_first([&](std::size_t p) { return joins(p); })) {
      auto against = forest.join(seam.one, seam.other, seam.unlike, seam.seam);
      if (!against) continue;
      const bool both_stated = one_foot(foot_[seam.one]) && one_foot(foot_[seam.other]);
      const auto kind = !against->stated                            ? SeamFeetFault::Kind::kLoop
                        : both_stated && in_one_layer(style_, seam) ? SeamFeetFault::Kind::kStated
                                                                    : SeamFeetFault::Kind::kRound;
      found.push_back({kind, seam.seam, seam.one, seam.other, std::move(against->seams)});
    }
    for (const JoiningSeam& seam : joining_seams(style_, [&](std::size_t p) { return bool(handed_[p]); })) {
      for (const auto& [both, other] : {std::pair{seam.one, seam.other}, std::pair{seam.other, seam.one}}) {
        // Of as many, half would have nothing to be sewn to.
        if (foot_[both] == "both" && one_foot(foot_[other]) && may_be_both(style_.pieces[other]) &&
            style_.pieces[both].per_pair <= style_.pieces[other].per_pair)
          found.push_back({SeamFeetFault::Kind::kBoth, seam.seam, both, other});
      }
    }
    return found;
  }

  [[nodiscard]] std::vector<SeamFeetFault> in_loops() const {
    std::vector<SeamFeetFault> found;
    FeetForest forest(style_.pieces.size());
    for (const JoiningSeam& seam : layers_first([&](std::size_t p) {
           return handed_[p] && foot_[p] != "both" && !may_be_both(style_.pieces[p]);
         })) {
      if (auto against = forest.join(seam.one, seam.other, seam.unlike, seam.seam))
        found.push_back(
            {SeamFeetFault::Kind::kLoop, seam.seam, seam.one, seam.other, std::move(against->seams)});
    }
    return found;
  }

  const StyleSpec& style_;
  std::vector<bool> handed_;
  std::vector<std::string> foot_;
  std::vector<SeamFeetFault> faults_;
};

}  // namespace

bool may_be_both(const PieceSpec& piece) {
  return piece.hand == Hand::kHanded && piece.per_pair % 4 == 0;
}

std::vector<SeamFeetFault> seam_feet_faults(const StyleSpec& style, const std::vector<bool>& handed) {
  return FeetFaults(style, handed).run();
}

std::vector<std::string> hands_together(const StyleSpec& style, const std::vector<std::string>& unstated) {
  const auto asked = [&](std::size_t p) {
    const PieceSpec& piece = style.pieces[p];
    return !piece.fold && std::find(unstated.begin(), unstated.end(), piece.name) != unstated.end();
  };
  const std::size_t pieces = style.pieces.size();
  FeetForest forest(pieces);
  for (const JoiningSeam& seam :
       joining_seams(style, [&](std::size_t p) { return asked(p) && !takes_either(style, p); })) {
    if (in_one_layer(style, seam)) forest.join(seam.one, seam.other, seam.unlike, seam.seam);
  }
  std::vector<std::string> all;
  std::vector<bool> told(pieces, false);
  for (std::size_t p = 0; p < pieces; ++p) {
    if (!asked(p) || told[p]) continue;
    std::vector<std::string> like{style.pieces[p].name};
    std::vector<std::string> unlike;
    std::vector<std::string> seams;
    for (std::size_t q = p + 1; q < pieces; ++q) {
      const auto way = asked(q) ? forest.way(p, q) : std::nullopt;
      if (!way) continue;
      told[q] = true;
      (way->unlike ? unlike : like).push_back(style.pieces[q].name);
      for (const std::size_t seam : way->seams) {
        const std::string& name = style.seams[seam].name;
        if (style.seams[seam].mirrored && std::find(seams.begin(), seams.end(), name) == seams.end())
          seams.push_back(name);
      }
    }
    if (!unlike.empty())
      all.push_back(fmt::format("as drawn of {} goes with mirrored of {} in one shoe, by the mirrored {} {}",
                                fmt::join(like, ", "), fmt::join(unlike, ", "),
                                seams.size() == 1 ? "seam" : "seams", fmt::join(seams, ", ")));
  }
  // Sewn to pieces that are for unlike feet, or to one of which each shoe takes both.
  std::vector<bool> both(pieces, false);
  const std::vector<JoiningSeam> joins = joining_seams(style, asked);
  const std::vector<FeetForest::Side> sides = forest.sides();
  for (bool more = true; more;) {
    more = false;
    for (const JoiningSeam& seam : joins) {
      for (const bool turned : {false, true}) {
        const std::size_t here = turned ? seam.other : seam.one;
        const std::size_t there = turned ? seam.one : seam.other;
        if (both[here] || !takes_either(style, here)) continue;
        const bool of_both = both[there] && style.pieces[there].per_pair <= style.pieces[here].per_pair;
        const bool apart = std::any_of(joins.begin(), joins.end(), [&](const JoiningSeam& other) {
          if (takes_either(style, there) || (other.one != here && other.other != here)) return false;
          const std::size_t mate = other.one == here ? other.other : other.one;
          const bool joined = sides[there].tree == sides[mate].tree;
          const bool unlike = sides[there].unlike != sides[mate].unlike;
          return joined && !takes_either(style, mate) && unlike != (seam.unlike != other.unlike);
        });
        if (of_both || apart) both[here] = more = true;
      }
    }
  }
  std::vector<std::string> names;
  for (std::size_t p = 0; p < pieces; ++p) {
    if (both[p]) names.push_back(style.pieces[p].name);
  }
  if (!names.empty())
    all.push_back(fmt::format("each shoe takes as many of {} as drawn as mirrored", fmt::join(names, ", ")));
  return all;
}

}  // namespace lastwright
