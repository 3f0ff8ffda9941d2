// The sheets of whole sets: nothing on top of anything else, all of it there, the same bytes every time.
#include "cad_export/drawing.hpp"
#include "cad_export/sheet_frame.hpp"
#include "cad_export/sheet_table.hpp"
#include "cad_export/sheet_writer.hpp"
#include "cad_export/tongue_view.hpp"
#include "core/input/diagnostic.hpp"
#include "tests/drawing/sample_sets.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <rapidcheck/gtest.h>
#include <algorithm>
#include <chrono>
#include <thread>

namespace reedwright {
namespace {

using drawing::Label;
using drawing::Rectangle;
using drawing::Sheet;
using ::testing::AllOf;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

std::vector<std::string> overlaps(const std::vector<Sheet>& sheets) {
    std::vector<std::string> found;
    for (const Sheet& sheet : sheets) {
        const auto& labels = sheet.figure.labels();
        for (std::size_t i = 0; i < labels.size(); ++i)
            for (std::size_t j = 0; j < i; ++j)
                if (drawing::overlap(labels[i].box, labels[j].box))
                    found.push_back(fmt::format("{}: \"{}\" and \"{}\"", sheet.title, labels[j].text, labels[i].text));
    }
    return found;
}

// What leaves the frame, 20 mm at the left and 10 mm elsewhere, or has letters that are too small to read.
std::vector<std::string> strays(const std::vector<Sheet>& sheets) {
    std::vector<std::string> found;
    for (const Sheet& sheet : sheets) {
        const Rectangle frame{20.0, 10.0, sheet.width_mm - 10.0, sheet.height_mm - 10.0};
        const Rectangle all = sheet.figure.bounds();
        if (all.left_mm < frame.left_mm - 1e-6 || all.top_mm < frame.top_mm - 1e-6 ||
            all.right_mm > frame.right_mm + 1e-6 || all.bottom_mm > frame.bottom_mm + 1e-6)
            found.push_back(sheet.title + ": something leaves the frame");
        for (const Label& label : sheet.figure.labels())
            if (label.style.size_mm < 2.2) found.push_back(sheet.title + ": too small: " + label.text);
    }
    return found;
}

bool says(const std::vector<Sheet>& sheets, const std::string& words) {
    for (const Sheet& sheet : sheets)
        for (const Label& label : sheet.figure.labels())
            if (label.text == words) return true;
    return false;
}

std::size_t count_of(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
    return count;
}

TEST(Sheets, No_two_labels_overlap_and_none_leaves_the_frame) {
    for (const SampleSet& set : {club_set(), cell_set(12), cell_set(1), long_set(60)}) {
        const auto sheets = shop_drawing(set.shop());
        EXPECT_THAT(overlaps(sheets), IsEmpty()) << set.name;
        EXPECT_THAT(strays(sheets), IsEmpty()) << set.name;
    }
}

RC_GTEST_PROP(SheetsLaw, No_two_labels_overlap_on_the_sheets_of_random_plates, ()) {
    Instrument instrument = club_instrument();
    const InstrumentReed first = instrument.reeds.front();
    instrument.reeds.clear();
    const int cells = *rc::gen::inRange(1, 40);
    const bool of_rows = *rc::gen::arbitrary<bool>();
    const double spacing = *rc::gen::inRange(40, 120) * 0.1;
    for (const char* row : {"push", "pull"})
        for (int cell = 1; cell <= cells; ++cell) {
            // No cell is without a reed, but some have one only.
            if (row == std::string("pull") && *rc::gen::inRange(0, 6) == 0) continue;
            InstrumentReed one = first;
            one.cell = cell;
            one.row = row;
            const Length length = *rc::gen::inRange(90, 400) * 0.1 * millimetre;
            one.reed.tongue.thickness = Profile::constant(length, 0.1 * millimetre);
            one.reed.tongue.width =
                Profile::taper(length, 2.4 * millimetre, *rc::gen::inRange(12, 30) * 0.1 * millimetre);
            one.reed.pad.rivets = *rc::gen::inRange(0, 3);
            one.reed.pad.rivet_diameter = 0.6 * millimetre;
            instrument.reeds.push_back(one);
        }
    PlateRules rules;
    rules.carries = of_rows ? PlateCarries::row : PlateCarries::cell;
    rules.spacing = spacing * millimetre;
    if (*rc::gen::arbitrary<bool>()) rules.fixing_inset = *rc::gen::inRange(15, 40) * 0.1 * millimetre;
    CombRules comb;
    comb.material = "maple";
    comb.cell_width = 0.7 * rules.spacing;
    PlateSet plates;
    try {
        plates = lay_out_plates(plate_reeds(instrument), rules, comb);
    } catch (const InputError&) {
        RC_DISCARD("a hole under a pad, say: no such plates are drawn");
    }
    const SampleSet set{std::move(plates), "random", shop_reeds(instrument)};
    const auto sheets = shop_drawing(set.shop());
    for (const std::string& fault : overlaps(sheets)) RC_FAIL(fault);
    for (const std::string& fault : strays(sheets)) RC_FAIL(fault);
}

TEST(Sheets, Every_slot_has_its_name_and_every_reed_its_row) {
    for (const SampleSet& set : {club_set(), cell_set(12), long_set(60)}) {
        const auto sheets = shop_drawing(set.shop());
        std::size_t places = 0;
        for (const Sheet& sheet : sheets)
            for (const Label& label : sheet.figure.labels())
                for (const ShopReed& reed : set.reeds) places += label.text == reed.place ? 1U : 0U;
        for (const ShopReed& reed : set.reeds)
            EXPECT_TRUE(says(sheets, fmt::format("{} {}", reed.place, reed.note))) << reed.place;
        // In the slot table, the list of tongues and the tuning table, however many sheets they take.
        EXPECT_EQ(places, 3 * set.reeds.size()) << set.name;
    }
}

TEST(Sheets, The_club_s_plates_stand_at_full_size_on_A4_in_six_sheets) {
    const auto sheets = shop_drawing(club_set().shop());
    // Two plates, the comb, two kinds of tongue on one sheet, the list, the tuning table.
    EXPECT_EQ(sheets.size(), 6U);
    for (const Sheet& sheet : sheets) EXPECT_EQ(sheet.width_mm, 297.0);
    EXPECT_TRUE(says({sheets[0]}, "1:1"));
    // Ordinates of the first slot's middle, the root line and the far end.
    for (const char* number : {"7.75", "root line  6.00", "83.00", "24.50", "datum  0.00"})
        EXPECT_TRUE(says({sheets[0]}, number)) << number;
}

TEST(Sheets, Plates_larger_than_the_paper_are_drawn_smaller) {
    EXPECT_TRUE(says(shop_drawing(long_set(60).shop()), "1:2"));
    EXPECT_TRUE(says(shop_drawing(long_set(120).shop()), "1:5"));
}

TEST(Sheets, Notes_that_find_no_room_beside_a_plate_stand_once_on_a_sheet_of_their_own) {
    const auto sheets = shop_drawing(long_set(60).shop());
    std::size_t told = 0;
    std::size_t notes = 0;
    for (const Sheet& sheet : sheets) {
        told += says({sheet}, "Further notes: see the sheet of notes.") ? 1U : 0U;
        notes += says({sheet}, "notes for all plates") ? 1U : 0U;
        EXPECT_TRUE(!says({sheet}, "notes for all plates") || says({sheet}, "Thin strip and burrs cut."))
            << sheet.title;
    }
    EXPECT_EQ(told, 2U);
    EXPECT_EQ(notes, 1U);
    EXPECT_FALSE(says(shop_drawing(club_set().shop()), "notes for all plates"));
}

TEST(Sheets, The_paper_asked_for_is_taken) {
    const SampleSet set = club_set();
    ShopSheet shop = set.shop();
    shop.paper = Paper::a3;
    EXPECT_EQ(shop_drawing(shop).front().width_mm, 420.0);
}

TEST(Sheets, The_bar_to_check_the_print_is_fifty_millimetres_long) {
    for (const Sheet& sheet : shop_drawing(club_set().shop())) {
        double left = 1e9;
        double right = 0.0;
        for (const drawing::Shape& shape : sheet.figure.shapes()) {
            if (!shape.pen || shape.fill != drawing::Fill::black) continue;
            for (const drawing::Piece& piece : shape.pieces) {
                left = std::min(left, piece.from.x_mm);
                right = std::max(right, piece.from.x_mm);
            }
        }
        EXPECT_NEAR(right - left, 50.0, 1e-9);
    }
}

TEST(Sheets, A_plate_at_full_size_has_its_length_on_paper) {
    const auto sheets = shop_drawing(club_set().shop());
    bool found = false;
    for (const drawing::Shape& shape : sheets[0].figure.shapes()) {
        if (shape.pieces.size() != 4 || shape.pen != drawing::Pen::visible) continue;
        const auto& a = shape.pieces[0];
        found = found || std::abs(std::abs(a.to.x_mm - a.from.x_mm) - 83.0) < 1e-9;
    }
    EXPECT_TRUE(found);
}

TEST(Sheets, A_tongue_without_its_reed_is_refused) {
    SampleSet set = club_set();
    set.reeds.pop_back();
    EXPECT_THROW(shop_drawing(set.shop()), InputError);
}

TEST(Sheets, Benches_that_differ_are_told_for_each_reed) {
    SampleSet set = club_set();
    EXPECT_FALSE(says(shop_drawing(set.shop()), "24.0"));
    set.reeds[3].bench = celsius(24.0);
    EXPECT_TRUE(says(shop_drawing(set.shop()), "24.0"));
}

TEST(Sheets, Kinds_of_profile_are_told_apart) {
    const auto family = [](std::vector<double> microns) {
        std::vector<Station> stations;
        for (std::size_t i = 0; i < microns.size(); ++i)
            stations.push_back({static_cast<double>(i) * millimetre, microns[i] * micrometre});
        return drawing::profile_family(Profile(stations));
    };
    EXPECT_EQ(family({100, 100.5, 100}), "even");
    EXPECT_EQ(family({160, 120, 80}), "thinned toward the tip");
    EXPECT_EQ(family({160, 90, 140}), "heavy tip");
    EXPECT_EQ(family({90, 120, 140}), "thickened toward the tip");
    EXPECT_EQ(family({90, 140, 80}), "thick middle");
}

TEST(Pdf, It_has_a_page_for_each_sheet_and_no_date) {
    const SampleSet set = club_set();
    const std::string pdf = shop_pdf(set.shop());
    EXPECT_THAT(pdf, AllOf(HasSubstr("%PDF-1.4"), Not(HasSubstr("CreationDate")), Not(HasSubstr("ModDate"))));
    EXPECT_EQ(count_of(pdf, "/Type /Page") - count_of(pdf, "/Type /Pages"), shop_drawing(set.shop()).size());
}

TEST(Files, The_same_set_gives_the_same_bytes_a_second_later) {
    const SampleSet set = cell_set(4);
    const std::string pdf = shop_pdf(set.shop());
    const auto svg = shop_svg(set.shop());
    std::this_thread::sleep_for(std::chrono::milliseconds(1100));
    EXPECT_EQ(pdf, shop_pdf(set.shop()));
    const auto again = shop_svg(set.shop());
    ASSERT_EQ(svg.size(), again.size());
    for (std::size_t i = 0; i < svg.size(); ++i) EXPECT_EQ(svg[i].svg, again[i].svg);
}

TEST(Svg, It_is_in_millimetres_and_its_words_can_be_searched) {
    const SampleSet set = club_set();
    const std::string svg = shop_svg(set.shop()).front().svg;
    EXPECT_THAT(svg, AllOf(HasSubstr("width=\"297mm\""), HasSubstr("height=\"210mm\"")));
    for (const ShopReed& reed : set.reeds) {
        if (!reed.place.ends_with("blow")) continue;
        EXPECT_THAT(svg, HasSubstr(fmt::format(">{} {}</text>", reed.place, reed.note)));
    }
}

TEST(Tables, A_long_table_goes_on_with_its_head_and_loses_no_row) {
    const auto ruler = std::make_shared<const drawing::TextRuler>();
    drawing::Table table{"Slots", {{"place"}, {"x"}}, {}};
    for (int i = 0; i < 500; ++i) table.rows.push_back({fmt::format("p{}", i), "1.00"});
    std::vector<drawing::Table> left{table};
    std::size_t rows = 0;
    std::size_t heads = 0;
    for (int sheet = 0; sheet < 20 && !left.empty(); ++sheet) {
        drawing::Flowed flowed = drawing::flow(left, {{0, 0, 100, 100}, {}}, ruler);
        for (const Label& label : flowed.figure.labels()) {
            rows += label.text.starts_with("p") && label.text != "place" ? 1U : 0U;
            heads += label.text == "place" ? 1U : 0U;
            EXPECT_LE(label.box.right_mm, 100.0);
            EXPECT_LE(label.box.bottom_mm, 100.0);
        }
        left = std::move(flowed.left);
    }
    EXPECT_TRUE(left.empty());
    EXPECT_EQ(rows, 500U);
    EXPECT_GT(heads, 10U);
}

TEST(Ruler, Text_is_broken_at_spaces_and_cut_where_it_cannot_be) {
    const drawing::TextRuler ruler;
    const double wide = ruler.width_mm("brass strip", 3.0);
    EXPECT_THAT(ruler.wrapped("brass strip brass strip", 3.0, wide + 0.1),
                ::testing::ElementsAre("brass strip", "brass strip"));
    const std::string cut = ruler.fitted("Ablängmaß", 3.0, ruler.width_mm("Ablängm", 3.0));
    EXPECT_TRUE(cut.ends_with("..."));
    EXPECT_LE(ruler.width_mm(cut, 3.0), ruler.width_mm("Ablängm", 3.0));
}

}  // namespace
}  // namespace reedwright
