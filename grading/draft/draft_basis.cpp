#include "grading/draft/draft_basis.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/json/json_layout.hpp"
#include "grading/json/json_text.hpp"
#include "grading/sizes/width_gaps.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

// What a scale is usually worn with: a guess, and told as one.
struct UsualWidths {
  const char* scale;
  const char* ladder;
  std::vector<std::string> widths;
};
const UsualWidths& usual_widths(const std::string& scale) {
  static const std::vector<UsualWidths> kUsual = {{"american", "american-letters", {"C", "D", "E"}},
                                                  {"jis-women", "jis-letters-women", {"D", "E", "EE"}},
                                                  {"jis-children", "jis-letters-children", {"D", "E", "EE"}},
                                                  {"jis", "jis-letters", {"D", "E", "EE"}},
                                                  {"russian", "russian-fullness", {"5", "6", "7"}},
                                                  {"chinese", "chinese-types", {"2", "2.5", "3"}},
                                                  {"paris", "french-types", {"2", "3", "4"}},
                                                  {"", "english-letters", {"E", "F", "G"}}};
  return *std::find_if(kUsual.begin(), kUsual.end(),
                       [&](const UsualWidths& one) { return scale.starts_with(one.scale); });
}

bool all_on(const Ladder& ladder, const std::vector<std::string>& widths) {
  return std::all_of(widths.begin(), widths.end(),
                     [&](const std::string& one) { return ladder.width(one).ok(); });
}

// Precondition: it has them.
bool neighbours_on(const Ladder& ladder, const std::vector<std::string>& widths) {
  std::vector<Width> places;
  for (const std::string& one : widths) places.push_back(*ladder.width(one));
  return width_gaps(std::move(places)).empty();
}

class BasisFiller {
 public:
  BasisFiller(const DraftBasis& basis, const ReferenceTables& tables, std::optional<double> drawn,
              StyleSpec& style, std::vector<Proposed>& proposed)
      : basis_(basis), tables_(tables), drawn_(drawn), style_(style), proposed_(proposed) {}

  Result<FilledBasis> run() {
    style_.scale = first_said(basis_.scale, basis_.given ? basis_.given->scale : "");
    if (style_.scale.empty()) {
      style_.scale = "english";
      guess("scale english", "/scale");
    }
    const Result<Scale> scale = tables_.find_scale(style_.scale);
    if (!scale) return scale.problem();
    scale_ = *scale;
    if (const Status status = sample_size(); !status) return status.problem();
    if (const Status status = widths(); !status) return status.problem();
    if (const Status status = sizes(); !status) return status.problem();
    out_.stick = scale_.length(size_).value();
    if (scale_.sizes == Sizes::kFoot) {
      const MeasureSpec* const stick = stick_given();
      if (stick == nullptr) {
        return usage(
            fmt::format("the foot is what the scale {} gives a length, and a last is longer than its foot by "
                        "an allowance "
                        "that the drawing does "
                        "not say: state the last's own length with --measures, a file of {{\"stick length\": "
                        "{{\"base\": \"... "
                        "mm\", \"per_size\": \"{:g} mm\", \"per_width\": \"0 mm\"}}}}; the foot of size {} "
                        "is {:g} mm long",
                        style_.scale, scale_.step.value(), size_.label, out_.stick));
      }
      out_.stick = stick->base.millimetres.value();
    }
    out_.step = scale_.step;
    return std::move(out_);
  }

 private:
  static std::string first_said(const std::string& said, const std::string& given) {
    return said.empty() ? given : said;
  }
  void guess(std::string what, std::string at, Sureness sure = Sureness::kGuess) {
    proposed_.push_back({sure, std::move(what), std::move(at)});
  }
  // What the given style says holds only on its own scale.
  [[nodiscard]] const StyleSpec* given() const {
    return basis_.given && basis_.given->scale == style_.scale ? &*basis_.given : nullptr;
  }

  static Problem usage(std::string message) { return {Trouble::kUsage, std::move(message), {}, {}, {}}; }
  [[nodiscard]] const MeasureSpec* stick_given() const {
    if (!basis_.given) return nullptr;
    const auto& measures = basis_.given->measures;
    const auto found = std::find_if(measures.begin(), measures.end(), [](const MeasureSpec& one) {
      return one.name == "stick length" && !one.from_scale;
    });
    return found == measures.end() ? nullptr : &*found;
  }

  Status sample_size() {
    std::string label = first_said(basis_.size, given() != nullptr ? given()->base_size : "");
    if (label.empty() && drawn_) {
      const Fraction position = std::llround((*drawn_ - scale_.zero_length.value()) / scale_.step.value());
      if (const std::optional<Size> size = scale_.at(position)) {
        label = size->label;
        guess(
            fmt::format("the base size is {}: the forme is drawn {:.1f} mm long, and that size is {:.1f} mm",
                        label, *drawn_, scale_.length(*size).value()),
            "/base/size");
      }
    }
    if (label.empty()) {
      label = style_.scale == "english" ? "8" : middle_of_scale();
      guess(fmt::format("the base size is {}", label), "/base/size");
    }
    const Result<Size> size = scale_.size(label);
    if (!size) return size.problem();
    size_ = *size;
    style_.base_size = size_.label;
    return Done{};
  }
  [[nodiscard]] std::string middle_of_scale() const {
    const ScaleRun& run = scale_.runs.back();
    const Fraction steps = (run.last_label - run.first_label) / run.label_step;
    const auto size = scale_.at(run.first_position + Fraction(steps.floor() / 2));
    return size ? size->label : "1";
  }

  Status widths() {
    style_.run_widths = basis_.widths;
    if (style_.run_widths.empty() && given() != nullptr) style_.run_widths = given()->run_widths;
    for (std::size_t i = 0; i < style_.run_widths.size(); ++i) {
      for (std::size_t k = 0; k < i; ++k) {
        if (style_.run_widths[i] == style_.run_widths[k])
          return usage(fmt::format("--widths names {} twice", style_.run_widths[i]));
      }
    }
    style_.ladder = basis_.ladder;
    if (style_.ladder.empty() && basis_.widths.empty() && given() != nullptr) style_.ladder = given()->ladder;
    const UsualWidths& usual = usual_widths(style_.scale);
    if (style_.run_widths.empty()) {
      style_.run_widths = usual.widths;
      if (!style_.ladder.empty() && style_.ladder != usual.ladder) {
        const Result<Ladder> ladder = tables_.find_ladder(style_.ladder);
        if (!ladder) return ladder.problem();
        style_.run_widths = {ladder->labels[ladder->labels.size() / 2]};
      }
      std::string named;
      for (const std::string& one : style_.run_widths) named += (named.empty() ? "" : ", ") + one;
      guess("widths " + named, "/run/widths");
    }
    if (style_.ladder.empty()) choose_ladder(usual.ladder);
    if (out_.own_ladder.empty()) {
      const Result<Ladder> ladder = tables_.find_ladder(style_.ladder);
      if (!ladder) return ladder.problem();
      for (const std::string& one : style_.run_widths) {
        if (const Result<Width> width = ladder->width(one); !width) return width.problem();
      }
      out_.ladder = *ladder;
    }
    style_.base_width =
        first_said(basis_.width, basis_.widths.empty() && given() != nullptr ? given()->base_width : "");
    if (style_.base_width.empty()) {
      style_.base_width = style_.run_widths[(style_.run_widths.size() - 1) / 2];
      guess("the base width is " + style_.base_width, "/base/width");
    }
    if (Status known = base_is_known(); !known) return known;
    return Done{};
  }

  // On the ladder, or of the own widths.
  [[nodiscard]] Status base_is_known() const {
    if (out_.own_ladder.empty()) {
      const Result<Width> width = tables_.find_ladder(style_.ladder)->width(style_.base_width);
      if (!width) return usage("--width: " + width.problem().message);
      return Done{};
    }
    const auto& widths = style_.run_widths;
    if (std::find(widths.begin(), widths.end(), style_.base_width) != widths.end()) return Done{};
    return usage(fmt::format(
        "--width: {} is none of the widths to be made, and no known ladder (the widths of a scale, in order) "
        "has it and them: name it among --widths too, or a ladder that has it",
        style_.base_width));
  }

  // As fill_basis says; where none has the widths, one of these widths alone.
  void choose_ladder(const char* usual) {
    const std::vector<std::string> keys = fitting_ladders(usual);
    if (!keys.empty()) {
      const bool parted = !neighbours_on(*tables_.find_ladder(keys.front()), style_.run_widths) &&
                          whole_in_a_row(style_.run_widths) && !users_own(keys.front());
      const auto near = std::find_if(keys.begin(), keys.end(), [&](const std::string& key) {
        const Ladder ladder = *tables_.find_ladder(key);
        return neighbours_on(ladder, style_.run_widths) &&
               (basis_.width.empty() || ladder.width(basis_.width).ok());
      });
      const bool other = parted && near != keys.end();
      style_.ladder = other ? *near : keys.front();
      if (basis_.widths.empty()) return;
      guess(
          fmt::format("the widths are those of the ladder {}", style_.ladder) +
              (other ? fmt::format(", each one step from the next; {} has others between them, and is taken "
                                   "with --ladder {}",
                                   keys.front(), keys.front())
                     : ""),
          "/ladder", Sureness::kLikely);
      return;
    }
    style_.ladder = kOwnLadder;
    Json table = {{"lastwright_table", 1},
                  {"kind", "ladder"},
                  {"key", kOwnLadder},
                  {"title", "Own widths, narrowest first"},
                  {"source", {{"text", "as given to lastwright new"}, {"provenance", "common practice"}}}};
    table["labels"] = style_.run_widths;
    out_.own_ladder = laid_out(table) + "\n";
    guess(fmt::format("no known ladder has these widths: one of its own is written beside the draft, "
                      "narrowest first; {} is taken for the narrowest and {} for the widest",
                      style_.run_widths.front(), style_.run_widths.back()),
          "/ladder", Sureness::kSure);
  }

  // Of the user: a table of theirs, or what their measures are stated on.
  [[nodiscard]] bool users_own(const std::string& key) const {
    const std::vector<TableEntry> tables = tables_.list("ladder");
    return (basis_.given && basis_.given->ladder == key) ||
           std::any_of(tables.begin(), tables.end(),
                       [&](const TableEntry& one) { return one.key == key && !one.file.empty(); });
  }
  // Those that have the widths; the first is the best but for what lies between the widths.
  [[nodiscard]] std::vector<std::string> fitting_ladders(const char* usual) const {
    std::vector<std::string> keys{usual};
    for (const TableEntry& table : tables_.list("ladder")) {
      if (!table.file.empty()) keys.insert(keys.begin(), table.key);
      keys.push_back(table.key);
    }
    if (basis_.given && !basis_.given->ladder.empty()) keys.insert(keys.begin(), basis_.given->ladder);
    std::erase_if(keys, [&](const std::string& key) {
      const Result<Ladder> ladder = tables_.find_ladder(key);
      return !ladder || !all_on(*ladder, style_.run_widths);
    });
    return keys;
  }

  Status sizes() {
    const bool of_given = basis_.from.empty() && basis_.to.empty() && given() != nullptr;
    style_.run_by = basis_.by.value_or(of_given ? given()->run_by : usual_by());
    style_.run_from = first_said(basis_.from, of_given ? given()->run_from : "");
    style_.run_to = first_said(basis_.to, of_given ? given()->run_to : "");
    const bool guessed = style_.run_from.empty() || style_.run_to.empty();
    if (style_.run_from.empty()) style_.run_from = away_by(-2);
    if (style_.run_to.empty()) style_.run_to = away_by(3);
    if (guessed)
      guess(fmt::format("sizes {} to {}{}", style_.run_from, style_.run_to,
                        style_.run_by == Fraction(1, 2) ? " with halves" : ""),
            "/run");
    const auto run = scale_.run(style_.run_from, style_.run_to, style_.run_by);
    if (!run) return run.problem();
    return Done{};
  }
  // Halves where they are made as a rule: full points are the rule in the Paris scale.
  [[nodiscard]] Fraction usual_by() const {
    const bool halves = std::all_of(scale_.runs.begin(), scale_.runs.end(),
                                    [](const ScaleRun& run) { return run.smallest == Fraction(1, 2); });
    return halves && style_.scale != "paris-point" ? Fraction(1, 2) : Fraction(1);
  }
  [[nodiscard]] std::string away_by(int steps) const {
    for (int n = std::abs(steps); n > 0; --n) {
      if (const auto size = scale_.at(size_.position + Fraction(steps < 0 ? -n : n))) return size->label;
    }
    return size_.label;
  }

  const DraftBasis& basis_;
  const ReferenceTables& tables_;
  std::optional<double> drawn_;
  StyleSpec& style_;
  std::vector<Proposed>& proposed_;
  Scale scale_;
  Size size_;
  FilledBasis out_;
};

}  // namespace

Result<StyleSpec> given_measures(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  std::string whole(text);
  if (!document->root.is_object())
    return document->bad("", "measures are a JSON object: a style, or measures by name");
  if (!document->root.contains("lastwright_style")) {
    // The measures stay on their lines.
    const bool inner = document->root.contains("measures");  // of a table
    const std::string measures = inner ? on_one_line(document->root.at("measures")) : std::string(text);
    whole =
        R"({"lastwright_style": 1, "name": "-", "scale": "-", "ladder": "-", "base": {"size": "-", "width": "-"}, )"
        R"("run": {"from": "-", "to": "-", "widths": ["-"]}, "measures": )" +
        measures + "}";
  }
  StyleRead read = read_style(whole, file);
  if (!read.ok()) return read.problems.front();
  StyleSpec style = *std::move(read.style);
  if (style.scale == "-") style.scale = style.ladder = "";
  return style;
}

Result<FilledBasis> fill_basis(const DraftBasis& basis, const ReferenceTables& tables,
                               std::optional<double> drawn, StyleSpec& style,
                               std::vector<Proposed>& proposed) {
  return BasisFiller(basis, tables, drawn, style, proposed).run();
}

}  // namespace lastwright
