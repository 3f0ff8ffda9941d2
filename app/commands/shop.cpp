#include "app/commands/commands.hpp"
#include "app/picture/tongue_picture.hpp"
#include "cad_export/cad_loader.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/output/whole_file.hpp"
#include "core/plate/reed_blank.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

constexpr const char* contents_name = "contents.json";
constexpr std::size_t largest_copied_bytes = std::size_t{4} << 20U;

}  // namespace

int run_shop(const ShopRequest& request, const Console& console) {
    if (is_design_file(request.source.file)) return run_shop_design(request, console);
    if (!request.cut_width.empty())
        throw InputError(
            {Diagnostic{Place{"--cut-width", 0, 0}, "goes with a design, and this is a tongue", {}, "leave it out"}});
    const Existing existing = request.replace ? Existing::replace : Existing::keep;
    const Reed reed = read_source(request.source);
    foresee_whole_folder(request.folder, existing, contents_name);
    const ReedBlank blank = lay_out_blank(reed);
    const auto warnings = blank_warnings(reed);
    const auto program = program_folder();
    const CadInterface& cad =
        load_cad({program, program / ".." / "lib" / "reedwright", program / ".." / REEDWRIGHT_LIBDIR / "reedwright"});

    struct Described {
        FileContent file;
        std::string purpose;
    };
    std::vector<Described> files;
    const StepSchema schema = request.schema == "AP214" ? StepSchema::ap214 : StepSchema::ap242;
    files.push_back({{"reed.step", cad.step_of_blank(blank, schema)},
                     fmt::format("plate blank and tongue as assembled, STEP {}, millimetres", request.schema)});
    files.push_back({{"tongue.svg", tongue_picture(reed, vibration_of(reed))},
                     "the tongue, its profile exaggerated, and where metal taken changes the pitch"});
    if (!request.source.file.empty())
        files.push_back(
            {{"tongue.yaml", read_text_file(request.source.file, largest_copied_bytes)}, "the input, as it was"});

    nlohmann::ordered_json contents;
    contents["made_by"] = "reedwright " REEDWRIGHT_VERSION;
    contents["units"] = "mm";
    contents["files"] = nlohmann::ordered_json::array();
    for (const Described& one : files)
        contents["files"].push_back(
            {{"name", one.file.name}, {"purpose", one.purpose}, {"bytes", one.file.content.size()}});
    contents["plate_volume_mm3"] = in(blank.plate.volume(), millimetre * millimetre * millimetre);
    contents["tongue_volume_mm3"] = in(blank.tongue.volume(), millimetre * millimetre * millimetre);
    contents["warnings"] = warnings;
    add_closing(contents, reed, false);

    std::vector<FileContent> plain;
    for (Described& one : files) plain.push_back(std::move(one.file));
    plain.push_back({contents_name, json_text(contents)});
    const std::size_t contents_bytes = plain.back().content.size();
    write_whole_folder(request.folder, plain, existing, contents_name);

    // The list cannot hold its own size; what is told here can.
    contents["files"].push_back({{"name", contents_name},
                                 {"purpose", "this list with sizes, volumes, warnings and what was taken for granted"},
                                 {"bytes", contents_bytes}});
    if (request.json) {
        contents["folder"] = request.folder;
        print_json(console.out, contents);
        return done;
    }
    std::ostream& out = console.out;
    out << tongue_line(reed) << "\n\n";
    out << fmt::format("wrote {}\n", request.folder);
    for (const auto& file : contents["files"])
        out << fmt::format("  {:<15}{}\n", file["name"].get<std::string>(), file["purpose"].get<std::string>());
    out << fmt::format("plate {:.1f} mm^3, tongue with its pad {:.1f} mm^3, drawn flat as before its rest gap is set\n",
                       contents["plate_volume_mm3"].get<double>(), contents["tongue_volume_mm3"].get<double>());
    for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
    print_closing(out, reed, false);
    out << "\nThin strip and burrs cut; clamp small work and keep the guards on machines.\n";
    return done;
}

}  // namespace reedwright::app
