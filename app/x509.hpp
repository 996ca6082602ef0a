#pragma once
/// Keys and certificates as PEM texts: the cryptographic library behind a few words.

#include <string>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/result.hpp"

namespace leafturn::app {

/// What a certificate says.
struct CertificateFacts {
  Instant begins, ends;
  std::vector<std::string> names;  ///< `DNS:garden.local`, `IP:192.0.2.7`
  std::string constraints;         ///< of an authority, as a line of text; empty = none
  std::string fingerprint;         ///< SHA-256 of the certificate, `AB:CD:…`
};

struct CertificateWish {
  std::string common_name;
  std::string names;        ///< `DNS:garden.local,IP:192.0.2.7`; of an authority empty
  std::string constraints;  ///< `critical,permitted;DNS:garden.local,…`; of an authority only
  Instant begins, ends;
};

/// Errors of all: `app.certificate_library` with what the library said; `app.certificate_unreadable` for a text that is no PEM of its kind.

/// A fresh private key on the curve P-256.
Result<std::string> make_key_pem();
/// An authority that signs itself, for server certificates only and with no authority below it.
Result<std::string> make_authority_pem(const std::string& key_pem, const CertificateWish& wish);
/// A server's certificate, signed by the authority.
Result<std::string> make_certificate_pem(const std::string& key_pem, const std::string& authority_pem, const std::string& authority_key_pem,
                                         const CertificateWish& wish);
Result<CertificateFacts> read_certificate(const std::string& pem);
/// The certificate's bytes, as phones take them.
Result<std::string> certificate_der(const std::string& pem);
/// The key is the certificate's own, and the authority has signed it, constraints and all, at that time.
bool belongs_together(const std::string& pem, const std::string& key_pem, const std::string& authority_pem, Instant at);

}  // namespace leafturn::app
