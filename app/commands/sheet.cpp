#include "app/commands/commands.hpp"
#include "app/design_lot.hpp"
#include "app/sha256.hpp"
#include "app/sheet/design_sheet.hpp"
#include "app/sheet/tongue_sheet.hpp"
#include "app/wind_input.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/output/whole_file.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

constexpr std::size_t largest_shown_bytes = std::size_t{4} << 20U;

SheetInput input_of(const ReedSource& source) {
    if (!source.file.empty())
        return {std::filesystem::path(source.file).filename().string(),
                read_text_file(source.file, largest_shown_bytes)};
    SheetInput input{"command line", {}};
    for (const auto& [option, value] : source.options) input.text += fmt::format("{} {}\n", option, value);
    return input;
}

SheetPage page_of(const ReedSource& source, bool design_file) {
    SheetInput input = input_of(source);
    if (design_file) {
        const Document document = read_yaml_text(source.file, input.text);
        input.text += shown_lot(source.lot);
        Design design = read_design(document, material_library());
        apply_lot(source.lot, design);
        const auto tongues = plan_tongues(design);
        return in_the_lines_of(document, [&] { return design_sheet(design, tongues, input); });
    }
    input.text += shown_lot(source.lot);
    Reed reed = read_source(source);
    const Vibration vibration = vibration_of(reed);
    const BlownReed blown = blown_from(source, reed, vibration);
    return tongue_sheet(reed, vibration, blown, input);
}

}  // namespace

int run_sheet(const SheetRequest& request, const Console& console) {
    const bool design = is_design_file(request.source.file);
    const Existing existing = request.replace ? Existing::replace : Existing::keep;
    foresee_whole_file(request.file, existing);
    const SheetPage page = page_of(request.source, design);
    const std::string html = sheet_html(page);
    write_whole_file(request.file, html, existing);
    if (request.json) {
        nlohmann::ordered_json json;
        json["file"] = request.file;
        json["kind"] = design ? "design" : "tongue";
        json["title"] = page.title;
        json["revision"] = revision_of(page.input.text);
        json["sections"] = nlohmann::ordered_json::array();
        for (const SheetSection& section : page.sections) json["sections"].push_back(section.title);
        json["bytes"] = html.size();
        json["sha256"] = sha256_hex(html);
        print_json(console.out, json);
        return done;
    }
    console.out << fmt::format("{}, revision {}\nwrote {}; print it from a browser, A4 or letter\n", page.title,
                               revision_of(page.input.text), request.file);
    return done;
}

}  // namespace reedwright::app
