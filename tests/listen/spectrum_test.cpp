#include "core/listen/spectrum.hpp"

#include <gtest/gtest.h>
#include <cmath>
#include <numbers>
#include <numeric>

namespace reedwright::kernel {
namespace {

TEST(Spectrum, Power_is_conserved) {
    std::vector<double> samples(1000);
    for (std::size_t i = 0; i < samples.size(); ++i) samples[i] = std::sin(0.1 * static_cast<double>(i * i % 77));
    const auto power = power_spectrum(samples, 1024, Window::none);
    ASSERT_EQ(power.size(), 513U);
    // Parseval: inner bins stand for two.
    double sum = power.front() + power.back();
    for (std::size_t i = 1; i + 1 < power.size(); ++i) sum += 2.0 * power[i];
    EXPECT_NEAR(sum / 1024.0, std::inner_product(samples.begin(), samples.end(), samples.begin(), 0.0), 1e-9);
}

TEST(Spectrum, The_autocorrelation_is_the_sum_of_products_and_its_interpolation) {
    std::vector<double> samples(500);
    for (std::size_t i = 0; i < samples.size(); ++i) {
        // A slow swell to nothing at both ends, so that the sound is band-limited.
        const double t = static_cast<double>(i) / 500.0;
        samples[i] = std::pow(std::sin(std::numbers::pi * t), 4) * std::cos(0.7 * static_cast<double>(i));
    }
    const auto correlation = autocorrelation(power_spectrum(samples, 1024, Window::none), 4, 400);
    for (const std::size_t lag : {0U, 1U, 9U, 63U}) {
        double sum = 0.0;
        for (std::size_t i = 0; i + lag < samples.size(); ++i) sum += samples[i] * samples[i + lag];
        EXPECT_NEAR(correlation[4 * lag], sum, 1e-9) << lag;
    }
    // Between the samples it is the envelope's value times the cosine there.
    const double phase = 0.7 * 2.25;
    EXPECT_NEAR(correlation[9], correlation[0] * std::cos(phase), 2e-3 * correlation[0]);
}

TEST(Spectrum, Windows_keep_a_line_within_their_lobes) {
    std::vector<double> samples(1024);
    for (std::size_t i = 0; i < samples.size(); ++i)
        samples[i] = std::cos(2.0 * std::numbers::pi * 100.37 * static_cast<double>(i) / 1024.0);
    const auto hann = power_spectrum(samples, 1024, Window::hann);
    const auto harris = power_spectrum(samples, 1024, Window::blackman_harris);
    EXPECT_LT(hann[110] / hann[100], 1e-6);       // 60 dB ten bins away: 1 / d^3 twice
    EXPECT_LT(harris[110] / harris[100], 5e-10);  // Harris 1978, Table 1: side lobes at -92 dB
    EXPECT_GT(hann[102] / hann[100], 1e-4);       // and no narrower than windows are
}

}  // namespace
}  // namespace reedwright::kernel
