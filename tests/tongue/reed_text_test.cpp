// A reed written as a file and read again is the same reed.
#include "core/tongue/reed_text.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/tongue/reed_file.hpp"
#include "core/vibration/pitch.hpp"

#include <gtest/gtest.h>
#include <string>

namespace reedwright {
namespace {

const std::filesystem::path source = REEDWRIGHT_SOURCE_DIR;
const MaterialLibrary library(source / "materials");

Reed again(const Reed& reed) {
    return read_reed(read_yaml_text("again.yaml", reed_text(reed)), library);
}

void expect_same_stations(const Profile& a, const Profile& b) {
    ASSERT_EQ(a.stations().size(), b.stations().size());
    for (std::size_t i = 0; i < a.stations().size(); ++i) {
        // Half of the last of ten digits of some 10 mm.
        EXPECT_NEAR(in(a.stations()[i].at, millimetre), in(b.stations()[i].at, millimetre), 1e-8);
        EXPECT_NEAR(in(a.stations()[i].value, millimetre), in(b.stations()[i].value, millimetre), 1e-8);
    }
}

TEST(ReedText, EveryReedOfTheExampleDesignsReadsBackAsItself) {
    for (const char* file : {"02_club_mouth_organ/instrument.yaml", "03_ten_hole_brass/just.yaml",
                             "04_tremolo_bronze/design.yaml", "05_steel_block/design.yaml"}) {
        Design design = read_design_file(source / "designs" / file, library);
        plan_tongues(design);
        for (const InstrumentReed& one : design.instrument.reeds) {
            SCOPED_TRACE(std::string(file) + " " + one.place());
            const Reed read = again(one.reed);
            expect_same_stations(one.reed.tongue.thickness, read.tongue.thickness);
            expect_same_stations(one.reed.tongue.width, read.tongue.width);
            // Ten digits of a length move the pitch by far less than a millionth of a cent.
            EXPECT_NEAR(pitch_of(read).pitch.value(), pitch_of(one.reed).pitch.value(), 1e-6);
            EXPECT_EQ(read.tongue.material.id, one.reed.tongue.material.id);
            EXPECT_EQ(read.slot.plate_material.id, one.reed.slot.plate_material.id);
            EXPECT_NEAR(in(read.slot.rest_gap, millimetre), in(one.reed.slot.rest_gap, millimetre), 1e-8);
            EXPECT_EQ(read.spread.modulus_share.has_value(), one.reed.spread.modulus_share.has_value());
        }
    }
}

TEST(ReedText, WhatAFileMayStateIsWrittenAndReadAgain) {
    const std::string text =
        "note: Bb3\na4: 442 Hz\ntongue:\n  material: {youngs_modulus: 110 GPa, density: 8530 kg/m^3, poisson_ratio: "
        "0.34}\n  length: 20 mm\n  width: [[0 mm, 3 mm], [20 mm, 2.5 mm]]\n  thickness: [[0 mm, 0.3 mm], [8 mm, 0.2 "
        "mm], [8 mm, 0.15 mm], [20 mm, 0.25 mm]]\nseat: {give: 0.9, sigma: 0.2}\nslot: {mounting: opening, rest_gap: "
        "0.3 mm}\nquality: 120\nair: none\ntemperature: 31.5 degC\nloads: [{at: 19 mm, mass: 4 mg, size: 1 "
        "mm}]\nuncertainty: {thickness: 1 um, youngs_modulus: 2 %, density: 0.4 %}\n";
    const Reed given = read_reed(read_yaml_text("given.yaml", text), library);
    const Reed read = again(given);
    EXPECT_EQ(read.note->name(), "Bb3");
    EXPECT_DOUBLE_EQ(read.a4.value(), 442.0);
    EXPECT_NEAR(read.tongue.material.youngs_modulus.value.value(), 110e9, 1.0);
    EXPECT_DOUBLE_EQ(read.seat.give, 0.9);
    EXPECT_DOUBLE_EQ(read.seat.give_sigma, 0.2);
    EXPECT_TRUE(read.seat.stated);
    EXPECT_EQ(read.slot.mounting, Mounting::opening);
    EXPECT_DOUBLE_EQ(read.quality.value(), 120.0);
    EXPECT_FALSE(read.air.has_value());
    EXPECT_NEAR(read.temperature.value(), given.temperature.value(), 1e-9);
    ASSERT_EQ(read.tongue.loads.size(), 1U);
    EXPECT_NEAR(read.tongue.loads[0].mass.value(), 4e-6, 1e-15);
    EXPECT_NEAR(in(read.tongue.loads[0].size, millimetre), 1.0, 1e-9);
    EXPECT_NEAR(in(read.spread.thickness, micrometre), 1.0, 1e-9);
    EXPECT_NEAR(read.spread.modulus_share.value(), 0.02, 1e-12);
    EXPECT_NEAR(read.spread.density_share.value(), 0.004, 1e-12);
    expect_same_stations(given.tongue.thickness, read.tongue.thickness);
    expect_same_stations(given.tongue.width, read.tongue.width);
}

}  // namespace
}  // namespace reedwright
