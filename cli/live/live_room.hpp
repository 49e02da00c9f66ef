// What the page asks for, and what it is answered: one style on its desk, and its grade.
//
// Every request is a POST with a JSON object, and is answered with one. /change, /steps, /save, /save-aside,
// /take-file, /draft and /redraw with "take" answer with the whole state of the work, as /state does; with
// "piece" in the request the nest of that piece comes along. So does the sheet, everything in one size and
// width; but where many pieces are still to be made for it and the request says "sheet": "after", the answer
// says "sheet_after", and /sheet has it and what could not be made. /save and /save-aside keep nothing that
// cannot be loaded as a style. /save with "for", work that is to be started then ("grade"), keeps nothing
// where that work would be refused: it still runs, or the style is unsound. A request that makes no sense is
// refused with a reason; nothing a page sends reaches a file name but names of files that lie beside the
// style.
#pragma once

#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "cli/live/bench_jobs.hpp"
#include "cli/live/live_json.hpp"
#include "cli/live/style_desk.hpp"
#include "cli/live/web.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

class LiveRoom {
 public:
  // `desk` is already open.
  // `words`: what the commands that the page starts are told besides.
  LiveRoom(StyleDesk desk, LoadStyleOptions files, unsigned threads, std::vector<std::string> words = {});
  ~LiveRoom();
  LiveRoom(const LiveRoom&) = delete;
  LiveRoom& operator=(const LiveRoom&) = delete;

  // Answers later, in the order of the asking, from a thread
  // of its own; checks give way to what comes after them.
  void ask(const std::string& path, std::string body, WebAnswer answer);
  // The same at once, for tests. Not together with ask().
  WebReply answer_now(const std::string& path, const std::string& body);

 private:
  struct Asked {
    std::string path;
    std::string body;
    WebAnswer answer;
  };

  void work();
  void look_again();
  [[nodiscard]] static WebReply refused(const Status& status);
  [[nodiscard]] Json state();
  WebReply state_with(const Json& asked);
  WebReply state_with(const Json& asked, const Json& more);
  void add_sheet(const Json& asked, Json& out);
  void add_problems(Json& out) const;
  WebReply change(const Json& asked);
  WebReply steps(const Json& asked);
  WebReply look(const Json& asked);
  WebReply sheet(const Json& asked);
  WebReply checks(const Json& asked);
  WebReply save(const Json& asked);
  std::optional<WebReply> unfit_for_work(const std::string& kind);
  [[nodiscard]] std::optional<WebReply> unread_style() const;
  WebReply save_aside(const Json& asked);
  WebReply take_file(const Json& asked);
  WebReply choices(const Json& asked);
  WebReply draft(const Json& asked);
  WebReply pile(const Json& asked);
  WebReply redraw(const Json& asked);
  WebReply compare(const Json& asked);
  WebReply jobs(const Json& asked);
  WebReply start(const Json& asked);

  StyleDesk desk_;
  LoadStyleOptions files_;
  LiveGrade live_;
  unsigned threads_;
  BenchJobs jobs_;
  std::string looked_at_;  // the text that the grade is of
  bool fresh_ = true;

  std::mutex mutex_;
  std::condition_variable come_;
  std::deque<Asked> queue_;
  bool ending_ = false;
  std::atomic<bool> stop_{false};  // the checks that run now
  std::thread worker_;
};

}  // namespace lastwright
