// Loose tongues held against a place.
#include "core/retune/donors.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/vibration/pitch.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <cmath>

namespace reedwright {
namespace {

using testing::HasSubstr;

const std::string folder = REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/";

const MaterialLibrary& library() {
    static const MaterialLibrary all(REEDWRIGHT_SOURCE_DIR "/materials");
    return all;
}

const Instrument& club() {
    static const Instrument instrument = read_instrument_file(folder + "instrument.yaml", library());
    return instrument;
}

const InstrumentReed& place(int cell, const std::string& row) {
    for (const InstrumentReed& one : club().reeds)
        if (one.cell == cell && one.row == row) return one;
    throw std::out_of_range("no such reed");
}

// The design's own tongue as if it lay in the drawer.
StockTongue own_tongue(const InstrumentReed& one) {
    return {"own", one.reed.tongue, one.reed.spread, {}, celsius(20.0), {}, one.reed.slot.plate_material};
}

Donor held_against(const InstrumentReed& one, const StockTongue& stock) {
    return rank_donors(club(), one, {stock}).front();
}

TEST(Donors, The_designs_own_tongue_goes_in_as_it_is_and_sounds_as_the_design_says) {
    const InstrumentReed& one = place(4, "draw");
    const Donor donor = held_against(one, own_tongue(one));
    EXPECT_EQ(donor.unfit, "");
    EXPECT_EQ(donor.trimmed.value(), 0.0);
    EXPECT_EQ(donor.narrowed.value(), 0.0);
    EXPECT_DOUBLE_EQ(donor.tip_gap.value(), one.reed.slot.clearance.value());
    EXPECT_DOUBLE_EQ(donor.side_gap.value(), one.reed.slot.clearance.value());
    // The same tongue on the same seat: equal but for rounding.
    EXPECT_NEAR(interval_between(pitch_of(one.reed).pitch, donor.pitch).value(), 0.0, 1e-6);
}

TEST(Donors, A_reading_on_a_like_seat_is_what_the_tongue_sounds_again) {
    const InstrumentReed& one = place(4, "draw");
    StockTongue stock = own_tongue(one);
    stock.reading = raised_by(pitch_of(one.reed).pitch, 30.0 * cent);
    const Donor donor = held_against(one, stock);
    // Of 30 cents the old seat takes its share with it (the new one is not known to be stiffer); the rest is the
    // tongue's and stays: some nine tenths, for the seat's variance is a ninth of all or less.
    const double kept_cents = interval_between(pitch_of(one.reed).pitch, donor.pitch).value();
    EXPECT_LT(kept_cents, 30.0);
    EXPECT_GT(kept_cents, 20.0);
    ASSERT_TRUE(donor.expanded);
    const Donor unread = held_against(one, own_tongue(one));
    EXPECT_LT(donor.expanded->value(), unread.expanded->value());
}

TEST(Donors, The_work_told_brings_every_one_that_serves_to_the_target) {
    const InstrumentReed& one = place(4, "draw");
    const auto stock = read_stock_file(folder + "stock.yaml", library());
    const Frequency target = bench_target(club(), one, club().tuning);
    int serving = 0;
    for (const Donor& donor : rank_donors(club(), one, stock)) {
        if (!donor.unfit.empty()) continue;
        ++serving;
        Reed tuned = *donor.mounted;
        if (donor.cut) tuned = donor.cut->effect.after;
        if (donor.load) tuned.tongue.loads.push_back(donor.load->load);
        const double left_cents = interval_between(pitch_of(tuned).pitch, target).value();
        // The searches stop at 0.01 cent; what needs no work lies within the tolerance.
        EXPECT_LT(std::abs(left_cents), donor.work == DonorWork::none ? club().tolerance.value() : 0.02)
            << stock[donor.stock].name;
    }
    EXPECT_EQ(serving, 6);
}

TEST(Donors, Those_that_serve_come_first_and_with_least_filing) {
    const auto donors = rank_donors(club(), place(4, "draw"), read_stock_file(folder + "stock.yaml", library()));
    for (std::size_t i = 1; i < donors.size(); ++i) {
        if (donors[i].unfit.empty()) {
            EXPECT_TRUE(donors[i - 1].unfit.empty());
            EXPECT_LE(donors[i - 1].filed.value(), donors[i].filed.value());
        }
    }
}

TEST(Donors, A_longer_tongue_is_snipped_and_a_wider_one_narrowed_to_the_design) {
    const InstrumentReed& one = place(4, "draw");
    StockTongue stock = own_tongue(one);
    stock.tongue.thickness = Profile::taper(14.0 * millimetre, 0.190 * millimetre, 0.130 * millimetre);
    stock.tongue.width = Profile::taper(14.0 * millimetre, 2.15 * millimetre, 2.10 * millimetre);
    const Donor donor = held_against(one, stock);
    ASSERT_EQ(donor.unfit, "");
    EXPECT_NEAR(in(donor.trimmed, millimetre), 0.5, 1e-9);
    EXPECT_NEAR(in(donor.narrowed, millimetre), 0.1, 1e-9);
    EXPECT_NEAR(in(donor.mounted->tongue.length(), millimetre), 13.5, 1e-9);
    EXPECT_NEAR(in(donor.mounted->tongue.width.largest(), millimetre), 2.05, 1e-9);
    EXPECT_NEAR(in(donor.mounted->tongue.thickness.at_tip(), millimetre), 0.19 - 0.06 * 13.5 / 14.0, 1e-9);
    // The taper leaves half of its 0.05 mm share along 13.5 mm as a gap at each side of the tip.
    EXPECT_NEAR(in(donor.side_gap, millimetre), 0.03 + 0.5 * 0.05 * 13.5 / 14.0, 1e-9);
    // Both edges over the trimmed length at the mean thickness: 8440 x 0.1 mm x 13.5 mm x 0.161 mm.
    const double narrowed_mg = 8440.0 * 0.1e-3 * 13.5e-3 * (0.19 - 0.03 * 13.5 / 14.0) * 1e-3 * 1e6;
    const double cut_mg = donor.cut ? in(donor.cut->effect.removed, milligram) : 0.0;
    EXPECT_NEAR(in(donor.filed, milligram), narrowed_mg + cut_mg, 1e-6);
}

TEST(Donors, One_that_would_leave_a_wide_gap_does_not_serve) {
    const InstrumentReed& one = place(4, "draw");
    StockTongue stock = own_tongue(one);
    stock.tongue.thickness = Profile::constant(13.4 * millimetre, 0.15 * millimetre);
    stock.tongue.width = Profile::constant(13.4 * millimetre, 2.05 * millimetre);
    EXPECT_THAT(held_against(one, stock).unfit, HasSubstr("0.10 mm too short"));
    DonorRules rules;
    rules.widest_gap = 0.14 * millimetre;
    EXPECT_THAT(rank_donors(club(), one, {stock}, rules).front().unfit, testing::Not(HasSubstr("short")));
    stock = own_tongue(one);
    stock.tongue.width = Profile::constant(13.5 * millimetre, 1.9 * millimetre);
    EXPECT_THAT(held_against(one, stock).unfit, HasSubstr("too narrow"));
}

TEST(Donors, One_that_no_safe_work_brings_to_the_note_says_what_it_would_sound) {
    const InstrumentReed& one = place(4, "draw");
    StockTongue stock = own_tongue(one);
    stock.tongue.thickness = Profile::constant(13.5 * millimetre, 0.05 * millimetre);
    EXPECT_THAT(held_against(one, stock).unfit, HasSubstr("below its target"));
}

}  // namespace
}  // namespace reedwright
