#include "app/commands/commands.hpp"
#include "core/output/whole_file.hpp"
#include "core/retune/calibration_file.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

std::string verdict(const CalibratedTongue& tongue) {
    if (!tongue.outlier) return "";
    return tongue.residual.value() < 0.0
               ? "left out: far flat of the others; a crack, a loose rivet, or a wrong dimension"
               : "left out: far sharp of the others; a misread pitch or a wrong dimension";
}

}  // namespace

int run_calibrate(const CalibrateRequest& request, const Console& console) {
    const auto measured = read_measured_file(request.file, material_library());
    const Calibration calibration = calibrate(measured);
    if (!request.lot.empty())
        write_whole_file(request.lot, calibration_text(calibration),
                         request.replace ? Existing::replace : Existing::keep);

    const auto warnings = calibration_warnings(calibration, measured.front().reed.tongue.material);
    for (const std::string& warning : warnings) console.err << "warning: " << warning << '\n';
    if (request.json) {
        const auto estimate = [](const Estimate& e) {
            return nlohmann::ordered_json{{"value", e.value}, {"sigma", e.sigma}};
        };
        nlohmann::ordered_json json;
        json["material"] = calibration.material;
        json["speed_factor"] = estimate(calibration.speed_factor);
        json["give"] = estimate(calibration.give);
        json["correlation"] = calibration.correlation;
        json["prior_speed_factor"] = estimate(calibration.prior_speed_factor);
        json["prior_give"] = estimate(calibration.prior_give);
        json["tongues"] = nlohmann::ordered_json::array();
        for (const CalibratedTongue& tongue : calibration.tongues)
            json["tongues"].push_back({{"name", tongue.name},
                                       {"residual_cents", tongue.residual.value()},
                                       {"standardised", tongue.standardised},
                                       {"outlier", tongue.outlier},
                                       {"thickness_correction_um", in(tongue.thickness_correction, micrometre)}});
        json["warnings"] = warnings;
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    out << fmt::format("{} tongues of {}\n\n", calibration.tongues.size(), calibration.material);
    out << fmt::format("{:<30}{:>16}   {:>16}\n", "", "before", "after");
    out << fmt::format("{:<30}{:>16}   {:>16}\n", "sqrt(E/rho) over the library's",
                       fmt::format("1.000 +-{:.3f}", calibration.prior_speed_factor.sigma),
                       fmt::format("{:.4f} +-{:.4f}", calibration.speed_factor.value, calibration.speed_factor.sigma));
    out << fmt::format("{:<30}{:>16}   {:>16}\n", "give, in root thicknesses",
                       fmt::format("{:.2f} +-{:.2f}", calibration.prior_give.value, calibration.prior_give.sigma),
                       fmt::format("{:.2f} +-{:.2f}", calibration.give.value, calibration.give.sigma));
    out << fmt::format("(one standard deviation; the two are correlated by {:.2f})\n\n", calibration.correlation);
    out << "tongue          reading over model   deviations   its thickness is likely\n";
    for (const CalibratedTongue& tongue : calibration.tongues)
        out << fmt::format("{:<16}{:>+12.1f} cents{:>+13.1f}   {:>+8.2f} um  {}\n", tongue.name,
                           tongue.residual.value(), tongue.standardised, in(tongue.thickness_correction, micrometre),
                           verdict(tongue));
    for (const std::string& caution : measured.front().reed.cautions()) out << "\ncaution\n  " << caution << '\n';
    if (!request.lot.empty()) console.err << "wrote " << request.lot << ", for --lot\n";
    return done;
}

}  // namespace reedwright::app
