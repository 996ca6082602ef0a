#pragma once
/// How a phone comes to trust this garden: a guide of two sheets, and the authority's certificate to fetch. Open to everybody on the
/// network, over plain http too, because nobody can have the certificate before having it.

#include <functional>
#include <string>

#include "server/router.hpp"

namespace leafturn::server {

struct PhoneFacts {
  std::string garden;   ///< its name
  std::string name;     ///< `garden.local`
  std::string figures;  ///< an address of this machine; empty = it is in no network
  int plain_port = 0, secure_port = 0;
  std::string fingerprint;  ///< of the authority, `AB:CD:…`
};

/// Adds `/phone`, `/phone.css` and `/authority.crt` (`authority_der`: the certificate's bytes). `facts` is asked for each page, from any
/// thread: addresses change.
void add_phone_guide(Router& router, std::string authority_der, std::function<PhoneFacts()> facts);

}  // namespace leafturn::server
