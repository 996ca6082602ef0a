#include "app/x509.hpp"

#include <openssl/ec.h>
#include <openssl/err.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509.h>
#include <openssl/x509v3.h>

#include <array>
#include <ctime>
#include <memory>

namespace leafturn::app {
namespace {

template <auto free_it>
struct Free {
  template <class T>
  void operator()(T* held) const {
    free_it(held);
  }
};
using Bio = std::unique_ptr<BIO, Free<BIO_free_all>>;
using Key = std::unique_ptr<EVP_PKEY, Free<EVP_PKEY_free>>;
using Cert = std::unique_ptr<X509, Free<X509_free>>;

auto library_error() {
  std::array<char, 256> text{};
  ERR_error_string_n(ERR_get_error(), text.data(), text.size());
  ERR_clear_error();
  return fail("app.certificate_library", {}, {{"detail", std::string{text.data()}}}, ErrorKind::cannot);
}

Bio reading(const std::string& text) { return Bio{BIO_new_mem_buf(text.data(), static_cast<int>(text.size()))}; }

std::string text_of(BIO* bio) {
  char* data = nullptr;
  const long size = BIO_get_mem_data(bio, &data);
  return size > 0 ? std::string(data, static_cast<std::size_t>(size)) : std::string{};
}

int no_passphrase(char* /*buffer*/, int /*size*/, int /*writing*/, void* /*data*/) { return 0; }  // else the library asks at the terminal

Key key_of(const std::string& pem) { return Key{PEM_read_bio_PrivateKey(reading(pem).get(), nullptr, no_passphrase, nullptr)}; }
Cert certificate_of(const std::string& pem) { return Cert{PEM_read_bio_X509(reading(pem).get(), nullptr, no_passphrase, nullptr)}; }

std::string pem_of(X509* certificate) {
  const Bio out{BIO_new(BIO_s_mem())};
  return PEM_write_bio_X509(out.get(), certificate) == 1 ? text_of(out.get()) : std::string{};
}

bool extend(X509* certificate, X509* issuer, int kind, const std::string& value) {
  X509V3_CTX context;
  X509V3_set_ctx_nodb(&context);
  X509V3_set_ctx(&context, issuer, certificate, nullptr, nullptr, 0);
  X509_EXTENSION* extension = X509V3_EXT_conf_nid(nullptr, &context, kind, value.c_str());
  const bool added = extension != nullptr && X509_add_ext(certificate, extension, -1) == 1;
  X509_EXTENSION_free(extension);
  return added;
}

bool set_time(ASN1_TIME* time, Instant at) { return ASN1_TIME_set(time, at.unix_microseconds() / 1'000'000) != nullptr; }

bool set_serial(X509* certificate) {
  std::array<unsigned char, 16> random{};
  if (RAND_bytes(random.data(), static_cast<int>(random.size())) != 1) return false;
  random[0] = static_cast<unsigned char>((random[0] & 0x7fU) | 0x40U);  // positive and of full length
  BIGNUM* number = BN_bin2bn(random.data(), static_cast<int>(random.size()), nullptr);
  const bool set = number != nullptr && BN_to_ASN1_INTEGER(number, X509_get_serialNumber(certificate)) != nullptr;
  BN_free(number);
  return set;
}

/// Everything both kinds have; issuer null = it signs itself.
Cert begin(EVP_PKEY* key, X509* issuer, const CertificateWish& wish) {
  Cert made{X509_new()};
  if (!made) return {};
  X509_NAME* subject = X509_get_subject_name(made.get());
  const auto* name = reinterpret_cast<const unsigned char*>(wish.common_name.c_str());
  const bool good = X509_set_version(made.get(), 2) == 1 && set_serial(made.get()) &&
                    set_time(X509_getm_notBefore(made.get()), wish.begins) && set_time(X509_getm_notAfter(made.get()), wish.ends) &&
                    X509_NAME_add_entry_by_txt(subject, "CN", MBSTRING_UTF8, name, -1, -1, 0) == 1 &&
                    X509_set_issuer_name(made.get(), issuer != nullptr ? X509_get_subject_name(issuer) : subject) == 1 &&
                    X509_set_pubkey(made.get(), key) == 1;
  return good ? std::move(made) : Cert{};
}

std::string hex_pairs(const unsigned char* bytes, std::size_t size) {
  static constexpr std::string_view digits = "0123456789ABCDEF";
  std::string out;
  for (std::size_t i = 0; i < size; ++i) {
    if (i > 0) out += ':';
    out += digits[bytes[i] >> 4U];
    out += digits[bytes[i] & 15U];
  }
  return out;
}

Instant instant_of(const ASN1_TIME* time) {
  std::tm utc{};
  if (ASN1_TIME_to_tm(time, &utc) != 1) return {};
  return Instant::from_unix_microseconds(static_cast<std::int64_t>(timegm(&utc)) * 1'000'000);
}

std::vector<std::string> names_of(X509* certificate) {
  std::vector<std::string> out;
  auto* names = static_cast<GENERAL_NAMES*>(X509_get_ext_d2i(certificate, NID_subject_alt_name, nullptr, nullptr));
  for (int i = 0; i < sk_GENERAL_NAME_num(names); ++i) {
    const GENERAL_NAME* name = sk_GENERAL_NAME_value(names, i);
    if (name->type == GEN_DNS) {
      const auto* text = ASN1_STRING_get0_data(name->d.dNSName);
      out.push_back("DNS:" +
                    std::string(reinterpret_cast<const char*>(text), static_cast<std::size_t>(ASN1_STRING_length(name->d.dNSName))));
    } else if (name->type == GEN_IPADD && ASN1_STRING_length(name->d.iPAddress) == 4) {
      const auto* four = ASN1_STRING_get0_data(name->d.iPAddress);
      out.push_back("IP:" + std::to_string(four[0]) + "." + std::to_string(four[1]) + "." + std::to_string(four[2]) + "." +
                    std::to_string(four[3]));
    }
  }
  GENERAL_NAMES_free(names);
  return out;
}

std::string constraints_of(X509* certificate) {
  const int at = X509_get_ext_by_NID(certificate, NID_name_constraints, -1);
  if (at < 0) return {};
  const Bio out{BIO_new(BIO_s_mem())};
  if (X509V3_EXT_print(out.get(), X509_get_ext(certificate, at), 0, 0) != 1) return {};
  std::string text = text_of(out.get());
  for (char& c : text)
    if (c == '\n') c = ' ';
  return text;
}

tl::unexpected<Error> unreadable() { return fail("app.certificate_unreadable", {}, {}, ErrorKind::cannot); }

}  // namespace

Result<std::string> make_key_pem() {
  const Key key{EVP_EC_gen("P-256")};
  const Bio out{BIO_new(BIO_s_mem())};
  if (!key || PEM_write_bio_PrivateKey(out.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr) != 1) return library_error();
  return text_of(out.get());
}

Result<std::string> make_authority_pem(const std::string& key_pem, const CertificateWish& wish) {
  const Key key = key_of(key_pem);
  if (!key) return unreadable();
  const Cert made = begin(key.get(), nullptr, wish);
  const bool good = made && extend(made.get(), made.get(), NID_basic_constraints, "critical,CA:TRUE,pathlen:0") &&
                    extend(made.get(), made.get(), NID_key_usage, "critical,keyCertSign") &&
                    extend(made.get(), made.get(), NID_ext_key_usage, "serverAuth") &&
                    extend(made.get(), made.get(), NID_name_constraints, wish.constraints) &&
                    extend(made.get(), made.get(), NID_subject_key_identifier, "hash") &&
                    X509_sign(made.get(), key.get(), EVP_sha256()) > 0;
  if (!good) return library_error();
  return pem_of(made.get());
}

Result<std::string> make_certificate_pem(const std::string& key_pem, const std::string& authority_pem, const std::string& authority_key_pem,
                                         const CertificateWish& wish) {
  const Key key = key_of(key_pem), signing = key_of(authority_key_pem);
  const Cert authority = certificate_of(authority_pem);
  if (!key || !signing || !authority) return unreadable();
  const Cert made = begin(key.get(), authority.get(), wish);
  const bool good = made && extend(made.get(), authority.get(), NID_basic_constraints, "critical,CA:FALSE") &&
                    extend(made.get(), authority.get(), NID_key_usage, "critical,digitalSignature") &&
                    extend(made.get(), authority.get(), NID_ext_key_usage, "serverAuth") &&
                    extend(made.get(), authority.get(), NID_subject_alt_name, wish.names) &&
                    extend(made.get(), authority.get(), NID_subject_key_identifier, "hash") &&
                    extend(made.get(), authority.get(), NID_authority_key_identifier, "keyid") &&
                    X509_sign(made.get(), signing.get(), EVP_sha256()) > 0;
  if (!good) return library_error();
  return pem_of(made.get());
}

Result<CertificateFacts> read_certificate(const std::string& pem) {
  const Cert certificate = certificate_of(pem);
  if (!certificate) return unreadable();
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned size = 0;
  if (X509_digest(certificate.get(), EVP_sha256(), digest.data(), &size) != 1) return library_error();
  return CertificateFacts{instant_of(X509_get0_notBefore(certificate.get())), instant_of(X509_get0_notAfter(certificate.get())),
                          names_of(certificate.get()), constraints_of(certificate.get()), hex_pairs(digest.data(), size)};
}

Result<std::string> certificate_der(const std::string& pem) {
  const Cert certificate = certificate_of(pem);
  const Bio out{BIO_new(BIO_s_mem())};
  if (!certificate) return unreadable();
  if (i2d_X509_bio(out.get(), certificate.get()) != 1) return library_error();
  return text_of(out.get());
}

bool belongs_together(const std::string& pem, const std::string& key_pem, const std::string& authority_pem, Instant at) {
  const Cert certificate = certificate_of(pem), authority = certificate_of(authority_pem);
  const Key key = key_of(key_pem);
  if (!certificate || !authority || !key || X509_check_private_key(certificate.get(), key.get()) != 1) {
    ERR_clear_error();
    return false;
  }
  const std::unique_ptr<X509_STORE, Free<X509_STORE_free>> trusted{X509_STORE_new()};
  const std::unique_ptr<X509_STORE_CTX, Free<X509_STORE_CTX_free>> check{X509_STORE_CTX_new()};
  if (!trusted || !check || X509_STORE_add_cert(trusted.get(), authority.get()) != 1 ||
      X509_STORE_CTX_init(check.get(), trusted.get(), certificate.get(), nullptr) != 1)
    return false;
  X509_STORE_CTX_set_time(check.get(), 0, static_cast<time_t>(at.unix_microseconds() / 1'000'000));
  X509_STORE_CTX_set_purpose(check.get(), X509_PURPOSE_SSL_SERVER);
  const bool good = X509_verify_cert(check.get()) == 1;
  ERR_clear_error();
  return good;
}

}  // namespace leafturn::app
