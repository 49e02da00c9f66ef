#include "grading/draft/draft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "grading/draft/as_drawn.hpp"
#include "grading/draft/before_fairing.hpp"
#include "grading/draft/centre_nicks.hpp"
#include "grading/draft/closing_facing.hpp"
#include "grading/draft/draft_counts.hpp"
#include "grading/draft/draft_feet.hpp"
#include "grading/draft/draft_measures.hpp"
#include "grading/draft/draft_seams.hpp"
#include "grading/draft/drawing_units.hpp"
#include "grading/draft/edge_roles.hpp"
#include "grading/draft/forme_marks.hpp"
#include "grading/draft/forme_rules.hpp"
#include "grading/draft/hand_copies.hpp"
#include "grading/draft/idle_kinds.hpp"
#include "grading/draft/image_edges.hpp"
#include "grading/draft/kind_points.hpp"
#include "grading/draft/lay_pieces.hpp"
#include "grading/draft/near_seams.hpp"
#include "grading/draft/parts_not_found.hpp"
#include "grading/draft/piece_groups.hpp"
#include "grading/draft/point_names.hpp"
#include "grading/draft/point_references.hpp"
#include "grading/draft/smooth_corners.hpp"
#include "grading/draft/stated_piece.hpp"
#include "grading/draft/width_steps.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/first/first_defaults.hpp"
#include "grading/pieces/piece_bind.hpp"

namespace lastwright {

namespace {

class Drafter {
 public:
  Drafter(std::vector<DraftDrawing> drawings, const DraftOptions& options, const ReferenceTables& tables)
      : drawings_(std::move(drawings)), options_(options), tables_(tables) {}

  Result<Draft> run() {
    if (const Status read = read_drawings(); !read) return read.problem();
    if (const Status basis = known_basis(); !basis) return basis.problem();
    if (const Status unit = unit_holds(); !unit) return unit.problem();
    plain_ = too_many();
    if (plain_) return plain();
    copies_left_out_ = tell_copies(take_hand_copies(pieces_, out_.style.pieces), proposed_);
    find_owners_of_marks(marks_, pieces_);
    lay();
    DraftFormes formes = draft_formes(pieces_, stick_, options_.lay);
    formes_ = std::move(formes.formes);
    if (const Status basis = fill(); !basis) return basis.problem();
    add(std::move(formes.proposed));
    warn(std::move(formes.warnings));
    tell_idle_kinds();
    marks_of_ = judge_marks(marks_, pieces_, formes_, out_.lost);
    set_sole_corners(pieces_, formes_);
    set_strap_corners(pieces_, formes_, out_.guesses, proposed_);
    find_roles(pieces_, formes_);  // a fold is not cut where something ends on it
    warn(meet_corners(pieces_, formes_, CornersOf::kSideBySide));
    find_roles(pieces_, formes_);
    warn(meet_corners(pieces_, formes_, CornersOf::kOverEachOther));
    find_roles(pieces_, formes_);
    seams_ = find_seams(pieces_, formes_, proposed_);
    for (DraftForme& forme : formes_) name_forme(forme);
    tell_roles(pieces_, proposed_);
    state();
    bind();
    if (plain_) return plain();
    tell_mirror_lines();
    for (std::string& line : parts_not_found(pieces_, formes_)) out_.guesses.push_back(std::move(line));
    return std::move(out_);
  }

 private:
  // What is judged is compared piece by piece and edge by edge.
  [[nodiscard]] bool too_many() const {
    constexpr std::size_t kMostPieces = 120;
    constexpr std::size_t kMostEdges = 1200;
    constexpr std::size_t kMostCurves = 20'000;
    std::size_t edges = 0;
    std::size_t curves = 0;
    for (const DraftPiece& piece : pieces_) {
      edges += piece.edges.size();
      curves += piece.outline.curves().size();
    }
    return plain_ || pieces_.size() > kMostPieces || edges > kMostEdges || curves > kMostCurves;
  }

  // A kind whose rules are for parts on formes of their own, where there is none such.
  void tell_idle_kinds() {
    for (const std::string& key : options_.kind.keys) {
      if (key == "shoe") continue;
      const auto of_kind = [&](const KindOwn& own) { return own.kind == key; };
      if (std::none_of(options_.kind.own.begin(), options_.kind.own.end(), of_kind)) continue;
      if (has_line_on_last(options_.kind, key, formes_)) continue;
      const bool used = std::any_of(formes_.begin(), formes_.end(), [&](const DraftForme& forme) {
        return forme.kind == DraftKind::kOwn &&
               of_kind(options_.kind.own_of(pieces_[forme.main].name, forme.constant_width));
      });
      if (!used)
        out_.warnings.push_back(
            fmt::format("--kind {}: no piece is one by its name or shape ({}), so its rules are not used in "
                        "these drawings",
                        key, known_by(options_.kind, key)));
    }
  }

  // The pieces as first styles have them, each drawing with a forme of its own that grows in proportion.
  Result<Draft> plain() {
    if (const Status basis = fill(); !basis) return basis.problem();
    out_.style.pieces = std::move(plain_pieces_);
    out_.style.formes = std::move(plain_formes_);
    out_.style.measures = std::move(plain_measures_);
    out_.style.girths.clear();
    out_.style.seams.clear();
    out_.style.proposed = {{Sureness::kGuess,
                            "formes, edges and seams were not judged: there are too many pieces or edges, a "
                            "piece cannot be made of what is drawn, or what was judged did not fit the "
                            "drawing; all pieces grow in proportion",
                            ""}};
    tell_width_gaps(out_.style.proposed);
    tell_mirror_lines();
    return std::move(out_);
  }

  void add(std::vector<Proposed> more) {
    proposed_.insert(proposed_.end(), std::make_move_iterator(more.begin()),
                     std::make_move_iterator(more.end()));
  }

  void warn(std::vector<std::string> more) {
    for (std::string& one : more) out_.warnings.push_back(std::move(one));
  }

  Status read_drawings() {
    std::set<std::string> names;
    for (DraftDrawing& one : drawings_) {
      FirstStyleOptions first = options_.first;
      first.drawing_key = one.key;
      first.drawing_file = one.file;
      const std::string file = one.drawing.file;
      Result<FirstStyle> read = first_style(std::move(one.drawing), first);
      if (!read) return read.problem().in_file(file);
      take(*std::move(read), names);
    }
    return Done{};
  }

  void take(FirstStyle first, std::set<std::string>& names) {
    const BeforeFairing before(first.drawing);
    const auto append = [](auto& to, auto& from) {
      to.insert(to.end(), std::make_move_iterator(from.begin()), std::make_move_iterator(from.end()));
    };
    append(out_.guesses, first.read_guesses);
    append(out_.warnings, first.warnings);
    append(out_.lost, first.lost);
    append(out_.problems, first.problems);
    out_.accounts.push_back(std::move(first.account));
    const std::string key = first.drawing.spec.key;
    const std::string file = first.drawing.drawing.file;
    for (const TextedMark& mark : first.marks) marks_.push_back({mark.name, mark.at, key, mark.written, {}});
    const std::string forme_name =
        kept_.empty() ? kFirstForme : fmt::format("{} {}", kFirstForme, kept_.size() + 1);
    for (PieceSpec& spec : first.style.pieces) {
      const auto bound = std::find_if(first.bound.begin(), first.bound.end(),
                                      [&](const BoundPiece& one) { return one.spec.name == spec.name; });
      const std::string name = spec.name;
      for (int n = 2; !names.insert(spec.name).second; ++n) spec.name = fmt::format("{}-{}", name, n);
      if (bound == first.bound.end()) {
        plain_ = true;  // what cannot be bound cannot be judged either: the problems say why
      } else {
        bound->spec.name = spec.name;
        const double slack = options_.first.fair ? options_.first.fair->within.value() : 0.0;
        if (Result<DraftPiece> piece =
                draft_piece(*bound, out_.style.pieces.size(), slack, before.outline_of(spec))) {
          pieces_.push_back(*std::move(piece));
        } else {
          plain_ = true;
        }
      }
      spec.forme = forme_name;
      plain_pieces_.push_back(spec);
      out_.style.pieces.push_back(std::move(spec));
    }
    for (FormeSpec& forme : first.style.formes) {
      forme.name = forme_name;
      plain_formes_.push_back(std::move(forme));
    }
    if (plain_measures_.empty()) plain_measures_ = std::move(first.style.measures);
    if (first.drawing.faired.chords > 0) {
      const FairedChords& faired = first.drawing.faired;
      proposed_.push_back(
          {Sureness::kLikely,
           fmt::format("{}: {} short chords are taken as {} arcs, no vertex farther than {:.4f} mm from them",
                       file, faired.chords, faired.arcs, faired.worst),
           "/drawings/" + key + "/fair"});
    }
    out_.style.drawings.push_back(first.drawing.spec);
    kept_.emplace(key, std::move(first.drawing));
  }

  void lay() {
    LaidPieces laid = lay_pieces(pieces_, !options_.lay);
    for (const LaidByEdge& one : laid.laid) {
      order_laid_.push_back(one.piece);
      proposed_.push_back(
          {one.residual <= kDraftSame && one.shown ? Sureness::kLikely : Sureness::kGuess,
           fmt::format(
               "{} is laid on {} by an edge they share{}; the two edges miss each other by {:.3f} mm at most",
               pieces_[one.piece].name, pieces_[one.on].name, one.mirrored ? ", turned over" : "",
               one.residual),
           fmt::format("/pieces/{}/lies", pieces_[one.piece].index)});
    }
    for (std::string& told : laid.told) proposed_.push_back({Sureness::kGuess, std::move(told), ""});
    for (std::string& one : laid.undecided) out_.warnings.push_back("not laid: " + std::move(one));
  }

  // The stick length before the formes are found, where the size is said.
  Status known_basis() {
    if (options_.basis.size.empty() && !options_.basis.given) return Done{};
    StyleSpec trial;
    std::vector<Proposed> none;
    const Result<FilledBasis> filled = fill_basis(options_.basis, tables_, std::nullopt, trial, none);
    if (!filled) return filled.problem();
    if (!options_.basis.size.empty() ||
        (options_.basis.given && trial.base_size == options_.basis.given->base_size))
      stick_ = filled->stick;
    return Done{};
  }

  [[nodiscard]] Status unit_holds() const {
    std::vector<UnitAsRead> read;
    for (const DrawingSpec& spec : out_.style.drawings) {
      const Drawing& drawing = kept_.at(spec.key).drawing;
      read.push_back(
          {spec.key, drawing.file, drawing.unit_in_mm, drawing.unit_from_file, drawing.file_unit_in_mm});
    }
    std::optional<BaseStick> base;
    if (stick_)
      base = {options_.basis.size.empty() ? options_.basis.given->base_size : options_.basis.size, *stick_};
    return units_hold(read, pieces_, base);
  }

  // Of an upper, which shows the whole of the last's length, else of the shortest bottom: an insole.
  [[nodiscard]] std::optional<double> drawn_length() const {
    std::optional<double> drawn;
    for (const DraftKind kind : {DraftKind::kUpper, DraftKind::kBottom}) {
      for (const DraftForme& forme : formes_) {
        if (forme.kind == kind && (!drawn || forme.length < *drawn)) drawn = forme.length;
      }
      if (drawn) break;
    }
    return drawn;
  }

  Status fill() {
    const Result<FilledBasis> filled =
        fill_basis(options_.basis, tables_, drawn_length(), out_.style, proposed_);
    if (!filled) return filled.problem();
    filled_ = *filled;
    out_.own_ladder = filled_.own_ladder;
    out_.style.name = options_.first.name;
    out_.style.note =
        "A first draft, made from the drawings. What was put in by judgement is listed under \"proposed\", "
        "each with how sure it is.";
    out_.style.table_files = options_.table_files;
    if (!filled_.own_ladder.empty()) out_.style.table_files.push_back(options_.own_ladder_file);
    return Done{};
  }

  // In the list and as a warning: the drafted measures look sound, and every wider piece is wrong.
  void tell_width_gaps(std::vector<Proposed>& proposed) {
    const std::string told = width_gaps_told(filled_.ladder, out_.style);
    if (told.empty()) return;
    out_.warnings.push_back(told);
    proposed.push_back({Sureness::kGuess, told, "/run/widths"});
  }

  void name_forme(DraftForme& forme) {
    const std::vector<NamedMark>& marks = marks_of_[forme.name];
    for (const NamedMark& mark : marks) {
      proposed_.push_back({Sureness::kSure,
                           fmt::format("{}: the point {} is marked in the drawing", forme.name, mark.name),
                           pointer_to(pointer_to("/formes", forme.name) + "/points", mark.name)});
      forme.points[mark.name] = mark.at;
    }
    place_kind_points(pieces_, forme, options_.kind, given_bases(), proposed_);
    name_points(pieces_, forme);
    std::map<std::pair<std::size_t, std::size_t>, std::vector<std::string>> mates;
    for (const DraftSeam& seam : seams_) {
      mates[{seam.one, seam.one_edge}].push_back(pieces_[seam.other].name);
      mates[{seam.other, seam.other_edge}].push_back(pieces_[seam.one].name);
    }
    treat_roles(forme);
    name_edges(pieces_, forme, mates);
  }
  // mm; of the measures that the user gave.
  [[nodiscard]] std::map<std::string, double> given_bases() const {
    std::map<std::string, double> bases;
    if (!options_.basis.given) return bases;
    for (const MeasureSpec& one : options_.basis.given->measures)
      bases[one.name] = one.from_scale ? filled_.stick : one.base.millimetres.value();
    return bases;
  }
  void treat_roles(const DraftForme& forme) {
    for (const std::size_t i : forme.pieces) {
      for (std::size_t e = 0; e < pieces_[i].edges.size() && forme.kind == DraftKind::kOwn; ++e) {
        const KindOwn& own = options_.kind.own_of(pieces_[i].name, forme.constant_width);
        DraftEdge& edge = pieces_[i].edges[e];
        edge.held =
            own.hold_ends && forme.constant_width && !edge.straight && edge.length < 0.5 * forme.length;
      }
    }
  }

  void state() {
    treat_edges(pieces_, seams_, options_.kind, proposed_);
    for (DraftPiece& piece : pieces_) {
      if (piece.own_image) treat_image(piece, proposed_);
    }
    tell_left_raw(pieces_, formes_, proposed_);
    tell_near_seams(pieces_, formes_, seams_, proposed_);
    for (Proposed& one : facings_that_close(pieces_, seams_)) {
      out_.warnings.push_back(one.what);
      proposed_.push_back(std::move(one));
    }
    out_.style.formes.clear();
    for (const DraftForme& forme : formes_)
      out_.style.formes.push_back(
          forme_spec(pieces_, forme, options_.kind, seams_, filled_.stick, proposed_));
    std::map<std::string, const Drawing*> drawings;
    for (const auto& [key, one] : kept_) drawings.emplace(key, &one.drawing);
    state_references(pieces_, formes_, marks_of_, drawings, out_.style);
    fill_measures(options_.basis, filled_, options_.kind, formes_, out_.style, proposed_);
    tell_width_gaps(proposed_);
    const std::vector<DraftCount> counts = draft_counts(pieces_, formes_, seams_);
    for (std::size_t i = 0; i < pieces_.size(); ++i)
      state_piece({pieces_, formes_, order_laid_}, pieces_[i], counts[i], out_.style.pieces[pieces_[i].index],
                  proposed_);
    tell_drawn_nicks(pieces_, proposed_);
    propose_centre_nicks(pieces_, seams_, out_.style.pieces, proposed_);
    state_seams(pieces_, seams_, out_.style, proposed_);
    propose_drawn_feet(pieces_, formes_, out_.style, proposed_);
    out_.style.proposed = std::move(proposed_);
  }

  // What is handed over is bound as it will be when it is loaded.
  void bind() {
    if (!out_.problems.empty()) return;
    BoundStyle bound = bind_as_drawn(out_.style, kept_);
    plain_ = !bound.problems.empty();  // the drawings bound before anything was judged
    if (plain_) {
      out_.warnings.push_back("the draft does not fit the drawing: " + to_text(bound.problems.front()));
      return;
    }
    for (std::string& note : bound.notes) tell(std::move(note));
    out_.accounts = std::move(bound.accounts);
    propose_as_drawn(bound.pieces, out_.style);
    if (!copies_left_out_) return;  // what else is left out was told of the drawings as read
    const auto other = [](const LeftOutThing& thing) { return !thing.mirror_line; };
    for (const DrawingAccount& account : out_.accounts) {
      for (std::string& line : left_out_lines(account, other)) tell(std::move(line));
    }
  }

  void tell(std::string line) {
    if (std::find(out_.warnings.begin(), out_.warnings.end(), line) == out_.warnings.end())
      out_.warnings.push_back(std::move(line));
  }

  // By the edges as the draft states them. Where a piece is not cut double that a mirror line says is, that
  // is no success.
  void tell_mirror_lines() {
    const auto not_doubled = [](const LeftOutThing& thing) { return thing.not_doubled; };
    const auto idle = [](const LeftOutThing& thing) { return thing.mirror_line && !thing.not_doubled; };
    for (const DrawingAccount& account : out_.accounts) {
      for (std::string& line : left_out_lines(account, not_doubled)) out_.lost.push_back(std::move(line));
      for (std::string& line : left_out_lines(account, idle)) tell(std::move(line));
    }
  }

  std::vector<DraftDrawing> drawings_;
  const DraftOptions& options_;
  const ReferenceTables& tables_;
  std::map<std::string, PatternDrawing> kept_;
  std::vector<NamedMark> marks_;
  std::map<std::string, std::vector<NamedMark>> marks_of_;  // by forme
  std::vector<DraftPiece> pieces_;
  std::vector<DraftForme> formes_;
  std::vector<DraftSeam> seams_;
  std::vector<PieceSpec> plain_pieces_;
  std::vector<FormeSpec> plain_formes_;
  std::vector<MeasureSpec> plain_measures_;
  bool plain_ = false;
  bool copies_left_out_ = false;
  std::vector<std::size_t> order_laid_;
  std::optional<double> stick_;
  FilledBasis filled_;
  std::vector<Proposed> proposed_;
  Draft out_;
};

}  // namespace

Result<Draft> draft_style(std::vector<DraftDrawing> drawings, const DraftOptions& options,
                          const ReferenceTables& tables) {
  return Drafter(std::move(drawings), options, tables).run();
}

}  // namespace lastwright
