#pragma once
/// People, their devices, and codes that pair one.

#include <string>
#include <vector>

#include "app/access.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// Times in the garden's zone.
std::string people_text(const std::vector<app::Person>& people, const Zone& zone, const words::Style& style);
std::string people_json(const std::vector<app::Person>& people);

/// `key`: `access.text.added` or `access.text.changed`.
std::string person_text(const app::Person& person, const std::string& key, const words::Style& style);
std::string person_json(const app::Person& person);

std::string devices_text(const std::vector<app::SessionView>& sessions, const std::vector<app::Person>& people, const Zone& zone,
                         const words::Style& style);
std::string devices_json(const std::vector<app::SessionView>& sessions);

/// The code; with the garden's `address` (no slash at its end) the link that holds it too, as a QR code.
std::string code_text(const app::OpenCode& code, const std::string& address, const Zone& zone, const words::Style& style);
std::string code_json(const app::OpenCode& code, const std::string& address);

std::string signed_out_text(int devices, const words::Style& style);
std::string erased_text(const app::Person& person, const words::Style& style);
std::string done_json(const std::string& key, int n);

/// `K7MQ-3VXD`: easier to read out than eight in a row.
std::string grouped_code(const std::string& code);
/// What the QR code says. The code stands after the '#', so that it is in no log and no referrer.
std::string pairing_link(const std::string& address, const std::string& code);

}  // namespace leafturn::render
