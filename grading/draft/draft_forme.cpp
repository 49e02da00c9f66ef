#include "grading/draft/draft_forme.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/draft/cover_fold.hpp"
#include "grading/draft/piece_groups.hpp"
#include "grading/draft/standing_bottom.hpp"
#include "grading/draft/standing_own.hpp"
#include "grading/draft/standing_upper.hpp"
#include "grading/pieces/piece_words.hpp"

namespace lastwright {

namespace {

bool any_part(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which, PartOfShoe part) {
  return std::any_of(which.begin(), which.end(), [&](std::size_t i) { return pieces[i].words.part == part; });
}

std::string listed(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which) {
  std::string text;
  for (std::size_t i = 0; i < which.size(); ++i)
    text += (i == 0 ? "" : i + 1 == which.size() ? " and " : ", ") + pieces[which[i]].name;
  return text;
}

class FormeFinder {
 public:
  FormeFinder(std::vector<DraftPiece>& pieces, std::optional<double> stick, bool laid)
      : pieces_(pieces), stick_(stick), laid_(laid) {}

  DraftFormes run() {
    for (const std::vector<std::size_t>& group : piece_groups(pieces_)) place(group);
    return std::move(out_);
  }

 private:
  void place(const std::vector<std::size_t>& group) {
    const bool named_bottom = any_part(pieces_, group, PartOfShoe::kBottom);
    const bool named_upper = any_part(pieces_, group, PartOfShoe::kUpper);
    const bool named_own = any_part(pieces_, group, PartOfShoe::kOwn);
    const bool sole =
        std::any_of(group.begin(), group.end(), [&](std::size_t i) { return sole_shaped(pieces_[i]); });
    if (named_bottom || (sole && !named_upper && !named_own)) {
      if (auto forme = standing_bottom(pieces_, group)) {
        add(*std::move(forme), "bottom", named_bottom ? Sureness::kSure : Sureness::kLikely,
            named_bottom ? "by their names" : "by their shape, that of a foot");
        return;
      }
    }
    if (!named_bottom && !named_own) {
      auto forme = standing_upper(pieces_, group, stick_);
      if (!forme && named_upper && stick_) {  // whatever size is said: the check of the base tells of it
        forme = standing_upper(pieces_, group, std::nullopt);
      }
      if (forme) {
        add(*std::move(forme), "shell", named_upper ? Sureness::kSure : Sureness::kLikely,
            named_upper ? "by their names, and they lie as on a forme"
                        : "they lie as on a forme: a long lower edge, high at one end");
        return;
      }
    }
    // What lies on no forme of the last is graded by itself.
    DraftForme own = standing_own(pieces_, group);
    if (own.own_image) pieces_[own.main].own_image = true;
    if (named_upper) {
      tell_upper(group, own);
    } else if (heel_cover(pieces_[own.main].name)) {
      tell_cover(pieces_[own.main]);
    } else if (own.own_image && !heel_cover(pieces_[own.main].name)) {
      out_.warnings.push_back(fmt::format(
          "{} is drawn whole, as its own mirror image, and is taken as one shape for both feet; if it is a "
          "part of the upper, draw its half, in its place beside what is sewn to it, with its centre as a "
          "straight edge or a mirror line: as it is nothing of it is lasted",
          pieces_[own.main].name));
    }
    add(std::move(own), pieces_[group.front()].name, named_own ? Sureness::kLikely : Sureness::kGuess,
        named_own ? "a part that lies on no forme of the last"
        : laid_
            ? "nothing shows where on a forme of the last they lie"
            : "nothing shows where on a forme they lie; --lay tries to lay them on it by edges they share");
  }

  // Where nothing shows which way is up it, or where its middle is.
  void tell_cover(const DraftPiece& cover) {
    if (!cover.mirrors.empty()) return;
    const std::size_t images = mirror_axes(cover).size();
    if (images == 1) return;
    if (images > 1 && !covers_heel(cover)) return;
    if (images > 1) {
      out_.warnings.push_back(fmt::format(
          "{}: is its own mirror image both ways: it is taken as drawn whole, and its shorter way as its "
          "height. Draw its middle as a mirror line if it is a half, or higher than it is wide",
          cover.name));
      return;
    }
    const CoverFold fold = cover_fold(cover);
    if (fold.edge) return;
    out_.warnings.push_back(
        fmt::format("{}: is not its own mirror image, and {}: nothing shows on which line it is cut double, "
                    "and it is cut "
                    "as drawn, a left and a right. Draw its middle as a mirror line if it is a half",
                    cover.name, fold.why));
  }

  // By its name it is lasted, and nothing of it will be.
  void tell_upper(const std::vector<std::size_t>& group, const DraftForme& own) {
    std::string text = fmt::format(
        "{}: by name a part of the upper, and nothing shows how it lies on the last: it gets a forme of its "
        "own, no edge of it is lasted, and most edges have no allowance",
        listed(pieces_, group));
    if (own.own_image)
      text += fmt::format(
          "; {} is drawn whole, as its own mirror image: draw its half, in its place beside "
          "what is sewn to it, with its centre as a straight edge or a mirror line",
          pieces_[own.main].name);
    out_.warnings.push_back(std::move(text));
  }

  void add(DraftForme forme, const std::string& name, Sureness sure, const std::string& why) {
    std::string unique = name;
    const auto taken = [&](const std::string& one) {
      return std::any_of(out_.formes.begin(), out_.formes.end(),
                         [&](const DraftForme& other) { return other.name == one; });
    };
    for (int n = 2; taken(unique); ++n) unique = fmt::format("{} {}", name, n);
    forme.name = unique;
    for (const std::size_t i : forme.pieces) pieces_[i].forme = out_.formes.size();
    const char* const part = forme.kind == DraftKind::kUpper    ? ", a copy of the last's upper"
                             : forme.kind == DraftKind::kBottom ? ", a copy of the last's bottom"
                                                                : " of its own";
    out_.proposed.push_back(
        {sure, fmt::format("forme {}{}, with {}: {}", unique, part, listed(pieces_, forme.pieces), why),
         "/formes/" + unique});
    if (!forme.base_from.empty())
      out_.proposed.push_back({forme.base_sure, fmt::format("{}: {}", unique, forme.base_from),
                               "/formes/" + unique + "/base_line"});
    out_.formes.push_back(std::move(forme));
  }

  std::vector<DraftPiece>& pieces_;
  std::optional<double> stick_;
  bool laid_;
  DraftFormes out_;
};

}  // namespace

DraftFormes draft_formes(std::vector<DraftPiece>& pieces, std::optional<double> stick, bool laid) {
  return FormeFinder(pieces, stick, laid).run();
}

std::vector<double> heights_at(const std::vector<DraftPiece>& pieces, const std::vector<std::size_t>& which,
                               const DraftFrame& frame, double x) {
  std::vector<double> heights;
  for (const std::size_t i : which) {
    const auto& polygon = pieces[i].polygon;
    for (std::size_t k = 0; k < polygon.size(); ++k) {
      const Vec2 a = frame.in(polygon[k]);
      const Vec2 b = frame.in(polygon[(k + 1) % polygon.size()]);
      if ((a.x <= x) == (b.x <= x)) continue;
      heights.push_back(a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x));
    }
  }
  std::sort(heights.begin(), heights.end());
  return heights;
}

}  // namespace lastwright
