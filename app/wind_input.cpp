#include "app/wind_input.hpp"

#include "app/commands/commands.hpp"
#include "core/input/yaml_reader.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace reedwright::app {

namespace {

// The node under a path such as slot.rest_gap; null when the file does not hold it.
const Node* node_at(const Node& root, std::string_view path) {
    const Node* node = &root;
    while (!path.empty()) {
        const auto dot = path.find('.');
        const std::string_view key = path.substr(0, dot);
        const auto entry = std::find_if(node->mapping.begin(), node->mapping.end(),
                                        [&](const Node::Entry& candidate) { return candidate.key == key; });
        if (entry == node->mapping.end()) return nullptr;
        node = &entry->value;
        path = dot == std::string_view::npos ? std::string_view() : path.substr(dot + 1);
    }
    return node;
}

// A fault that begins with a key of the file gets the place of that key's value.
Diagnostic placed(const Diagnostic& fault, const ReedSource& source) {
    if (source.file.empty() || !fault.place.source.empty()) return fault;
    const auto colon = fault.message.find(": ");
    if (colon == std::string::npos) return fault;
    const Document document = read_yaml_file(source.file);
    const Node* node = node_at(document.root, std::string_view(fault.message).substr(0, colon));
    if (node == nullptr) return fault;
    return {node->place, fault.message, document.line(node->place.line), fault.hint};
}

[[noreturn]] void refuse(const std::string& option, const std::string& message, const std::string& hint) {
    throw InputError({Diagnostic{Place{option, 0, 0}, message, {}, hint}});
}

}  // namespace

BlownReed blown_from(const ReedSource& source, Reed& reed, const Vibration& vibration, const std::string& chamber) {
    std::vector<std::string> assumed;
    try {
        BlownReed blown = blown_reed(reed, vibration, &assumed);
        if (!chamber.empty()) {
            const auto volume = option_quantity<Volume>("--chamber", chamber);
            if (volume.value() <= 0.0)
                refuse("--chamber", fmt::format("{} holds no air", to_text(volume)), "leave it out for a large supply");
            blown.chamber = volume;
            std::erase_if(assumed, [](const std::string& text) { return text.starts_with("chamber "); });
        }
        reed.assumed.insert(reed.assumed.end(), assumed.begin(), assumed.end());
        return blown;
    } catch (const InputError& error) {
        std::vector<Diagnostic> faults;
        for (const Diagnostic& fault : error.diagnostics()) faults.push_back(placed(fault, source));
        throw InputError(std::move(faults));
    }
}

Pressure option_pressure(const std::string& option, const std::string& text) {
    const auto pressure = option_quantity<Pressure>(option, text);
    try {
        check_pressure(pressure);
    } catch (const InputError& error) {
        const Diagnostic& fault = error.diagnostics().front();
        refuse(option, fault.message, fault.hint);
    }
    return pressure;
}

PressureSpan option_pressure_span(const std::string& option, const std::string& text) {
    const auto dots = text.find("..");
    if (dots == std::string::npos)
        refuse(option, fmt::format("'{}' is not a span of pressures", text), "write two, such as 100Pa..1kPa");
    PressureSpan span{option_pressure(option, text.substr(0, dots)), option_pressure(option, text.substr(dots + 2))};
    if (span.low >= span.high)
        refuse(option, fmt::format("'{}' does not rise", text), "write the lower pressure first");
    return span;
}

}  // namespace reedwright::app
