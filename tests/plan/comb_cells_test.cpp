// The cells that reeds speak into: stated, of the comb, or the usual.
#include "core/plan/comb_cells.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/breath.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/cell_inlet.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <cmath>
#include <fstream>
#include <numbers>
#include <sstream>

namespace reedwright {
namespace {

using testing::Contains;
using testing::HasSubstr;
using testing::StartsWith;

const Area square_millimetre = millimetre * millimetre;

Design read_changed(const std::string& from, const std::string& to,
                    const std::string& name = "03_ten_hole_brass/equal.yaml") {
    static const MaterialLibrary library(REEDWRIGHT_SOURCE_DIR "/materials");
    std::ifstream stream(REEDWRIGHT_SOURCE_DIR "/designs/" + name);
    std::stringstream all;
    all << stream.rdbuf();
    std::string text = all.str();
    const auto at = text.find(from);
    if (at == std::string::npos) throw std::out_of_range(from);
    text.replace(at, from.size(), to);
    return read_design(read_yaml_text("design.yaml", text), library);
}

const Reed& reed_of(const Design& design, const std::string& place) {
    for (const InstrumentReed& one : design.instrument.reeds)
        if (one.place() == place) return one.reed;
    throw std::out_of_range(place);
}

TEST(CellInlet, Holds_the_energy_of_the_air_that_goes_past_the_tongue) {
    // Along the solved shape of a uniform tongue: what leaves through the sides up to a place, and through the tip.
    Design design = read_changed("name:", "name:", "02_club_mouth_organ/instrument.yaml");
    Reed reed = design.instrument.reeds.front().reed;
    reed.tongue.thickness = Profile::constant(16.0 * millimetre, 0.12 * millimetre);
    reed.tongue.width = Profile::constant(16.0 * millimetre, 2.2 * millimetre);
    const auto points = vibration_of(reed).mode_points();
    const double tip_mm = in(reed.tongue.width.at_tip(), millimetre);
    double sides_mm = 0.0;
    for (const ModePoint& point : points) sides_mm += 2.0 * point.deflection * in(point.stretch, millimetre);
    double passed_mm = 0.0, energy_mm = 0.0;
    for (const ModePoint& point : points) {
        const double stretch_mm = in(point.stretch, millimetre);
        const double half = point.deflection * stretch_mm;
        energy_mm += std::pow((passed_mm + half) / (sides_mm + tip_mm), 2) * stretch_mm;
        passed_mm += 2.0 * half;
    }
    const ChannelCell cell{5.0 * millimetre, 7.0 * millimetre, 30.0 * millimetre, 3.0 * millimetre};
    // 0.82 radii of the open end, as a flanged pipe's: Rayleigh, Theory of Sound, appendix A (from memory).
    const double end_mm = 0.8217 * std::sqrt(35.0 / std::numbers::pi);
    // A plate's mode against a beam's, and the width of the mesh.
    EXPECT_NEAR(in(channel_inlet_length(cell, reed.tongue), millimetre), 3.0 + energy_mm + end_mm, 0.05);
    const Cell whole = cell_of_channel(cell, reed.tongue);
    EXPECT_NEAR(whole.volume.value(), 5e-3 * 7e-3 * 30e-3, 1e-15);
    EXPECT_NEAR(in(whole.inlet_area, square_millimetre), 35.0, 1e-9);
}

TEST(CombCells, A_design_with_a_comb_takes_its_cells_and_tells_them) {
    const Design design = read_changed("name:", "name:");
    const Reed& low = reed_of(design, "1 blow");
    const Reed& high = reed_of(design, "10 blow");
    EXPECT_NEAR(in(low.cell.inlet_area, square_millimetre), 5.5 * 6.5, 1e-9);
    // 28 mm of plate, cells closed 5 mm from the back.
    EXPECT_NEAR(low.cell.volume.value(), 5.5e-3 * 6.5e-3 * 23e-3, 1e-15);
    // Root lines at 9.5 mm: tips of 16 mm and 9.5 mm lie 2.5 mm and 9 mm behind the mouth.
    const ChannelCell before{5.5 * millimetre, 6.5 * millimetre, 23.0 * millimetre, 2.5 * millimetre};
    EXPECT_NEAR(in(low.cell.inlet_length - channel_inlet_length(before, low.tongue), millimetre), 0.0, 1e-9);
    EXPECT_NEAR(in(high.cell.inlet_length, millimetre), 12.8, 0.1);
    EXPECT_THAT(inlets_taken(design),
                testing::ElementsAre(StartsWith("cell.inlet_length 7.13 to 12.8 mm (from the comb"),
                                     "cell.inlet_area 35.8 mm^2 (the comb's cells)"));
    EXPECT_THAT(volumes_taken(design), testing::ElementsAre("cell.volume 0.822 cm^3 (the comb's cells)"));
    // A narrower cell has a narrower inlet.
    const Design narrow = read_changed("cell_width: 5.5 mm", "cell_width: 5 mm");
    EXPECT_NEAR(in(reed_of(narrow, "1 blow").cell.inlet_area, square_millimetre), 5.0 * 6.5, 1e-9);
}

TEST(CombCells, What_a_design_states_of_its_cells_stands) {
    const Design common = read_changed("pad: {length: 4 mm", "cell: {inlet_length: 20 mm}\n  pad: {length: 4 mm");
    EXPECT_NEAR(in(reed_of(common, "3 draw").cell.inlet_length, millimetre), 20.0, 1e-9);
    EXPECT_NEAR(in(reed_of(common, "3 draw").cell.inlet_area, square_millimetre), 35.75, 1e-9);
    EXPECT_THAT(inlets_taken(common), testing::ElementsAre(StartsWith("cell.inlet_area 35.8 mm^2")));
    const Design own = read_changed("comb: {",
                                    "reeds:\n  - {cell: {number: 2, inlet_area: 40 mm^2, volume: 1 cm^3}, row: draw}\n"
                                    "comb: {");
    EXPECT_EQ(own.instrument.reeds.size(), 20U);
    EXPECT_NEAR(in(reed_of(own, "2 draw").cell.inlet_area, square_millimetre), 40.0, 1e-9);
    EXPECT_NEAR(reed_of(own, "2 draw").cell.volume.value(), 1e-6, 1e-15);
    EXPECT_NEAR(in(reed_of(own, "2 blow").cell.inlet_area, square_millimetre), 35.75, 1e-9);
    // Without a comb the usual inlet is taken, and told.
    const Design bare = read_changed("name:", "name:", "02_club_mouth_organ/instrument.yaml");
    EXPECT_NEAR(in(reed_of(bare, "1 blow").cell.inlet_area, square_millimetre), 50.0, 1e-9);
    EXPECT_THAT(inlets_taken(bare), Contains("cell.inlet_length 15 mm (our choice, no source: no comb is stated)"));
}

TEST(CombCells, Of_a_cell_are_read_strictly) {
    const auto refused = [](const std::string& from, const std::string& to) {
        try {
            (void)read_changed(from, to);
        } catch (const InputError& error) {
            return std::string(error.what());
        }
        return std::string("read without a word");
    };
    EXPECT_THAT(refused("pad: {length: 4 mm", "cell: {inlet_area: 40 mm}\n  pad: {length: 4 mm"),
                HasSubstr("common.cell.inlet_area: '40 mm'"));
    EXPECT_THAT(refused("comb: {", "reeds:\n  - {cell: {number: 2, inlet: 4 mm}, row: draw}\ncomb: {"),
                HasSubstr("unknown key 'reeds[1].cell.inlet'"));
    EXPECT_THAT(refused("comb: {", "reeds:\n  - {cell: {number: 2.5}, row: draw}\ncomb: {"),
                HasSubstr("is no place of the layout"));
    EXPECT_THAT(refused("comb: {", "reeds:\n  - {cell: {inlet_area: 40 mm^2}, row: draw}\ncomb: {"),
                HasSubstr("reeds[1]: is no place of the layout"));
}

TEST(CombCells, A_longer_inlet_takes_more_and_what_was_taken_is_told) {
    Design design = read_changed("name:", "name:");
    (void)plan_tongues(design);
    std::vector<std::string> assumed;
    const auto as_it_is = breaths(design, 500.0 * pascal, design.instrument.playing, &assumed);
    const auto doubled = breaths(with_inlets(design, 2.0), 500.0 * pascal, design.instrument.playing);
    EXPECT_THAT(assumed, Contains(StartsWith("quality 95")));
    EXPECT_THAT(assumed, Contains(StartsWith("cell.inlet_length 7.13 to 12.8 mm")));
    int compared = 0, speaking = 0, speaking_doubled = 0;
    for (std::size_t i = 0; i < as_it_is.size(); ++i) {
        const bool speaks = as_it_is[i].standing == UnderBreath::speaks;
        speaking += speaks ? 1 : 0;
        speaking_doubled += doubled[i].standing == UnderBreath::speaks ? 1 : 0;
        if (!speaks || doubled[i].standing != UnderBreath::speaks) continue;
        ++compared;
        // The jet's lag grows with the inlet.
        EXPECT_LT(doubled[i].blown.value(), 1.3 * as_it_is[i].blown.value()) << i;
    }
    EXPECT_GE(compared, 8);
    EXPECT_GT(speaking_doubled, speaking);
}

}  // namespace
}  // namespace reedwright
