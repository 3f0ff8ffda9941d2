#include "core/plan/tongue_rules.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

double SmoothScale::at(double u) const {
    return std::exp((1.0 - u) * std::log(lowest) + u * std::log(highest) + 4.0 * u * (1.0 - u) * bow);
}

std::string_view family_name(ProfileFamily family) {
    switch (family) {
        case ProfileFamily::flat:
            return "flat";
        case ProfileFamily::taper:
            return "taper";
        case ProfileFamily::heavy_tip:
            break;
    }
    return "heavy-tip";
}

Profile ProfileShape::profile(Length length, Length at_root, Length station_step) const {
    const auto place = [&](double share) {
        const Length at = share * length;
        if (station_step.value() <= 0.0) return at;
        return std::round((at / station_step).value()) * station_step;
    };
    switch (family) {
        case ProfileFamily::flat:
            return Profile::constant(length, at_root);
        case ProfileFamily::taper:
            return Profile::taper(length, at_root, tip * at_root);
        case ProfileFamily::heavy_tip:
            break;
    }
    return Profile({{0.0 * metre, at_root},
                    {place(waist_from), waist * at_root},
                    {place(waist_to), waist * at_root},
                    {place(tip_from), tip * at_root},
                    {length, tip * at_root}});
}

}  // namespace reedwright
