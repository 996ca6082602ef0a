#pragma once
/// Every page and every call of the API (docs/api.md), on one garden.

#include "app/open_garden.hpp"
#include "server/clock.hpp"
#include "server/router.hpp"

namespace leafturn::server {

/// `garden` must outlive the router.
Router make_router(app::OpenGarden& garden, Clock clock);

}  // namespace leafturn::server
