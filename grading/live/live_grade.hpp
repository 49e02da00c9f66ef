// The grade of a style that is being worked on: what a change does not touch is kept from the state before.
//
//   LiveGrade live(threads);
//   live.take(text, load_style_text(path, text));
//   live.prepare(piece);            // enough for one piece's nest: live.grade().made_piece(piece, cell)
//   live.check(stop);               // all pieces, all checks
//
// What is kept is equal to the last digit to what a fresh grade makes: a forme is kept while its rules, what
// is held on it and what the sizes ask are the same, a piece's shape while it is drawn the same on a forme
// that was kept, what the checks saw of it while nothing at all that it is made from has changed. A piece
// that cannot be made leaves the others standing.
#pragma once

#include <atomic>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "grading/checks/judge.hpp"
#include "grading/jobs/check_job.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

struct LiveCounts {  // since the LiveGrade was made
  std::size_t formes = 0;
  std::size_t shapes = 0;
  std::size_t looks = 0;  // pieces that the checks looked at again, in all sizes and widths
};

class LiveGrade {
 public:
  explicit LiveGrade(unsigned threads = 0) : threads_(threads) {}

  // `text`: what `load` was read from, JSON that parse_json takes. Where the load has problems, the style and
  // grade of before stay, and `problems` says why they are of before.
  void take(const std::string& text, Checked<LoadedStyle> load);

  // Of loading; where that was sound, of the formes; where those are, of the pieces prepared so far.
  [[nodiscard]] std::vector<Problem> problems() const;
  // Whether a style was ever loaded and its formes graded: without that there is nothing to draw.
  [[nodiscard]] bool ready() const { return style_.has_value() && formes_made_; }
  // Whether what is kept is of the last text.
  [[nodiscard]] bool current() const { return load_problems_.empty() && forme_problems_.empty(); }

  // Precondition of these: ready().
  [[nodiscard]] const LoadedStyle& style() const { return *style_; }
  // Its pieces may be asked for after prepare() has said yes.
  [[nodiscard]] const StyleGrade& grade() const { return grade_; }
  bool prepare(std::size_t piece);
  bool prepare_all();  // says no where one of them cannot be made
  // Pieces of which nothing of before can be used, and which are not made yet.
  [[nodiscard]] std::size_t to_make_anew() const;

  // All checks, as check_loaded finds them. Nothing where a piece cannot be prepared, where what is kept is
  // not of the last text, or once `stop` is set.
  const std::vector<StyleFinding>* check(const std::atomic<bool>& stop);
  [[nodiscard]] const LiveCounts& counts() const { return counts_; }

 private:
  struct Slot {
    BoundPiece bound;
    Json spec;                            // as the style states it
    std::optional<PreparedPiece> before;  // on the same grade of its forme
    std::optional<Problem> problem;
    bool prepared = false;
    bool shape_made = false;  // anew
    // What the checks saw, and of what.
    std::vector<PieceLook> looks;
    Json looked_spec;
    std::vector<std::size_t> looked_sewn;
    bool looks_fit = false;  // the shape is the one that was looked at
  };

  void forget_grade_checks();
  void count_shape(Slot& slot);
  void grade_formes(LoadedStyle next, const Json& root);
  bool prepare_slot(std::size_t piece);
  void place_pieces(const Json& root, const std::vector<bool>& forme_kept, bool all_else_same);
  [[nodiscard]] bool look(const StyleLooker& looker, const std::atomic<bool>& stop);

  unsigned threads_;
  std::vector<Problem> load_problems_;
  std::vector<Problem> forme_problems_;
  std::optional<LoadedStyle> style_;
  Json root_;  // that style_ was read from
  bool formes_made_ = false;
  StyleGrade grade_;
  std::vector<Slot> slots_;  // as the pieces of the style
  std::vector<std::vector<Vec2>> looked_lines_;
  std::optional<std::vector<StyleFinding>> one_to_one_;  // while formes, shapes and names are what they were
  std::optional<std::vector<StyleFinding>> reaches_;     // likewise
  std::optional<std::vector<StyleFinding>> findings_;
  LiveCounts counts_;
};

}  // namespace lastwright
