// A small HTTP server for one page of one user, on the loopback address and nowhere else.
//
// What a request may cost is bounded whoever sends it: a head of 16 KiB, a body of 1 MiB that says its length
// beforehand, ten seconds for either, thirty to take the answer, 64 connections. When those are taken, the
// connection that has waited longest without proving a key makes way, so that a thousand slow ones cannot
// keep the page out. Whether a request is let in is decided by its head, before its body is read.
//
// The library that reads the bytes (Boost.Beast) is seen by loopback_server.cpp alone: its headers cost a
// source half a minute to compile.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "cli/live/web.hpp"
#include "geometry/result.hpp"

namespace lastwright {

struct WebHandlers {
  // The refusal, or nothing where the request may go on.
  std::function<std::optional<WebReply>(const WebHead&)> refuse;
  // Called from the thread of run(); long work belongs to another one, which gives the answer later.
  std::function<void(const WebHead&, std::string body, WebAnswer)> serve;
};

class LoopbackServer {
 public:
  // Port 0: a free one.
  static Result<std::unique_ptr<LoopbackServer>> listen(std::uint16_t port);
  ~LoopbackServer();
  LoopbackServer(const LoopbackServer&) = delete;
  LoopbackServer& operator=(const LoopbackServer&) = delete;

  [[nodiscard]] std::uint16_t port() const;
  // Before run(): called for every line on standard input, where that is a terminal.
  void on_line(std::function<void()> line);
  // Serves until stop() or a signal to end (Ctrl-C, SIGTERM).
  void run(WebHandlers handlers);
  void stop();  // from any thread

 private:
  LoopbackServer();
  struct Inner;
  std::unique_ptr<Inner> inner_;
};

}  // namespace lastwright
