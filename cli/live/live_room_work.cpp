// What a LiveRoom is asked for beyond single changes: drafts, new drawings, versions, work on the file.
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>
#include <vector>

#include "cli/live/bench_draft.hpp"
#include "cli/live/bench_folder.hpp"
#include "cli/live/bench_versions.hpp"
#include "cli/live/live_json.hpp"
#include "cli/live/live_room.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

WebReply told_json(const Json& json) {
  return {200, "application/json; charset=utf-8", json.dump(-1, ' ', false, Json::error_handler_t::replace)};
}

}  // namespace

WebReply LiveRoom::choices(const Json&) {
  const StyleRead read = read_style(desk_.style().text(), desk_.path());
  return told_json(draft_choices(desk_.path(), read.ok() ? *read.style : StyleSpec{}));
}

// All that was stated goes: as one step, which can be taken back.
WebReply LiveRoom::draft(const Json& asked) {
  const StyleRead read = read_style(desk_.style().text(), desk_.path());
  if (!read.ok()) return refused(read.problems.front());
  Result<DraftedAnew> made = drafted_anew(desk_.path(), *read.style, asked);
  if (!made) return refused(made.problem());
  desk_.replace("drafted from the drawings", made->text);
  return state_with(asked, {{"told", made->told}});
}

WebReply LiveRoom::pile(const Json&) {
  look_again();
  const bool there = live_.ready() && live_.current();
  return told_json({{"pile", there ? pile_json(live_.style()) : Json::array()}});
}

WebReply LiveRoom::redraw(const Json& asked) {
  Result<BenchRedraw> made = redraw_on_bench({desk_.path(), desk_.style().text()}, files_, asked);
  if (!made) return refused(made.problem());
  if (asked.value("take", Json()) != true) return told_json(made->answer);
  if (made->text.empty()) return refusal(422, "not everything is found again: nothing was changed");
  desk_.replace(
      fmt::format("the drawing {} in the place of {}", text_in(asked, "file").value_or("").substr(0, 200),
                  text_in(asked, "drawing").value_or("").substr(0, 200)),
      made->text);
  return state_with(asked);
}

// With the style as it was when this work began, as the file is now, or with another file beside it.
WebReply LiveRoom::compare(const Json& asked) {
  BenchVersion was{desk_.path(), {}};
  const std::string with = text_in(asked, "with").value_or("");
  if (with == "start") {
    StyleText style = desk_.style();
    style.go_to(0);
    was.text = style.text();
  } else {
    const auto file = with == "file" ? desk_.path() : beside(desk_.path(), ".json", with);
    if (!file) return refusal(422, "there is no such file beside the style");
    const Result<std::string> text = read_file(*file, std::size_t{16} << 20);
    if (!text) return refused(text.problem());
    was = {*file, *text};
  }
  const Result<Json> answer = compare_on_bench(was, {desk_.path(), desk_.style().text()}, files_, threads_);
  return answer ? told_json(*answer) : refused(answer.problem());
}

WebReply LiveRoom::jobs(const Json&) {
  return told_json(jobs_.state());
}

// Why nothing is kept in the file for this work: it would be refused, and the file would be left unsound.
std::optional<WebReply> LiveRoom::unfit_for_work(const std::string& kind) {
  if (const auto why = jobs_.busy_for(kind)) return refusal(422, *why);
  fresh_ = true;  // what is started reads the drawings as they are now
  look_again();
  if (live_.ready() && live_.current()) live_.prepare_all();
  const std::vector<Problem> problems = live_.problems();
  if (problems.empty()) return std::nullopt;
  Problem first = problems.front();
  first.message +=
      "; nothing was kept in the file and nothing was started: change it, or take it back, first";
  return refused(first);
}

// What runs reads the file: what is not kept in it would not be in its output, and nothing would say so.
WebReply LiveRoom::start(const Json& asked) {
  if (asked.value("stop", Json()) == true) {
    jobs_.stop();
    return told_json(jobs_.state());
  }
  if (desk_.changed()) return refusal(409, "keep your steps in the file first: the work is done from it");
  if (const auto why =
          jobs_.start(text_in(asked, "kind").value_or(""), asked.value("replace", Json()) == true))
    return refusal(422, *why);
  return told_json(jobs_.state());
}

}  // namespace lastwright
