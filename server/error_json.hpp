#pragma once
/// Errors as the API says them: `{"error": {"code", "text", "what", "where", "do", "facts"}}`.

#include "core/base/result.hpp"
#include "server/http.hpp"
#include "words/catalogue.hpp"

namespace leafturn::server {

/// 422 for what was understood and can't be, 404, 409, 503.
int status_for(const Error& error);

/// The language of `?lang=`, else the first of `Accept-Language` that we have, else English. An unknown `?lang=` is English here; routes
/// refuse it.
words::Language language_of(const Request& request);

/// In the request's language. `judgement_json`, when there is one, stands beside the error.
Response error_response(int status, const Error& error, const Request& request, const std::string& judgement_json = {});
inline Response error_response(const Error& error, const Request& request) { return error_response(status_for(error), error, request); }

}  // namespace leafturn::server
