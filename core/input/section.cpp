#include "core/input/section.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

namespace reedwright {

namespace {

std::string_view kind_name(Node::Kind kind) {
    switch (kind) {
        case Node::Kind::list:
            return "a list";
        case Node::Kind::mapping:
            return "a mapping";
        case Node::Kind::scalar:
            break;
    }
    return "a single value";
}

// A message that quotes a value of a megabyte helps nobody.
std::string shortened(std::string text) {
    constexpr std::size_t longest = 600;
    if (text.size() <= longest) return text;
    std::size_t head = longest / 2;
    std::size_t tail = text.size() - longest / 2;
    const auto inside = [&](std::size_t at) { return (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U; };
    while (inside(head)) --head;
    while (tail < text.size() && inside(tail)) ++tail;
    return text.substr(0, head) + " ... " + text.substr(tail);
}

// The power of ten by which a slipped point or a wrong prefix brings a value closest to the middle
// of its range; empty when none brings it inside, or the value is near the range as it is.
std::string slipped_point_hint(double value, Dimension dimension, double low, double high) {
    constexpr double near = 2.0;
    if (dimension == Dimension::ratio && high <= 1.0 && value > high && value <= 100.0 * high)
        return high == 1.0 ? fmt::format("did you mean {:.6g} %?", value)
                           : fmt::format("did you mean {:.6g}?", value / 100.0);
    if (value <= 0.0 || low <= 0.0 || dimension == Dimension::temperature) return {};
    if (value > low / near && value < high * near) return {};
    const double middle = std::sqrt(low * high);
    double best = 0.0;
    // Moduli and strengths rather slip by a prefix, MPa for GPa.
    for (const double prefix : {1e3, 1e-3})
        if (dimension == Dimension::pressure && value * prefix >= low && value * prefix <= high) best = value * prefix;
    for (int power = -9; power <= 9 && dimension != Dimension::pressure; ++power) {
        const double moved = value * std::pow(10.0, power);
        if (moved < low || moved > high) continue;
        if (best == 0.0 || std::abs(std::log(moved / middle)) < std::abs(std::log(best / middle))) best = moved;
    }
    return best == 0.0 ? std::string{} : fmt::format("did you mean {}?", si_text(best, dimension));
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t substituted = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({row[j] + 1, row[j - 1] + 1, substituted});
        }
    }
    return row.back();
}

}  // namespace

std::string not_a(const Node& node) {
    const bool nothing = node.kind == Node::Kind::scalar && node.scalar.empty();
    return nothing ? "and nothing is written" : fmt::format("not {}", kind_name(node.kind));
}

std::string quote_hint(const Node& node) {
    return node.kind == Node::Kind::mapping ? "put a text that holds ': ' in quotes" : "";
}

std::string nearest_word(std::string_view word, const std::vector<std::string>& candidates) {
    constexpr std::size_t longest_compared = 64;
    if (word.size() > longest_compared) return {};
    std::string best;
    std::size_t best_distance = 1 + std::max<std::size_t>(1, word.size() / 3);
    for (const std::string& candidate : candidates) {
        const std::size_t distance = edit_distance(word, candidate);
        if (distance < best_distance) {
            best_distance = distance;
            best = candidate;
        }
    }
    return best;
}

Faults::Faults(const Document& document) : document_(document) {
    for (const Diagnostic& diagnostic : document.faults) found_.push_back({diagnostic.place, diagnostic});
}

void Faults::add(const Place& place, std::string message, std::string hint) {
    found_.push_back({place, {place, shortened(std::move(message)), {}, shortened(std::move(hint))}});
}

void Faults::add_all(const Place& named_at, const InputError& error) {
    for (const Diagnostic& diagnostic : error.diagnostics()) found_.push_back({named_at, diagnostic});
}

void Faults::throw_if_any() {
    if (found_.empty()) return;
    std::stable_sort(found_.begin(), found_.end(), [](const Found& a, const Found& b) {
        return std::tie(a.sorted_as.line, a.sorted_as.column) < std::tie(b.sorted_as.line, b.sorted_as.column);
    });
    std::vector<Diagnostic> diagnostics;
    for (Found& found : found_) {
        Diagnostic& diagnostic = found.diagnostic;
        // Only what will be shown gets its line: a file of one long line may have very many faults.
        if (diagnostics.size() < most_shown_diagnostics && diagnostic.place.source == document_.source)
            diagnostic.source_line = document_.line(diagnostic.place.line);
        diagnostics.push_back(std::move(diagnostic));
    }
    throw InputError(std::move(diagnostics));
}

Section::Section(Faults& faults, const Node& node, std::string path)
    : faults_(faults), node_(node), path_(std::move(path)) {
    if (node_.kind != Node::Kind::mapping)
        faults_.add(node_.place, fmt::format("{} must be a mapping of keys, {}",
                                             path_.empty() ? "the file" : path_ + ":", not_a(node_)));
}

std::string Section::full_name(std::string_view key) const {
    return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
}

void Section::fault(const Node& at, std::string_view name, const std::string& message, std::string hint) {
    faults_.add(at.place, fmt::format("{}: {}", full_name(name), message), std::move(hint));
}

const Node* Section::find(std::string_view key, bool required) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.emplace_back(key);
    for (const Node::Entry& entry : node_.mapping)
        if (entry.key == key) return &entry.value;
    if (required && node_.kind == Node::Kind::mapping)
        faults_.add(node_.place, fmt::format("{} is missing", full_name(key)));
    return nullptr;
}

std::optional<Section> Section::section(std::string_view key, bool required) {
    const Node* node = find(key, required);
    if (node == nullptr) return std::nullopt;
    if (node->kind != Node::Kind::mapping) {
        fault(*node, key, fmt::format("must be a mapping of keys, {}", not_a(*node)),
              required ? "" : "leave the key out to take what is usual");
        return std::nullopt;
    }
    return Section(faults_, *node, full_name(key));
}

std::optional<double> Section::number(const Node& node, std::string_view name, Dimension due, double low, double high) {
    if (node.kind != Node::Kind::scalar) {
        fault(node, name, fmt::format("must be {}, {}", dimension_name(due), not_a(node)));
        return std::nullopt;
    }
    const auto value = parse_si(node.scalar, due);
    if (!value) {
        const std::string& hint = value.error().hint;
        const bool general = hint.starts_with("it takes");
        fault(node, name, value.error().message,
              general ? fmt::format("{}, from {} to {}", hint, si_text(low, due), si_text(high, due)) : hint);
        return std::nullopt;
    }
    const bool percent = due == Dimension::ratio && node.scalar.ends_with('%');
    // A count, or another plain number that is never a share.
    if (percent && low >= 1.0) {
        fault(node, name, fmt::format("'{}' is a share, and a plain number is due", node.scalar),
              fmt::format("from {} to {}", si_text(low, due), si_text(high, due)));
        return std::nullopt;
    }
    if (*value < low || *value > high) {
        const auto text = [&](double shown) {
            return percent ? fmt::format("{:.6g} %", 100.0 * shown) : si_text(shown, due);
        };
        std::string given = text(*value);
        // A value a hair beyond a limit would print as the limit itself.
        if (given == text(low) || given == text(high)) given = node.scalar;
        fault(node, name, fmt::format("{} is outside {} to {}", given, text(low), text(high)),
              percent ? std::string{} : slipped_point_hint(*value, due, low, high));
        return std::nullopt;
    }
    return *value;
}

std::optional<std::string> Section::required_text(std::string_view key) {
    const Node* node = find(key, true);
    if (node == nullptr) return std::nullopt;
    if (node->kind != Node::Kind::scalar || node->scalar.empty()) {
        fault(*node, key, node->kind == Node::Kind::scalar ? "is empty" : fmt::format("must be text, {}", not_a(*node)),
              quote_hint(*node));
        return std::nullopt;
    }
    return node->scalar;
}

std::optional<std::string> Section::optional_text(std::string_view key) {
    const bool present = std::any_of(node_.mapping.begin(), node_.mapping.end(),
                                     [&](const Node::Entry& entry) { return entry.key == key; });
    if (present) return required_text(key);
    known_.emplace_back(key);
    return std::nullopt;
}

std::optional<std::string> Section::optional_word(std::string_view key, std::initializer_list<std::string_view> words) {
    const Node* node = find(key, false);
    if (node == nullptr) return std::nullopt;
    if (node->kind == Node::Kind::scalar && std::find(words.begin(), words.end(), node->scalar) != words.end())
        return node->scalar;
    if (node->kind != Node::Kind::scalar || node->scalar.empty()) {
        fault(*node, key, fmt::format("must be one of {}, {}", fmt::join(words, ", "), not_a(*node)));
        return std::nullopt;
    }
    const std::string near = nearest_word(node->scalar, {words.begin(), words.end()});
    fault(*node, key, fmt::format("'{}' is not one of {}", node->scalar, fmt::join(words, ", ")),
          near.empty() ? std::string{} : fmt::format("did you mean {}?", near));
    return std::nullopt;
}

void Section::close() {
    for (const Node::Entry& entry : node_.mapping) {
        if (std::find(known_.begin(), known_.end(), entry.key) != known_.end()) continue;
        // "length:15 mm" is a key by that whole name.
        if (const auto colon = entry.key.find(':');
            colon != std::string::npos &&
            std::find(known_.begin(), known_.end(), entry.key.substr(0, colon)) != known_.end()) {
            faults_.add(entry.key_place,
                        fmt::format("a blank is missing after the colon of '{}'", full_name(entry.key)));
            continue;
        }
        const std::string near = nearest_word(entry.key, known_);
        faults_.add(entry.key_place, fmt::format("unknown key '{}'", full_name(entry.key)),
                    near.empty() ? fmt::format("known here: {}", fmt::join(known_, ", "))
                                 : fmt::format("did you mean {}?", near));
    }
}

}  // namespace reedwright
