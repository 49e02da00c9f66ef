#include "grading/jobs/load_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "geometry/counted.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/jobs/last_rules.hpp"
#include "grading/jobs/load_tables.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/place/piece_lie.hpp"
#include "grading/pieces/point_finder.hpp"
#include "grading/pieces/unit_words.hpp"
#include "grading/sizes/suggest.hpp"
#include "grading/style/style_json.hpp"
#include "grading/style/style_measures.hpp"
#include "grading/style/style_run.hpp"
#include "grading/style/style_unused.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostNotes = 200;  // more than anybody reads
constexpr std::size_t kMostStyleBytes = std::size_t{16} << 20;

class StyleLoader {
 public:
  StyleLoader(const std::string& path, const LoadStyleOptions& options, std::optional<std::string> text = {})
      : path_(path), options_(options), text_(std::move(text)), limits_(options.limits) {}

  Checked<LoadedStyle> run() {
    if (read_text() && read_tables()) {
      read_drawings();
      follow_lasts();
    }
    if (std::vector<std::string>& notes = style_.notes; notes.size() > kMostNotes) {
      const std::size_t more = notes.size() - kMostNotes;
      notes.resize(kMostNotes);
      notes.push_back(fmt::format("and {} more notes", more));
    }
    if (!problems_.empty()) return std::move(problems_);
    return std::move(style_);
  }

 private:
  // Puts a problem that points into the style on its file and line.
  void add(Problem problem) {
    if (problem.place.file.empty()) {
      const Place at = document_->place(problem.place.pointer);
      problem.place.file = path_;
      problem.place.line = at.line;
    }
    problems_.push_back(std::move(problem));
  }

  bool read_text() {
    const Result<std::string> text = text_ ? *std::move(text_) : read_file(path_, kMostStyleBytes);
    if (!text) {
      problems_.push_back(text.problem());
      return false;
    }
    StyleRead read = read_style(*text, path_);
    problems_ = std::move(read.problems);
    document_ = std::move(read.document);
    if (!read.style) return false;
    style_.spec = std::move(*read.style);
    style_.inputs.push_back(path_);
    return true;
  }

  bool read_tables() {
    std::vector<std::string> files = options_.tables;
    for (const std::string& name : style_.spec.table_files) files.push_back(file_beside(path_, name));
    style_.inputs.insert(style_.inputs.end(), files.begin(), files.end());
    Result<ReferenceTables> tables = load_tables(files);
    if (!tables) {
      problems_.push_back(tables.problem());
      return false;
    }
    style_.tables = std::move(*tables);
    Result<Scale> scale = style_.tables.find_scale(style_.spec.scale);
    if (!scale) add(at("/scale", scale.problem()));
    Result<Ladder> ladder = style_.tables.find_ladder(style_.spec.ladder);
    if (!ladder) add(at("/ladder", ladder.problem()));
    if (!scale || !ladder) return false;
    style_.scale = std::move(*scale);
    style_.ladder = std::move(*ladder);
    Result<SizeRun> run = size_run(style_.spec, style_.scale, style_.ladder);
    if (!run) {
      add(run.problem());
      return false;
    }
    style_.run = std::move(*run);
    Result<MeasureTable> measures = measure_table(style_.spec, style_.scale, style_.ladder);
    if (!measures) {
      add(measures.problem());
      return false;
    }
    style_.measures = std::move(*measures);
    for (const std::string& note : unused_statements(style_.spec, style_.run, style_.scale))
      style_.notes.push_back(fmt::format("not used: {}", note));
    if (const std::size_t open = style_.spec.proposed.size(); open > 0)
      style_.notes.push_back(
          fmt::format("{} of what the draft put in by its own judgement {} not confirmed, see \"proposed\"",
                      open, open == 1 ? "is" : "are"));
    return true;
  }

  static Problem at(const char* pointer, Problem problem) {
    problem.place.pointer = pointer;
    return problem;
  }

  // Where the points of formes are known. Without its drawings nothing is graded from the style: who makes
  // the rules anew reads it so, and may have some that do not cover its run.
  void follow_lasts() {
    for (FormeSpec& forme : style_.spec.formes) {
      if (!forme.rules_from_last || !problems_.empty()) continue;
      const std::string file = file_beside(path_, forme.rules_from_last->file);
      style_.inputs.push_back(file);
      const std::size_t before = forme.rules.size();
      const Result<FollowedLast> followed = follow_last(
          forme, file,
          {style_.run, style_.measures.base().at, style_.scale, style_.ladder, style_.measures, !drawings_});
      if (!followed) {
        add(followed.problem());
        continue;
      }
      const std::string covered = followed->covered.empty() ? "" : fmt::format(" in {}", followed->covered);
      style_.notes.push_back(
          fmt::format("forme {}: {} the last {}, within {:.2f} mm of where it takes {}{}", forme.name,
                      counted(forme.rules.size() - before, "point follows", "points follow"), followed->last,
                      followed->residual, forme.rules.size() - before == 1 ? "it" : "them", covered));
      if (!followed->beyond.empty())
        style_.notes.back() += fmt::format(
            "; beyond that, in {}, the rules are carried on in a straight line, and how far the last is then "
            "is not known",
            followed->beyond);
      if (!followed->of_table)
        style_.notes.push_back(
            fmt::format("forme {}: {} cannot say to which table of measures, or for which base, its rules "
                        "were fitted: run lastwright last formes again",
                        forme.name, forme.rules_from_last->file));
    }
  }

  void read_drawings() {
    if (drawings_ && style_.spec.pieces.empty()) {
      add(at("",
             bad_value("the style has no \"pieces\": it serves as a table of measures for girths and "
                       "lasts, but no piece can be graded, drawn or cut from it; what is odd in its measures "
                       "lastwright last grade and lastwright last measure --style tell")));
      if (!options_.may_lack_pieces) return;
      style_.no_pieces = problems_.back();
      problems_.pop_back();
      drawings_ = false;
    }
    // Points that are stated by what they are need the drawings, whoever asks for them.
    if (!drawings_ && style_.spec.references.empty()) return;
    const std::size_t before = problems_.size();
    // All are read before the contours of the first are chained,
    // so that a style beyond its budget is refused early.
    std::vector<Drawing> drawings;
    for (const DrawingSpec& spec : style_.spec.drawings) {
      Result<Drawing> drawing = read_drawing(spec);
      if (!drawing) {
        problems_.push_back(drawing.problem());
        if (drawing.problem().trouble == Trouble::kBudget) {
          if (!drawings.empty()) problems_.back().message += "; the drawings of a style share one budget";
          return;
        }
        continue;
      }
      spend(*drawing);
      note_layers(spec, *drawing);
      for (const std::string& note : drawing->notes)
        style_.notes.push_back(fmt::format("{}: {}", drawing->file, note));
      if (const std::string told = unit_overridden(*drawing); !told.empty())
        style_.notes.push_back(fmt::format("{}: {}", drawing->file, told));
      drawings.push_back(*std::move(drawing));
    }
    if (problems_.size() > before) return;
    for (std::size_t i = 0; i < drawings.size(); ++i) {
      const DrawingSpec& spec = style_.spec.drawings[i];
      PatternDrawing drawing =
          pattern_drawing(std::move(drawings[i]), spec, outline_layers(style_.spec, spec.key));
      if (spec.sheet) drawing = moved(drawing, motion_of(*spec.sheet));
      style_.drawings.emplace(spec.key, std::move(drawing));
    }
    if (!find_references() || !drawings_) return;
    BoundStyle bound = bind_pieces(style_.spec, style_.drawings, style_.run);
    for (Problem& problem : bound.problems) add(std::move(problem));
    style_.pieces = std::move(bound.pieces);
    style_.notes.insert(style_.notes.end(), bound.notes.begin(), bound.notes.end());
    style_.accounts = std::move(bound.accounts);
    for (const DrawingAccount& account : style_.accounts) {
      const std::vector<std::string> lines = left_out_lines(account);
      style_.notes.insert(style_.notes.end(), lines.begin(), lines.end());
    }
    for (const BoundPiece& piece : style_.pieces) {
      for (const std::string& note : piece.notes)
        style_.notes.push_back(fmt::format("piece {}: {}", piece.spec.name, note));
    }
  }

  // Gives the points that are stated by what they are the coordinates that they have in the drawings.
  bool find_references() {
    if (style_.spec.references.empty()) return true;
    FoundPoints found = find_points(*document_, style_.spec, style_.drawings);
    for (Problem& problem : found.problems) add(std::move(problem));
    if (!problems_.empty()) return false;
    StyleRead again = read_with_places({style_.spec, {}, document_}, found.places);
    invariant(again.ok(), "a style with its points found reads as it did without");
    style_.spec = std::move(*again.style);
    return true;
  }

  Result<Drawing> read_drawing(const DrawingSpec& spec) {
    const std::string file = file_beside(path_, spec.file);
    style_.inputs.push_back(file);
    DxfReadOptions options;
    options.file_name = file;
    options.limits = limits_;
    options.unit = options_.unit;
    if (const auto unit = unit_named(spec.units)) options.unit = unit;
    const auto named = std::pair(file, options.unit);
    if (const auto known = read_already_.find(named);
        known != read_already_.end() && affordable(known->second))
      return known->second;
    const Result<std::string> bytes = read_file(file, limits_.bytes);
    if (!bytes) return bytes.problem();
    Result<Drawing> drawing = read_dxf(*bytes, options);
    if (!drawing) return drawing.problem().in_file(file);
    const auto same_file = [&](const DrawingSpec& one) { return one.file == spec.file; };
    if (std::count_if(style_.spec.drawings.begin(), style_.spec.drawings.end(), same_file) > 1)
      read_already_.emplace(named, *drawing);
    return drawing;
  }

  static std::size_t vertices_of(const Drawing& drawing) {
    std::size_t vertices = 0;
    for (const DrawnPath& path : drawing.paths) vertices += path.curves.size();
    return vertices;
  }

  [[nodiscard]] bool affordable(const Drawing& drawing) const {
    return drawing.entities_in <= limits_.entities && drawing.copies <= limits_.copies &&
           vertices_of(drawing) <= limits_.vertices;
  }

  // The drawings of a style share one budget: a style may name a large one a hundred times.
  void spend(const Drawing& drawing) {
    const auto take = [](std::size_t& left, std::size_t used) { left -= std::min(left, used); };
    take(limits_.entities, drawing.entities_in);
    take(limits_.copies, drawing.copies);
    take(limits_.vertices, vertices_of(drawing));
  }

  // A role for a layer that is not there is a slip of the pen, unless it only says what not to read.
  void note_layers(const DrawingSpec& spec, const Drawing& drawing) {
    std::set<std::string> drawn;
    const auto add = [&](const auto& things) {
      for (const auto& one : things) drawn.insert(one.from.layer);
    };
    add(drawing.paths);
    add(drawing.circles);
    add(drawing.points);
    add(drawing.texts);
    add(drawing.left_out);
    for (const auto& [layer, role] : spec.layers) {
      if (role == "ignore" || drawn.count(layer) > 0) continue;
      style_.notes.push_back(fmt::format("not used: {}: the drawing has nothing on this layer{}",
                                         pointer_to(pointer_to("/drawings", spec.key) + "/layers", layer),
                                         suggestion(layer, {drawn.begin(), drawn.end()})));
    }
  }

  const std::string& path_;
  const LoadStyleOptions& options_;
  bool drawings_ = options_.drawings;  // whether pieces are bound to them
  std::optional<std::string> text_;    // in the file's place
  DxfLimits limits_;                   // what is left of them
  std::shared_ptr<const JsonDocument> document_;
  LoadedStyle style_;
  std::vector<Problem> problems_;
  // Drawings that the style names more than once, by file and unit: each is read once.
  std::map<std::pair<std::string, std::optional<DrawingUnit>>, Drawing> read_already_;
};

}  // namespace

Checked<LoadedStyle> load_style(const std::string& path, const LoadStyleOptions& options) {
  return StyleLoader(path, options).run();
}

Checked<LoadedStyle> load_style_text(const std::string& path, std::string text,
                                     const LoadStyleOptions& options) {
  return StyleLoader(path, options, std::move(text)).run();
}

std::string file_beside(const std::string& file, const std::string& name) {
  std::string path = (std::filesystem::path(file).parent_path() / name).string();
  return path == "-" ? "./-" : path;
}

}  // namespace lastwright
