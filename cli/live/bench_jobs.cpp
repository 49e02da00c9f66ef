#include "cli/live/bench_jobs.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <utility>

#include "cli/files/output_set.hpp"
#include "cli/files/target.hpp"
#include "cli/files/unfinished.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostSaid = 64U << 10;

bool lies_there(const std::string& path) {
  struct stat found {};
  return ::lstat(path.c_str(), &found) == 0;
}

// A terminal of its own, for only to one a command shows how far it has come.
struct Terminal {
  int own = -1;
  int its = -1;
};
std::optional<Terminal> open_terminal() {
  Terminal made;
  made.own = ::posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
  if (made.own < 0) return std::nullopt;
  const char* name = ::grantpt(made.own) == 0 && ::unlockpt(made.own) == 0 ? ::ptsname(made.own) : nullptr;
  made.its = name == nullptr ? -1 : ::open(name, O_RDWR | O_NOCTTY | O_CLOEXEC);
  if (made.its >= 0) return made;
  ::close(made.own);
  return std::nullopt;
}

std::vector<char*> pointers(std::vector<std::string>& words) {
  std::vector<char*> out;
  for (std::string& word : words) out.push_back(word.data());
  out.push_back(nullptr);
  return out;
}

std::vector<std::string> surroundings() {
  std::vector<std::string> out = {"TERM=ansi"};
  for (char** one = environ; *one != nullptr; ++one) {
    if (std::strncmp(*one, "TERM=", 5) != 0) out.emplace_back(*one);
  }
  return out;
}

// Lines that were drawn over each other, as they would be seen in the end: what follows a carriage return
// takes the place of what stood there.
std::string as_seen(std::string_view said) {
  std::string out;
  std::string line;
  for (std::size_t i = 0; i < said.size(); ++i) {
    const char c = said[i];
    if (c == '\x1b') {
      while (i + 1 < said.size() && std::strchr("mK", said[i]) == nullptr) ++i;
    } else if (c == '\n') {
      out += line + '\n';
      line.clear();
    } else if (c == '\r') {
      if (i + 1 >= said.size() || said[i + 1] != '\n') line.clear();
    } else {
      line += c;
    }
  }
  return out + line;
}

// "grading 1,234 of 8,000": the last one drawn.
std::pair<std::size_t, std::size_t> last_progress(std::string_view said) {
  const std::size_t at = said.rfind(" of ");
  const std::size_t line = at == std::string_view::npos ? at : said.rfind('\r', at);
  if (line == std::string_view::npos) return {0, 0};
  const auto number = [](std::string_view text) {
    std::size_t out = 0;
    bool any = false;
    for (const char c : text) {
      if (c >= '0' && c <= '9') {
        out = out * 10 + static_cast<std::size_t>(c - '0');
        any = true;
      } else if (any && c != ',') {
        break;
      }
    }
    return out;
  };
  return {number(said.substr(line, at - line)), number(said.substr(at + 4, 20))};
}

}  // namespace

struct BenchJobs::Kind {
  const char* kind;
  const char* says;
  const char* suffix;  // of its output, after the name of the style
  bool is_folder;
};

const std::vector<BenchJobs::Kind>& BenchJobs::kinds() {
  static const std::vector<Kind> kKinds = {
      {"grade", "every piece in every size and width: DXF, pictures, sheets, tables", "-set", true},
      {"dies", "the die order: the fewest dies that are found to serve the run, each as DXF", "-dies", true},
      {"report", "one page about the whole run", "-report.html", false},
      {"plot", "the base pieces at true scale on A4", "-plot.pdf", false},
  };
  return kKinds;
}

BenchJobs::~BenchJobs() {
  stop();
}

std::string BenchJobs::out_of(const Kind& kind) const {
  return std::filesystem::path(style_).replace_extension().string() + kind.suffix;
}

std::vector<std::string> BenchJobs::words_for(const Kind& kind, bool replace) const {
  std::vector<std::string> words = {"lastwright", kind.kind, style_, "--out", out_of(kind)};
  if (replace) words.emplace_back("--force");
  words.insert(words.end(), words_.begin(), words_.end());
  return words;
}

const BenchJobs::Kind* BenchJobs::kind_named(std::string_view name) {
  const auto found =
      std::find_if(kinds().begin(), kinds().end(), [&](const Kind& one) { return name == one.kind; });
  return found == kinds().end() ? nullptr : &*found;
}

std::optional<std::string> BenchJobs::busy_for(std::string_view kind) {
  listen();
  if (kind_named(kind) == nullptr) return "there is no work of this name";
  if (job_ && !job_->ended) return fmt::format("{} still runs: wait for it, or stop it", job_->kind);
  return std::nullopt;
}

std::optional<std::string> BenchJobs::start(std::string_view kind, bool replace) {
  if (auto why = busy_for(kind)) return why;
  const std::optional<Terminal> terminal = open_terminal();
  if (!terminal) return fmt::format("the system gives no terminal: {}", std::strerror(errno));
  std::vector<std::string> words = words_for(*kind_named(kind), replace);
  std::vector<std::string> around = surroundings();
  posix_spawn_file_actions_t files;
  ::posix_spawn_file_actions_init(&files);
  ::posix_spawn_file_actions_addopen(&files, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  ::posix_spawn_file_actions_adddup2(&files, terminal->its, STDOUT_FILENO);
  ::posix_spawn_file_actions_adddup2(&files, terminal->its, STDERR_FILENO);
  // A group of its own: Ctrl-C at the terminal of the page ends the page first, which then ends it.
  posix_spawnattr_t how;
  ::posix_spawnattr_init(&how);
  ::posix_spawnattr_setflags(&how, POSIX_SPAWN_SETPGROUP);
  ::posix_spawnattr_setpgroup(&how, 0);
  pid_t pid = -1;
  const int failed =
      ::posix_spawn(&pid, "/proc/self/exe", &files, &how, pointers(words).data(), pointers(around).data());
  ::posix_spawnattr_destroy(&how);
  ::posix_spawn_file_actions_destroy(&files);
  ::close(terminal->its);
  if (failed != 0) {
    ::close(terminal->own);
    return fmt::format("{} could not be started: {}", kind, std::strerror(failed));
  }
  ::fcntl(terminal->own, F_SETFL, O_NONBLOCK);
  job_ = Running{std::string(kind), pid, terminal->own, {}, false, false, -1};
  return std::nullopt;
}

// Takes what it said since, and notices its end.
void BenchJobs::listen() {
  if (!job_ || job_->ended) return;
  int status = 0;
  const bool ended = ::waitpid(job_->pid, &status, WNOHANG) == job_->pid;
  char some[4096];
  while (true) {
    const ssize_t got = ::read(job_->out, some, sizeof some);
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) break;  // nothing more for now, or nobody has the other end any more
    job_->said.append(some, static_cast<std::size_t>(got));
    // Progress is drawn over and over: what was drawn before the last of it is not kept.
    if (job_->said.size() > kMostSaid) job_->said = as_seen(job_->said).substr(0, kMostSaid / 2);
  }
  if (!ended) return;
  ::close(job_->out);
  job_->out = -1;
  job_->ended = true;
  job_->code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

void BenchJobs::stop() {
  listen();
  if (!job_ || job_->ended) return;
  ::kill(job_->pid, SIGKILL);
  int status = 0;
  while (::waitpid(job_->pid, &status, 0) < 0 && errno == EINTR) {
  }
  ::close(job_->out);
  job_->out = -1;
  job_->ended = job_->stopped = true;
  job_->code = -1;
  for (const Kind& kind : kinds()) {
    if (job_->kind == kind.kind) sweep(kind);
  }
}

// The next one into the same place removes what a killed one left: so its place is claimed, and given up.
void BenchJobs::sweep(const Kind& kind) const {
  if (kind.is_folder) {
    (void)OutputSet::begin(out_of(kind), {.force = true});
    return;
  }
  FileSystem& system = real_file_system();
  const Result<Target> target = look_at_target(out_of(kind), system);
  if (!target) return;
  if (const Result<HiddenFile> claimed = claim_hidden_file(*target, system); claimed)
    system.remove_at(target->folder.number(), claimed->name.c_str(), 0);
}

Json BenchJobs::state() {
  listen();
  Json out = {{"kinds", Json::array()}, {"job", nullptr}};
  for (const Kind& kind : kinds()) {
    const std::string path = out_of(kind);
    out["kinds"].push_back({{"kind", kind.kind},
                            {"says", kind.says},
                            {"out", std::filesystem::path(path).filename().string()},
                            {"there", lies_there(path)}});
  }
  if (job_) {
    const auto [done, total] = last_progress(job_->said);
    out["job"] = {{"kind", job_->kind},      {"running", !job_->ended}, {"done", done},
                  {"total", total},          {"code", job_->code},      {"said", as_seen(job_->said)},
                  {"stopped", job_->stopped}};
  }
  return out;
}

}  // namespace lastwright
