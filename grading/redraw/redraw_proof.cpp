#include "grading/redraw/redraw_proof.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "grading/draft/centre_nicks.hpp"
#include "grading/grade/grade.hpp"
#include "grading/json/json_splice.hpp"
#include "grading/redraw/drawn_things.hpp"
#include "grading/redraw/shared_corners.hpp"
#include "grading/redraw/stated_moves.hpp"

namespace lastwright {

namespace {

std::string from_root(const std::string& file) {
  return std::filesystem::absolute(file).string();
}

// The new style, its files named as they are found from where the old one stands.
std::string with_files_found(const RedrawProof& proof, std::string text) {
  const auto set = [&](const std::string& pointer, const std::string& file) {
    const Result<Splice> splice = splice_of(text, {JsonEdit::Kind::kSet, pointer, file});
    if (splice) text = spliced(text, *splice);
  };
  for (const DrawingSpec& drawing : proof.old.spec.drawings) {
    const auto fresh = proof.options.fresh.find(drawing.key);
    const auto was = proof.options.was.find(drawing.key);
    set(pointer_to("/drawings", drawing.key) + "/file",
        fresh != proof.options.fresh.end() ? from_root(fresh->second)
        : was != proof.options.was.end()   ? from_root(was->second)
                                           : drawing.file);
  }
  const std::vector<std::string>& tables = proof.old.spec.table_files;
  for (std::size_t i = 0; i < tables.size(); ++i) set(pointer_to("/tables", i), tables[i]);
  return text;
}

class Prover {
 public:
  Prover(const RedrawProof& proof, Redraw& redraw) : proof_(proof), redraw_(redraw) {}

  void run() {
    const Checked<LoadedStyle> load = load_redrawn(proof_, redraw_.text);
    redraw_.problems.insert(redraw_.problems.end(), load.problems().begin(), load.problems().end());
    if (!load.ok()) return;
    for (std::size_t i = 0; i < load->pieces.size(); ++i) prove_piece(*load, i);
    const std::optional<StyleGrade> grade = prove_grade(*load);
    tell_moved_points(proof_.old.spec, load->spec, redraw_.moved);
    tell_moved_lines(proof_.old.spec, load->spec, redraw_.told);
    if (grade) tell_moved_features(proof_.old, *load, *grade, redraw_.moved, redraw_.told);
    for (std::string& told : parted_corners(proof_.old.pieces, load->pieces))
      redraw_.told.push_back(std::move(told));
    tell_notes(*load);
    for (std::size_t i = 0; i < load->pieces.size() && i < proof_.old.pieces.size(); ++i) {
      if (is_fresh(load->spec.pieces[i]))
        tell_drawn_things(proof_.old.pieces[i], load->pieces[i], proof_.options.corners.reach, redraw_.told);
    }
    forget_nicks(*load);
  }

 private:
  [[nodiscard]] bool is_fresh(const PieceSpec& piece) const {
    return proof_.options.fresh.count(piece.source.drawing) > 0;
  }

  // What a draft proposed of drawn nicks is no longer true where they are drawn otherwise.
  void forget_nicks(const LoadedStyle& fresh) {
    const std::vector<Proposed>& proposed = fresh.spec.proposed;
    for (std::size_t k = proposed.size(); k-- > 0;) {
      if (proposed[k].what.find(kDrawnNickSaid) == std::string::npos) continue;
      for (std::size_t i = 0; i < fresh.pieces.size() && i < proof_.old.pieces.size(); ++i) {
        if (proposed[k].at != pointer_to("/pieces", i) || !is_fresh(fresh.spec.pieces[i]) ||
            nicks_as_deep(proof_.old.pieces[i], fresh.pieces[i]))
          continue;
        const Result<Splice> splice =
            splice_of(redraw_.text, {JsonEdit::Kind::kRemove, pointer_to("/proposed", k), {}});
        if (!splice) break;
        redraw_.text = spliced(redraw_.text, *splice);
        redraw_.told.push_back(
            fmt::format("the draft's sentence \"{}\" is no longer true and is taken out of \"proposed\"",
                        proposed[k].what));
        break;
      }
    }
  }

  // What is read may still not be graded: an edge that is said to be straight and is drawn bent.
  std::optional<StyleGrade> prove_grade(const LoadedStyle& fresh) {
    const auto graded = [](const LoadedStyle& style) {
      return grade_style(style.spec, style.measures, style.run, style.pieces);
    };
    Result<StyleGrade> now = graded(fresh);
    if (now) return *std::move(now);
    Problem problem = now.problem();
    if (problem.place.file.empty()) problem.place.file = proof_.path;
    if (graded(proof_.old)) {
      redraw_.problems.push_back(std::move(problem));
    } else {
      redraw_.told.push_back("neither the old style nor the new one can be graded: " + to_text(problem));
    }
    return std::nullopt;
  }

  void prove_piece(const LoadedStyle& fresh, std::size_t index) {
    const PieceSpec& spec = fresh.spec.pieces[index];
    // Edges of these are no longer where they are drawn.
    const bool elsewhere = (spec.lies && !spec.lies->as_drawn) || spec.drawn == Drawn::kCut;
    if (!is_fresh(spec) || elsewhere) return;
    for (const BoundEdge& edge : fresh.pieces[index].edges) {
      const std::string pointer = pointer_to(pointer_to("/pieces", index) + "/corners", edge.spec.from);
      const auto found = proof_.corners.find(pointer);
      if (found == proof_.corners.end()) continue;
      const Vec2 there = start_of(edge.chain.curves().front());
      const double off = distance(there, found->second);
      if (off <= kSameDrawn) continue;
      Problem problem{
          Trouble::kGeometry,
          fmt::format("as the style states it, the corner comes to ({:.3f}, {:.3f}), and the new drawing has "
                      "it at ({:.3f}, {:.3f})",
                      there.x, there.y, found->second.x, found->second.y),
          {},
          off,
          kSameDrawn};
      problem.place.file = proof_.path;
      problem.place.pointer = pointer;
      redraw_.problems.push_back(problem.in("corner", edge.spec.from).in("piece", spec.name));
    }
  }

  // A note without the name of the file and the lines that
  // it speaks of, which are other ones in a new drawing.
  [[nodiscard]] std::string plain(std::string note, bool fresh) const {
    for (const auto& [key, file] : proof_.options.fresh) {
      const std::string path = fresh ? from_root(file) : proof_.old.drawings.at(key).drawing.file;
      if (const auto at = note.find(path); at != std::string::npos) note.replace(at, path.size(), key);
    }
    constexpr std::string_view kLine = "line ";
    for (auto at = note.find(kLine); at != std::string::npos; at = note.find(kLine, at + 1)) {
      std::size_t end = at + kLine.size();
      while (end < note.size() && note[end] >= '0' && note[end] <= '9') ++end;
      note.erase(at + kLine.size(), end - at - kLine.size());
    }
    return note;
  }

  void tell_notes(const LoadedStyle& fresh) {
    std::set<std::string> known;
    for (const std::string& note : proof_.old.notes) known.insert(plain(note, false));
    for (const std::string& note : fresh.notes) {
      if (known.count(plain(note, true)) == 0) redraw_.told.push_back(note);
    }
  }

  const RedrawProof& proof_;
  Redraw& redraw_;
};

}  // namespace

Checked<LoadedStyle> load_redrawn(const RedrawProof& proof, const std::string& text) {
  return load_style_text(proof.path, with_files_found(proof, text), proof.options.files);
}

void prove_redraw(const RedrawProof& proof, Redraw& redraw) {
  Prover(proof, redraw).run();
}

}  // namespace lastwright
