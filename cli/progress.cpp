#include "cli/progress.hpp"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <string_view>

namespace lastwright {

namespace {

constexpr auto kFirst = std::chrono::milliseconds(300);
constexpr auto kBetween = std::chrono::milliseconds(100);
constexpr const char* kWipe = "\r\x1b[K";

bool can_redraw(int terminal) {
  if (::isatty(terminal) == 0) return false;
  const char* kind = std::getenv("TERM");
  return kind != nullptr && *kind != '\0' && std::string_view(kind) != "dumb";
}

std::size_t columns_of(int terminal) {
  winsize size{};
  return ::ioctl(terminal, TIOCGWINSZ, &size) == 0 && size.ws_col > 0 ? size.ws_col : 80;
}

// What cannot be written to a terminal is not worth an error.
void put(int terminal, std::string_view text) {
  [[maybe_unused]] const auto ignored = ::write(terminal, text.data(), text.size());
}

std::string grouped(std::size_t number) {
  std::string digits = std::to_string(number);
  for (std::size_t at = digits.size(); at > 3; at -= 3) digits.insert(at - 3, ",");
  return digits;
}

}  // namespace

std::string progress_line(const std::string& what, std::size_t done, std::size_t total, std::size_t columns) {
  std::string counts = fmt::format("{} {} of {} ", what, grouped(done), grouped(total));
  if (columns <= counts.size()) return counts.substr(0, columns > 0 ? columns - 1 : 0);
  const std::size_t room = std::min<std::size_t>(40, columns - counts.size() - 1);
  if (room < 8 || total == 0) return counts;
  const std::size_t inside = room - 2;
  const std::size_t filled = inside * std::min(done, total) / total;
  std::string bar(filled, '=');
  if (filled < inside) bar += '>';
  bar.resize(inside, ' ');
  return counts + '[' + bar + ']';
}

Progress::Progress(std::string what, std::size_t total, int terminal)
    : what_(std::move(what)),
      total_(total),
      terminal_(terminal),
      shown_(can_redraw(terminal)),
      next_(Clock::now() + kFirst) {}

Progress::~Progress() {
  if (drawn_) put(terminal_, kWipe);
}

void Progress::advance(std::size_t count) {
  const std::size_t done = done_ += count;
  if (!shown_ || !drawing_.try_lock()) return;
  const std::lock_guard guard(drawing_, std::adopt_lock);
  if (Clock::now() >= next_) draw(done);
}

void Progress::draw(std::size_t done) {
  put(terminal_, '\r' + progress_line(what_, done, total_, columns_of(terminal_)) + "\x1b[K");
  drawn_ = true;
  next_ = Clock::now() + kBetween;
}

}  // namespace lastwright
