#include "grading/draft/point_names.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "grading/pieces/first/first_corners.hpp"

namespace lastwright {

namespace {

// In an order that does not depend on how the sheet lies: from the heel on, then from the base line up.
std::pair<long, long> order_on(const DraftFrame& frame, Vec2 at) {
  const Vec2 q = frame.in(at);
  return {std::lround(q.x * 50.0), std::lround(q.y * 50.0)};
}

struct SharedPlace {
  Vec2 at;
  std::vector<std::pair<std::size_t, std::size_t>> corners;  // piece and corner
  std::string name;                                          // of the forme's point; "" for none
};

class PointNamer {
 public:
  PointNamer(std::vector<DraftPiece>& pieces, DraftForme& forme) : pieces_(pieces), forme_(forme) {}

  void run() {
    for (const std::size_t i : forme_.pieces) {
      for (std::size_t c = 0; c < pieces_[i].corners.size(); ++c) add(i, c);
    }
    // What stands by itself before what is at a share of the length.
    for (const char* const first : {"heel", "toe", "vamp point", "back top", "start", "end", "side"}) {
      if (const auto found = forme_.points.find(first); found != forme_.points.end())
        name_standing(found->first, found->second);
    }
    for (const auto& [name, at] : forme_.points) name_standing(name, at);
    name_shared();
    for (const SharedPlace& place : places_) {
      if (!place.name.empty()) forme_.named.push_back({place.name, style_place(place.at)});
      for (const auto& [piece, corner] : place.corners) {
        pieces_[piece].corners[corner].name = place.name;
        pieces_[piece].corners[corner].named_point = !place.name.empty();
      }
    }
    std::sort(forme_.named.begin(), forme_.named.end(), [&](const NamedPoint& a, const NamedPoint& b) {
      return std::tuple(order_on(forme_.frame, a.at), a.name) <
             std::tuple(order_on(forme_.frame, b.at), b.name);
    });
    for (const std::size_t i : forme_.pieces) name_others(pieces_[i]);
  }

 private:
  void name_standing(const std::string& name, Vec2 at) {
    if (!taken_.insert(name).second) return;
    SharedPlace* place = place_at(at);
    if (place == nullptr) {
      places_.push_back({at, {}, name});
    } else if (place->name.empty()) {
      place->name = name;
    } else {  // two names for one place: a rule may use either
      forme_.named.push_back({name, style_place(place->at)});
    }
  }

  SharedPlace* place_at(Vec2 at) {
    for (SharedPlace& place : places_) {
      if (distance(place.at, at) <= kDraftSame) return &place;
    }
    return nullptr;
  }
  void add(std::size_t piece, std::size_t corner) {
    const Vec2 at = pieces_[piece].corners[corner].at;
    if (SharedPlace* place = place_at(at)) {
      place->corners.emplace_back(piece, corner);
    } else {
      places_.push_back({at, {{piece, corner}}, ""});
    }
  }

  [[nodiscard]] bool on_fold(const SharedPlace& place) const {
    return std::any_of(place.corners.begin(), place.corners.end(), [&](const auto& one) {
      const DraftPiece& piece = pieces_[one.first];
      return piece.fold &&
             (*piece.fold == one.second || (*piece.fold + 1) % piece.corners.size() == one.second);
    });
  }

  // The largest piece of the uppers names the place, of equals the first by name.
  [[nodiscard]] std::pair<std::size_t, std::size_t> namer(const SharedPlace& place) const {
    return *std::min_element(place.corners.begin(), place.corners.end(), [&](const auto& a, const auto& b) {
      return naming_rank(pieces_[a.first]) < naming_rank(pieces_[b.first]);
    });
  }

  void name_shared() {
    std::map<std::string, std::vector<SharedPlace*>> by_name;
    for (SharedPlace& place : places_) {
      if (!place.name.empty() || place.corners.empty()) continue;
      const std::set<std::size_t> who = [&] {
        std::set<std::size_t> all;
        for (const auto& [piece, corner] : place.corners) all.insert(piece);
        return all;
      }();
      if (who.size() < 2 && !on_fold(place)) continue;
      const auto [piece, corner] = namer(place);
      by_name[pieces_[piece].name + " " + word(pieces_[piece], corner)].push_back(&place);
    }
    for (auto& [name, places] : by_name) {
      std::sort(places.begin(), places.end(), [&](const SharedPlace* a, const SharedPlace* b) {
        return order_on(forme_.frame, a->at) < order_on(forme_.frame, b->at);
      });
      int number = 1;
      for (SharedPlace* place : places) {
        std::string unique = name;
        while (taken_.contains(unique)) unique = fmt::format("{} {}", name, ++number);
        taken_.insert(unique);
        place->name = unique;
      }
    }
  }

  static const char* word(const DraftPiece& piece, std::size_t corner) {
    const EdgeRole before = piece.edges[(corner + piece.edges.size() - 1) % piece.edges.size()].role;
    const EdgeRole after = piece.edges[corner].role;
    const auto either = [&](EdgeRole role) { return before == role || after == role; };
    if (either(EdgeRole::kFeather)) return "foot";
    if (either(EdgeRole::kFold)) return "centre";
    if (either(EdgeRole::kTopLine)) return "top";
    if (either(EdgeRole::kBack)) return "back";
    return "corner";
  }

  void name_others(DraftPiece& piece) const {
    std::vector<DraftCorner*> others;
    std::set<std::string> names;
    for (DraftCorner& corner : piece.corners) {
      if (!corner.name.empty() && names.insert(corner.name).second) continue;
      corner.name.clear();
      corner.named_point = false;
      others.push_back(&corner);
    }
    std::sort(others.begin(), others.end(), [&](const DraftCorner* a, const DraftCorner* b) {
      return order_on(forme_.frame, a->at) < order_on(forme_.frame, b->at);
    });
    int number = 0;
    for (DraftCorner* corner : others) {
      do {
        corner->name = fmt::format("c{}", ++number);
      } while (!names.insert(corner->name).second);
    }
  }

  std::vector<DraftPiece>& pieces_;
  DraftForme& forme_;
  std::vector<SharedPlace> places_;
  std::set<std::string> taken_;
};

}  // namespace

void name_points(std::vector<DraftPiece>& pieces, DraftForme& forme) {
  PointNamer(pieces, forme).run();
}

Spot stated_spot(const std::string& point, Vec2 at) {
  if (!point.empty()) return point;
  return style_place(at);
}

void name_edges(std::vector<DraftPiece>& pieces, const DraftForme& forme,
                const std::map<std::pair<std::size_t, std::size_t>, std::vector<std::string>>& mates) {
  for (const std::size_t i : forme.pieces) {
    DraftPiece& piece = pieces[i];
    std::map<std::string, std::vector<std::size_t>> by_name;
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      std::string name = "edge";
      switch (piece.edges[e].role) {
        case EdgeRole::kFold:
          name = "fold";
          break;
        case EdgeRole::kFeather:
          name = "feather";
          break;
        case EdgeRole::kBack:
          name = "back";
          break;
        case EdgeRole::kTopLine:
          name = "top line";
          break;
        case EdgeRole::kSeam:
        case EdgeRole::kPlain:
          if (const auto found = mates.find({i, e}); found != mates.end())
            name = "to " + *std::min_element(found->second.begin(), found->second.end());
          break;
      }
      by_name[name].push_back(e);
    }
    std::set<std::string> taken;
    for (auto& [name, edges] : by_name) {
      std::sort(edges.begin(), edges.end(), [&](std::size_t a, std::size_t b) {
        return order_on(forme.frame, piece.edges[a].samples[kDraftSamples / 2]) <
               order_on(forme.frame, piece.edges[b].samples[kDraftSamples / 2]);
      });
      for (std::size_t k = 0; k < edges.size(); ++k) {
        std::string unique = k == 0 ? name : fmt::format("{} {}", name, k + 1);
        while (!taken.insert(unique).second) unique += "'";
        piece.edges[edges[k]].name = unique;
      }
    }
  }
}

}  // namespace lastwright
