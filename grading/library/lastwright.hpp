// Lastwright as a library: from a style file to its graded outlines, drawings, checks, girths and dies.
//
//   #include <lastwright/lastwright.hpp>
//   namespace lw = lastwright::library;
//   const auto style = lw::Style::load("style.json");
//   if (!style) return report(style.faults());
//   const auto graded = style->grade();
//   if (!graded) return report(graded.faults());
//   const auto outlines = graded->outlines();
//   if (!outlines) return report(outlines.faults());
//   for (const lw::Outline& outline : *outlines) use(outline);
//
// Link with lastwright::lastwright after find_package(lastwright).
// This header needs the standard library only.
//
// Units: lengths are millimetres, areas square millimetres, coordinates those of the forme a piece lies on
// (the frame of its drawing), y upward. Texts are UTF-8. Failure: what an input can cause comes back as
// faults, in an Outcome; only a broken precondition throws (std::logic_error), and memory that runs out
// (std::bad_alloc). Threads: objects never change once they are made and may be used from several threads at
// once; copies share what they hold. Where a function takes `threads`, 0 means one for each core, and the
// result does not depend on it. Accuracy: outlines are the true arcs that are cut, within 0.002 mm of the
// exact grade and allowances.
#pragma once

#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#define LASTWRIGHT_EXPORT __attribute__((visibility("default")))

namespace lastwright::library {

// Of the library that runs, e.g. "0.2.0".
LASTWRIGHT_EXPORT const char* version();

// One thing that is wrong, with its place; parts that do not apply are empty. `text` holds all the others and
// is fit for a terminal and a log: what a name may hold of control characters, signs that are not seen or
// turn the direction of writing, and bytes that are not UTF-8 stands as "\x1b" or "\u202e", a line end or tab
// as a space. The others hold names as they are.
struct Fault {
  // With the program's exit code: "not found" and "file system" 6; "syntax", "unsupported", "over budget" and
  // "bad value" (also a name or a number in a call that cannot be) 3; "geometry" and "grade" 4; "internal", a
  // fault of the library, 70.
  std::string kind;
  std::string
      message;       // what is wrong and what would do; figures that are in `value` and `limit` are not in it
  std::string file;  // as it was named
  long line = 0;     // from 1; 0: none
  std::string pointer;  // JSON pointer (RFC 6901) into the file
  std::string text;     // all of it on one line, as the program prints it, in UTF-8
  // What it is about, from the outside in: {"piece", "vamp"}, {"edge", "lasting"}, {"size", "8"}; of what a
  // call gives {"parameter", "tables[0]"}.
  std::vector<std::pair<std::string, std::string>> named;
  std::optional<double> value;  // what was found, in the unit that the message tells
  std::optional<double> limit;  // what it breaks
};

// A value, or the faults that stand in its place: at least one.
template <class T>
class [[nodiscard]] Outcome {
 public:
  Outcome(T value) : state_(std::in_place_index<0>, std::move(value)) {}
  Outcome(std::vector<Fault> faults) : state_(std::in_place_index<1>, std::move(faults)) {}
  [[nodiscard]] bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }
  // Precondition: ok().
  [[nodiscard]] const T& operator*() const { return asked<0>("the value of a failed Outcome was asked for"); }
  const T* operator->() const { return &**this; }
  // Precondition: !ok().
  [[nodiscard]] const std::vector<Fault>& faults() const {
    return asked<1>("the faults of a good Outcome were asked for");
  }

 private:
  template <std::size_t kIndex>
  const auto& asked(const char* broken) const {
    const auto* there = std::get_if<kIndex>(&state_);
    if (there == nullptr) throw std::logic_error(broken);
    return *there;
  }
  std::variant<T, std::vector<Fault>> state_;
};

// A corner of a path and the segment that leaves it: bulge 0 is a straight line, else an arc that sweeps four
// times the arc tangent of the bulge, counter-clockwise where it is above 0.
struct Vertex {
  double x = 0.0;
  double y = 0.0;
  double bulge = 0.0;
};
// An outline or a cut-out is closed: its last vertex leads to the first, which is not repeated. A worked line
// is open, its last bulge 0: one that comes back to its start has the first vertex once more at its end.
using Path = std::vector<Vertex>;

struct Hole {
  // "HOLE" is punched, "CUT_OUT" is a round cut-out, "PRICK" is pricked through and has no radius.
  std::string work;
  double x = 0.0;
  double y = 0.0;
  double radius = 0.0;
};
struct WorkedLine {
  // As the layers of the drawings: "NICK", "STITCH", "SKIVE", "LAP_GUIDE", "GRAIN", "FOLD", ...
  std::string work;
  Path path;  // from end to end, also of one that comes back to its start
};

// A piece in one size and width, unfolded where it is cut double. Texts that are written on a piece (its
// name, size, a caption) are not part of it: dxf() has them.
struct Outline {
  std::string piece;
  std::string size;
  std::string width;
  Path cut;                    // net line with its allowances; closed, counter-clockwise
  Path net;                    // finished edge; closed, counter-clockwise
  std::vector<Path> cut_outs;  // closed; round ones are among the holes
  std::vector<WorkedLine> lines;
  std::vector<Hole> holes;
};

// What one check says: its worst figure over the run.
struct CheckResult {
  std::string check;
  std::string subject;  // the piece, line, seam or feature
  double worst = 0.0;
  std::optional<double> limit;  // none: told, cannot fail
  std::string unit;
  std::string
      where;  // "size 13, width H", and what else is said of the place; empty where it is the same everywhere
  bool passed = true;
  std::string note;
  // Of the limit: the figure fails below it, for "fold-over" also at it. Else it fails above it.
  bool limit_is_least = false;
  // Passed, but what is meant cannot be known: the note has to be read (LOOK of `lastwright check`).
  bool look = false;
  // What `where` says, in parts. Empty where it does not say it; the piece where a point of it is told.
  std::string size;
  std::string width;
  std::string piece;
  std::optional<std::pair<double, double>> point;  // x, y on the piece's forme, mm
};

struct MeasureValue {
  std::string measure;
  std::string size;
  std::string width;
  double millimetres = 0.0;
};

struct Die {
  std::string number;  // "D0001"
  std::string piece;
  std::string drawn_as;                                     // "8 F", or "between 8-8.5 F"
  std::vector<std::pair<std::string, std::string>> serves;  // size, width
  int to_make = 0;                                          // 2: one for each foot; 0: it is owned
  Outline shape;  // size and width empty: what the steel is bent to, and what it punches and marks
};

struct DieOptions {
  // mm that an outline may deviate from the die that cuts it; none: as the rules say, 0.3 unless they do. 0:
  // each size and width has a die of its own.
  std::optional<double> tolerance;
  std::string rules;               // a file of die rules; empty: none
  std::vector<std::string> owned;  // folders of earlier orders and drawings of dies that are there
  unsigned threads = 0;
};

struct DiesToMake {
  std::vector<Die> dies;
  int to_make = 0;
  int at_least = 0;  // no choice of dies under these rules needs fewer, where `proven` says so
  bool proven = false;
  std::vector<CheckResult> failed;  // make no die before these are mended
};

// Every piece of a style in every size and width of its run.
class LASTWRIGHT_EXPORT GradedStyle {
 public:
  [[nodiscard]] std::vector<std::string> pieces() const;
  [[nodiscard]] std::vector<std::string> sizes() const;   // ascending
  [[nodiscard]] std::vector<std::string> widths() const;  // narrowest first

  // Fails for names that the style does not have, and where the piece cannot be made. Names are spelled as
  // pieces(), sizes() and widths() give them, capitals as they are ("f" is no "F"); only a number may be
  // written otherwise ("8.0" for 8, "8 1/2" for 8.5).
  [[nodiscard]] Outcome<Outline> outline(const std::string& piece, const std::string& size,
                                         const std::string& width) const;
  // All: by piece, then size, then width.
  [[nodiscard]] Outcome<std::vector<Outline>> outlines(unsigned threads = 0) const;
  // The bytes of the drawing that `lastwright grade` writes (DXF R2000, read back and measured).
  [[nodiscard]] Outcome<std::string> dxf(const std::string& piece, const std::string& size,
                                         const std::string& width) const;
  // What `lastwright check` proves and tells. Take nothing to the press before passed(*findings) is true and
  // to_look_at(*findings) has been read.
  [[nodiscard]] Outcome<std::vector<CheckResult>> findings(unsigned threads = 0) const;

 private:
  friend class Style;
  struct State;
  explicit GradedStyle(std::shared_ptr<const State> state) : state_(std::move(state)) {}
  std::shared_ptr<const State> state_;
};

struct LoadOptions {
  std::vector<std::string> tables;  // files of further scales, ladders and tables
};

// A style file with its tables and drawings. All names of files that a call gives are paths; one that is
// empty or "-" is refused: the library reads no standard input. So are pipes, devices and sockets.
class LASTWRIGHT_EXPORT Style {
 public:
  // Tells all faults of a stage at once, at most 50: first keys of the style file that are not known or
  // lacking and values of the wrong kind; then what its values say and name; then its tables; then its
  // drawings; then its pieces. What a fault of one stage hides in a later one is told once it is mended.
  // Files that the style names are beside it. A style without pieces loads too, without its drawings: it is a
  // table of measures, girths() gives them, grade() and dies() tell why nothing can be graded.
  static Outcome<Style> load(const std::string& file, const LoadOptions& options = {});

  [[nodiscard]] std::string name() const;
  // What the style states or its drawings hold and nothing uses: read them.
  [[nodiscard]] std::vector<std::string> notes() const;
  // Every measure in every size and width: by measure, then size, then width.
  [[nodiscard]] std::vector<MeasureValue> girths() const;
  [[nodiscard]] Outcome<GradedStyle> grade(unsigned threads = 0) const;
  // The fewest dies. Takes seconds: every pair of outlines of a piece is compared.
  [[nodiscard]] Outcome<DiesToMake> dies(const DieOptions& options = {}) const;

 private:
  struct State;
  explicit Style(std::shared_ptr<const State> state) : state_(std::move(state)) {}
  std::shared_ptr<const State> state_;
  friend class GradedStyle;
};

// Whether no check failed. Says nothing of what is to be looked at.
[[nodiscard]] LASTWRIGHT_EXPORT bool passed(const std::vector<CheckResult>& findings);
// Those that passed and whose notes have to be read, in their order.
[[nodiscard]] LASTWRIGHT_EXPORT std::vector<CheckResult> to_look_at(const std::vector<CheckResult>& findings);

}  // namespace lastwright::library
