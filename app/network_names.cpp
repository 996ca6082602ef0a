#include "app/network_names.hpp"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <memory>

namespace leafturn::app {
namespace {

std::string in_figures(std::uint32_t network_order) {
  std::array<char, INET_ADDRSTRLEN> text{};
  in_addr address{network_order};
  return inet_ntop(AF_INET, &address, text.data(), text.size());
}

std::uint32_t figures_of(const sockaddr* address) { return reinterpret_cast<const sockaddr_in*>(address)->sin_addr.s_addr; }

std::vector<LanAddress> lan_addresses() {
  std::vector<LanAddress> out;
  ifaddrs* first = nullptr;
  if (getifaddrs(&first) != 0) return out;
  const std::unique_ptr<ifaddrs, decltype(&freeifaddrs)> held{first, freeifaddrs};
  for (const ifaddrs* one = first; one != nullptr; one = one->ifa_next) {
    const bool wanted = one->ifa_addr != nullptr && one->ifa_netmask != nullptr && one->ifa_addr->sa_family == AF_INET &&
                        (one->ifa_flags & IFF_UP) != 0 && (one->ifa_flags & IFF_LOOPBACK) == 0;
    if (!wanted) continue;
    const std::uint32_t address = figures_of(one->ifa_addr), mask = figures_of(one->ifa_netmask);
    out.push_back({in_figures(address), in_figures(address & mask), in_figures(mask)});
  }
  std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.address < b.address; });
  return out;
}

/// The machine's name without its domain, as a label that a certificate can carry.
std::string own_label() {
  std::array<char, 256> text{};
  if (gethostname(text.data(), text.size() - 1) != 0) return "garden";
  std::string label;
  for (const char c : std::string(text.data())) {
    if (c == '.') break;
    const char low = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    if ((low >= 'a' && low <= 'z') || (low >= '0' && low <= '9') || low == '-') label += low;
  }
  while (!label.empty() && label.front() == '-') label.erase(0, 1);
  label.resize(std::min<std::size_t>(label.size(), 63));
  while (!label.empty() && label.back() == '-') label.pop_back();
  return label.empty() ? "garden" : label;
}

}  // namespace

bool is_host_name(const std::string& name) {
  if (name.size() > 200 || name.find('.') == std::string::npos) return false;
  bool letter = false;
  std::size_t label = 0;
  for (std::size_t i = 0; i <= name.size(); ++i) {
    if (i == name.size() || name[i] == '.') {
      if (label == 0 || label > 63 || name[i - 1] == '-') return false;
      label = 0;
      continue;
    }
    const char c = name[i];
    const bool is_letter = c >= 'a' && c <= 'z';
    if (!is_letter && !(c >= '0' && c <= '9') && !(c == '-' && label > 0)) return false;
    letter = letter || is_letter;
    ++label;
  }
  return letter;  // else it could be an address
}

Result<NetworkNames> network_names(const std::string& given) {
  std::string name = given.empty() ? own_label() + ".local" : given;
  for (char& c : name)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  if (!is_host_name(name)) return fail("app.name_unusable", {"", 0, "--name"}, {{"given", given}});
  return NetworkNames{std::move(name), lan_addresses()};
}

}  // namespace leafturn::app
