#include "cli/live/style_desk.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <filesystem>
#include <optional>
#include <utility>

#include "cli/files/sha256.hpp"
#include "cli/files/write_file.hpp"
#include "cli/live/live_json.hpp"
#include "geometry/files/read_file.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostDeskBytes = std::size_t{16} << 20;
constexpr std::size_t kMostDraftBytes = std::size_t{128} << 20;

Json step_json(const TextStep& step) {
  Json splices = Json::array();
  for (const Splice& splice : step.splices) splices.push_back({splice.at, splice.removed, splice.put});
  return {{"says", step.says}, {"splices", std::move(splices)}};
}

Json steps_json(const std::vector<TextStep>& steps) {
  Json out = Json::array();
  for (const TextStep& step : steps) out.push_back(step_json(step));
  return out;
}

// A draft is a file like any other: it may hold anything.
std::optional<std::vector<TextStep>> steps_in(const Json& draft, const char* key) {
  std::vector<TextStep> steps;
  const auto list = draft.find(key);
  if (list == draft.end() || !list->is_array()) return std::nullopt;
  for (const Json& one : *list) {
    if (!one.is_object() || !one.contains("says") || !one["says"].is_string() || !one.contains("splices") ||
        !one["splices"].is_array())
      return std::nullopt;
    TextStep step{one["says"].get<std::string>(), {}};
    for (const Json& splice : one["splices"]) {
      if (!splice.is_array() || splice.size() != 3 || !splice[0].is_number_unsigned() ||
          !splice[1].is_string() || !splice[2].is_string())
        return std::nullopt;
      step.splices.push_back(
          {splice[0].get<std::size_t>(), splice[1].get<std::string>(), splice[2].get<std::string>()});
    }
    steps.push_back(std::move(step));
  }
  return steps;
}

bool is_there(const std::string& path) {
  struct stat found {};
  return ::lstat(path.c_str(), &found) == 0;
}

}  // namespace

Result<StyleDesk> StyleDesk::open(std::string path, FileSystem& system) {
  StyleDesk desk(std::move(path), system);
  if (Status held = desk.hold(); !held) return held.problem();
  if (Status read = desk.read(); !read) return read.problem();
  if (Status draft = desk.take_draft(); !draft) return draft.problem();
  return desk;
}

Status StyleDesk::hold() {
  OpenFile file = open_fully(*system_, AT_FDCWD, path_.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (!file) return file_problem("open", path_, errno);
  if (::flock(file.number(), LOCK_EX | LOCK_NB) != 0) {
    return Problem{Trouble::kWouldReplace,
                   "this style is open in another lastwright; end that one first",
                   {path_, 0, {}, {}},
                   {},
                   {}};
  }
  lock_ = std::move(file);
  return Done{};
}

Status StyleDesk::read() {
  Result<std::string> text = read_file(path_, kMostDeskBytes);
  if (!text) return text.problem();
  if (const Result<JsonDocument> document = parse_json(*text, path_); !document) return document.problem();
  base_ = *std::move(text);
  style_ = StyleText(base_);
  return Done{};
}

Status StyleDesk::take_draft() {
  if (!is_there(draft_path())) return Done{};
  const Result<std::string> text = read_file(draft_path(), kMostDraftBytes);
  if (!text) return text.problem();
  Problem unsound{
      Trouble::kSyntax,
      "this is not a draft that lastwright open has left; move it away, then open the style again",
      {draft_path(), 0, {}, {}},
      {},
      {}};
  const Result<JsonDocument> document =
      parse_json(*text, draft_path(), {kMostDraftBytes, 64, 10'000'000, 1024});
  if (!document || !document->root.is_object()) return unsound;
  const Json& draft = document->root;
  for (const char* key : {"of", "text"}) {
    if (!draft.contains(key) || !draft[key].is_string()) return unsound;
  }
  std::optional<std::vector<TextStep>> done = steps_in(draft, "done");
  std::optional<std::vector<TextStep>> undone = steps_in(draft, "undone");
  if (!done || !undone) return unsound;
  Result<StyleText> style =
      StyleText::resumed(draft["text"].get<std::string>(), *std::move(done), *std::move(undone));
  if (!style || !parse_json(style->text(), draft_path())) return unsound;
  style_ = *std::move(style);
  resumed_ = true;
  // Of another file than the one there is now: what it began with is not known any more, and nothing on the
  // disk is equal to it, so that nothing is written over.
  if (draft["of"] != to_hex(sha256(base_))) base_.clear();
  return Done{};
}

bool StyleDesk::conflict() const {
  const Result<std::string> now = read_file(path_, kMostDeskBytes);
  return !now || *now != base_;
}

Status StyleDesk::change(std::string says, const std::vector<JsonEdit>& edits) {
  if (Status changed = style_.change(std::move(says), edits); !changed) return changed;
  write_draft();
  return Done{};
}

void StyleDesk::replace(std::string says, std::string_view text) {
  style_.replace(std::move(says), text);
  write_draft();
}

void StyleDesk::go_to(std::size_t done) {
  style_.go_to(done);
  write_draft();
}

void StyleDesk::write_draft() {
  draft_fault_.clear();
  if (!changed() && style_.done().empty() && style_.undone().empty()) return;
  const Json draft = {{"lastwright_draft", 1},
                      {"of", to_hex(sha256(base_))},
                      {"text", style_.text()},
                      {"done", steps_json(style_.done())},
                      {"undone", steps_json(style_.undone())}};
  OutputOptions options{.force = true, .durable = false, .inputs = {path_}};
  const Status written = write_file_whole(
      draft_path(), draft.dump(-1, ' ', false, Json::error_handler_t::replace), options, *system_);
  if (!written) draft_fault_ = plain_text(written.problem());
}

Status StyleDesk::save() {
  if (conflict()) {
    return Problem{Trouble::kWouldReplace,
                   "something else has changed this file since it was opened; nothing was written",
                   {path_, 0, {}, {}},
                   {},
                   {}};
  }
  if (changed()) {
    if (Status written = write_file_whole(path_, style_.text(), {.force = true}, *system_); !written)
      return written;
    base_ = style_.text();
    if (Status held = hold(); !held) return held;
  }
  system_->remove_at(AT_FDCWD, draft_path().c_str(), 0);
  resumed_ = false;
  draft_fault_.clear();
  return Done{};
}

Result<std::string> StyleDesk::save_aside() {
  const std::filesystem::path style(path_);
  for (int number = 1; number < 1000; ++number) {
    const std::string name =
        fmt::format("{}-mine-{}{}", style.stem().string(), number, style.extension().string());
    const std::string path = (style.parent_path() / name).string();
    const Status written = write_file_whole(path, style_.text(), {}, *system_);
    if (!written && written.problem().trouble == Trouble::kWouldReplace) continue;
    if (!written) return written.problem();
    if (Status taken = take_file(); !taken) return taken.problem();
    return name;
  }
  return bad_value("there is no free name for another file beside the style");
}

Status StyleDesk::take_file() {
  lock_.close();  // it may be the same file, which can be locked once only
  if (Status held = hold(); !held) return held;
  if (Status now = read(); !now) return now;
  system_->remove_at(AT_FDCWD, draft_path().c_str(), 0);
  resumed_ = false;
  draft_fault_.clear();
  return Done{};
}

}  // namespace lastwright
