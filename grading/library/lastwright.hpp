// Lastwright as a library: from a style file to its graded outlines, drawings, checks, girths and dies.
//
//   #include <lastwright/lastwright.hpp>
//   namespace lw = lastwright::library;
//   const auto style = lw::Style::load("style.json");
//   if (!style) return report(style.faults());
//   const auto graded = style->grade();
//   if (!graded) return report(graded.faults());
//   for (const lw::Outline& outline : *graded->outlines()) use(outline);
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

// Of the library that runs, e.g. "0.1.0".
LASTWRIGHT_EXPORT const char* version();

// One thing that is wrong, with its place; parts that do not apply are empty.
struct Fault {
  std::string kind;     // "syntax", "bad value", "geometry", ...: the families of the program's exit codes
  std::string message;  // what is wrong, with the value found, the limit and what would do
  std::string file;
  long line = 0;        // from 1; 0: none
  std::string pointer;  // JSON pointer (RFC 6901) into the file
  std::string text;     // all of it on one line, as the program prints it
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
using Path =
    std::vector<Vertex>;  // a closed one does not repeat its first vertex; of an open one the last bulge is 0

struct Hole {
  // "HOLE" is punched, "CUT_OUT" is a round cut-out, "PRICK" is pricked through and has no radius.
  std::string work;
  double x = 0.0;
  double y = 0.0;
  double radius = 0.0;
};
struct WorkedLine {  // open
  std::string
      work;  // as the layers of the drawings: "NICK", "STITCH", "SKIVE", "LAP_GUIDE", "GRAIN", "FOLD", ...
  Path path;
};

// A piece in one size and width, unfolded where it is cut double.
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
  std::string where;  // "size 13, width H"; empty where it is the same everywhere
  bool passed = true;
  std::string note;
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

  // Fails for names that the style does not have, and where the piece cannot be made.
  [[nodiscard]] Outcome<Outline> outline(const std::string& piece, const std::string& size,
                                         const std::string& width) const;
  // All: by piece, then size, then width.
  [[nodiscard]] Outcome<std::vector<Outline>> outlines(unsigned threads = 0) const;
  // The bytes of the drawing that `lastwright grade` writes (DXF R2000, read back and measured).
  [[nodiscard]] Outcome<std::string> dxf(const std::string& piece, const std::string& size,
                                         const std::string& width) const;
  // What `lastwright check` proves and tells. Take nothing to the press before passed(*findings).
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

// A style file with its tables and drawings.
class LASTWRIGHT_EXPORT Style {
 public:
  // Shows all faults of the style at once. Files that the style names are beside it.
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

[[nodiscard]] LASTWRIGHT_EXPORT bool passed(const std::vector<CheckResult>& findings);

}  // namespace lastwright::library
