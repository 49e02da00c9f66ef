#include "grading/redraw/redraw_proof.hpp"

#include <fmt/format.h>

#include <filesystem>

#include "grading/json/json_splice.hpp"
#include "grading/redraw/drawn_things.hpp"

namespace lastwright {

namespace {

std::string from_root(const std::string& file) {
  return std::filesystem::absolute(file).string();
}

class Prover {
 public:
  Prover(const RedrawProof& proof, Redraw& redraw) : proof_(proof), redraw_(redraw) {}

  void run() {
    const StyleLoad load = load_style_text(proof_.path, with_files_found(), proof_.options.files);
    redraw_.problems.insert(redraw_.problems.end(), load.problems.begin(), load.problems.end());
    if (!load.ok()) return;
    for (std::size_t i = 0; i < load.style->pieces.size(); ++i) prove_piece(*load.style, i);
    tell_notes(*load.style);
    for (std::size_t i = 0; i < load.style->pieces.size() && i < proof_.old.pieces.size(); ++i) {
      if (is_fresh(load.style->spec.pieces[i]))
        tell_drawn_things(proof_.old.pieces[i], load.style->pieces[i], proof_.options.corners.reach,
                          redraw_.told);
    }
  }

 private:
  // The new style, its files named as they are found from where the old one stands.
  [[nodiscard]] std::string with_files_found() const {
    std::string text = redraw_.text;
    const auto set = [&](const std::string& pointer, const std::string& file) {
      const Result<Splice> splice = splice_of(text, {JsonEdit::Kind::kSet, pointer, file});
      if (splice) text = spliced(text, *splice);
    };
    for (const DrawingSpec& drawing : proof_.old.spec.drawings) {
      const auto fresh = proof_.options.fresh.find(drawing.key);
      const auto was = proof_.options.was.find(drawing.key);
      set(pointer_to("/drawings", drawing.key) + "/file",
          fresh != proof_.options.fresh.end() ? from_root(fresh->second)
          : was != proof_.options.was.end()   ? from_root(was->second)
                                              : drawing.file);
    }
    const std::vector<std::string>& tables = proof_.old.spec.table_files;
    for (std::size_t i = 0; i < tables.size(); ++i) set(pointer_to("/tables", i), tables[i]);
    return text;
  }

  [[nodiscard]] bool is_fresh(const PieceSpec& piece) const {
    return proof_.options.fresh.count(piece.source.drawing) > 0;
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

void prove_redraw(const RedrawProof& proof, Redraw& redraw) {
  Prover(proof, redraw).run();
}

}  // namespace lastwright
