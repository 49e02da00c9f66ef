#include "grading/features/feature_plan.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/sizes/step_named.hpp"

namespace lastwright {

namespace {

class Planner {
 public:
  Planner(const StyleSpec& style, const PieceSpec& piece, const FormeSpec& forme, const SizeRun& run)
      : style_(style), piece_(piece), forme_(forme), run_(run) {}

  Result<FeaturePlan> plan() {
    plan_.style = style_.name;
    if (piece_.fold) plan_.fold = edge(*piece_.fold);
    for (const FeatureSpec& feature : piece_.features) {
      planned_ = {};
      if (Status done = std::visit(*this, feature.work); !done)
        return done.problem().in("feature", feature.name).in("piece", piece_.name);
      plan_.features.push_back(std::move(planned_));
    }
    return std::move(plan_);
  }

  Status operator()(const HoleWork& work) { return place(work.at); }
  Status operator()(const PrickWork& work) { return place(work.at); }
  Status operator()(const SlotWork& work) { return place(work.at); }
  Status operator()(const BuckleBarWork& work) { return place(work.at); }
  Status operator()(const TextWork& work) { return place(work.at); }
  Status operator()(const PairNumberWork& work) { return place(work.at); }
  Status operator()(const LineWork& work) { return course(work.along); }
  Status operator()(const SkiveWork& work) {
    for (const std::string& name : work.edges) planned_.edges.push_back(edge(name));
    return Done{};
  }
  Status operator()(const NickWork& work) {
    planned_.edges.push_back(edge(work.edge));
    return Done{};
  }
  Status operator()(const RowWork& work) {
    for (const CountChange& change : work.spacing.counts) {
      const auto from = position_named(run_.stated_sizes, change.from);
      const auto to = position_named(run_.stated_sizes, change.to);
      if (!from || !to) return not_in_run("size", from ? change.to : change.from);
      if (*from > *to)
        return bad_counts(
            fmt::format("the counts from size {} to size {} are of no size: the first is the "
                        "larger; give the smaller first",
                        change.from, change.to));
      for (std::size_t i = 0; i < planned_.counts.size(); ++i) {
        const PlannedFeature::Stretch& before = planned_.counts[i];
        if (before.to < *from || *to < before.from) continue;
        const CountChange& other = work.spacing.counts[i];
        return bad_counts(
            fmt::format("the counts from size {} to size {} and from size {} to size {} overlap: give each "
                        "size one count",
                        other.from, other.to, change.from, change.to));
      }
      planned_.counts.push_back({*from, *to, change.count});
    }
    return course(work.along);
  }
  Status operator()(const SizeMarksWork& work) {
    planned_.edges.push_back(edge(work.edge));
    const auto code = std::find_if(style_.codes.begin(), style_.codes.end(),
                                   [&](const MarkCode& one) { return one.name == work.code; });
    invariant(code != style_.codes.end(), "a code that is used exists");
    planned_.of = code->of;
    return code->of == CodeOf::kSize ? marks(*code, run_.stated_sizes, "size")
                                     : marks(*code, run_.stated_widths, "width");
  }

 private:
  static Problem not_in_run(const char* kind, const std::string& label) {
    return {
        Trouble::kBadValue, fmt::format("the run of the style has no {} \"{}\"", kind, label), {}, {}, {}};
  }

  static Problem bad_counts(std::string message) {
    return {Trouble::kBadValue, std::move(message), {}, {}, {}};
  }

  [[nodiscard]] std::uint16_t edge(const std::string& name) const {
    const auto found = std::find_if(piece_.edges.begin(), piece_.edges.end(),
                                    [&](const EdgeSpec& one) { return one.name == name; });
    invariant(found != piece_.edges.end(), "an edge that is used exists");
    return static_cast<std::uint16_t>(found - piece_.edges.begin());
  }

  void spot(const Spot& spot) {
    Vec2 at;
    if (const auto* name = std::get_if<std::string>(&spot)) {
      const auto found = std::find_if(forme_.points.begin(), forme_.points.end(),
                                      [&](const NamedPoint& one) { return one.name == *name; });
      invariant(found != forme_.points.end(), "a point that is used exists");
      at = found->at;
    } else {
      at = std::get<Vec2>(spot);
    }
    planned_.spots.push_back(static_cast<std::uint32_t>(plan_.spots.size()));
    plan_.spots.push_back(at);
  }

  Status place(const FeaturePlace& place) {
    if (const auto* forme = std::get_if<FormePlace>(&place)) {
      spot(forme->spot);
    } else {
      planned_.edges.push_back(edge(std::get<EdgePlace>(place).edge));
    }
    return Done{};
  }
  Status course(const CourseSpec& course) {
    for (const std::string& name : course.edges) planned_.edges.push_back(edge(name));
    for (const Spot& one : course.through) spot(one);
    return Done{};
  }

  template <class Step>
  Status marks(const MarkCode& code, const std::vector<Step>& steps, const char* kind) {
    for (const Step& step : steps) {
      const auto found = std::find_if(code.marks.begin(), code.marks.end(),
                                      [&](const auto& one) { return same_label(one.first, step.label); });
      if (found == code.marks.end()) {
        return Problem{
            Trouble::kBadValue,
            fmt::format("the code \"{}\" has no marks for the {} \"{}\"", code.name, kind, step.label),
            {},
            {},
            {}};
      }
      planned_.marks.push_back({step.position, found->second});
    }
    return Done{};
  }

  const StyleSpec& style_;
  const PieceSpec& piece_;
  const FormeSpec& forme_;
  const SizeRun& run_;
  FeaturePlan plan_;
  PlannedFeature planned_;
};

}  // namespace

Result<FeaturePlan> plan_features(const StyleSpec& style, const PieceSpec& piece, const FormeSpec& forme,
                                  const SizeRun& run) {
  return Planner(style, piece, forme, run).plan();
}

std::optional<int> count_in(const RowSpacing& spacing, const PlannedFeature& planned, const Size& size) {
  for (const PlannedFeature::Stretch& stretch : planned.counts) {
    if (stretch.from <= size.position && size.position <= stretch.to) return stretch.count;
  }
  return spacing.count;
}

std::span<const int> marks_in(const PlannedFeature& planned, const SizeWidth& at) {
  const Fraction position = planned.of == CodeOf::kSize ? at.size.position : at.width.position;
  for (const PlannedFeature::Marks& one : planned.marks) {
    if (one.position == position) return one.marks;
  }
  return {};
}

}  // namespace lastwright
