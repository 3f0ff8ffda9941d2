// What breath and warmth take from each reed of a design.
#include "core/plan/breath.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/cell_notes.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/sounding.hpp"
#include "core/wind/stability.hpp"

#include <gtest/gtest.h>
#include <cmath>

namespace reedwright {
namespace {

const std::string club = REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/instrument.yaml";
const Pressure half_kilopascal = 500.0 * pascal;

Design club_design() {
    static const MaterialLibrary library(REEDWRIGHT_SOURCE_DIR "/materials");
    Design design = read_design_file(club, library);
    (void)plan_tongues(design);
    return design;
}

TEST(Breath, A_reed_set_by_its_allowance_sounds_its_note_blown_and_warm) {
    Design design = club_design();
    const auto allowances = allow_for_breath(design, half_kilopascal);
    const Instrument& instrument = design.instrument;
    const auto blown = blown_reeds(design, instrument.playing);
    int spoken = 0;
    for (std::size_t i = 0; i < allowances.size(); ++i) {
        const InstrumentReed& one = instrument.reeds[i];
        if (allowances[i].breath.standing != UnderBreath::speaks) continue;
        ++spoken;
        // From the reed as it stands: blown and warm above cold and plucked, and the allowance, is nothing.
        const Sounding sounding = sound(blown[i], half_kilopascal);
        const double effect = interval_between(pitch_of(one.reed).pitch, sounding.pitch).value();
        EXPECT_NEAR(one.allowance->value() + effect, 0.0, 0.01) << one.place();
        EXPECT_NEAR(
            interval_between(instrument.tuning.pitch(one.note), bench_target(instrument, one, instrument.tuning))
                .value(),
            one.allowance->value(), 1e-9);
        // A closing reed is flattened by breath, brass by warmth: some third of a cent per kelvin.
        EXPECT_LT(allowances[i].breath.blown.value(), -1.0);
        EXPECT_NEAR(allowances[i].warmth.value(), -3.2, 0.3);
    }
    EXPECT_GE(spoken, 8);
}

TEST(Breath, A_reed_that_does_not_speak_there_is_allowed_for_where_it_does) {
    const Design design = club_design();
    const auto all = breaths(design, half_kilopascal, design.instrument.playing);
    const auto blown = blown_reeds(design, design.instrument.playing);
    int above = 0;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].standing == UnderBreath::speaks) {
            EXPECT_EQ(*all[i].at, half_kilopascal);
        }
        if (all[i].standing != UnderBreath::speaks_above) continue;
        ++above;
        const Pressure threshold = *speaking_range(blown[i]).threshold;
        EXPECT_GT(threshold, half_kilopascal);
        EXPECT_EQ(*all[i].at, threshold);
        EXPECT_LT(all[i].blown.value(), 0.0);
        // A little above it sounds as its mode does there.
        if (1.1 * threshold > highest_pressure) continue;
        const Sounding little = sound(blown[i], 1.1 * threshold);
        if (little.outcome == Outcome::sounds) {
            EXPECT_NEAR(interval_between(blown[i].natural(), little.pitch).value(), all[i].blown.value(), 1.0);
        }
    }
    EXPECT_GE(above, 3);
    EXPECT_THROW(breaths(design, 6000.0 * pascal, design.instrument.playing), InputError);
}

TEST(Breath, More_of_it_takes_more) {
    const Design design = club_design();
    const auto soft = breaths(design, 150.0 * pascal, design.instrument.playing);
    const auto hard = breaths(design, half_kilopascal, design.instrument.playing);
    int compared = 0;
    for (std::size_t i = 0; i < soft.size(); ++i) {
        if (soft[i].standing != UnderBreath::speaks || hard[i].standing != UnderBreath::speaks) continue;
        ++compared;
        EXPECT_LT(hard[i].blown, soft[i].blown) << i;
    }
    EXPECT_GE(compared, 4);
}

}  // namespace
}  // namespace reedwright
