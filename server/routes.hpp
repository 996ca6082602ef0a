#pragma once
/// Every page and every call of the API (docs/api.md), on one garden.

#include <functional>
#include <string>

#include "app/access.hpp"
#include "app/open_garden.hpp"
#include "server/clock.hpp"
#include "server/router.hpp"

namespace leafturn::server {

/// `garden` and `access` must outlive the router. `address`: where phones find this garden (`https://garden.example:8443`), asked when a
/// pairing's QR code is drawn; absent or empty when it answers on this computer only.
Router make_router(app::OpenGarden& garden, app::Access& access, Clock clock, std::function<std::string()> address = {});

}  // namespace leafturn::server
