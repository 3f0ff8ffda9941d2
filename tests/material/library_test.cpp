// The alloy library in materials/: every file reads, and states what the handbooks print.
#include "core/material/material_file.hpp"

#include <gtest/gtest.h>
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace reedwright {
namespace {

MaterialLibrary library() {
    return MaterialLibrary(std::filesystem::path(REEDWRIGHT_SOURCE_DIR) / "materials");
}

Material alloy(const std::string& id) {
    return read_material_file(library().file_of(id, {}));
}

/// A printed cell in its printed unit: a range, a single figure (low equals high), a least value
/// (high is infinite), or nothing found. Figures that were recalled rather than looked up say so.
struct Printed {
    enum class Origin { read, recalled };
    double low = std::numeric_limits<double>::quiet_NaN();
    double high = std::numeric_limits<double>::quiet_NaN();
    Origin origin = Origin::read;

    bool found() const { return !std::isnan(low); }
    bool is_least() const { return std::isinf(high); }
    bool is_single() const { return low == high; }
};

constexpr auto recalled = Printed::Origin::recalled;
const Printed none_found{};

Printed range(double low, double high, Printed::Origin origin = Printed::Origin::read) {
    return {low, high, origin};
}
Printed single(double value, Printed::Origin origin = Printed::Origin::read) {
    return {value, value, origin};
}
Printed at_least(double low, Printed::Origin origin = Printed::Origin::read) {
    return {low, std::numeric_limits<double>::infinity(), origin};
}

/// Cold-rolled strip at 20 degC. Strength in MPa, fatigue fully reversed.
struct Row {
    std::string id;
    std::string source;  // words that the library's source of the modulus must contain
    Printed modulus_gpa;
    Printed density_kg_per_m3;
    Printed poisson;
    Printed modulus_change_ppm_per_k;
    Printed expansion_ppm_per_k;
    Printed tensile_mpa;
    Printed proof_mpa;
    Printed fatigue_mpa;
    double fatigue_cycles;
};

// Spread between published data sheets and handbooks, by the standard that each row names. The
// figures marked recalled are from memory.
const std::vector<Row> printed_rows{
    // C26000 H08: ASTM B36 mill data.
    {"cuzn30-h08", "ASTM B36", range(110, 112), single(8530), range(0.31, 0.34), single(-390, recalled),
     range(19.1, 20), range(625, 690), range(510, 595), single(160), 1e8},
    // CW508L R630: EN 1652 and EN 1654 mill data; the fatigue strength, 140 +- 30, is assumed.
    {"cuzn37-r630", "EN 1652 and EN 1654", range(103, 110), single(8440), range(0.31, 0.34), single(-390, recalled),
     single(20.2), at_least(630), at_least(600), range(110, 170), 1e8},
    // C51000 H08: ASTM B103, Copper Development Association.
    {"cusn5-h08", "ASTM B103", single(110), single(8860), single(0.34, recalled), single(-380, recalled), single(17.8),
     range(655, 760), single(690), range(150, 152), 1e8},
    // CW452K: EN 1654.
    {"cusn6-r620", "EN 1654", range(110, 118), single(8820), single(0.34, recalled), single(-380, recalled), single(18),
     range(640, 720, recalled), single(620, recalled), single(150, recalled), 1e8},
    // C52100: mill data; modulus 109 hard, 115 soft; fatigue of temper H04.
    {"cusn8-r700", "mill data", range(109, 115), single(8800), single(0.34), single(-380, recalled), range(18, 18.7),
     at_least(720), at_least(700), single(150), 1e8},
    // 1.4310 (301), as rolled and tempered: EN 10151 and mill data.
    {"1.4310-hard", "EN 10151", range(174, 179), range(7880, 8030), range(0.28, 0.30, recalled), single(-420, recalled),
     range(16.6, 16.9), range(1276, 1900), at_least(965), single(552), 1e8},
    {"1.4310-tempered", "EN 10151", range(185, 196), range(7880, 8030), range(0.28, 0.30, recalled),
     single(-420, recalled), range(16.6, 16.9), range(1276, 1900), at_least(965), single(552), 1e8},
    // 17-7PH CH900: mill data.
    {"1.4568-ch900", "mill data", range(200, 204), range(7650, 7800), range(0.27, 0.30), single(-300, recalled),
     single(11), single(1655, recalled), single(1590, recalled), single(550, recalled), 1e8},
    // C17200 aged: mill data.
    {"c17200-aged", "mill data", range(123, 131), range(8250, 8350), range(0.30, 0.33, recalled),
     single(-350, recalled), range(17, 17.8), range(1200, 1500), single(1100), range(280, 310, recalled), 1e8},
    // C77000 H08: ASTM B122 mill data.
    {"c77000-h08", "ASTM B122", range(124, 125), single(8730, recalled), range(0.31, 0.32), single(-340, recalled),
     single(16.2, recalled), range(745, 825), single(770), none_found, 0},
    // C100S (1.1274): EN 10132-4; change of modulus from the table in Roark, Formulas for Stress and Strain.
    {"c100s-hardened", "EN 10132-4", range(202, 210), single(7850, recalled), single(0.29, recalled), range(-330, -250),
     single(11.5, recalled), range(1200, 2100, recalled), none_found, single(700, recalled), 2e6},
};

const std::vector<std::string> plates{"aluminium-plate", "cuzn37-plate", "cuzn39pb2-plate"};

// Parsing "552.5 MPa" and dividing by the unit again costs a few roundings of 1e-16 each.
bool same(double a, double b) {
    return std::abs(a - b) <= 1e-12 * std::max(std::abs(a), std::abs(b));
}

template <class Quantity>
void expect_as_printed(const char* what, const std::optional<Property<Quantity>>& stated, const Printed& printed,
                       Quantity unit) {
    SCOPED_TRACE(what);
    ASSERT_EQ(stated.has_value(), printed.found());
    if (!stated) return;
    const double value = in(stated->value, unit);
    const auto same_bound = [&](const std::optional<Quantity>& bound, double wanted) {
        return bound.has_value() && same(in(*bound, unit), wanted);
    };
    if (printed.is_single()) {
        EXPECT_TRUE(same(value, printed.low)) << value << " is not " << printed.low;
        EXPECT_FALSE(stated->low || stated->high) << "a single figure has no range";
    } else {
        EXPECT_TRUE(value >= printed.low && value <= printed.high) << value << " lies outside the printed range";
        EXPECT_TRUE(same_bound(stated->low, printed.low));
        if (printed.is_least()) {
            EXPECT_TRUE(same(value, printed.low)) << "a least value is taken as it stands";
            EXPECT_FALSE(stated->high);
        } else {
            EXPECT_TRUE(same_bound(stated->high, printed.high));
        }
    }
    if (printed.origin == recalled) {
        EXPECT_NE(stated->source.find("from memory"), std::string::npos) << stated->source;
    }
}

/// Calls a function with the name and the value of every property that a material states.
void for_each_property(const Material& material, const auto& visit) {
    const auto if_stated = [&](const char* name, const auto& property) {
        if (property) visit(name, *property);
    };
    visit("youngs_modulus", material.youngs_modulus);
    visit("density", material.density);
    visit("poisson_ratio", material.poisson_ratio);
    if_stated("modulus_change", material.modulus_change);
    if_stated("expansion", material.expansion);
    if_stated("tensile_strength", material.tensile_strength);
    if_stated("proof_strength", material.proof_strength);
    if_stated("fatigue_strength", material.fatigue_strength);
    if_stated("fatigue_cycles", material.fatigue_cycles);
    if_stated("loss_factor", material.loss_factor);
}

/// Drift of pitch with temperature, f ~ sqrt(E) with the geometry expanding, in cents per kelvin:
/// df/f = (e + alpha) / 2.
double drift_cents_per_k(PerTemperature modulus_change, PerTemperature expansion) {
    return 0.5 * (modulus_change + expansion).value() * 1200.0 / std::log(2.0);
}

double drift_cents_per_k(const std::string& id) {
    const Material material = alloy(id);
    return drift_cents_per_k(material.modulus_change.value().value, material.expansion.value().value);
}

TEST(MaterialLibrary, ReadsEveryFileWithoutFault) {
    const std::vector<std::string> names = library().names();
    ASSERT_FALSE(names.empty());
    for (const std::string& id : names) {
        SCOPED_TRACE(id);
        Material material;
        ASSERT_NO_THROW(material = alloy(id));
        EXPECT_EQ(material.id, id);
        EXPECT_NE(material.name, "material given in place") << "the file does not name its alloy";
        EXPECT_FALSE(material.condition.empty());
        EXPECT_FALSE(material.family.empty());
    }
}

TEST(MaterialLibrary, HoldsThePrintedStripsAndThePlatesAndNothingElse) {
    std::vector<std::string> expected = plates;
    for (const Row& row : printed_rows) expected.push_back(row.id);
    std::sort(expected.begin(), expected.end());
    EXPECT_EQ(library().names(), expected);
    for (const Row& row : printed_rows) EXPECT_EQ(alloy(row.id).form, "strip") << row.id;
    for (const std::string& id : plates) EXPECT_EQ(alloy(id).form, "plate") << id;
}

TEST(MaterialLibrary, StatesOfEveryStripWhatItsSourcePrints) {
    for (const Row& row : printed_rows) {
        SCOPED_TRACE(row.id);
        const Material material = alloy(row.id);
        const PerTemperature ppm_per_k = 1e-6 * per_kelvin;
        EXPECT_NE(material.youngs_modulus.source.find(row.source), std::string::npos) << material.youngs_modulus.source;
        expect_as_printed("modulus", std::optional(material.youngs_modulus), row.modulus_gpa, gigapascal);
        expect_as_printed("density", std::optional(material.density), row.density_kg_per_m3, kilogram_per_cubic_metre);
        expect_as_printed("Poisson's ratio", std::optional(material.poisson_ratio), row.poisson, Ratio(1.0));
        expect_as_printed("change of modulus", material.modulus_change, row.modulus_change_ppm_per_k, ppm_per_k);
        expect_as_printed("expansion", material.expansion, row.expansion_ppm_per_k, ppm_per_k);
        expect_as_printed("tensile strength", material.tensile_strength, row.tensile_mpa, megapascal);
        expect_as_printed("proof strength", material.proof_strength, row.proof_mpa, megapascal);
        expect_as_printed("fatigue strength", material.fatigue_strength, row.fatigue_mpa, megapascal);
        ASSERT_EQ(material.fatigue_cycles.has_value(), row.fatigue_mpa.found());
        if (material.fatigue_cycles) {
            EXPECT_DOUBLE_EQ(material.fatigue_cycles->value.value(), row.fatigue_cycles);
        }
    }
}

TEST(MaterialLibrary, TakesTheHardModulusOfTinBronzeNotTheSoftOne) {
    EXPECT_DOUBLE_EQ(in(alloy("cusn8-r700").youngs_modulus.value, gigapascal), 109.0);
}

TEST(MaterialLibrary, GivesPlateOfCommonBrassTheElasticityOfItsStrip) {
    const Material strip = alloy("cuzn37-r630");
    const Material plate = alloy("cuzn37-plate");
    EXPECT_EQ(plate.youngs_modulus.value.value(), strip.youngs_modulus.value.value());
    EXPECT_EQ(plate.density.value.value(), strip.density.value.value());
    EXPECT_EQ(plate.poisson_ratio.value.value(), strip.poisson_ratio.value.value());
    EXPECT_EQ(plate.expansion.value().value.value(), strip.expansion.value().value.value());
}

TEST(MaterialLibrary, SpreadsTheModulusOfAnUnknownLotByItsKindOfAlloy) {
    // One standard deviation as a share of the modulus: a judgement, the same for a whole kind.
    const std::map<std::string, double> shares{
        {"cuzn30-h08", 0.03},  {"cuzn37-r630", 0.03},     {"cusn5-h08", 0.03},       {"cusn6-r620", 0.03},
        {"cusn8-r700", 0.03},  {"c17200-aged", 0.03},     {"c77000-h08", 0.03},      {"cuzn37-plate", 0.03},
        {"1.4310-hard", 0.04}, {"1.4310-tempered", 0.04}, {"cuzn39pb2-plate", 0.03}, {"c100s-hardened", 0.015}};
    for (const auto& [id, share] : shares) {
        SCOPED_TRACE(id);
        const auto modulus = alloy(id).youngs_modulus;
        ASSERT_TRUE(modulus.sigma);
        EXPECT_TRUE(same(modulus.sigma->value() / modulus.value.value(), share));
    }
}

TEST(MaterialLibrary, SpreadsTheElasticConstantsAndStatesEveryValueAtTwentyDegrees) {
    for (const std::string& id : library().names()) {
        for_each_property(alloy(id), [&](const std::string& name, const auto& property) {
            SCOPED_TRACE(id + ": " + name);
            if (name == "youngs_modulus" || name == "density" || name == "poisson_ratio") {
                ASSERT_TRUE(property.sigma);
                EXPECT_GT(property.sigma->value(), 0.0);
            }
            if (name == "fatigue_cycles") return;  // a count holds at no temperature of its own
            ASSERT_TRUE(property.at);
            EXPECT_DOUBLE_EQ(in_celsius(*property.at), 20.0);
        });
    }
}

TEST(MaterialLibrary, NamesTheSourceOfEveryProperty) {
    for (const std::string& id : library().names())
        for_each_property(alloy(id), [&](const char* name, const auto& property) {
            EXPECT_FALSE(property.source.empty()) << id << ": " << name;
        });
}

TEST(MaterialLibrary, SaysOfEveryLossFactorThatItIsAnOrderOfMagnitudeFromMemory) {
    for (const std::string& id : library().names()) {
        SCOPED_TRACE(id);
        const auto loss = alloy(id).loss_factor;
        ASSERT_TRUE(loss);
        EXPECT_NE(loss->source.find("from memory, order of magnitude"), std::string::npos);
        ASSERT_TRUE(loss->low && loss->high);
        // An order of magnitude spans ten to one.
        EXPECT_GE(loss->high->value(), 10.0 * loss->low->value() * (1.0 - 1e-12));
    }
}

TEST(MaterialLibrary, DriftsWithTemperatureAsPrinted) {
    // Printed to a thousandth of a cent per kelvin, so half of one either way; C100S to a hundredth.
    constexpr double half_of_last_digit = 0.0005;
    EXPECT_NEAR(drift_cents_per_k("cuzn30-h08"), -0.320, half_of_last_digit);
    EXPECT_NEAR(drift_cents_per_k("cuzn37-r630"), -0.320, half_of_last_digit);
    EXPECT_NEAR(drift_cents_per_k("cusn6-r620"), -0.313, half_of_last_digit);
    EXPECT_NEAR(drift_cents_per_k("cusn8-r700"), -0.313, half_of_last_digit);
    EXPECT_NEAR(drift_cents_per_k("1.4310-hard"), -0.349, half_of_last_digit);
    EXPECT_NEAR(drift_cents_per_k("1.4310-tempered"), -0.349, half_of_last_digit);

    const Material carbon_steel = alloy("c100s-hardened");
    const auto change = carbon_steel.modulus_change.value();
    const PerTemperature expansion = carbon_steel.expansion.value().value;
    EXPECT_NEAR(drift_cents_per_k(change.high.value(), expansion), -0.21, 0.005);
    EXPECT_NEAR(drift_cents_per_k(change.low.value(), expansion), -0.28, 0.005);
}

TEST(MaterialLibrary, PutsTheEnduranceLinesOfBrassAndBronzeWhereTheyArePrinted) {
    // Construction: a straight line on logarithmic scales through 0.9 of the tensile strength at
    // 1e3 cycles and the fatigue strength at its cycles. Printed: 1273 N^-0.1126 MPa (C26000) and
    // 1456 N^-0.1234 MPa (C51000); half of the last digit either way.
    const auto expect_line = [](const std::string& id, double at_one_cycle_mpa, double exponent) {
        SCOPED_TRACE(id);
        const Material material = alloy(id);
        const double at_thousand_mpa = 0.9 * in(material.tensile_strength.value().value, megapascal);
        const double endured_mpa = in(material.fatigue_strength.value().value, megapascal);
        const double decades = std::log10(material.fatigue_cycles.value().value.value()) - 3.0;
        const double slope = std::log10(endured_mpa / at_thousand_mpa) / decades;
        EXPECT_NEAR(slope, exponent, 0.00005);
        EXPECT_NEAR(at_thousand_mpa * std::pow(10.0, -3.0 * slope), at_one_cycle_mpa, 0.5);
    };
    expect_line("cuzn30-h08", 1273.0, -0.1126);
    expect_line("cusn5-h08", 1456.0, -0.1234);
}

TEST(MaterialLibrary, CautionsAgainstBerylliumDustAndLeadAndNothingElse) {
    const auto says = [](const Material& material, const std::string& words) {
        return std::any_of(material.cautions.begin(), material.cautions.end(),
                           [&](const std::string& caution) { return caution.find(words) != std::string::npos; });
    };
    const Material beryllium = alloy("c17200-aged");
    EXPECT_TRUE(says(beryllium, "dust causes incurable lung disease"));
    EXPECT_TRUE(says(beryllium, "local rules"));
    const Material leaded = alloy("cuzn39pb2-plate");
    EXPECT_TRUE(says(leaded, "wash hands"));
    EXPECT_TRUE(says(leaded, "not for parts that meet the mouth"));
    EXPECT_TRUE(says(leaded, "local rules"));
    for (const std::string& id : library().names()) {
        if (id == beryllium.id || id == leaded.id) continue;
        EXPECT_TRUE(alloy(id).cautions.empty()) << id;
    }
}

}  // namespace
}  // namespace reedwright
