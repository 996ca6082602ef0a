/// This device: who it is, how it becomes somebody's, how it stops being so.
#include <nlohmann/json.hpp>

#include "render/access_json.hpp"
#include "server/body_json.hpp"
#include "server/door.hpp"
#include "server/error_json.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

ordered_json me_value(const app::Who& who, const std::string& secret) {
  ordered_json may = ordered_json::array();
  for (const auto action : app::actions_of(who.role)) may.push_back(app::word_for(action));
  return {{"person", who.person ? ordered_json(who.person->id.text()) : ordered_json(nullptr)},
          {"name", who.person ? ordered_json(who.person->name) : ordered_json(nullptr)},
          {"role", app::word_for(who.role)},
          {"may", std::move(may)},
          {"token", who.session ? ordered_json(app::token_of(secret)) : ordered_json(nullptr)},
          {"session", who.session ? render::session_value(*who.session) : ordered_json(nullptr)}};
}

}  // namespace

Response get_me(Site&, const Request& request, const app::Who& who) {
  Response response;
  response.body = me_value(who, secret_in(request)).dump();
  return response;
}

Response post_pair(Site& site, const Request& request) {
  const Instant now = site.clock();
  if (const auto wait = site.limits.too_often(Limits::Of::pairing, request.client, now)) return too_often_response(*wait, request);
  if (const auto wait = site.limits.too_often(Limits::Of::all_pairing, "", now)) return too_often_response(*wait, request);
  const auto body = read_object(request);
  if (!body) return error_response(body.error(), request);
  const auto code = needed_text(*body, "code"), device = needed_text(*body, "device");
  if (!code) return error_response(code.error(), request);
  if (!device) return error_response(device.error(), request);
  const auto paired = site.access.pair(*code, *device, now);
  if (!paired) return error_response(paired.error(), request);
  // What the device was before, it is no longer: nobody goes on in a session they didn't begin.
  const auto before = site.access.who(secret_in(request), now);
  if (before && *before) (void)site.access.revoke((*before)->session->id, now);
  Response response;
  response.status = 201;
  response.body = me_value(paired->who, paired->secret).dump();
  response.headers["Set-Cookie"] = cookie_for(paired->secret, app::session_life, request.secure);
  return response;
}

Response post_sign_out(Site& site, const Request& request, const app::Who& who) {
  if (who.session)
    if (const auto ended = site.access.revoke(who.session->id, site.clock()); !ended) return error_response(ended.error(), request);
  Response response;
  response.body = ordered_json({{"ok", true}}).dump();
  response.headers["Set-Cookie"] = no_cookie(request.secure);
  return response;
}

}  // namespace leafturn::server
