#include "app/page/gate.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>

namespace reedwright::app {

namespace {

std::string lower(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(),
                   [](char c) { return static_cast<char>(c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c); });
    return text;
}

// The one value of a header; empty when it is absent, and when it stands more than once.
std::optional<std::string> single(const Knock& knock, const std::string& name) {
    const auto [begin, end] = knock.headers.equal_range(name);
    if (begin == end || std::next(begin) != end) return std::nullopt;
    return begin->second;
}

// Who asks or is asked, with its port: browsers leave out the one that http has of itself.
std::string with_port(std::string name, std::string_view scheme) {
    name = lower(std::move(name));
    if (name.starts_with(scheme) && name.find(':', scheme.size()) == std::string::npos) name += ":80";
    return name;
}

std::optional<Refusal> refuse_strangers(const Knock& knock, int port) {
    const std::string host = with_port(single(knock, "host").value_or(""), "");
    if (host != fmt::format("127.0.0.1:{}", port) && host != fmt::format("localhost:{}", port))
        return Refusal{403, fmt::format("this page answers at http://127.0.0.1:{}/ alone", port)};
    constexpr std::string_view scheme = "http://";
    if (knock.headers.contains("origin") &&
        with_port(single(knock, "origin").value_or(""), scheme) != std::string(scheme) + host)
        return Refusal{403, "another site's page asked, which this page does not answer"};
    if (knock.headers.contains("sec-fetch-site")) {
        const std::string site = lower(single(knock, "sec-fetch-site").value_or(""));
        // "none" is a person's own doing: the address typed, or a bookmark.
        if (site != "same-origin" && (site != "none" || knock.method == "POST"))
            return Refusal{403, "another site's page led here, which this page does not answer: type the address"};
    }
    return std::nullopt;
}

}  // namespace

std::optional<std::size_t> stated_length(const Knock& knock) {
    const auto text = single(knock, "content-length");
    if (!text || text->empty()) return std::nullopt;
    std::size_t length = 0;
    const auto [end, error] = std::from_chars(text->data(), text->data() + text->size(), length);
    return error == std::errc{} && end == text->data() + text->size() ? std::optional(length) : std::nullopt;
}

std::string content_type_of(const Knock& knock) {
    std::string type = single(knock, "content-type").value_or("");
    type.erase(std::min(type.find(';'), type.size()));
    while (!type.empty() && (type.back() == ' ' || type.back() == '\t')) type.pop_back();
    return lower(std::move(type));
}

std::optional<Refusal> refusal(const Knock& knock, int port, std::optional<std::size_t> body_limit, bool takes_sound) {
    if (auto stranger = refuse_strangers(knock, port)) return stranger;
    const bool has_body = knock.headers.contains("content-length") || knock.headers.contains("transfer-encoding");
    if (knock.method == "GET" || knock.method == "HEAD") {
        if (body_limit) return Refusal{405, fmt::format("{} takes POST", knock.path)};
        if (has_body && stated_length(knock) != 0U) return Refusal{400, "a question by GET has no body"};
        return std::nullopt;
    }
    if (knock.method != "POST") return Refusal{405, "only GET, HEAD and POST are answered"};
    if (!body_limit) return Refusal{404, fmt::format("there is nothing to post to at {}", knock.path)};
    if (knock.headers.contains("transfer-encoding")) return Refusal{411, "state the length of the body"};
    const auto length = stated_length(knock);
    if (!length) return Refusal{411, "state the length of the body, once, as a number"};
    if (*length > *body_limit)
        return Refusal{413, fmt::format("the body is larger than the {} MB allowed", *body_limit / 1'000'000)};
    if (knock.headers.contains("content-encoding")) return Refusal{415, "send the body as it is, not encoded"};
    const std::string type = content_type_of(knock);
    if (!takes_sound && type != "application/json") return Refusal{415, "send the body as application/json"};
    if (takes_sound && !type.starts_with("audio/") && type != "application/octet-stream")
        return Refusal{415, "send a sound file as audio/..., or samples as application/octet-stream"};
    return std::nullopt;
}

}  // namespace reedwright::app
