#pragma once
/// What only a person there can say, as an object's fields; only *_json.cpp include this.

#include <optional>

#include "core/garden/told.hpp"
#include "io/fields_json.hpp"

namespace leafturn::io {

void write_told(const garden::Told& told, nlohmann::ordered_json& object);
garden::Told read_told(Fields& fields);
/// The object under `told`; nothing told when there is none.
garden::Told read_told_within(Fields& fields);

void write_at_bed(const garden::AtBed& seen, nlohmann::ordered_json& object);
garden::AtBed read_at_bed(Fields& fields);

}  // namespace leafturn::io
