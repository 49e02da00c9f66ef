#include "grading/draft/draft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "geometry/counted.hpp"
#include "grading/draft/centre_nicks.hpp"
#include "grading/draft/draft_counts.hpp"
#include "grading/draft/draft_measures.hpp"
#include "grading/draft/draft_seams.hpp"
#include "grading/draft/drawing_units.hpp"
#include "grading/draft/edge_roles.hpp"
#include "grading/draft/forme_rules.hpp"
#include "grading/draft/hand_copies.hpp"
#include "grading/draft/idle_kinds.hpp"
#include "grading/draft/lay_pieces.hpp"
#include "grading/draft/near_seams.hpp"
#include "grading/draft/piece_groups.hpp"
#include "grading/draft/point_names.hpp"
#include "grading/draft/point_references.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/first_defaults.hpp"
#include "grading/pieces/off_forme.hpp"
#include "grading/pieces/piece_bind.hpp"
#include "grading/pieces/place_proof.hpp"

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
    take_copies();
    find_owners_of_marks();
    lay();
    DraftFormes formes = draft_formes(pieces_, stick_);
    formes_ = std::move(formes.formes);
    if (const Status basis = fill(); !basis) return basis.problem();
    add(std::move(formes.proposed));
    for (std::string& one : formes.warnings) out_.warnings.push_back(std::move(one));
    tell_idle_kinds();
    judge_marks();
    set_sole_corners();
    set_strap_corners();
    find_roles(pieces_, formes_);  // a fold is not cut where something ends on it
    meet_corners(pieces_, formes_, CornersOf::kSideBySide);
    find_roles(pieces_, formes_);
    meet_corners(pieces_, formes_, CornersOf::kOverEachOther);
    find_roles(pieces_, formes_);
    seams_ = find_seams(pieces_, formes_, proposed_);
    for (DraftForme& forme : formes_) name_forme(forme);
    tell_roles(pieces_, proposed_);
    state();
    bind();
    if (plain_) return plain();
    tell_mirror_lines();
    return std::move(out_);
  }

 private:
  void take_copies() {
    for (const HandCopy& copy : take_hand_copies(pieces_, out_.style.pieces)) {
      const std::string same =
          fmt::format("{} is the mirror image of {} within {:.3f} mm", copy.name, copy.of, copy.residual);
      if (copy.odd.empty()) {
        copies_left_out_ = true;
        proposed_.push_back({Sureness::kLikely,
                             same + ", its other hand: left out, because a handed piece is cut for both feet",
                             ""});
      } else {
        proposed_.push_back({Sureness::kGuess,
                             fmt::format("{}, but {} is in one of them only: both stay. If they are the two "
                                         "hands of one piece, draw it in both and take one of them out, for "
                                         "a handed piece is cut for both feet",
                                         same, copy.odd),
                             ""});
      }
    }
  }

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
        out_.warnings.push_back(fmt::format(
            "--kind {}: no piece is one by its name or shape, so its rules are not used in these drawings",
            key));
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
    tell_mirror_lines();
    return std::move(out_);
  }

  void add(std::vector<Proposed> more) {
    proposed_.insert(proposed_.end(), std::make_move_iterator(more.begin()),
                     std::make_move_iterator(more.end()));
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
        if (Result<DraftPiece> piece = draft_piece(*bound, out_.style.pieces.size(), slack)) {
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

  // A smooth sole gets its corners at its ends, and the
  // insole at its joints too, whatever its curves begin at.
  void set_sole_corners() {
    for (const DraftForme& forme : formes_) {
      for (const std::size_t i : forme.pieces) {
        DraftPiece& piece = pieces_[i];
        if (forme.kind != DraftKind::kBottom || piece.corners.size() > 1) continue;
        std::vector<Vec2> places;
        if (i == forme.main) {
          for (const char* name : {"heel", "toe", "inside joint", "outside joint"}) {
            if (const auto found = forme.points.find(name); found != forme.points.end())
              places.push_back(found->second);
          }
        } else {
          places = end_places(piece, forme.frame);
        }
        set_corners_at(piece, places);
      }
    }
  }
  // A strap's sides end where its straight lines do, also where they run on into a rounded end.
  void set_strap_corners() {
    for (const DraftForme& forme : formes_) {
      if (!forme.constant_width) continue;
      std::vector<Vec2> places;
      for (const Curve& curve : pieces_[forme.main].outline.curves()) {
        if (!std::holds_alternative<Line>(curve) || length(curve) < 0.5 * forme.length) continue;
        places.push_back(start_of(curve));
        places.push_back(end_of(curve));
      }
      DraftPiece& piece = pieces_[forme.main];
      const std::size_t dropped = drop_chord_corners(piece, places);
      add_corners_at(piece, places);
      if (dropped == 0) continue;
      std::erase_if(out_.guesses, [&](const std::string& one) {
        return one.starts_with(piece.name + ": ") &&
               one.find("corners turn by less than") != std::string::npos;
      });
      proposed_.push_back(
          {Sureness::kLikely,
           fmt::format(
               "{}: what runs round from one side of the strap to the other in short lines is one end: "
               "{} at which they turn are no corners",
               piece.name, counted(dropped, "place", "places")),
           fmt::format("/pieces/{}", piece.index)});
    }
  }
  static std::vector<Vec2> end_places(const DraftPiece& piece, const DraftFrame& frame) {
    const auto least = [&](double sign) {
      return *std::min_element(piece.polygon.begin(), piece.polygon.end(),
                               [&](Vec2 a, Vec2 b) { return sign * frame.in(a).x < sign * frame.in(b).x; });
    };
    return {joint_near(piece, least(1.0)), joint_near(piece, least(-1.0))};
  }
  static Vec2 joint_near(const DraftPiece& piece, Vec2 place) {
    for (const Curve& curve : piece.outline.curves()) {
      if (distance(start_of(curve), place) < 1.5) return start_of(curve);
    }
    return place;
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

  // The piece in which the mark is drawn, else the nearest of its drawing.
  void find_owners_of_marks() {
    for (NamedMark& mark : marks_) {
      double least = INFINITY;
      for (std::size_t i = 0; i < pieces_.size(); ++i) {
        const DraftPiece& piece = pieces_[i];
        if (piece.drawing != mark.drawing) continue;
        double off = INFINITY;
        for (const Vec2 p : piece.polygon) off = std::min(off, distance(p, mark.at));
        if (inside_polygon(piece.polygon, mark.at)) off = 0.0;
        if (off >= least) continue;
        least = off;
        mark.piece = i;
      }
    }
  }

  // Each forme gets its marks, as they lie. A name that stands at two places, and one of
  // what the forme stands on that is not where it stands, is not taken, and that is no success.
  void judge_marks() {
    std::set<std::string> twice;
    for (const NamedMark& drawn : marks_) {
      if (!drawn.piece) continue;
      NamedMark mark = drawn;
      const DraftPiece& piece = pieces_[*drawn.piece];
      if (piece.from_drawing) mark.at = piece.from_drawing->point(mark.at);
      const DraftForme& forme = formes_[piece.forme];
      std::vector<NamedMark>& marks = marks_of_[forme.name];
      const auto known = std::find_if(marks.begin(), marks.end(),
                                      [&](const NamedMark& one) { return one.name == mark.name; });
      if (known == marks.end()) {
        if (stands_there(forme, mark)) marks.push_back(std::move(mark));
      } else if (distance(known->at, mark.at) > kDraftSame) {
        twice.insert(pointer_to("/formes", forme.name) + "/" + mark.name);
        out_.lost.push_back(fmt::format(
            "two places of the forme {} are named {}, ({:.3f}, {:.3f}) and ({:.3f}, {:.3f}), and neither is "
            "taken: leave the text at the one that is meant",
            forme.name, mark.name, known->at.x, known->at.y, mark.at.x, mark.at.y));
      }
    }
    for (auto& [name, marks] : marks_of_) {
      std::erase_if(marks, [&, &forme = name](const NamedMark& one) {
        return twice.contains(pointer_to("/formes", forme) + "/" + one.name);
      });
    }
  }
  // What the base line runs between is found from the pieces alone.
  bool stands_there(const DraftForme& forme, NamedMark& mark) {
    static const std::set<std::string> kFound{"heel", "toe", "stick end", "start", "end", "side"};
    const auto found = forme.points.find(mark.name);
    if (found == forme.points.end() || !kFound.contains(mark.name)) return true;
    constexpr double kPointedAt = 1.0;  // mm
    const double off = distance(found->second, mark.at);
    if (off > kPointedAt) {
      out_.lost.push_back(fmt::format(
          "the mark {} at ({:.3f}, {:.3f}) is not taken: the forme {} has its {} at ({:.3f}, {:.3f}), {:.2f} "
          "mm "
          "from it; mark the end itself, or state the point in the style",
          mark.name, mark.at.x, mark.at.y, forme.name, mark.name, found->second.x, found->second.y, off));
      return false;
    }
    mark.at = found->second;
    return true;
  }

  void state() {
    treat_edges(pieces_, seams_, options_.kind, proposed_);
    for (DraftPiece& piece : pieces_) {
      if (piece.own_image) treat_images(piece);
    }
    tell_left_raw(pieces_, formes_, proposed_);
    tell_near_seams(pieces_, formes_, seams_, proposed_);
    out_.style.formes.clear();
    for (const DraftForme& forme : formes_)
      out_.style.formes.push_back(
          forme_spec(pieces_, forme, options_.kind, seams_, filled_.stick, proposed_));
    std::map<std::string, const Drawing*> drawings;
    for (const auto& [key, one] : kept_) drawings.emplace(key, &one.drawing);
    state_references(pieces_, formes_, marks_of_, drawings, out_.style);
    fill_measures(options_.basis, filled_, options_.kind, formes_, out_.style, proposed_);
    const std::vector<DraftCount> counts = draft_counts(pieces_, formes_, seams_);
    for (std::size_t i = 0; i < pieces_.size(); ++i)
      state_piece(pieces_[i], counts[i], out_.style.pieces[pieces_[i].index]);
    tell_drawn_nicks(pieces_, proposed_);
    propose_centre_nicks(pieces_, seams_, out_.style.pieces, proposed_);
    state_seams();
    out_.style.proposed = std::move(proposed_);
  }

  // What is cut as its own mirror image has on both sides what is proposed on one, where its neighbour is
  // drawn.
  void treat_images(DraftPiece& piece) {
    constexpr double kImage = 0.5;  // mm: an axis is found within 0.2
    const auto axis = mirror_axis(piece);
    if (!axis) return;
    const Vec2 across = left_of(unit(axis->second - axis->first));
    const auto mirrored = [&](Vec2 p) { return p - 2.0 * dot(p - axis->first, across) * across; };
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      const DraftEdge edge = piece.edges[e];
      if (edge.allowance == 0.0) continue;
      for (std::size_t i = 0; i < piece.edges.size(); ++i) {
        DraftEdge& image = piece.edges[i];
        double off = std::abs(image.length - edge.length);
        for (std::size_t k = 0; k <= kDraftSamples; ++k)
          off = std::max(off, distance(image.samples[kDraftSamples - k], mirrored(edge.samples[k])));
        if (i == e || off > kImage || image.allowance != 0.0) continue;
        image.treatment = edge.treatment;
        image.allowance = edge.allowance;
        proposed_.push_back({Sureness::kLikely,
                             fmt::format("{}, {}: {} with {:g} mm, as the mirror image of {}", piece.name,
                                         image.name, name_of(image.treatment), image.allowance, edge.name),
                             edge_pointer(piece, i)});
      }
    }
  }

  void state_piece(const DraftPiece& piece, const DraftCount& count, PieceSpec& spec) {
    const DraftForme& forme = formes_[piece.forme];
    spec.forme = forme.name;
    spec.corners.clear();
    spec.edges.clear();
    for (const DraftCorner& corner : piece.corners)
      spec.corners.push_back({corner.name, stated_corner(piece, corner), {}});
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      const DraftEdge& edge = piece.edges[e];
      EdgeSpec one;
      one.name = edge.name;
      one.from = piece.from(e).name;
      one.to = piece.to(e).name;
      one.treatment = edge.treatment;
      one.allowance = Millimetres(edge.allowance);
      one.straight = piece.fold == e;
      one.held = edge.held;
      spec.edges.push_back(std::move(one));
    }
    if (piece.from_drawing) spec.lies = stated_lie(piece);
    spec.fold.reset();
    if (piece.own_image) spec.hand = Hand::kSymmetric;
    if (piece.fold) {
      spec.fold = piece.edges[*piece.fold].name;
      spec.hand = Hand::kSymmetric;
    }
    if (forme.kind == DraftKind::kUpper) spec.layer = piece.words.layer;
    spec.drawn_marks = marks_drawn(piece);
    if (count.per_pair == 2) return;
    spec.per_pair = count.per_pair;
    if (spec.hand == Hand::kHanded) spec.drawn_foot = "both";
    proposed_.push_back({Sureness::kGuess,
                         fmt::format("{}: four for a pair, {}{}", piece.name, count.why,
                                     spec.drawn_foot.empty() ? "" : "; each shoe takes both hands"),
                         fmt::format("/pieces/{}", piece.index)});
  }

  // Of every kind, also where there is none: what is added later is noticed as what is rubbed out is.
  static DrawnMarks marks_drawn(const DraftPiece& piece) {
    const auto count = [&](const std::string& kind) {
      return static_cast<int>(std::count_if(piece.marks.begin(), piece.marks.end(),
                                            [&](const DraftMark& one) { return one.what == kind; }));
    };
    return {count("hole"), count("cut-out"), count("nick"), count("line") + count("closed line")};
  }

  // What was laid is stated where it is drawn.
  static Spot stated_corner(const DraftPiece& piece, const DraftCorner& corner) {
    if (!piece.from_drawing) return stated_spot(corner.named_point ? corner.name : "", corner.at);
    const PlaneAffine& motion = *piece.from_drawing;  // its axes are unit vectors, square to each other
    const Vec2 off = corner.at - motion.origin;
    return stated_spot("", {dot(off, motion.x_axis), dot(off, motion.y_axis)});
  }

  // By the longest edge that lies on one of a piece that lies already, else by its corners.
  [[nodiscard]] LiesSpec stated_lie(const DraftPiece& piece) const {
    constexpr double kMostMissed = 0.35;  // mm: what laying allows, and what drawing to a twentieth adds
    LiesSpec lies;
    lies.mirrored = piece.drawn_over;
    double longest = 0.0;
    for (const DraftPiece& other : pieces_) {
      if (&other == &piece || other.forme != piece.forme || laid_at(other) >= laid_at(piece)) continue;
      for (const DraftEdge& edge : piece.edges) {
        for (const DraftEdge& there : other.edges) {
          const Coincide how = coincide(edge, there, kMostMissed);
          if (edge.length <= longest || how == Coincide::kNo) continue;
          longest = edge.length;
          lies.meets = {EdgeMeeting{edge.name, other.name, there.name}};
          // Edges alone meet side by side where both fit.
          if (how == Coincide::kSameWay)
            lies.meets.emplace_back(
                PointMeeting{corner_at(piece, edge.samples.front()),
                             PieceCorner{other.name, corner_at(other, there.samples.front())}});
        }
      }
    }
    if (!lies.meets.empty()) return lies;
    for (const DraftCorner& corner : piece.corners)
      lies.meets.emplace_back(PointMeeting{corner.name, corner.at});
    return lies;
  }
  static std::string corner_at(const DraftPiece& piece, Vec2 at) {
    return std::min_element(piece.corners.begin(), piece.corners.end(),
                            [&](const DraftCorner& a, const DraftCorner& b) {
                              return distance(a.at, at) < distance(b.at, at);
                            })
        ->name;
  }
  // 0 for a piece that lies where it is drawn, then in the order of laying.
  [[nodiscard]] std::size_t laid_at(const DraftPiece& piece) const {
    const auto found = std::find_if(order_laid_.begin(), order_laid_.end(),
                                    [&](std::size_t i) { return &pieces_[i] == &piece; });
    return found == order_laid_.end() ? 0 : 1 + static_cast<std::size_t>(found - order_laid_.begin());
  }

  void state_seams() {
    std::set<std::string> names;
    for (const DraftSeam& seam : seams_) {
      const DraftPiece& one = pieces_[seam.one];
      const DraftPiece& other = pieces_[seam.other];
      const std::string name = seam.mirrored ? fmt::format("back of {} to {}", one.name, other.name)
                                             : fmt::format("{} to {}", one.name, other.name);
      std::string unique = name.substr(0, 70);
      for (int n = 2; !names.insert(unique).second; ++n) unique = fmt::format("{} {}", name.substr(0, 70), n);
      SeamSpec spec;
      spec.name = unique;
      spec.one = {one.name, one.edges[seam.one_edge].name};
      spec.other = {other.name, other.edges[seam.other_edge].name};
      spec.mirrored = seam.mirrored;
      proposed_.push_back({seam.sure,
                           fmt::format("seam: {}, {}, with {}, {}: {}", one.name, spec.one.edge, other.name,
                                       spec.other.edge, seam.why),
                           fmt::format("/seams/{}", out_.style.seams.size())});
      out_.style.seams.push_back(std::move(spec));
    }
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
    state_places(bound.pieces);
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

  // Where nothing in the drawing proves the place of a piece that lies well within its forme, it is proposed
  // as drawn: a guess to be confirmed, and no doubt that stays for ever.
  void state_places(const std::vector<BoundPiece>& bound) {
    const OffForme off = off_forme(out_.style, bound);
    if (!off.problems.empty()) return;
    std::vector<const BoundPiece*> all;
    for (const BoundPiece& piece : bound) all.push_back(&piece);
    for (const FormeSpec& forme : out_.style.formes) {
      // Alone on a forme whose points were found on it, it lies right.
      const bool alone = std::count_if(all.begin(), all.end(), [&](const BoundPiece* one) {
                           return one->spec.forme == forme.name;
                         }) == 1;
      for (const LoosePieces& loose : loose_pieces(forme, all).loose) {
        for (const std::size_t i : loose.pieces) {
          PieceSpec& spec = out_.style.pieces[i];
          const bool beside =
              !alone && std::any_of(off.notes.begin(), off.notes.end(), [&](const std::string& note) {
                return note.find("piece " + spec.name + ": lies off") != std::string::npos;
              });
          if (beside || spec.lies || bound[i].spec.name != spec.name) continue;
          spec.lies = LiesSpec{};
          spec.lies->as_drawn = true;
          out_.style.proposed.push_back(
              {Sureness::kGuess,
               fmt::format("{} lies as it is drawn: nothing in the drawing proves its place", spec.name),
               fmt::format("/pieces/{}/lies", i)});
        }
      }
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
