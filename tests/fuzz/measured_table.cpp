// Any text as a table of measured tongues; a short one that is taken can be fitted, and the fit written and read.
#include "core/input/yaml_reader.hpp"
#include "core/retune/calibration_file.hpp"
#include "tests/fuzz/targets.hpp"

namespace reedwright::fuzz {

namespace {

constexpr std::size_t most_fitted = 4;

}  // namespace

void measured_table(std::string_view text) {
    const MaterialLibrary library(REEDWRIGHT_FUZZ_MATERIALS);
    const auto tongues = read_or_refused(text, [&] { return read_measured(document_of(text), library); });
    if (!tongues) return;
    demand(!tongues->empty(), "a table without a tongue");
    for (const MeasuredTongue& one : *tongues) demand_positive(one.reading.value(), "a reading");
    if (tongues->size() > most_fitted) return;
    Model beam;
    beam.tier = Tier::beam;
    const Calibration fit = calibrate(*tongues, beam);
    demand_positive(fit.speed_factor.value, "the speed factor");
    demand_finite(fit.speed_factor.sigma, "the speed factor's spread");
    demand_finite(fit.give.value, "the give");
    demand_finite(fit.give.sigma, "the give's spread");
}

void calibration_file(std::string_view text) {
    const auto calibration = read_or_refused(text, [&] { return read_calibration(document_of(text)); });
    if (!calibration) return;
    demand_positive(calibration->speed_factor.value, "the speed factor");
    demand(!calibration->material.empty(), "a calibration of nothing");
    const Calibration again = read_calibration(read_yaml_text("written", calibration_text(*calibration)));
    demand(again.material == calibration->material, "the material changed in writing");
}

}  // namespace reedwright::fuzz
