#include "server/transport/asker.hpp"

#include <arpa/inet.h>

#include <array>

#include "server/guard.hpp"

namespace leafturn::server::transport {
namespace {

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
  return text;
}

bool tells_of_a_proxy(const Request& request) {
  for (const char* name : {"forwarded", "x-real-ip", "via"})
    if (request.headers.contains(name)) return true;
  const auto first = request.headers.lower_bound("x-forwarded-");
  return first != request.headers.end() && first->first.starts_with("x-forwarded-");
}

bool hear_proxy(Request& request, const std::string& peer) {
  request.client = peer;
  const auto proto = trimmed(request.header("x-forwarded-proto"));
  if (!proto.empty() && proto != "https" && proto != "http") return false;
  request.secure = proto == "https";
  const auto list = request.header("x-forwarded-for");
  if (list.empty()) return true;
  const auto comma = list.rfind(',');
  const auto last = plain_address(trimmed(comma == std::string_view::npos ? list : list.substr(comma + 1)));
  if (!last) return false;
  request.client = *last;
  return true;
}

}  // namespace

std::optional<std::string> plain_address(std::string_view address) {
  const std::string text{address};
  in_addr four{};
  std::array<char, INET6_ADDRSTRLEN> out{};
  if (inet_pton(AF_INET, text.c_str(), &four) == 1) return std::string{inet_ntop(AF_INET, &four, out.data(), out.size())};
  in6_addr six{};
  if (inet_pton(AF_INET6, text.c_str(), &six) != 1) return std::nullopt;
  if (IN6_IS_ADDR_V4MAPPED(&six)) return std::string{inet_ntop(AF_INET, &six.s6_addr[12], out.data(), out.size())};
  return std::string{inet_ntop(AF_INET6, &six, out.data(), out.size())};
}

bool is_loopback_address(std::string_view address) {
  const auto plain = plain_address(address);
  return plain && (plain->starts_with("127.") || *plain == "::1");
}

bool set_asker(Request& request, const std::string& peer, bool tls, const std::optional<std::string>& proxy) {
  request.client = plain_address(peer).value_or(peer);
  request.secure = tls;
  request.loopback = false;
  if (proxy && request.client == *proxy) {
    const bool heard = hear_proxy(request, *proxy);
    request.secure = request.secure || tls;
    return heard;
  }
  request.loopback = is_loopback_address(request.client) && is_loopback_name(request.header("host")) && !tells_of_a_proxy(request);
  return true;
}

}  // namespace leafturn::server::transport
