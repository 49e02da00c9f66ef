#include "cli/live/loopback_server.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/posix/stream_descriptor.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <chrono>
#include <list>
#include <utility>

namespace lastwright {

namespace {

namespace beast = boost::beast;
namespace http = beast::http;
namespace net = boost::asio;
using Tcp = net::ip::tcp;

constexpr std::uint32_t kMostHead = 16U << 10;
constexpr std::uint64_t kMostBody = 1U << 20;
constexpr std::size_t kMostConnections = 64;
constexpr std::chrono::seconds kToRead{10};
constexpr std::chrono::seconds kToTake{30};

// Scripts, looks and answers come from the program; nothing else is loaded, framed, sent or guessed at.
constexpr const char* kPolicy =
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

using Parser = http::request_parser<http::string_body>;

std::string text_of(beast::string_view text) {
  return {text.data(), text.size()};
}

std::string only(const Parser::value_type& request, beast::string_view name) {
  return request.count(name) == 1 ? text_of(request[name]) : std::string();
}

class Connection;

struct Served {
  WebHandlers handlers;
  std::list<std::shared_ptr<Connection>> connections;  // the oldest first
};

class Connection : public std::enable_shared_from_this<Connection> {
 public:
  Connection(Tcp::socket socket, Served& served) : stream_(std::move(socket)), served_(served) {}

  void start() { read_head(); }
  // Whether it may be dropped for another one: it has not proved a key.
  [[nodiscard]] bool idle_stranger() const { return !proven_; }
  void drop() {
    beast::error_code ignored;
    stream_.socket().close(ignored);
  }

 private:
  void read_head() {
    parser_.emplace();
    parser_->header_limit(kMostHead);
    parser_->body_limit(kMostBody);
    stream_.expires_after(
        kToRead);  // of all reads until the next one of these, however little comes each time
    http::async_read_header(
        stream_, buffer_, *parser_,
        [self = shared_from_this()](beast::error_code error, std::size_t) { self->head_read(error); });
  }

  void head_read(beast::error_code error) {
    if (error == http::error::header_limit) return refuse(431, "the head of the request is too long");
    if (error == http::error::body_limit) return refuse(413, "the request is larger than 1 MiB");
    if (error && error.category() == http::make_error_code(http::error::end_of_stream).category() &&
        error != http::error::end_of_stream && error != http::error::partial_message)
      return refuse(400, "this is not a request");
    if (error) return finish();
    const auto& request = parser_->get();
    head_ = {text_of(request.method_string()),
             text_of(request.target()),
             only(request, "Host"),
             only(request, "Origin"),
             only(request, "Content-Type"),
             only(request, "Sec-Fetch-Site"),
             only(request, "X-Key")};
    proven_ = false;
    if (std::optional<WebReply> no = served_.handlers.refuse(head_)) return last(*std::move(no));
    if (parser_->chunked() || request.has_content_length() != (head_.method == "POST"))
      return refuse(411, "a request says how long it is");
    proven_ = head_.method == "POST" && head_.path != "/enter";
    stream_.expires_after(kToRead);
    http::async_read(
        stream_, buffer_, *parser_,
        [self = shared_from_this()](beast::error_code read, std::size_t) { self->body_read(read); });
  }

  void body_read(beast::error_code error) {
    if (error == http::error::body_limit) return refuse(413, "the request is larger than 1 MiB");
    if (error) return finish();
    stream_.expires_never();
    keep_ = parser_->get().keep_alive();
    served_.handlers.serve(
        head_, std::move(parser_->get().body()), [self = shared_from_this()](WebReply reply) {
          net::post(self->stream_.get_executor(),
                    [self, said = std::move(reply)]() mutable { self->write(std::move(said)); });
        });
  }

  void refuse(unsigned status, const char* why) { last(refusal(status, why)); }

  // What is left of the request is not read.
  void last(WebReply reply) {
    keep_ = false;
    write(std::move(reply));
  }

  void write(WebReply reply) {
    answer_ = {};
    answer_.version(11);
    answer_.result(reply.status);
    answer_.set(http::field::content_type, reply.type);
    answer_.set("Content-Security-Policy", kPolicy);
    answer_.set("X-Content-Type-Options", "nosniff");
    answer_.set("X-Frame-Options", "DENY");
    answer_.set("Referrer-Policy", "no-referrer");
    answer_.set("Cross-Origin-Resource-Policy", "same-origin");
    answer_.set("Cross-Origin-Opener-Policy", "same-origin");
    answer_.set(http::field::cache_control, "no-store");
    answer_.keep_alive(keep_);
    answer_.body() = std::move(reply.body);
    answer_.prepare_payload();
    stream_.expires_after(kToTake);
    http::async_write(stream_, answer_, [self = shared_from_this()](beast::error_code error, std::size_t) {
      if (error || !self->keep_) return self->finish();
      self->read_head();
    });
  }

  void finish() {
    beast::error_code ignored;
    stream_.socket().shutdown(Tcp::socket::shutdown_send, ignored);
    drop();
    served_.connections.remove(shared_from_this());
  }

  beast::tcp_stream stream_;
  Served& served_;
  beast::flat_buffer buffer_{kMostHead + (64U << 10)};
  std::optional<Parser> parser_;
  WebHead head_;
  http::response<http::string_body> answer_;
  bool keep_ = false;
  bool proven_ = false;
};

}  // namespace

struct LoopbackServer::Inner {
  net::io_context context{1};
  Tcp::acceptor acceptor{context};
  net::steady_timer pause{context};
  net::signal_set ending{context};
  net::posix::stream_descriptor terminal{context};
  std::function<void()> on_line;
  char typed[256] = {};
  Served served;

  void listen_to_terminal() {
    if (!on_line || ::isatty(STDIN_FILENO) == 0) return;
    beast::error_code error;
    terminal.assign(::dup(STDIN_FILENO), error);
    if (!error) next_line();
  }
  void next_line() {
    terminal.async_read_some(net::buffer(typed), [this](beast::error_code error, std::size_t) {
      if (error) return;
      on_line();
      next_line();
    });
  }

  void accept() {
    acceptor.async_accept([this](beast::error_code error, Tcp::socket socket) {
      if (error == net::error::operation_aborted) return;
      if (error) {  // out of descriptors, for one: a moment later there may be some
        pause.expires_after(std::chrono::milliseconds(50));
        pause.async_wait([this](beast::error_code waited) {
          if (!waited) accept();
        });
        return;
      }
      take(std::move(socket));
      accept();
    });
  }

  void take(Tcp::socket socket) {
    auto& all = served.connections;
    if (all.size() >= kMostConnections) {
      const auto oldest =
          std::find_if(all.begin(), all.end(), [](const auto& one) { return one->idle_stranger(); });
      if (oldest == all.end()) return;
      (*oldest)->drop();
      all.erase(oldest);
    }
    all.push_back(std::make_shared<Connection>(std::move(socket), served));
    all.back()->start();
  }
};

LoopbackServer::LoopbackServer() : inner_(std::make_unique<Inner>()) {}
LoopbackServer::~LoopbackServer() {
  inner_->served.connections.clear();
}

Result<std::unique_ptr<LoopbackServer>> LoopbackServer::listen(std::uint16_t port) {
  std::unique_ptr<LoopbackServer> server(new LoopbackServer);
  Inner& inner = *server->inner_;
  const Tcp::endpoint at(net::ip::address_v4::loopback(), port);
  beast::error_code error;
  inner.acceptor.open(at.protocol(), error);
  if (!error) inner.acceptor.bind(at, error);
  if (!error) inner.acceptor.listen(net::socket_base::max_listen_connections, error);
  if (error) {
    return Problem{Trouble::kFileSystem,
                   fmt::format("no page can be served at 127.0.0.1, port {}: {}; another --port may be free",
                               port, error.message()),
                   {},
                   {},
                   {}};
  }
  return server;
}

std::uint16_t LoopbackServer::port() const {
  return inner_->acceptor.local_endpoint().port();
}

void LoopbackServer::on_line(std::function<void()> line) {
  inner_->on_line = std::move(line);
}

void LoopbackServer::run(WebHandlers handlers) {
  inner_->served.handlers = std::move(handlers);
  inner_->ending.add(SIGINT);
  inner_->ending.add(SIGTERM);
  inner_->ending.async_wait([this](beast::error_code error, int) {
    if (!error) inner_->context.stop();
  });
  inner_->listen_to_terminal();
  inner_->accept();
  inner_->context.run();
}

void LoopbackServer::stop() {
  inner_->context.stop();
}

}  // namespace lastwright
