#include "grading/style/lies_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "grading/json/cited.hpp"
#include "grading/json/json_text.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

const CornerSpec* corner_of(const PieceSpec& piece, const std::string& name) {
  const auto found = std::find_if(piece.corners.begin(), piece.corners.end(),
                                  [&](const CornerSpec& one) { return one.name == name; });
  return found == piece.corners.end() ? nullptr : &*found;
}

template <class T>
std::vector<std::string> names_of(const std::vector<T>& things) {
  std::vector<std::string> names;
  for (const T& thing : things) names.push_back(thing.name);
  return names;
}

class LiesChecker {
 public:
  explicit LiesChecker(const StyleSpec& style) : style_(style) {}

  std::vector<StyleFault> run() {
    for (std::size_t i = 0; i < style_.pieces.size(); ++i) {
      piece_ = &style_.pieces[i];
      if (!piece_->lies || piece_->lies->as_drawn) continue;
      at_ = pointer_to("/pieces", i) + "/lies";
      check(*piece_->lies);
    }
    return std::move(faults_);
  }

 private:
  void add(const std::string& pointer, std::string message) {
    faults_.push_back({at_ + pointer, std::move(message)});
  }

  void check(const LiesSpec& lies) {
    std::size_t places = 0;
    for (std::size_t i = 0; i < lies.meets.size(); ++i) {
      const std::string here = pointer_to("/meets", i);
      if (const auto* point = std::get_if<PointMeeting>(&lies.meets[i])) {
        ++places;
        check(*point, here);
      } else {
        places += 2;
        check(std::get<EdgeMeeting>(lies.meets[i]), here);
      }
    }
    if (places < 2)
      add("/meets", "one place leaves open how the piece is turned; name two at least, or an edge");
    if (!(lies.limit > Millimetres(0.0)))
      add("/limit", fmt::format("the limit must be above 0, not {:g} mm", lies.limit.value()));
    if (piece_->drawn == Drawn::kCut) {
      for (const CornerSpec& corner : piece_->corners) {
        if (std::holds_alternative<std::string>(corner.at)) own_corner(corner.name, "");
      }
    }
    if (round())
      add("/meets", "the piece lies on pieces that lie on it: one of them has to lie by the forme");
  }

  void check(const PointMeeting& one, const std::string& at) {
    if (const auto* corner = std::get_if<std::string>(&one.drawn)) own_corner(*corner, at + "/corner");
    if (const auto* point = std::get_if<std::string>(&one.on)) {
      for (const FormeSpec& forme : style_.formes) {
        if (forme.name == piece_->forme) known(*point, "point", names_of(forme.points), at + "/on");
      }
    } else if (const auto* other = std::get_if<PieceCorner>(&one.on)) {
      if (const PieceSpec* piece = mate(other->piece, at + "/on/piece"))
        known(other->corner, "corner", names_of(piece->corners), at + "/on/corner");
    }
  }

  void check(const EdgeMeeting& one, const std::string& at) {
    if (known(one.edge, "edge", names_of(piece_->edges), at + "/edge")) {
      const EdgeSpec& edge = *find_edge(*piece_, one.edge);
      own_corner(edge.from, at + "/edge");
      own_corner(edge.to, at + "/edge");
      if (edge.from == edge.to) add(at + "/edge", "an edge that goes right round has no ends to meet");
    }
    if (const PieceSpec* piece = mate(one.piece, at + "/on/piece"))
      known(one.on, "edge", names_of(piece->edges), at + "/on/edge");
  }

  // Before the piece lies on its forme, only coordinates tell where a corner is drawn.
  void own_corner(const std::string& name, const std::string& at) {
    const CornerSpec* corner = corner_of(*piece_, name);
    if (corner == nullptr) {
      known(name, "corner", names_of(piece_->corners), at);
    } else if (std::holds_alternative<std::string>(corner->at)) {
      add(at, fmt::format(
                  "the corner {} is given by a point of the forme, which does not tell where it is drawn; "
                  "give its [x, y] in the drawing",
                  cited(name)));
    }
  }

  const PieceSpec* mate(const std::string& name, const std::string& at) {
    if (!known(name, "piece", names_of(style_.pieces), at)) return nullptr;
    const auto found = std::find_if(style_.pieces.begin(), style_.pieces.end(),
                                    [&](const PieceSpec& one) { return one.name == name; });
    if (&*found == piece_) {
      add(at, "a piece cannot lie on itself");
    } else if (found->forme != piece_->forme) {
      add(at, fmt::format("the piece {} lies on another forme, {}", cited(name), cited(found->forme)));
    }
    return &*found;
  }

  bool known(const std::string& name, const char* kind, const std::vector<std::string>& all,
             const std::string& at) {
    if (std::find(all.begin(), all.end(), name) != all.end()) return true;
    add(at, fmt::format("there is no {} {}{}", kind, cited(name), suggestion(name, all)));
    return false;
  }

  // Whether going from piece to piece leads back to this one.
  [[nodiscard]] bool round() const {
    std::vector<std::string> ahead = lies_on(*piece_);
    std::set<std::string> seen;
    while (!ahead.empty()) {
      const std::string name = ahead.back();
      ahead.pop_back();
      if (name == piece_->name) return true;
      if (!seen.insert(name).second) continue;
      for (const PieceSpec& piece : style_.pieces) {
        if (piece.name != name) continue;
        const std::vector<std::string> more = lies_on(piece);
        ahead.insert(ahead.end(), more.begin(), more.end());
      }
    }
    return false;
  }

  const StyleSpec& style_;
  const PieceSpec* piece_ = nullptr;
  std::string at_;
  std::vector<StyleFault> faults_;
};

}  // namespace

std::vector<std::string> lies_on(const PieceSpec& piece) {
  std::vector<std::string> names;
  if (!piece.lies) return names;
  for (const Meeting& one : piece.lies->meets) {
    if (const auto* edge = std::get_if<EdgeMeeting>(&one)) {
      names.push_back(edge->piece);
    } else if (const auto* corner = std::get_if<PieceCorner>(&std::get<PointMeeting>(one).on)) {
      names.push_back(corner->piece);
    }
  }
  return names;
}

std::vector<StyleFault> lies_faults(const StyleSpec& style) {
  return LiesChecker(style).run();
}

}  // namespace lastwright
