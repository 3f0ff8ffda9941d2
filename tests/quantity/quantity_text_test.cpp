// Quantities as people write them: every unit, every fault, printing, and no say for the locale.
#include "core/quantity/quantity_text.hpp"

#include <gtest/gtest.h>
#include <unistd.h>
#include <array>
#include <clocale>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <limits>
#include <locale>
#include <random>
#include <string>
#include <system_error>
#include <vector>

namespace reedwright {
namespace {

struct Written {
    std::string text;
    Dimension dimension;
    double value_si;
};

// One rounding of the number and one of the factor.
double two_roundings(double value) {
    return 4.0 * std::numeric_limits<double>::epsilon() * std::abs(value);
}

const std::vector<Written>& every_unit() {
    static const std::vector<Written> all{
        {"15 mm", Dimension::length, 0.015},
        {"120 um", Dimension::length, 120e-6},
        {"120 \u00b5m", Dimension::length, 120e-6},  // micro sign
        {"120 \u03bcm", Dimension::length, 120e-6},  // Greek letter
        {"1.5 cm", Dimension::length, 0.015},
        {"2 m", Dimension::length, 2.0},
        {"0.5 in", Dimension::length, 0.0127},
        {"50 mm^2", Dimension::area, 50e-6},
        {"50 mm\u00b2", Dimension::area, 50e-6},
        {"0.5 cm^2", Dimension::area, 50e-6},
        {"0.5 cm\u00b2", Dimension::area, 50e-6},
        {"2 m^2", Dimension::area, 2.0},
        {"0.4 cm^3", Dimension::volume, 0.4e-6},
        {"0.4 cm\u00b3", Dimension::volume, 0.4e-6},
        {"400 mm^3", Dimension::volume, 400e-9},
        {"400 mm\u00b3", Dimension::volume, 400e-9},
        {"3 mL", Dimension::volume, 3e-6},
        {"2 L", Dimension::volume, 2e-3},
        {"2 m^3", Dimension::volume, 2.0},
        {"7 mg", Dimension::mass, 7e-6},
        {"2 g", Dimension::mass, 2e-3},
        {"3 kg", Dimension::mass, 3.0},
        {"8530 kg/m^3", Dimension::density, 8530.0},
        {"8530 kg/m\u00b3", Dimension::density, 8530.0},
        {"8.53 g/cm^3", Dimension::density, 8530.0},
        {"8.53 g/cm\u00b3", Dimension::density, 8530.0},
        {"30 Pa", Dimension::pressure, 30.0},
        {"5 hPa", Dimension::pressure, 500.0},
        {"0.5 kPa", Dimension::pressure, 500.0},
        {"630 MPa", Dimension::pressure, 630e6},
        {"110 GPa", Dimension::pressure, 110e9},
        {"440 Hz", Dimension::frequency, 440.0},
        {"2.5 kHz", Dimension::frequency, 2500.0},
        {"30 h", Dimension::time, 108000.0},
        {"2 min", Dimension::time, 120.0},
        {"3 s", Dimension::time, 3.0},
        {"4 ms", Dimension::time, 4e-3},
        {"20 degC", Dimension::temperature, 293.15},
        {"20 \u00b0C", Dimension::temperature, 293.15},
        {"300 K", Dimension::temperature, 300.0},
        {"3 K", Dimension::temperature_difference, 3.0},
        {"-390 ppm/K", Dimension::per_temperature, -390e-6},
        {"-0.00039 1/K", Dimension::per_temperature, -390e-6},
        {"-12 cents", Dimension::interval, -12.0},
        {"1 cent", Dimension::interval, 1.0},
        {"-12c", Dimension::interval, -12.0},
        {"50 %", Dimension::ratio, 0.5},
        {"0.34", Dimension::ratio, 0.34},
    };
    return all;
}

TEST(QuantityText, EveryUnitIsReadAsItsValueInSi) {
    for (const Written& written : every_unit()) {
        const auto value = parse_si(written.text, written.dimension);
        ASSERT_TRUE(value) << written.text << ": " << value.error().message;
        EXPECT_NEAR(*value, written.value_si, two_roundings(written.value_si)) << written.text;
    }
}

TEST(QuantityText, ABlankBeforeTheUnitIsAMatterOfTaste) {
    for (const std::string text :
         {"0.12mm", "0.12 mm", "  0.12   mm ", "\t0.12\tmm", "+0.12 mm", ".12mm", "12e-2 mm", "1.2E-1mm"}) {
        const auto length = parse_quantity<Length>(text);
        ASSERT_TRUE(length) << text;
        EXPECT_NEAR(length->value(), 0.12e-3, two_roundings(0.12e-3)) << text;
    }
}

struct Faulty {
    std::string text;
    Dimension due;
    std::string message;
    std::string hint;
};

TEST(QuantityText, EveryFaultIsNamedAndMendable) {
    const std::string lengths = "it takes um, mm, cm, m or in";
    const std::vector<Faulty> all{
        {"", Dimension::length, "nothing is written where a length is due", ""},
        {"  ", Dimension::mass, "nothing is written where a mass is due", ""},
        {"15", Dimension::length, "'15' has no unit, and a length needs one", lengths},
        {"0", Dimension::length, "'0' has no unit, and a length needs one", lengths},
        {"mm", Dimension::length, "'mm' is not a length", lengths},
        {"fifteen mm", Dimension::length, "'fifteen mm' is not a length", lengths},
        {"- 15 mm", Dimension::length, "'- 15 mm' is not a length", lengths},
        {"--15 mm", Dimension::length, "'--15 mm' is not a length", lengths},
        {"15 mn", Dimension::length, "unknown unit 'mn' in '15 mn'", "a length takes um, mm, cm, m or in"},
        {"15 mm mm", Dimension::length, "unknown unit 'mm mm' in '15 mm mm'", "a length takes um, mm, cm, m or in"},
        {"0x10 mm", Dimension::length, "unknown unit 'x10 mm' in '0x10 mm'", "a length takes um, mm, cm, m or in"},
        {"15 MM", Dimension::length, "unknown unit 'MM' in '15 MM'", "did you mean mm?"},
        {"110 gpa", Dimension::pressure, "unknown unit 'gpa' in '110 gpa'", "did you mean GPa?"},
        {"20 C", Dimension::temperature, "unknown unit 'C' in '20 C'", "write degC"},
        {"20 \u00b0", Dimension::temperature, "unknown unit '\u00b0' in '20 \u00b0'", "write degC"},
        {"68 degF", Dimension::temperature, "unknown unit 'degF' in '68 degF'", "a temperature takes degC or K"},
        {"15 mg", Dimension::length, "'15 mg' is a mass, not a length", lengths},
        {"110 GPa", Dimension::density, "'110 GPa' is a pressure or modulus, not a density",
         "it takes kg/m^3 or g/cm^3"},
        {"12 cents", Dimension::frequency, "'12 cents' is an interval, not a frequency", "it takes Hz or kHz"},
        {"95 Hz", Dimension::ratio, "'95 Hz' is a frequency, not a ratio", "it takes a plain number or %"},
        {"3 degC", Dimension::temperature_difference, "'3 degC' is a temperature, not a difference of temperatures",
         "write it in K"},
        {"0,12 mm", Dimension::length, "'0,12 mm' has a decimal comma", "write the number with a point"},
        {"0,34", Dimension::ratio, "'0,34' has a decimal comma", "write the number with a point"},
        {".nan", Dimension::length, "'.nan' is not a finite number", ""},
        {".inf", Dimension::ratio, "'.inf' is not a finite number", ""},
        {"nan mm", Dimension::length, "'nan mm' is not a finite number", ""},
        {"inf", Dimension::ratio, "'inf' is not a finite number", ""},
        {"-inf mm", Dimension::length, "'-inf mm' is not a finite number", ""},
        {"NaN", Dimension::ratio, "'NaN' is not a finite number", ""},
        {"1e400 mm", Dimension::length, "'1e400 mm' is too large or too small a number", ""},
        {"1e-400 mm", Dimension::length, "'1e-400 mm' is too large or too small a number", ""},
        {"1e308 GPa", Dimension::pressure, "'1e308 GPa' is too large or too small a number", ""},
    };
    for (const Faulty& faulty : all) {
        const auto value = parse_si(faulty.text, faulty.due);
        ASSERT_FALSE(value) << "'" << faulty.text << "' was read as " << *value;
        EXPECT_EQ(value.error().message, faulty.message);
        EXPECT_EQ(value.error().hint, faulty.hint) << faulty.text;
    }
}

TEST(QuantityText, EveryUnitIsRefusedWhereAnotherDimensionIsDue) {
    for (const Written& written : every_unit())
        for (const Written& other : every_unit()) {
            if (written.dimension == other.dimension) continue;
            const auto value = parse_si(written.text, other.dimension);
            const bool kelvin_either_way =
                written.text.ends_with(" K") &&
                (other.dimension == Dimension::temperature || other.dimension == Dimension::temperature_difference);
            EXPECT_EQ(value.has_value(), kelvin_either_way)
                << written.text << " where " << dimension_name(other.dimension) << " is due";
        }
}

TEST(QuantityText, ValuesPrintInTheUnitOfTheTrade) {
    EXPECT_EQ(to_text(0.12 * millimetre), "0.12 mm");
    EXPECT_EQ(to_text(110.0 * gigapascal), "110 GPa");
    EXPECT_EQ(to_text(630.0 * megapascal), "630 MPa");
    EXPECT_EQ(to_text(500.0 * pascal), "500 Pa");
    EXPECT_EQ(to_text(1500.0 * pascal), "1.5 kPa");
    EXPECT_EQ(to_text(celsius(20.0)), "20 degC");
    EXPECT_EQ(to_text(3.0 * kelvin), "3 K");
    EXPECT_EQ(to_text(-12.0 * cent), "-12 cents");
    EXPECT_EQ(to_text(-390e-6 * per_kelvin), "-390 ppm/K");
    EXPECT_EQ(to_text(2.0 * milligram), "2 mg");
    EXPECT_EQ(to_text(2000.0 * milligram), "2 g");
    EXPECT_EQ(to_text(108000.0 * second), "30 h");
    EXPECT_EQ(to_text(8530.0 * kilogram_per_cubic_metre), "8530 kg/m^3");
    EXPECT_EQ(to_text(Ratio(0.34)), "0.34");
    EXPECT_EQ(to_text(0.4 * millimetre * millimetre), "0.4 mm^2");
}

TEST(QuantityText, WhatIsPrintedReadsBackWithinItsSixDigits) {
    constexpr std::array all{Dimension::length,
                             Dimension::area,
                             Dimension::volume,
                             Dimension::mass,
                             Dimension::density,
                             Dimension::pressure,
                             Dimension::frequency,
                             Dimension::time,
                             Dimension::temperature,
                             Dimension::temperature_difference,
                             Dimension::per_temperature,
                             Dimension::interval,
                             Dimension::ratio};
    std::mt19937 random(1);
    std::uniform_real_distribution<double> exponent(-12.0, 12.0);
    std::bernoulli_distribution negative(0.3);
    for (const Dimension dimension : all)
        for (int i = 0; i < 2000; ++i) {
            const double value = (negative(random) ? -1.0 : 1.0) * std::pow(10.0, exponent(random));
            const std::string text = si_text(value, dimension);
            const auto read = parse_si(text, dimension);
            ASSERT_TRUE(read) << text << ": " << read.error().message;
            // Half a unit of the sixth digit, at worst 5e-6 of what is shown; a temperature is shown in
            // degC, so its zero lies 273.15 K higher.
            const double shown = dimension == Dimension::temperature ? std::abs(value - 273.15) : std::abs(value);
            ASSERT_NEAR(*read, value, 5.1e-6 * shown + 1e-12 * std::abs(value)) << text;
        }
}

TEST(QuantityText, ValuesOfSixDigitsPrintAndReadBackToTheSameText) {
    std::mt19937 random(2);
    std::uniform_int_distribution<int> digits(1, 999'999);
    for (const Dimension dimension :
         {Dimension::length, Dimension::mass, Dimension::pressure, Dimension::interval, Dimension::ratio})
        for (int i = 0; i < 2000; ++i) {
            const std::string text = si_text(digits(random) * 1e-6, dimension);
            const auto read = parse_si(text, dimension);
            ASSERT_TRUE(read) << text;
            ASSERT_EQ(si_text(*read, dimension), text);
        }
}

// A country's point and grouping, whether its data are installed or not.
struct CommaPunctuation : std::numpunct<char> {
protected:
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

void expect_points_whatever_the_locale() {
    for (const Written& written : every_unit()) {
        const auto value = parse_si(written.text, written.dimension);
        ASSERT_TRUE(value) << written.text;
        EXPECT_NEAR(*value, written.value_si, two_roundings(written.value_si)) << written.text;
    }
    EXPECT_FALSE(parse_si("0,12 mm", Dimension::length));
    EXPECT_EQ(si_text(0.12e-3, Dimension::length), "0.12 mm");
    EXPECT_EQ(si_text(8530.5, Dimension::density), "8530.5 kg/m^3");
}

TEST(QuantityText, ALocaleOfCxxWithACommaChangesNothing) {
    const std::locale before = std::locale::global(std::locale(std::locale::classic(), new CommaPunctuation));
    expect_points_whatever_the_locale();
    std::locale::global(before);
}

TEST(QuantityText, ALocaleOfCWithACommaChangesNothing) {
    const std::string before = std::setlocale(LC_ALL, nullptr);
    const char* set = nullptr;
    for (const char* const name : {"de_DE.UTF-8", "de_DE.utf8", "de_DE", "fr_FR.UTF-8", "nl_NL.UTF-8"})
        if (set == nullptr) set = std::setlocale(LC_ALL, name);
    const std::filesystem::path made =
        std::filesystem::temp_directory_path() / ("reedwright-locale-" + std::to_string(::getpid()));
    if (set == nullptr) {
        // Where none is installed, its description often is; localedef warns on stderr of what is none of our business.
        std::filesystem::create_directory(made);
        if (std::system(
                ("localedef -i de_DE -f UTF-8 '" + (made / "de_DE.UTF-8").string() + "' >/dev/null 2>&1").c_str()) ==
            0) {
            ::setenv("LOCPATH", made.c_str(), 1);
            set = std::setlocale(LC_ALL, "de_DE.UTF-8");
            ::unsetenv("LOCPATH");
        }
    }
    std::error_code ignored;
    std::filesystem::remove_all(made, ignored);
    if (set == nullptr) GTEST_SKIP() << "no locale with a decimal comma is installed, nor can one be made";
    ASSERT_STREQ(std::localeconv()->decimal_point, ",");
    expect_points_whatever_the_locale();
    std::setlocale(LC_ALL, before.c_str());
}

}  // namespace
}  // namespace reedwright
