#pragma once
/// The garden's own certificate authority, and the server certificate it signs: four files in the folder `authority` of the garden.
///
/// The authority may sign for one name and for addresses of the networks this machine was in when it was made, and for nothing else (name
/// constraints, RFC 5280 4.2.1.10): whoever steals it can't pass for a bank. It lasts ten years, because trusting it takes a walk to every
/// phone; the server's certificate lasts ninety days and is made again by itself when thirty are left, or when this machine's addresses
/// change.

#include <optional>
#include <string>
#include <vector>

#include "app/network_names.hpp"
#include "core/base/date.hpp"
#include "core/base/result.hpp"

namespace leafturn::app {

struct Certificates {
  std::string chain_pem, key_pem;  ///< the server's
  std::string authority_pem;
  std::string authority_fingerprint;  ///< SHA-256, `AB:CD:…`
  Instant ends;                       ///< of the server's
  std::vector<std::string> names;     ///< it is for: `DNS:garden.local`, `IP:192.0.2.7`
  std::vector<std::string> outside;   ///< addresses of this machine the authority can't sign for: it is in another network now
  bool renewed = false;               ///< made just now
};

/// Makes what is missing, old or for other addresses; leaves alone what is good. Keys are readable by their owner only (0600).
/// Errors: `app.authority_for_another` (made for another name), `app.authority_ended`, `app.authority_incomplete` (a file is missing or
/// they don't belong together: nothing is overwritten, because phones trust what was there), `app.authority_not_written`,
/// `app.certificate_library`.
Result<Certificates> certificates_for(const std::string& folder, const NetworkNames& names, Instant now);

/// What lies there, changing nothing: for `doctor`.
struct CertificateState {
  Instant authority_ends, server_ends;
  std::string authority_fingerprint;
  bool keys_private = false;  ///< nobody but their owner can read them
  bool fits = false;          ///< the server's certificate is the authority's, and good now
};
/// Nothing when the garden has no authority. Errors: `app.authority_incomplete`, `app.certificate_unreadable`.
Result<std::optional<CertificateState>> certificate_state(const std::string& folder, Instant now);

}  // namespace leafturn::app
