// Asio 1.74's awaitable uses std::exchange without including it.
#include <utility>

#include <boost/asio/co_spawn.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/use_awaitable.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/ssl.hpp>
#include <ctime>

#include "server/error_json.hpp"
#include "server/transport/asker.hpp"
#include "server/transport/head.hpp"
#include "server/transport/loop.hpp"
#include "server/transport/target.hpp"

namespace leafturn::server::transport {
namespace {

namespace beast = boost::beast;
namespace http = beast::http;
using std::chrono::steady_clock;
using Plain = beast::tcp_stream;
using Secure = beast::ssl_stream<beast::tcp_stream>;
template <class T>
using Task = asio::awaitable<T>;
using Parser = http::request_parser<http::string_body>;

std::string http_date() {
  const std::time_t now = std::time(nullptr);
  std::tm utc{};
  gmtime_r(&now, &utc);
  std::array<char, 40> text{};
  // The C locale is never changed in this program, so the names of days and months are English, as the standard wants them.
  const std::size_t size = std::strftime(text.data(), text.size(), "%a, %d %b %Y %H:%M:%S GMT", &utc);
  return {text.data(), size};
}

std::string lower(beast::string_view text) {
  std::string out(text.data(), text.size());
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

Response refused_response(const Refusal& refusal, const Request& request) {
  Response response = error_response(refusal.status, refusal.error, request);
  add_safety_headers(response);
  return response;
}

Refusal unreadable() { return {400, {"server.request_unreadable", {}, {}, ErrorKind::bad_input}}; }

/// A request as far as it could be read, and why it is refused if it is.
struct Heard {
  Request request;
  std::optional<Refusal> refused;
  bool keep = false;  ///< the connection may go on
  bool gone = false;  ///< nobody there any more, or nothing worth an answer
};

struct Waiting {
  explicit Waiting(std::size_t& count) : count_{count} { ++count_; }
  ~Waiting() { --count_; }
  Waiting(const Waiting&) = delete;
  Waiting& operator=(const Waiting&) = delete;

 private:
  std::size_t& count_;
};

template <class Stream>
class Conversation final : public Connection {
 public:
  template <class... Tls>
  Conversation(Loop& loop, asio::ip::tcp::socket&& socket, std::shared_ptr<asio::ssl::context> tls, Tls&... context)
      : loop_{loop}, tls_{std::move(tls)}, stream_{std::move(socket), context...}, told_{stream_.get_executor()} {}

  void cut() override {
    beast::get_lowest_layer(stream_).close();
    told_.cancel();
  }
  void tell() override { told_.cancel(); }
  void no_delay() {
    boost::system::error_code ignored;
    lowest().socket().set_option(asio::ip::tcp::no_delay(true), ignored);
  }

  Task<void> run() {
    if (!co_await greet()) co_return;
    for (bool go_on = true; go_on && !loop_.ending;) go_on = co_await exchange();
    co_await part();
  }

 private:
  static constexpr bool secure = std::is_same_v<Stream, Secure>;

  auto& lowest() { return beast::get_lowest_layer(stream_); }
  auto outcome() { return asio::redirect_error(asio::use_awaitable, error_); }

  Task<bool> greet() {
    if constexpr (secure) {
      lowest().expires_after(loop_.options.bounds.handshake);
      co_await stream_.async_handshake(asio::ssl::stream_base::server, outcome());
      co_return !error_;
    }
    co_return true;
  }

  /// One request and its answer. False when the connection is to end.
  Task<bool> exchange() {
    Heard heard = co_await hear();
    if (heard.gone) co_return false;
    const auto began = steady_clock::now();
    Response response;  // set in two ways below: GCC 12 destroys twice what a co_await inside ?: makes
    if (heard.refused) {
      response = refused_response(*heard.refused, heard.request);
    } else {
      response = co_await answer(heard.request);
    }
    const bool keep = heard.keep && !loop_.ending;
    if (response.news && !heard.refused && loop_.options.last_seq && heard.request.method != "HEAD") {
      note(heard.request, response, began);
      co_await tell_news(heard.request, response);
      co_return false;
    }
    co_await say(response, heard.request.method == "HEAD", keep);
    note(heard.request, response, began);
    co_return keep && !error_;
  }

  void note(const Request& request, const Response& response, steady_clock::time_point began) {
    if (!loop_.options.log) return;
    loop_.options.log({request.method, request.path, response.status, response.body.size(),
                       std::chrono::duration_cast<std::chrono::microseconds>(steady_clock::now() - began),
                       request.client.empty() ? peer : request.client, request.secure || secure});
  }

  /// Bytes of the whole head in the buffer; 0 with why not in `heard`.
  Task<std::size_t> read_head(Heard& heard) {
    if (buffer_.size() == 0) {
      idle = true;
      since = steady_clock::now();
      lowest().expires_after(loop_.options.bounds.idle);
    }
    bool begun = buffer_.size() > 0;
    if (begun) lowest().expires_after(loop_.options.bounds.head);
    for (;;) {
      const auto bytes = buffer_.data();
      const std::string_view text{static_cast<const char*>(bytes.data()), bytes.size()};
      const auto end = text.find("\r\n\r\n");
      const auto head = text.substr(0, end == std::string_view::npos ? end : end + 4);
      const bool too_large = end == std::string_view::npos && text.size() > most_head;
      // A line that ends in a bare LF would be waited on for ever; the head ends where the first such line does.
      const auto feed = head.find('\n');
      const bool bare = feed != std::string_view::npos && (feed == 0 || head[feed - 1] != '\r');
      if (end != std::string_view::npos || too_large || bare) {
        heard.refused = refuse_head(head, loop_.options.bounds.body);
        if (!heard.refused && end == std::string_view::npos) heard.refused = unreadable();
        co_return heard.refused ? 0 : head.size();
      }
      const std::size_t read = co_await stream_.async_read_some(buffer_.prepare(2048), outcome());
      idle = false;
      if (error_) {
        heard.gone = true;  // or too slow: the stream has closed itself then
        co_return 0;
      }
      buffer_.commit(read);
      if (!begun) lowest().expires_after(loop_.options.bounds.head);
      begun = true;
    }
  }

  Task<Heard> hear() {
    Heard heard;
    heard.request.client = peer;
    heard.request.secure = secure;
    const std::size_t head = co_await read_head(heard);
    if (head == 0) co_return heard;
    Parser parser;
    parser.header_limit(static_cast<std::uint32_t>(most_head + 1));
    parser.body_limit(loop_.options.bounds.body);
    const std::size_t used = parser.put(asio::buffer(buffer_.data().data(), head), error_);
    if (error_ || used != head || !parser.is_header_done()) {
      heard.refused = unreadable();
      co_return heard;
    }
    buffer_.consume(head);
    understand(parser.get(), heard);
    if (heard.refused) co_return heard;
    if (!parser.is_done()) {
      lowest().expires_after(loop_.options.bounds.body_time);
      if (lower(parser.get()[http::field::expect]) == "100-continue") {
        static constexpr std::string_view go_on = "HTTP/1.1 100 Continue\r\n\r\n";
        co_await asio::async_write(stream_, asio::buffer(go_on), outcome());
      }
      co_await http::async_read(stream_, buffer_, parser, outcome());
      if (error_) {
        heard.gone = true;
        co_return heard;
      }
    }
    heard.keep = parser.get().keep_alive();
    heard.request.body = std::move(parser.get().body());
    co_return heard;
  }

  void understand(const Parser::value_type& message, Heard& heard) {
    Request& request = heard.request;
    request.method = std::string(message.method_string());
    for (const auto& field : message) {
      auto& value = request.headers[lower(field.name_string())];
      if (!value.empty()) value += ", ";
      value += std::string(field.value());
    }
    const auto target = message.target();
    auto read = read_target({target.data(), target.size()});
    if (read) {
      request.path = std::move(read->path);
      request.query = std::move(read->query);
    }
    if (!set_asker(request, peer, secure, loop_.proxy) || !read) heard.refused = unreadable();
    // Browsers and programs at this machine speak 1.1; proxies that pass nothing on often don't.
    if (message.version() < 11) request.loopback = false;
  }

  Task<Response> answer(const Request& request) {
    if (loop_.waiting >= loop_.options.bounds.waiting)
      co_return refused_response({503, {"server.busy", {}, {}, ErrorKind::cannot}}, request);
    const Waiting counted{loop_.waiting};
    lowest().expires_never();
    auto& workers = request.method == "GET" || request.method == "HEAD" ? loop_.readers : loop_.writers;
    const Router& router = loop_.router;
    Response response = co_await asio::co_spawn(
        workers, [&router, &request]() -> Task<Response> { co_return router.handle(request); }, asio::use_awaitable);
    co_return response;
  }

  template <class Body>
  static http::response<Body> message_of(const Response& response, bool keep) {
    http::response<Body> message{static_cast<http::status>(response.status), 11};
    message.set(http::field::date, http_date());
    message.set(http::field::content_type, response.type);
    for (const auto& [name, value] : response.headers) message.set(name, value);
    message.keep_alive(keep);
    return message;
  }

  Task<void> say(Response& response, bool head_only, bool keep) {
    lowest().expires_after(loop_.options.bounds.write);
    if (head_only) {
      auto message = message_of<http::empty_body>(response, keep);
      message.content_length(response.body.size());
      co_await http::async_write(stream_, message, outcome());
    } else {
      auto message = message_of<http::span_body<const char>>(response, keep);
      message.body() = {response.body.data(), response.body.size()};
      message.prepare_payload();
      co_await http::async_write(stream_, message, outcome());
    }
  }

  Task<void> write_bytes(const std::string& text) {
    lowest().expires_after(loop_.options.bounds.write);
    co_await asio::async_write(stream_, asio::buffer(text), outcome());
  }

  Task<void> tell_news(const Request& request, const Response& response) {
    auto message = message_of<http::empty_body>(response, false);
    http::response_serializer<http::empty_body> head{message};
    lowest().expires_after(loop_.options.bounds.write);
    co_await http::async_write_header(stream_, head, outcome());
    listens = true;
    std::uint64_t told = 0;
    while (!error_ && !loop_.ending) {
      if (loop_.last_seq > told) {
        told = loop_.last_seq;
        co_await write_bytes("event: news\ndata: {\"seq\":" + std::to_string(told) + "}\n\n");
        continue;
      }
      told_.expires_after(loop_.options.bounds.heartbeat);
      boost::system::error_code woken;
      co_await told_.async_wait(asio::redirect_error(asio::use_awaitable, woken));
      if (woken || loop_.ending) continue;  // there is news, or an end
      const Response again = co_await answer(request);
      if (!again.news) break;  // signed out, revoked or erased since
      co_await write_bytes(": still here\n\n");
    }
    listens = false;
  }

  /// Says goodbye so that what was sent still arrives: a socket closed over unread bytes takes the answer with it.
  Task<void> part() {
    lowest().expires_after(std::chrono::seconds(1));
    if constexpr (secure) co_await stream_.async_shutdown(outcome());
    boost::system::error_code ignored;
    lowest().socket().shutdown(asio::ip::tcp::socket::shutdown_send, ignored);
    std::array<char, 4096> rest{};
    error_ = {};
    for (int reads = 0; reads < 64 && !error_; ++reads) co_await lowest().async_read_some(asio::buffer(rest), outcome());
    lowest().close();
  }

  Loop& loop_;
  std::shared_ptr<asio::ssl::context> tls_;  ///< outlives the stream, whatever the loop renews
  Stream stream_;
  beast::flat_buffer buffer_;
  asio::steady_timer told_;
  boost::system::error_code error_;
};

template <class Talk>
void begin(Loop& loop, const std::shared_ptr<Talk>& talk, std::string peer) {
  talk->peer = std::move(peer);
  if (!loop.take_in(*talk)) return talk->cut();
  talk->no_delay();
  asio::co_spawn(loop.io, [talk] { return talk->run(); }, [&loop, talk](const std::exception_ptr&) { loop.let_go(*talk); });
}

}  // namespace

void converse(Loop& loop, asio::ip::tcp::socket socket, const std::shared_ptr<asio::ssl::context>& tls) {
  boost::system::error_code gone;
  const auto end = socket.remote_endpoint(gone);
  if (gone) return;
  std::string peer = plain_address(end.address().to_string()).value_or(end.address().to_string());
  if (tls) {
    begin(loop, std::make_shared<Conversation<Secure>>(loop, std::move(socket), tls, *tls), std::move(peer));
  } else {
    begin(loop, std::make_shared<Conversation<Plain>>(loop, std::move(socket), tls), std::move(peer));
  }
}

}  // namespace leafturn::server::transport
