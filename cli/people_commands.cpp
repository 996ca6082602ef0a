#include "app/access.hpp"
#include "app/open_garden.hpp"
#include "cli/groups.hpp"
#include "render/access.hpp"

namespace leafturn::cli {
namespace {

/// The list of people with the garden's zone, for times that are shown.
struct Book {
  std::unique_ptr<app::Access> access;
  Zone zone;
};

Result<Book> open(const Arguments& given) {
  const auto garden = app::OpenGarden::open(given.text("garden"));
  if (!garden) return fail(garden.error());
  const auto zone = (*garden)->zone();
  if (!zone) return fail(zone.error());
  auto access = app::Access::open(given.text("garden"));
  if (!access) return fail(access.error());
  return Book{std::move(*access), *zone};
}

Result<Answer> list(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto people = book->access->people();
  if (!people) return fail(people.error());
  return Answer{context.json ? render::people_json(*people) : render::people_text(*people, book->zone, context.style)};
}

Result<Answer> add(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto person = book->access->add(given.text("name"), given.text("role"), context.now);
  if (!person) return fail(person.error());
  return Answer{context.json ? render::person_json(*person) : render::person_text(*person, "access.text.added", context.style)};
}

Result<Answer> change(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto person = book->access->find(given.text("person"));
  if (!person) return fail(person.error());
  const auto changed = book->access->change(person->id, given.maybe("name"), given.maybe("role"));
  if (!changed) return fail(changed.error());
  return Answer{context.json ? render::person_json(*changed) : render::person_text(*changed, "access.text.changed", context.style)};
}

Result<Answer> note(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto person = book->access->find(given.text("person"));
  if (!person) return fail(person.error());
  const auto noted = book->access->note(person->id, {.adult = given.maybe("adult"),
                                                     .trained_until = given.maybe("trained-until"),
                                                     .certificate = given.maybe("certificate"),
                                                     .address = given.maybe("address"),
                                                     .minutes = given.maybe("minutes")});
  if (!noted) return fail(noted.error());
  return Answer{context.json ? render::person_json(*person) : render::person_text(*person, "access.text.noted", context.style)};
}

Result<Answer> erase(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto person = book->access->find(given.text("person"));
  if (!person) return fail(person.error());
  if (const auto erased = book->access->erase(person->id, given.text("confirm"), context.now); !erased) return fail(erased.error());
  return Answer{context.json ? render::done_json("erased", 1) : render::erased_text(*person, context.style)};
}

Result<Answer> devices(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto people = book->access->people();
  if (!people) return fail(people.error());
  const auto sessions = book->access->sessions(context.now);
  if (!sessions) return fail(sessions.error());
  return Answer{context.json ? render::devices_json(*sessions) : render::devices_text(*sessions, *people, book->zone, context.style)};
}

Result<Answer> revoke(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto person = book->access->find(given.text("person"));
  if (!person) return fail(person.error());
  const auto ended = book->access->sign_out(person->id, given.text("device"), context.now);
  if (!ended) return fail(ended.error());
  return Answer{context.json ? render::done_json("signed_out", *ended) : render::signed_out_text(*ended, context.style)};
}

Result<Answer> pair(const Arguments& given, const Context& context) {
  const auto book = open(given);
  if (!book) return fail(book.error());
  const auto person = book->access->find(given.text("person"));
  if (!person) return fail(person.error());
  const auto code = book->access->offer(person->id, given.text("device"), context.now);
  if (!code) return fail(code.error());
  std::string address = given.text("address");
  while (!address.empty() && address.back() == '/') address.pop_back();
  return Answer{context.json ? render::code_json(*code, address) : render::code_text(*code, address, book->zone, context.style)};
}

constexpr Option garden{.name = "garden", .placeholder = "GARDEN", .required = true};
constexpr Option person{.name = "person", .placeholder = "PERSON", .required = true, .positional = true};
constexpr Option role{.name = "role", .placeholder = "ROLE"};
constexpr Option device{.name = "device", .placeholder = "DEVICE"};

}  // namespace

std::vector<Command> people_commands() {
  return {
      {"people list", {garden}, {"leafturn people list --garden my-garden"}, list},
      {"people add",
       {{.name = "name", .placeholder = "NAME", .required = true, .positional = true},
        garden,
        {.name = "role", .placeholder = "ROLE", .required = true}},
       {"leafturn people add Ana --role scout --garden my-garden"},
       add},
      {"people change",
       {person, garden, {.name = "name", .placeholder = "NAME"}, role},
       {"leafturn people change Ana --role applicator --garden my-garden"},
       change},
      {"people note",
       {person,
        garden,
        {.name = "adult", .placeholder = "YES"},
        {.name = "trained-until", .placeholder = "DAY"},
        {.name = "certificate", .placeholder = "NUMBER"},
        {.name = "address", .placeholder = "TEXT"},
        {.name = "minutes", .placeholder = "N"}},
       {"leafturn people note Ana --garden my-garden --adult yes --trained-until 2027-03-01 --minutes 90"},
       note},
      {"pair",
       {person, garden, device, {.name = "address", .placeholder = "URL"}},
       {"leafturn pair Ana --garden my-garden --address https://garden.example:8443"},
       pair},
      {"people devices", {garden}, {"leafturn people devices --garden my-garden"}, devices},
      {"people revoke", {person, garden, device}, {"leafturn people revoke Ana --garden my-garden"}, revoke},
      {"people erase",
       {person, garden, {.name = "confirm", .placeholder = "NAME", .required = true}},
       {"leafturn people erase Ana --confirm Ana --garden my-garden"},
       erase},
  };
}

}  // namespace leafturn::cli
