// Writes the drawings and cutting files of the sample sets into a folder, with a list of what readers must find: for
// each DXF file of finished edges the part's analytic volume and thickness.
#include "cad_export/drawing.hpp"
#include "cad_export/dxf.hpp"
#include "cad_export/nest.hpp"
#include "tests/drawing/sample_sets.hpp"

#include <fmt/format.h>
#include <filesystem>
#include <fstream>
#include <iostream>

namespace reedwright {
namespace {

void write(const std::filesystem::path& file, const std::string& content) {
    std::ofstream(file, std::ios::binary) << content;
}

double mm3(Volume volume) {
    return volume.value() * 1e9;
}

std::string list;

void dxf(const std::filesystem::path& folder, const std::string& name, const DxfFile& file, const PlateBlank& blank,
         Length half_cut, std::size_t openings) {
    write(folder / (name + ".dxf"), file.text);
    list += fmt::format("part,{},{:.15g},{:.15g},{:.15g},{},{}\n", name, mm3(blank.volume()),
                        in(blank.thickness, millimetre), in(half_cut, millimetre), openings, blank.holes.size());
}

void write_all(const std::filesystem::path& folder) {
    const SampleSet club = club_set();
    const SampleSet cells = cell_set(12);
    for (const SampleSet* set : {&club, &cells}) {
        const std::string first = set == &club ? "club" : "cell";
        for (std::size_t i = 0; i < set->plates.plates.size(); ++i) {
            const Plate& plate = set->plates.plates[i];
            const std::string name = fmt::format("{}_{}", first, i + 1);
            dxf(folder, name, plate_dxf(plate, {}), plate.blank, 0.0 * metre, plate.blank.slots.size());
            const Length half = 0.05 * millimetre;
            dxf(folder, name + "_aside", plate_dxf(plate, {half, false}), plate.blank, half, plate.blank.slots.size());
        }
        write(folder / (first + ".pdf"), shop_pdf(set->shop()));
        int number = 0;
        for (const SheetSvg& sheet : shop_svg(set->shop()))
            write(folder / fmt::format("{}_{:02}.svg", first, ++number), sheet.svg);
    }
    dxf(folder, "comb", comb_dxf(*club.plates.comb, {}), club.plates.comb->blank, 0.0 * metre, 0);
    std::vector<TonguePart> tongues;
    for (const SampleSet* set : {&club, &cells})
        for (const Plate& plate : set->plates.plates)
            for (const PlacedTongue& tongue : plate.tongues) {
                if (set == &cells && tongues.size() > 24) continue;
                tongues.push_back(tongue.part);
            }
    for (std::size_t i = 0; i < tongues.size(); i += 7) {
        // The blank is as thick all over: its area is that of a tongue whose thickness is one millimetre.
        TonguePart flat = tongues[i];
        flat.thickness = Profile::constant(flat.width.length(), 1.0 * millimetre);
        write(folder / fmt::format("tongue_{}.dxf", i), tongue_blank_dxf(tongues[i], {}).text);
        list += fmt::format("part,tongue_{},{:.15g},1,0,0,{}\n", i, mm3(flat.volume()), flat.holes.size());
    }
    Strip strip;
    strip.gap = 0.6 * millimetre;
    const NestFile nest = nest_dxf(tongues, strip, {0.05 * millimetre, false});
    write(folder / "nest.dxf", nest.file.text);
    list += fmt::format("nest,nest,{},{:.15g},{:.15g},{:.15g}\n", tongues.size(), in(strip.width, millimetre),
                        in(strip.gap, millimetre), in(nest.nest.used_length, millimetre));
    write(folder / "long.pdf", shop_pdf(long_set(60).shop()));
    write(folder / "list.csv", list);
}

}  // namespace
}  // namespace reedwright

int main(int count, char** words) {
    if (count != 2) {
        std::cerr << "write_samples FOLDER\n";
        return 2;
    }
    try {
        reedwright::write_all(words[1]);
    } catch (const std::exception& error) {
        std::cerr << error.what() << '\n';
        return 1;
    }
    return 0;
}
