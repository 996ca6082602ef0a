#include "tests/fetch/server/bad_server.hpp"

#include <arpa/inet.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/x509v3.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <cctype>
#include <csignal>
#include <stdexcept>

namespace leafturn::fetch {
namespace {

using namespace std::chrono_literals;

void must(bool good, const char* what) {
  if (!good) throw std::runtime_error(std::string("test server: ") + what);
}

int listening_socket(int& port) {
  const int s = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  sockaddr_in at{};
  at.sin_family = AF_INET;
  inet_pton(AF_INET, "127.0.0.1", &at.sin_addr);
  socklen_t size = sizeof at;
  must(s >= 0 && bind(s, reinterpret_cast<sockaddr*>(&at), sizeof at) == 0 && listen(s, 16) == 0 &&
           getsockname(s, reinterpret_cast<sockaddr*>(&at), &size) == 0,
       "no port");
  port = ntohs(at.sin_port);
  return s;
}

template <class T, void (*end)(T*)>
struct Ender {
  void operator()(T* what) const { end(what); }
};
using Key = std::unique_ptr<EVP_PKEY, Ender<EVP_PKEY, EVP_PKEY_free>>;
using Certificate = std::unique_ptr<X509, Ender<X509, X509_free>>;
using Memory = std::unique_ptr<BIO, Ender<BIO, BIO_free_all>>;

Memory memory(const std::string& text) { return Memory(BIO_new_mem_buf(text.data(), static_cast<int>(text.size()))); }
std::string text_of(BIO* memory) {
  char* data = nullptr;
  const long size = BIO_get_mem_data(memory, &data);
  return {data, static_cast<std::size_t>(size)};
}

void extend(X509* certificate, X509* issuer, int what, const std::string& value) {
  X509V3_CTX context;
  X509V3_set_ctx(&context, issuer, certificate, nullptr, nullptr, 0);
  X509_EXTENSION* extension = X509V3_EXT_conf_nid(nullptr, &context, what, value.c_str());
  must(extension != nullptr && X509_add_ext(certificate, extension, -1) == 1, "no extension");
  X509_EXTENSION_free(extension);
}

Identity make(const Identity* authority, const std::string& names, int days) {
  static std::atomic<long> serial{1};
  const Key key(EVP_EC_gen("P-256"));
  const Certificate certificate(X509_new());
  must(key && certificate, "no key");
  X509_set_version(certificate.get(), 2);
  ASN1_INTEGER_set(X509_get_serialNumber(certificate.get()), serial++);
  X509_gmtime_adj(X509_getm_notBefore(certificate.get()), -60L * 86'400);
  X509_gmtime_adj(X509_getm_notAfter(certificate.get()), days * 86'400L);
  X509_set_pubkey(certificate.get(), key.get());
  X509_NAME* subject = X509_get_subject_name(certificate.get());
  const auto* common = reinterpret_cast<const unsigned char*>(authority == nullptr ? "Test authority" : "Test server");
  X509_NAME_add_entry_by_txt(subject, "CN", MBSTRING_ASC, common, -1, -1, 0);
  Key signer_key;
  Certificate signer;
  if (authority != nullptr) {
    signer_key.reset(PEM_read_bio_PrivateKey(memory(authority->key).get(), nullptr, nullptr, nullptr));
    signer.reset(PEM_read_bio_X509(memory(authority->certificate).get(), nullptr, nullptr, nullptr));
  }
  X509* issuer = signer ? signer.get() : certificate.get();
  X509_set_issuer_name(certificate.get(), X509_get_subject_name(issuer));
  extend(certificate.get(), issuer, NID_basic_constraints, authority == nullptr ? "critical,CA:TRUE" : "CA:FALSE");
  if (!names.empty()) extend(certificate.get(), issuer, NID_subject_alt_name, names);
  must(X509_sign(certificate.get(), signer_key ? signer_key.get() : key.get(), EVP_sha256()) > 0, "not signed");
  const Memory key_out(BIO_new(BIO_s_mem()));
  const Memory certificate_out(BIO_new(BIO_s_mem()));
  PEM_write_bio_PrivateKey(key_out.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr);
  PEM_write_bio_X509(certificate_out.get(), certificate.get());
  return {text_of(key_out.get()), text_of(certificate_out.get())};
}

Asked parsed(const std::string& head) {
  Asked asked;
  std::size_t from = 0;
  for (std::size_t end = head.find("\r\n"); end != std::string::npos && end != from; end = head.find("\r\n", from)) {
    const std::string line = head.substr(from, end - from);
    from = end + 2;
    if (asked.line.empty()) {
      asked.line = line;
      continue;
    }
    const std::size_t colon = line.find(':');
    std::string name = line.substr(0, colon);
    for (char& c : name) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    const std::size_t value = line.find_first_not_of(' ', colon + 1);
    asked.headers[name] = value == std::string::npos ? "" : line.substr(value);
  }
  return asked;
}

}  // namespace

std::string Asked::header(const std::string& name) const {
  const auto found = headers.find(name);
  return found == headers.end() ? "" : found->second;
}

bool Connection::send(std::string_view bytes) {
  while (!bytes.empty() && !stop_) {
    const auto did = tls_ != nullptr ? SSL_write(tls_, bytes.data(), static_cast<int>(bytes.size()))
                                     : ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
    if (did <= 0) return false;
    bytes.remove_prefix(static_cast<std::size_t>(did));
  }
  return bytes.empty();
}

void Connection::answer(int status, std::string_view body, const std::string& headers) {
  send("HTTP/1.1 " + std::to_string(status) + " x\r\n" + headers + "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n" +
       std::string(body));
}

void Connection::wait(std::chrono::milliseconds time) const {
  char next = 0;
  for (auto left = time; left > 0ms && !stop_ && recv(socket_, &next, 1, MSG_PEEK | MSG_DONTWAIT) != 0; left -= 5ms)
    std::this_thread::sleep_for(5ms);
}

void Connection::reset() const {
  const linger hard{1, 0};
  setsockopt(socket_, SOL_SOCKET, SO_LINGER, &hard, sizeof hard);
}

Identity make_authority() { return make(nullptr, "", 30); }
Identity make_identity(const Identity& authority, const std::string& names, int days) { return make(&authority, names, days); }

BadServer::BadServer(Script script, const Identity* identity)
    : script_{std::move(script)}, secure_{identity != nullptr}, context_{nullptr, &SSL_CTX_free} {
  // OpenSSL writes without MSG_NOSIGNAL.
  std::signal(SIGPIPE, SIG_IGN);
  if (secure_) {
    context_.reset(SSL_CTX_new(TLS_server_method()));
    const Key key(PEM_read_bio_PrivateKey(memory(identity->key).get(), nullptr, nullptr, nullptr));
    const Certificate certificate(PEM_read_bio_X509(memory(identity->certificate).get(), nullptr, nullptr, nullptr));
    must(SSL_CTX_use_certificate(context_.get(), certificate.get()) == 1 && SSL_CTX_use_PrivateKey(context_.get(), key.get()) == 1,
         "no identity");
  }
  listening_ = listening_socket(port_);
  thread_ = std::thread([this] { run(); });
}

BadServer::~BadServer() {
  stop_ = true;
  thread_.join();
  close(listening_);
}

std::string BadServer::url(const std::string& target) const {
  return (secure_ ? "https://127.0.0.1:" : "http://127.0.0.1:") + std::to_string(port_) + target;
}

std::vector<Asked> BadServer::asked() const {
  const std::lock_guard lock(mutex_);
  return asked_;
}

void BadServer::run() {
  while (!stop_) {
    pollfd ready{listening_, POLLIN, 0};
    if (poll(&ready, 1, 5) <= 0) continue;
    const int socket = accept4(listening_, nullptr, nullptr, SOCK_CLOEXEC);
    if (socket < 0) continue;
    timeval patience{5, 0};
    setsockopt(socket, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    patience = {0, 500'000};
    setsockopt(socket, SOL_SOCKET, SO_SNDTIMEO, &patience, sizeof patience);
    serve(socket);
    close(socket);
  }
}

void BadServer::serve(int socket) {
  std::unique_ptr<SSL, decltype(&SSL_free)> tls{nullptr, &SSL_free};
  if (secure_) {
    tls.reset(SSL_new(context_.get()));
    SSL_set_fd(tls.get(), socket);
    if (SSL_accept(tls.get()) != 1) return;
  }
  std::string head;
  char part[4096];
  while (head.find("\r\n\r\n") == std::string::npos) {
    const auto got = tls ? SSL_read(tls.get(), part, sizeof part) : recv(socket, part, sizeof part, 0);
    if (got <= 0) return;
    head.append(part, static_cast<std::size_t>(got));
  }
  const Asked asked = parsed(head);
  int turn = 0;
  {
    const std::lock_guard lock(mutex_);
    asked_.push_back(asked);
    turn = static_cast<int>(asked_.size());
  }
  Connection connection(socket, tls.get(), stop_);
  script_(connection, asked, turn);
  if (tls && connection.goodbye()) SSL_shutdown(tls.get());
}

int closed_port() {
  int port = 0;
  close(listening_socket(port));
  return port;
}

}  // namespace leafturn::fetch
