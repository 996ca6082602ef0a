#pragma once
/// Writing down as somebody: what the role may, and under one's own name.

#include "app/access.hpp"
#include "app/record.hpp"

namespace leafturn::app {

/// May this event be written by `who`? Who did what comes from the session: an event of a paired device must name its person in `by`. A
/// lead may write for another (a paper note copied), and put right what others wrote; everybody else only their own. Errors: those of
/// io::decode_event, `access.not_your_role`, `access.not_you`, `access.not_yours`.
Status may_record(OpenGarden& garden, const Who& who, std::string_view bytes);

/// may_record, then app::record.
Result<RecordOutcome> record_as(OpenGarden& garden, const Who& who, std::string_view bytes, Instant now);

}  // namespace leafturn::app
