#include "app/record_as.hpp"

#include "io/event_json.hpp"

namespace leafturn::app {
namespace {

Status may_do(const Who& who, Action action) {
  if (may(who.role, action)) return {};
  return fail("access.not_your_role", {},
              {{"role", Term{"access.role." + std::string(word_for(who.role))}},
               {"action", Term{"access.action." + std::string(word_for(action))}}},
              ErrorKind::forbidden);
}

/// A role that may not write such a thing may not put it right either, whoever wrote it.
Status may_put_right(OpenGarden& garden, const Who& who, const garden::Amended& amended) {
  const auto told = garden.event(amended.target);
  if (!told) return fail(told.error());
  if (!*told) return {};  // record() says that there is no such event
  const garden::Event& event = (*told)->event;
  if (const auto allowed = may_do(who, action_of(event.payload)); !allowed) return allowed;
  if (who.role != Role::lead && event.heading.by != who.person->id.text())
    return fail("access.not_yours", {{}, 0, "target"}, {}, ErrorKind::forbidden);
  return {};
}

}  // namespace

Status may_record(OpenGarden& garden, const Who& who, std::string_view bytes) {
  if (!who.person) return {};
  const auto event = io::decode_event(bytes);
  if (!event) return fail(event.error());
  if (const auto allowed = may_do(who, action_of(event->payload)); !allowed) return allowed;
  // Names that this program numbers itself: a stranger's number under one would stand in its way for ever.
  if (const std::string& writer = event->heading.writer; writer == "judge" || writer == "command-line" || writer == "import")
    return fail("access.writer_taken", {{}, 0, "writer"}, {{"writer", writer}}, ErrorKind::forbidden);
  const std::string& by = event->heading.by;
  if (by.empty() || (who.role != Role::lead && by != who.person->id.text()))
    return fail("access.not_you", {{}, 0, "by"}, {{"name", who.person->name}}, ErrorKind::forbidden);
  if (const auto* amended = std::get_if<garden::Amended>(&event->payload)) return may_put_right(garden, who, *amended);
  return {};
}

Result<RecordOutcome> record_as(OpenGarden& garden, const Who& who, std::string_view bytes, Instant now) {
  if (const auto allowed = may_record(garden, who, bytes); !allowed) return fail(allowed.error());
  return record(garden, bytes, now);
}

}  // namespace leafturn::app
