#include "app/commands/commands.hpp"
#include "app/design_lot.hpp"
#include "app/finding_words.hpp"
#include "app/sha256.hpp"
#include "app/sheet/sheet_page.hpp"
#include "app/shop_words.hpp"
#include "cad_export/cad_loader.hpp"
#include "cad_export/drawing.hpp"
#include "cad_export/dxf.hpp"
#include "cad_export/nest.hpp"
#include "core/input/file_kind.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/output/whole_file.hpp"
#include "core/plan/design_check.hpp"
#include "core/plan/instrument_file.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

constexpr const char* contents_name = "contents.json";
constexpr std::size_t largest_copied_bytes = std::size_t{4} << 20U;

struct Described {
    FileContent file;
    std::string purpose;
};

// A part's name as a file's: letters, digits and underscores.
std::string file_name(const std::string& part, const std::string& ending) {
    std::string name;
    for (const char c : part)
        name += (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ? c : '_';
    return name + ending;
}

// A design that does not fit is refused before anything is drawn, in the words of 'check'.
void refuse_misfits(const std::string& file, const DesignCheck& check) {
    std::vector<Diagnostic> faults;
    for (const Finding& one : check.findings) {
        if (one.ok()) continue;
        Diagnostic fault;
        fault.place = Place{file, 0, 0};
        fault.message = fmt::format("{}: {}, {}, {} is allowed", one.where, one.kind, number_text(one.value, one.unit),
                                    limit_text(one));
        fault.hint = one.fix;
        faults.push_back(fault);
    }
    if (!faults.empty()) throw InputError(std::move(faults));
}

// Blanks of one alloy and strip, in the order of the plates.
struct StripStack {
    std::string material;
    std::optional<Length> gauge;
    std::vector<TonguePart> tongues;
};

std::vector<StripStack> stacks_of(const PlateSet& set, const std::vector<PlannedTongue>& planned) {
    std::vector<StripStack> stacks;
    for (const Plate& plate : set.plates)
        for (const PlacedTongue& tongue : plate.tongues) {
            const auto& gauge = planned[tongue.reed].gauge;
            auto known = std::find_if(stacks.begin(), stacks.end(), [&](const StripStack& one) {
                return one.material == tongue.part.material && one.gauge == gauge;
            });
            if (known == stacks.end()) known = stacks.insert(stacks.end(), StripStack{tongue.part.material, gauge, {}});
            known->tongues.push_back(tongue.part);
        }
    return stacks;
}

}  // namespace

int run_shop_design(const ShopRequest& request, const Console& console) {
    const std::string& file = request.source.file;
    DxfOptions cutting;
    if (!request.cut_width.empty()) {
        const Length width = option_quantity<Length>("--cut-width", request.cut_width);
        if (width < 0.0 * metre || width > 2.0 * millimetre)
            throw InputError({Diagnostic{
                Place{"--cut-width", 0, 0}, fmt::format("{} is outside 0 mm to 2 mm", to_text(width)), {}, {}}});
        cutting.half_cut = 0.5 * width;
    }
    Design design = read_design_file(file, material_library());
    apply_lot(request.source.lot, design);
    const Existing existing = request.replace ? Existing::replace : Existing::keep;
    foresee_whole_folder(request.folder, existing, contents_name);
    const auto tongues = plan_tongues(design);
    if (!design.plates)
        throw InputError({Diagnostic{
            Place{file, 0, 0}, "the design has no plates", {}, "state plates: {carry: row, spacing: 7.5 mm}"}});
    refuse_misfits(file, check_design(design, tongues));
    const PlateSet set = lay_out_plates(plate_reeds(design.instrument), *design.plates, design.comb);
    const std::string input = read_text_file(file, largest_copied_bytes);
    const std::string& lot = request.source.lot;
    const std::string revision = revision_of(input + shown_lot(lot));
    const auto program = program_folder();
    const CadInterface& cad =
        load_cad({program, program / ".." / "lib" / "reedwright", program / ".." / REEDWRIGHT_LIBDIR / "reedwright"});
    const auto drawn = cad.draw_set(set, design.instrument.name.empty() ? "instrument" : design.instrument.name);
    const StepSchema schema = request.schema == "AP214" ? StepSchema::ap214 : StepSchema::ap242;

    std::vector<Described> files;
    std::vector<std::string> warnings;
    files.push_back({{"assembly.step", drawn->step(schema)},
                     fmt::format("all parts as assembled, STEP {}, millimetres", request.schema)});
    files.push_back({{"assembly.glb", drawn->glb()}, "the same for a viewer, binary glTF"});
    files.push_back({{"drawings.pdf", shop_pdf(shop_sheet(design, tongues, set, revision))},
                     "drawings, tongue list and tuning table, to print at 100 %; its sheets also as SVG"});
    int number = 0;
    for (const SheetSvg& sheet : shop_svg(shop_sheet(design, tongues, set, revision)))
        files.push_back({{fmt::format("sheet_{:02}.svg", ++number), sheet.svg}, "one of the drawings, " + sheet.title});
    const auto add_dxf = [&](const std::string& name, const DxfFile& dxf, const std::string& purpose) {
        files.push_back({{name, dxf.text}, purpose});
        for (const std::string& note : dxf.notes) warnings.push_back(fmt::format("{}: {}", name, note));
    };
    for (const Plate& plate : set.plates)
        add_dxf(file_name(plate.blank.name, ".dxf"), plate_dxf(plate, cutting),
                "cutting paths of the plate, millimetres");
    if (set.comb) add_dxf("comb.dxf", comb_dxf(*set.comb, cutting), "cutting paths of the comb, millimetres");
    for (const Plate& plate : set.plates)
        for (const PlacedTongue& tongue : plate.tongues)
            add_dxf(file_name(tongue.part.name, ".dxf"), tongue_blank_dxf(tongue.part, cutting),
                    "flat blank of the tongue");
    for (const StripStack& stack : stacks_of(set, tongues)) {
        Strip strip;
        strip.gauge = stack.gauge;
        strip.gap = std::max(strip.gap, 2.0 * cutting.half_cut);
        const NestFile nest = nest_dxf(stack.tongues, strip, cutting);
        const std::string gauge = stack.gauge ? fmt::format(" {:.2f} mm", in(*stack.gauge, millimetre)) : "";
        std::string name = "strip " + stack.material.substr(0, stack.material.find(',')) + gauge;
        while (std::any_of(files.begin(), files.end(),
                           [&](const Described& one) { return one.file.name == file_name(name, ".dxf"); }))
            name += " b";
        add_dxf(file_name(name, ".dxf"), nest.file,
                fmt::format("{} blanks on {:.0f} mm of strip {:.0f} mm wide", stack.tongues.size(),
                            in(nest.nest.used_length, millimetre), in(strip.width, millimetre)));
    }
    for (std::size_t i = 0; i < drawn->parts().size(); ++i)
        files.push_back({{file_name(drawn->parts()[i].name(), ".step"), drawn->step_of_part(i, schema)},
                         fmt::format("the part alone, {}", drawn->parts()[i].material())});
    files.push_back({{"design.yaml", input}, "the input, as it was"});
    if (!lot.empty())
        files.push_back(
            {{"lot.yaml", read_text_file(lot, largest_copied_bytes)}, "the lot and its seats, as they were"});

    nlohmann::ordered_json contents;
    contents["made_by"] = "reedwright " REEDWRIGHT_VERSION;
    contents["name"] = design.instrument.name;
    contents["revision"] = revision;
    contents["units"] = "mm";
    contents["files"] = nlohmann::ordered_json::array();
    for (const Described& one : files)
        contents["files"].push_back({{"name", one.file.name},
                                     {"purpose", one.purpose},
                                     {"bytes", one.file.content.size()},
                                     {"sha256", sha256_hex(one.file.content)}});
    contents["warnings"] = warnings;
    contents["cautions"] = design.instrument.cautions();
    std::vector<FileContent> plain;
    for (Described& one : files) plain.push_back(std::move(one.file));
    plain.push_back({contents_name, json_text(contents)});
    write_whole_folder(request.folder, plain, existing, contents_name);

    if (request.json) {
        contents["folder"] = request.folder;
        print_json(console.out, contents);
        return done;
    }
    std::ostream& out = console.out;
    out << fmt::format("{}, revision {}\nwrote {}, {} files\n", design.instrument.name, revision, request.folder,
                       plain.size());
    for (const auto& one : contents["files"]) {
        const std::string purpose = one["purpose"];
        if (purpose.starts_with("one of the") || purpose.starts_with("flat blank") ||
            purpose.starts_with("the part alone"))
            continue;
        out << fmt::format("  {:<26}{}\n", one["name"].get<std::string>(), purpose);
    }
    out << fmt::format("  {:<26}{} parts alone, STEP and for tongues DXF\n", "...", drawn->parts().size());
    out << fmt::format("  {:<26}this list, with sizes and SHA-256\n", contents_name);
    for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
    for (const std::string& caution : design.instrument.cautions()) out << "caution   " << caution << '\n';
    out << "\nThin strip and burrs cut; clamp small work and keep the guards on machines.\n";
    return done;
}

bool is_design_file(const std::string& file) {
    return !file.empty() && kind_of(read_yaml_file(file)) == FileKind::design;
}

}  // namespace reedwright::app
