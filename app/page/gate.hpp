// Who may ask anything of the local page: this machine's own page, and nobody by way of another site.
#pragma once

#include "app/page/question.hpp"

#include <cstddef>
#include <map>
#include <optional>
#include <string>

namespace reedwright::app {

/// A question before its body is read. Names of headers are in lower case.
struct Knock {
    std::string method;
    std::string path;
    std::multimap<std::string, std::string> headers;
};

/// Refuses, each with its status (RFC 9110): a Host other than 127.0.0.1 or localhost with the port (403; a site whose
/// name is made to point here would send its own name), an Origin or Sec-Fetch-Site of another site (403), methods
/// other than GET, HEAD and POST (405), a GET with a body (400), and a POST whose body has no length (411), is longer
/// than its path takes (413), is encoded (415), or is of another kind than its path takes (415): JSON, which no
/// other site's form can send; for listening, sound or samples. Empty: come in.
std::optional<Refusal> refusal(const Knock& knock, int port, std::optional<std::size_t> body_limit,
                               bool takes_sound = false);

/// The length that the headers state; empty when none, several, or something else than a number.
std::optional<std::size_t> stated_length(const Knock& knock);

/// "application/json" of "Application/JSON; charset=utf-8"; empty when there is none or more than one.
std::string content_type_of(const Knock& knock);

}  // namespace reedwright::app
