#include "cli/live/live_room.hpp"

#include <algorithm>
#include <exception>
#include <filesystem>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "grading/live/named_changes.hpp"
#include "grading/live/proposals.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostEdits = 5000;
constexpr std::size_t kAtOnce = 2;  // pieces: no more are made for a sheet that might come later

WebReply said_value(const Json& json) {
  return {200, "application/json; charset=utf-8", json.dump(-1, ' ', false, Json::error_handler_t::replace)};
}

std::optional<std::size_t> number_in(const Json& asked, const char* key) {
  const auto at = asked.find(key);
  if (at == asked.end() || !at->is_number_unsigned()) return std::nullopt;
  return at->get<std::size_t>();
}

std::optional<JsonEdit> edit_in(const Json& one) {
  if (!one.is_object()) return std::nullopt;
  const std::optional<std::string> what = text_in(one, "do");
  const std::optional<std::string> pointer = text_in(one, "at");
  if (!what || !pointer) return std::nullopt;
  JsonEdit edit{JsonEdit::Kind::kSet, *pointer, one.value("to", Json())};
  if (*what == "set") return edit;
  edit.kind = JsonEdit::Kind::kInsert;
  if (*what == "insert") return edit;
  edit.kind = JsonEdit::Kind::kRemove;
  if (*what == "remove") return edit;
  edit.kind = JsonEdit::Kind::kRename;
  if (*what == "rename") return edit;
  return std::nullopt;
}

std::optional<std::vector<JsonEdit>> edits_in(const Json& asked) {
  const auto list = asked.find("edits");
  if (list == asked.end() || !list->is_array() || list->size() > kMostEdits) return std::nullopt;
  std::vector<JsonEdit> edits;
  for (const Json& one : *list) {
    std::optional<JsonEdit> edit = edit_in(one);
    if (!edit) return std::nullopt;
    edits.push_back(*std::move(edit));
  }
  return edits;
}

}  // namespace

LiveRoom::LiveRoom(StyleDesk desk, LoadStyleOptions files, unsigned threads, std::vector<std::string> words)
    : desk_(std::move(desk)),
      files_(std::move(files)),
      live_(threads),
      threads_(threads),
      jobs_(desk_.path(), std::move(words)) {}

LiveRoom::~LiveRoom() {
  {
    const std::scoped_lock lock(mutex_);
    ending_ = true;
    stop_ = true;
  }
  come_.notify_all();
  if (worker_.joinable()) worker_.join();
}

void LiveRoom::ask(const std::string& path, std::string body, WebAnswer answer) {
  const std::scoped_lock lock(mutex_);
  if (!worker_.joinable()) worker_ = std::thread([this] { work(); });
  queue_.push_back({path, std::move(body), std::move(answer)});
  stop_ = true;
  come_.notify_all();
}

void LiveRoom::work() {
  while (true) {
    Asked asked;
    {
      std::unique_lock lock(mutex_);
      come_.wait(lock, [this] { return ending_ || !queue_.empty(); });
      if (ending_) return;
      asked = std::move(queue_.front());
      queue_.pop_front();
      stop_ = !queue_.empty();
    }
    WebReply reply;
    try {
      reply = answer_now(asked.path, asked.body);
    } catch (const std::exception& error) {
      reply = refusal(500, std::string("a fault of the program: ") + error.what());
    }
    asked.answer(std::move(reply));
  }
}

WebReply LiveRoom::answer_now(const std::string& path, const std::string& body) {
  const Result<JsonDocument> document = parse_json(body, "the request");
  if (!document) return refusal(400, plain_text(document.problem()));
  const Json& asked = document->root;
  if (!asked.is_object()) return refusal(400, "a request is a JSON object");
  using Answer = WebReply (LiveRoom::*)(const Json&);
  static const std::map<std::string, Answer> kAnswers = {
      {"/state", &LiveRoom::state_with},    {"/change", &LiveRoom::change},
      {"/steps", &LiveRoom::steps},         {"/look", &LiveRoom::look},
      {"/sheet", &LiveRoom::sheet},         {"/checks", &LiveRoom::checks},
      {"/save", &LiveRoom::save},           {"/save-aside", &LiveRoom::save_aside},
      {"/take-file", &LiveRoom::take_file}, {"/choices", &LiveRoom::choices},
      {"/draft", &LiveRoom::draft},         {"/pile", &LiveRoom::pile},
      {"/redraw", &LiveRoom::redraw},       {"/compare", &LiveRoom::compare},
      {"/jobs", &LiveRoom::jobs},           {"/start", &LiveRoom::start},
  };
  if (const auto found = kAnswers.find(path); found != kAnswers.end()) return (this->*found->second)(asked);
  return refusal(404, "there is nothing here");
}

WebReply LiveRoom::refused(const Status& status) {
  const Problem& problem = status.problem();
  const unsigned code = problem.trouble == Trouble::kWouldReplace ? 409 : 422;
  return {code, "application/json; charset=utf-8",
          Json{{"refused", plain_text(problem)}, {"problem", problem_json(problem)}}.dump(
              -1, ' ', false, Json::error_handler_t::replace)};
}

// Drawings and tables are read again too: they may have changed on the disk.
void LiveRoom::look_again() {
  const std::string& text = desk_.style().text();
  if (!fresh_ && looked_at_ == text) return;
  live_.take(text, load_style_text(desk_.path(), text, files_));
  looked_at_ = text;
  fresh_ = false;
}

Json LiveRoom::state() {
  look_again();
  const StyleText& style = desk_.style();
  Json done = Json::array();
  for (const TextStep& step : style.done()) done.push_back(step.says);
  Json undone = Json::array();
  for (auto step = style.undone().rbegin(); step != style.undone().rend(); ++step)
    undone.push_back(step->says);
  Json out = {{"file", std::filesystem::path(desk_.path()).filename().string()},
              {"style", parse_json(style.text(), desk_.path())->root},
              {"done", std::move(done)},
              {"undone", std::move(undone)},
              {"changed", desk_.changed()},
              {"resumed", desk_.resumed()},
              {"conflict", desk_.conflict()},
              {"draft_fault", desk_.draft_fault()},
              {"ready", live_.ready()},
              {"current", live_.current()}};
  if (live_.ready()) {
    out["run"] = run_json(live_.style().run);
    out["notes"] = live_.style().notes;
  }
  return out;
}

WebReply LiveRoom::state_with(const Json& asked) {
  return state_with(asked, Json::object());
}

WebReply LiveRoom::state_with(const Json& asked, const Json& more) {
  Json out = state();
  out.update(more);
  if (live_.ready()) {
    // The chosen piece first: the others follow with the sheet, where that may come later.
    const auto& pieces = live_.style().pieces;
    const std::optional<std::string> name = text_in(asked, "piece");
    const auto chosen = std::find_if(pieces.begin(), pieces.end(),
                                     [&](const BoundPiece& one) { return one.spec.name == name; });
    if (chosen != pieces.end()) {
      const auto index = static_cast<std::size_t>(chosen - pieces.begin());
      if (live_.prepare(index)) out["nest"] = piece_nest_json(live_.grade(), index);
    }
    if (out.contains("nest") && text_in(asked, "sheet") == "after" && live_.to_make_anew() > kAtOnce) {
      out["sheet_after"] = true;
    } else {
      add_sheet(asked, out);
    }
  }
  add_problems(out);
  return said_value(out);
}

void LiveRoom::add_sheet(const Json& asked, Json& out) {
  const std::optional<std::size_t> place = number_in(asked, "cell");
  const StyleGrade& grade = live_.grade();
  const auto made = place ? cell_of_place(grade.run, *place) : std::nullopt;
  const std::size_t shown = made.value_or(grade.base_cell());
  out["sheet"] = sheet_json(live_, shown);
  out["sheet"]["shows"] = label_of(grade.cells[shown]);
}

void LiveRoom::add_problems(Json& out) const {
  Json problems = Json::array();
  for (const Problem& problem : live_.problems()) problems.push_back(problem_json(problem));
  out["problems"] = std::move(problems);
}

WebReply LiveRoom::sheet(const Json& asked) {
  look_again();
  Json out = Json::object();
  if (live_.ready()) add_sheet(asked, out);
  add_problems(out);
  return said_value(out);
}

WebReply LiveRoom::change(const Json& asked) {
  const std::optional<std::string> says = text_in(asked, "says");
  if (!says || says->empty() || says->size() > 1000) return refusal(400, "a change says what it does");
  std::optional<std::vector<JsonEdit>> edits = edits_in(asked);
  const Json root = parse_json(desk_.style().text(), desk_.path())->root;
  const auto named = asked.find("named");
  if (named != asked.end()) {
    const bool settles = named->is_object() && (named->value("what", Json()) == "accept" ||
                                                named->value("what", Json()) == "refuse");
    Result<std::vector<JsonEdit>> made =
        settles ? settled_proposals(root, *named) : named_change(root, *named);
    if (!made) return refused(made.problem());
    edits = *std::move(made);
  }
  if (edits) edits = with_proposals(root, *std::move(edits), named == asked.end());
  if (!edits) return refusal(400, "the edits of a change are a list of {\"do\", \"at\", \"to\"}");
  if (Status changed = desk_.change(*says, *edits); !changed) return refused(changed);
  return state_with(asked);
}

WebReply LiveRoom::steps(const Json& asked) {
  const std::optional<std::size_t> to = number_in(asked, "to");
  const StyleText& style = desk_.style();
  if (!to || *to > style.done().size() + style.undone().size()) return refusal(400, "there is no such step");
  desk_.go_to(*to);
  return state_with(asked);
}

WebReply LiveRoom::look(const Json& asked) {
  fresh_ = true;  // who asks for a look wants the drawings as they are now
  return state_with(asked);
}

WebReply LiveRoom::checks(const Json&) {
  look_again();
  const std::vector<StyleFinding>* findings = live_.check(stop_);
  Json out = findings == nullptr ? Json{{"stopped", static_cast<bool>(stop_)}}
                                 : Json{{"findings", findings_json(*findings)}};
  add_problems(out);
  return said_value(out);
}

WebReply LiveRoom::save(const Json& asked) {
  if (const std::optional<std::string> work = text_in(asked, "for")) {
    if (std::optional<WebReply> unfit = unfit_for_work(*work)) return *std::move(unfit);
  }
  if (!desk_.conflict()) {  // which is told first: desk_ refuses it
    if (std::optional<WebReply> unread = unread_style()) return *std::move(unread);
  }
  if (Status saved = desk_.save(); !saved) return refused(saved);
  return state_with(Json::object());
}

// Why the steps are kept in no file: what they make cannot be loaded as a style. A page may believe
// otherwise, and what reads the file later would be refused far from the step that did it.
std::optional<WebReply> LiveRoom::unread_style() const {
  if (!desk_.changed()) return std::nullopt;
  const Checked<LoadedStyle> load = load_style_text(desk_.path(), desk_.style().text(), files_);
  if (load.ok()) return std::nullopt;
  Problem first = load.problems().front();
  first.message +=
      "; nothing was kept in a file, for it could not be read again: change it, or take it back, first. Your "
      "steps stay in the draft beside the style";
  return refused(first);
}

WebReply LiveRoom::save_aside(const Json&) {
  if (std::optional<WebReply> unread = unread_style()) return *std::move(unread);
  const Result<std::string> name = desk_.save_aside();
  if (!name) return refused(name.problem());
  fresh_ = true;
  Json out = state();
  return said_value({{"aside", *name}});
}

WebReply LiveRoom::take_file(const Json& asked) {
  if (Status taken = desk_.take_file(); !taken) return refused(taken);
  fresh_ = true;
  return state_with(asked);
}

}  // namespace lastwright
