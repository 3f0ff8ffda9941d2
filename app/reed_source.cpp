#include "app/reed_source.hpp"

#include "core/input/diagnostic.hpp"
#include "core/input/node.hpp"
#include "core/retune/calibration_file.hpp"
#include "core/tongue/reed_file.hpp"

#include <fmt/format.h>
#include <cstdlib>
#include <system_error>

namespace reedwright::app {

namespace {

Node scalar(const std::string& option, const std::string& value) {
    Node node;
    node.place = {option, 0, 0};
    node.scalar = value;
    return node;
}

Node list(const std::string& option, std::vector<Node> items) {
    Node node;
    node.kind = Node::Kind::list;
    node.place = {option, 0, 0};
    node.list = std::move(items);
    return node;
}

Node& child(Node& mapping, const std::string& key) {
    for (Node::Entry& entry : mapping.mapping)
        if (entry.key == key) return entry.value;
    Node empty;
    empty.kind = Node::Kind::mapping;
    empty.place = {"command line", 0, 0};
    mapping.mapping.push_back({key, empty.place, empty});
    return mapping.mapping.back().value;
}

std::string option_value(const ReedSource& source, const std::string& name) {
    for (const auto& [option, value] : source.options)
        if (option == name) return value;
    return {};
}

}  // namespace

const std::vector<SourceOption>& source_options() {
    static const std::vector<SourceOption> options{
        {"--material", "tongue.material", "alloy, as 'materials' lists them"},
        {"--length", "tongue.length", "free length, root line to tip"},
        {"--width", "tongue.width", "width"},
        {"--thickness", "tongue.thickness", "thickness, at the root if it tapers"},
        {"--tip-thickness", "tongue.thickness", "thickness at the tip of a taper"},
        {"--note", "note", "what it should sound, as A4"},
        {"--give", "seat.give", "give of the seat in root thicknesses, 0 an ideal clamp"},
        {"--temperature", "temperature", "of the metal"},
        {"--air", "air", "none for a vacuum"},
    };
    return options;
}

namespace {

Reed read_uncalibrated(const ReedSource& source) {
    const MaterialLibrary library = material_library();
    if (!source.file.empty()) return read_reed_file(source.file, library);

    Document document;
    document.source = "command line";
    document.root.kind = Node::Kind::mapping;
    document.root.place = {"command line", 0, 0};
    const std::string thickness = option_value(source, "--thickness");
    const std::string tip = option_value(source, "--tip-thickness");
    if (!tip.empty() && thickness.empty())
        throw InputError(
            {Diagnostic{Place{"--tip-thickness", 0, 0}, "needs --thickness, the thickness at the root", {}, {}}});
    if (!tip.empty() && option_value(source, "--length").empty())
        throw InputError(
            {Diagnostic{Place{"--tip-thickness", 0, 0}, "needs --length, at the end of which it holds", {}, {}}});
    for (const SourceOption& known : source_options()) {
        const std::string value = option_value(source, known.option);
        if (value.empty()) continue;
        if (known.option == "--tip-thickness") continue;
        const auto dot = known.key.find('.');
        Node& section = dot == std::string::npos ? document.root : child(document.root, known.key.substr(0, dot));
        const std::string key = dot == std::string::npos ? known.key : known.key.substr(dot + 1);
        Node node = scalar(known.option, value);
        if (known.option == "--thickness" && !tip.empty()) {
            const std::string length = option_value(source, "--length");
            node = list(known.option,
                        {list(known.option, {scalar(known.option, "0 mm"), scalar(known.option, value)}),
                         list("--tip-thickness", {scalar("--length", length), scalar("--tip-thickness", tip)})});
        }
        section.mapping.push_back({key, {known.option, 0, 0}, std::move(node)});
    }
    return read_reed(document, library);
}

}  // namespace

Reed read_source(const ReedSource& source) {
    const Reed reed = read_uncalibrated(source);
    return source.lot.empty() ? reed : with_calibration(reed, read_calibration_file(source.lot));
}

std::filesystem::path program_folder() {
    std::error_code error;
    const auto program = std::filesystem::read_symlink("/proc/self/exe", error);
    return error ? std::filesystem::current_path() : program.parent_path();
}

MaterialLibrary material_library() {
    if (const char* given = std::getenv("REEDWRIGHT_MATERIALS"); given != nullptr && *given != '\0')
        return MaterialLibrary(given);
    const auto folder = program_folder();
    std::error_code error;
    for (const auto& candidate : {folder / ".." / "materials", folder / ".." / "share" / "reedwright" / "materials"})
        if (std::filesystem::is_directory(candidate, error)) return MaterialLibrary(candidate.lexically_normal());
    throw InputError("the folder of materials was not found beside the program", "set REEDWRIGHT_MATERIALS to it");
}

}  // namespace reedwright::app
