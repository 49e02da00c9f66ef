#include "grading/live/live_grade.hpp"

#include <algorithm>
#include <utility>

#include "geometry/parallel.hpp"
#include "grading/checks/girths/another_base.hpp"
#include "grading/checks/rule_reach.hpp"
#include "grading/grade/grade_parts.hpp"
#include "grading/grade/held_stretches.hpp"
#include "grading/pieces/drawing/same_drawn.hpp"

namespace lastwright {

namespace {

template <class Place>
bool same_place(const Place& a, const Place& b) {
  return a.position == b.position && a.label == b.label;
}

bool same_step(const GradeStep& a, const GradeStep& b) {
  return a.increments == b.increments && a.size_steps == b.size_steps && a.width_steps == b.width_steps;
}

// Whether both ask the same of a forme in the same sizes and widths.
bool same_asked(const StyleGrade& a, const StyleGrade& b) {
  const auto same_labelled = [](const SizeWidth& one, const SizeWidth& other) {
    return same_place(one.size, other.size) && same_place(one.width, other.width);
  };
  return a.run.sizes.size() == b.run.sizes.size() && a.run.widths.size() == b.run.widths.size() &&
         std::equal(a.cells.begin(), a.cells.end(), b.cells.begin(), b.cells.end(), same_labelled) &&
         std::equal(a.steps.begin(), a.steps.end(), b.steps.begin(), b.steps.end(), same_step);
}

bool same_held(const std::vector<HeldStretch>& a, const std::vector<HeldStretch>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const HeldStretch& one, const HeldStretch& other) {
                      return one.name == other.name && one.points == other.points;
                    });
}

const Json& member(const Json& root, const char* key) {
  static const Json kNone;
  const auto at = root.find(key);
  return at == root.end() ? kNone : *at;
}

// All that may have a say in how a piece is made and looked at, but the pieces and seams themselves.
Json all_else(const Json& root) {
  Json rest = root;
  for (const char* key : {"pieces", "seams", "limits", "note", "works"}) rest.erase(key);
  return rest;
}

std::vector<std::vector<Vec2>> places_of(const std::vector<GirthLine>& lines) {
  std::vector<std::vector<Vec2>> places;
  for (const GirthLine& line : lines) {
    places.push_back(line.from);
    places.push_back(line.to);
    places.push_back({{static_cast<double>(line.forme), static_cast<double>(line.girth)}});
  }
  return places;
}

}  // namespace

void LiveGrade::take(const std::string& text, Checked<LoadedStyle> load) {
  load_problems_ = load.problems();
  if (!load_problems_.empty()) return;
  findings_.reset();
  grade_formes(*std::move(load), parse_json(text, {})->root);
}

void LiveGrade::grade_formes(LoadedStyle next, const Json& root) {
  StyleGrade grade = asked_of(next.measures, next.run);
  const std::vector<std::string> measures = names_of(next.measures);
  const bool asked = formes_made_ && same_asked(grade_, grade) && names_of(style_->measures) == measures;
  forme_problems_.clear();
  std::vector<bool> kept;
  for (std::size_t f = 0; f < next.spec.formes.size(); ++f) {
    FormeSpec forme = next.spec.formes[f];
    forme.held = held_stretches(forme, next.pieces);
    kept.push_back(asked && f < grade_.formes.size() && style_->spec.formes[f].name == forme.name &&
                   member(member(root_, "formes"), forme.name.c_str()) ==
                       member(member(root, "formes"), forme.name.c_str()) &&
                   same_held(grade_.formes[f].map.forme().held, forme.held));
    if (kept.back()) {
      grade.formes.push_back(grade_.formes[f]);
      continue;
    }
    ++counts_.formes;
    Result<GradedForme> made = grade_forme(forme, grade, measures, threads_);
    if (!made) {
      forme_problems_.push_back(made.problem());
      continue;
    }
    grade.formes.push_back(*std::move(made));
  }
  if (!forme_problems_.empty()) return;
  const bool else_same = formes_made_ && all_else(root_) == all_else(root);
  grade.pieces = std::move(grade_.pieces);
  grade_ = std::move(grade);
  style_ = std::move(next);
  formes_made_ = true;
  place_pieces(root, kept, else_same);
  if (!std::all_of(kept.begin(), kept.end(), [](bool one) { return one; }) ||
      member(root_, "limits") != member(root, "limits"))
    forget_grade_checks();
  root_ = root;
}

void LiveGrade::place_pieces(const Json& root, const std::vector<bool>& forme_kept, bool all_else_same) {
  std::vector<Slot> slots(style_->pieces.size());
  std::vector<PreparedPiece> pieces(slots.size());
  bool same_names = slots.size() == slots_.size();
  for (std::size_t i = 0; i < slots.size(); ++i) {
    Slot& slot = slots[i];
    slot.bound = style_->pieces[i];
    slot.spec = member(root, "pieces").at(i);
    const auto old = std::find_if(slots_.begin(), slots_.end(), [&](const Slot& one) {
      return one.bound.spec.name == slot.bound.spec.name;
    });
    same_names = same_names && old == slots_.begin() + static_cast<std::ptrdiff_t>(i);
    if (old == slots_.end()) continue;
    const auto forme = std::find_if(style_->spec.formes.begin(), style_->spec.formes.end(),
                                    [&](const FormeSpec& one) { return one.name == slot.bound.spec.forme; });
    if (forme == style_->spec.formes.end() || old->bound.spec.forme != forme->name ||
        !forme_kept[static_cast<std::size_t>(forme - style_->spec.formes.begin())])
      continue;
    if (old->prepared) {
      slot.before = std::move(grade_.pieces[static_cast<std::size_t>(old - slots_.begin())]);
    } else {
      slot.before = std::move(old->before);
    }
    slot.looks_fit = old->looks_fit && all_else_same;
    slot.looks = std::move(old->looks);
    slot.looked_spec = std::move(old->looked_spec);
    slot.looked_sewn = std::move(old->looked_sewn);
  }
  if (!same_names) forget_grade_checks();
  slots_ = std::move(slots);
  grade_.pieces = std::move(pieces);
}

std::vector<Problem> LiveGrade::problems() const {
  if (!load_problems_.empty()) return load_problems_;
  std::vector<Problem> all = forme_problems_;
  for (const Slot& slot : slots_) {
    if (all.size() < 50 && slot.problem && current()) all.push_back(*slot.problem);
  }
  return all;
}

void LiveGrade::forget_grade_checks() {
  one_to_one_.reset();
  reaches_.reset();
}

void LiveGrade::count_shape(Slot& slot) {
  if (!slot.shape_made) return;
  slot.shape_made = false;
  ++counts_.shapes;
  forget_grade_checks();
}

// From any thread, for unlike pieces.
bool LiveGrade::prepare_slot(std::size_t piece) {
  Slot& slot = slots_[piece];
  if (slot.prepared) return true;
  if (slot.problem) return false;
  Result<PreparedPiece> made =
      prepared_piece(style_->spec, slot.bound, grade_, {}, slot.before ? &*slot.before : nullptr);
  if (!made) {
    slot.problem = made.problem();
    return false;
  }
  slot.shape_made = !slot.before || !same_drawn(slot.before->bound, made->bound);
  slot.looks_fit = slot.looks_fit && !slot.shape_made;
  slot.before.reset();
  slot.prepared = true;
  grade_.pieces[piece] = *std::move(made);
  return true;
}

bool LiveGrade::prepare(std::size_t piece) {
  const bool done = prepare_slot(piece);
  count_shape(slots_[piece]);
  return done;
}

bool LiveGrade::prepare_all() {
  const Status done = run_jobs(slots_.size(), threads_, [&](std::size_t i) -> Status {
    prepare_slot(i);
    return Done{};
  });
  bool all = done.ok();
  for (Slot& slot : slots_) {
    count_shape(slot);
    all = all && slot.prepared;
  }
  return all;
}

std::size_t LiveGrade::to_make_anew() const {
  return static_cast<std::size_t>(std::count_if(slots_.begin(), slots_.end(), [](const Slot& slot) {
    return !slot.prepared && !slot.problem && !slot.before;
  }));
}

bool LiveGrade::look(const StyleLooker& looker, const std::atomic<bool>& stop) {
  const std::vector<std::vector<Vec2>> lines = places_of(looker.lines());
  if (lines != looked_lines_) {
    for (Slot& slot : slots_) slot.looks_fit = false;
    looked_lines_ = lines;
  }
  std::vector<std::size_t> stale;
  for (std::size_t i = 0; i < slots_.size(); ++i) {
    Slot& slot = slots_[i];
    if (slot.looks_fit && slot.looked_spec == slot.spec && slot.looked_sewn == looker.sewn(i)) continue;
    slot.looks_fit = false;
    slot.looks.assign(grade_.cells.size(), {});
    stale.push_back(i);
  }
  const std::size_t cells = grade_.cells.size();
  const Status done = run_jobs(stale.size() * cells, threads_, [&](std::size_t j) -> Status {
    if (stop) return Problem{};
    slots_[stale[j / cells]].looks[j % cells] = looker.look(grade_.made_piece(stale[j / cells], j % cells));
    return Done{};
  });
  if (!done) return false;
  for (const std::size_t i : stale) {
    ++counts_.looks;
    slots_[i].looks_fit = true;
    slots_[i].looked_spec = slots_[i].spec;
    slots_[i].looked_sewn = looker.sewn(i);
  }
  return true;
}

const std::vector<StyleFinding>* LiveGrade::check(const std::atomic<bool>& stop) {
  if (!ready() || !current() || stop || !prepare_all()) return nullptr;
  if (findings_) return &*findings_;
  const StyleSpec& spec = style_->spec;
  const StyleLooker looker(spec, grade_);
  if (!look(looker, stop)) return nullptr;
  if (!one_to_one_) one_to_one_ = check_one_to_one(grade_, style_check_options(spec), threads_);
  if (stop) return nullptr;
  StyleLooks looks;
  for (const Slot& slot : slots_) looks.push_back(slot.looks);
  std::vector<StyleFinding> findings =
      judge_style(spec, grade_, style_->measures, looker, looks, threads_, &*one_to_one_).findings;
  if (stop) return nullptr;
  if (!reaches_) {
    reaches_ = rule_reaches(spec, grade_, style_->measures, false);
    const std::vector<StyleFinding> base = another_base(grade_, style_->measures, threads_);
    reaches_->insert(reaches_->end(), base.begin(), base.end());
  }
  findings.insert(findings.end(), reaches_->begin(), reaches_->end());
  findings_ = std::move(findings);
  return &*findings_;
}

}  // namespace lastwright
