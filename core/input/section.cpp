#include "core/input/section.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <numeric>
#include <tuple>

namespace reedwright {

namespace {

std::string_view kind_name(Node::Kind kind) {
    switch (kind) {
        case Node::Kind::list: return "a list";
        case Node::Kind::mapping: return "a mapping";
        case Node::Kind::scalar: break;
    }
    return "a single value";
}

// The power of ten by which a slipped point or a wrong prefix brings a value closest to the middle
// of its range; empty when none brings it inside.
std::string slipped_point_hint(double value, Dimension dimension, double low, double high) {
    if (value <= 0.0 || low <= 0.0 || dimension == Dimension::temperature) return {};
    const double middle = std::sqrt(low * high);
    double best = 0.0;
    for (int power = -9; power <= 9; ++power) {
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

void Faults::add(const Place& place, std::string message, std::string hint) {
    diagnostics_.push_back(
        {place, std::move(message), place.source == document_.source ? document_.line(place.line) : std::string{}, std::move(hint)});
}

void Faults::add_all(const InputError& error) {
    diagnostics_.insert(diagnostics_.end(), error.diagnostics().begin(), error.diagnostics().end());
}

void Faults::throw_if_any() {
    if (diagnostics_.empty()) return;
    std::stable_sort(diagnostics_.begin(), diagnostics_.end(), [](const Diagnostic& a, const Diagnostic& b) {
        return std::tie(a.place.line, a.place.column) < std::tie(b.place.line, b.place.column);
    });
    throw InputError(std::move(diagnostics_));
}

Section::Section(Faults& faults, const Node& node, std::string path)
    : faults_(faults), node_(node), path_(std::move(path)) {
    if (node_.kind != Node::Kind::mapping)
        faults_.add(node_.place, fmt::format("{} must be a mapping of keys, not {}", path_.empty() ? "the file" : path_,
                                             kind_name(node_.kind)));
}

std::string Section::full_name(std::string_view key) const {
    return path_.empty() ? std::string(key) : fmt::format("{}.{}", path_, key);
}

void Section::fault(const Node& at, std::string_view name, const std::string& message, std::string hint) {
    faults_.add(at.place, fmt::format("{}: {}", full_name(name), message), std::move(hint));
}

const Node* Section::find(std::string_view key, bool required) {
    known_.emplace_back(key);
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
        fault(*node, key, fmt::format("must be a mapping of keys, not {}", kind_name(node->kind)));
        return std::nullopt;
    }
    return Section(faults_, *node, full_name(key));
}

std::optional<double> Section::number(const Node& node, std::string_view name, Dimension due, double low, double high) {
    if (node.kind != Node::Kind::scalar) {
        fault(node, name, fmt::format("must be {}, not {}", dimension_name(due), kind_name(node.kind)));
        return std::nullopt;
    }
    const auto value = parse_si(node.scalar, due);
    if (!value) {
        fault(node, name, value.error().message, value.error().hint);
        return std::nullopt;
    }
    if (*value < low || *value > high) {
        fault(node, name,
              fmt::format("{} is outside {} to {}", si_text(*value, due), si_text(low, due), si_text(high, due)),
              slipped_point_hint(*value, due, low, high));
        return std::nullopt;
    }
    return *value;
}

std::optional<std::string> Section::required_text(std::string_view key) {
    const Node* node = find(key, true);
    if (node == nullptr) return std::nullopt;
    if (node->kind != Node::Kind::scalar || node->scalar.empty()) {
        fault(*node, key, node->kind == Node::Kind::scalar ? "is empty" : fmt::format("must be text, not {}", kind_name(node->kind)));
        return std::nullopt;
    }
    return node->scalar;
}

std::optional<std::string> Section::optional_text(std::string_view key) {
    const bool present = std::any_of(node_.mapping.begin(), node_.mapping.end(), [&](const Node::Entry& entry) { return entry.key == key; });
    if (present) return required_text(key);
    known_.emplace_back(key);
    return std::nullopt;
}

std::optional<std::string> Section::optional_word(std::string_view key, std::initializer_list<std::string_view> words) {
    const Node* node = find(key, false);
    if (node == nullptr) return std::nullopt;
    if (node->kind == Node::Kind::scalar && std::find(words.begin(), words.end(), node->scalar) != words.end())
        return node->scalar;
    fault(*node, key, fmt::format("must be one of {}", fmt::join(words, ", ")));
    return std::nullopt;
}

void Section::close() {
    for (const Node::Entry& entry : node_.mapping) {
        if (std::find(known_.begin(), known_.end(), entry.key) != known_.end()) continue;
        const std::string near = nearest_word(entry.key, known_);
        faults_.add(entry.key_place, fmt::format("unknown key '{}'", full_name(entry.key)),
                    near.empty() ? fmt::format("known here: {}", fmt::join(known_, ", "))
                                 : fmt::format("did you mean {}?", near));
    }
}

}  // namespace reedwright
