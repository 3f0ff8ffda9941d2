// Blanks of every shape that a tongue file can ask for.
#pragma once

#include "core/plate/reed_blank.hpp"
#include "tests/plate/sample_reed.hpp"

#include <ostream>
#include <string>
#include <vector>

namespace reedwright {

struct SampleBlank {
    std::string name;
    ReedBlank blank;
};

inline void PrintTo(const SampleBlank& sample, std::ostream* out) {
    *out << sample.name;
}

inline std::vector<SampleBlank> sample_blanks() {
    const auto mm = [](double value) { return value * millimetre; };
    const auto profile = [&](const std::vector<std::pair<double, double>>& stations_mm) {
        std::vector<Station> stations;
        for (const auto& [at, value] : stations_mm) stations.push_back({mm(at), mm(value)});
        return Profile(std::move(stations));
    };
    const Profile even = profile({{0.0, 0.12}, {15.0, 0.12}});
    const Profile taper = profile({{0.0, 0.16}, {15.0, 0.08}});
    const Profile straight = profile({{0.0, 2.0}, {15.0, 2.0}});
    const Profile narrowing = profile({{0.0, 3.0}, {6.0, 3.0}, {6.0, 2.0}, {15.0, 2.0}});
    const Profile widening = profile({{0.0, 2.0}, {6.0, 2.0}, {6.0, 3.0}, {15.0, 3.0}});

    std::vector<SampleBlank> samples;
    const auto add = [&](const std::string& name, const Profile& thickness, const Profile& width) {
        samples.push_back({name, lay_out_blank(sample_reed(thickness, width))});
    };
    add("even", even, straight);
    add("tapered", taper, straight);
    add("scooped", profile({{0.0, 0.2}, {5.0, 0.1}, {11.0, 0.1}, {15.0, 0.18}}), straight);
    add("stepped_down", profile({{0.0, 0.16}, {4.0, 0.16}, {4.0, 0.1}, {15.0, 0.08}}), straight);
    add("stepped_up_at_the_tip", profile({{0.0, 0.1}, {12.0, 0.08}, {12.0, 0.2}, {15.0, 0.2}}), straight);
    add("stepped_at_the_root_line", profile({{0.0, 0.16}, {0.0, 0.1}, {15.0, 0.1}}), straight);
    add("filed_between_ramps", profile({{0.0, 0.15}, {5.0, 0.15}, {5.1, 0.12}, {8.0, 0.12}, {8.1, 0.15}, {15.0, 0.15}}),
        straight);
    add("narrowing_steadily", taper, profile({{0.0, 3.0}, {15.0, 1.6}}));
    add("width_and_thickness_stations_apart", profile({{0.0, 0.2}, {4.0, 0.12}, {15.0, 0.08}}),
        profile({{0.0, 3.0}, {7.0, 2.4}, {11.0, 2.4}, {15.0, 1.8}}));
    add("width_and_thickness_stations_together", profile({{0.0, 0.2}, {7.0, 0.12}, {15.0, 0.08}}),
        profile({{0.0, 3.0}, {7.0, 2.4}, {15.0, 1.8}}));
    add("shouldered", taper, narrowing);
    add("shouldered_at_a_thickness_kink", profile({{0.0, 0.2}, {6.0, 0.1}, {15.0, 0.14}}), narrowing);
    add("thickness_step_at_a_width_kink", profile({{0.0, 0.2}, {6.0, 0.18}, {6.0, 0.1}, {15.0, 0.1}}),
        profile({{0.0, 3.0}, {6.0, 2.6}, {15.0, 2.2}}));
    add("wide_and_thick_then_narrow_and_thin", profile({{0.0, 0.2}, {6.0, 0.2}, {6.0, 0.1}, {15.0, 0.1}}), narrowing);
    add("narrow_and_thin_then_wide_and_thick", profile({{0.0, 0.1}, {6.0, 0.1}, {6.0, 0.2}, {15.0, 0.2}}), widening);
    add("wide_and_thin_then_narrow_and_thick", profile({{0.0, 0.1}, {6.0, 0.1}, {6.0, 0.2}, {15.0, 0.2}}), narrowing);
    add("narrow_and_thick_then_wide_and_thin", profile({{0.0, 0.2}, {6.0, 0.2}, {6.0, 0.1}, {15.0, 0.1}}), widening);

    Reed reed = sample_reed();
    reed.pad.rivets = 2;
    reed.note = Note{'F', 1, 4};
    samples.push_back({"two_rivets", lay_out_blank(reed)});
    reed.pad.rivets = 0;
    samples.push_back({"welded", lay_out_blank(reed)});
    reed.slot.corner_radius = mm(0.0);
    samples.push_back({"square_slot", lay_out_blank(reed)});
    reed.slot.corner_radius = mm(1.03);
    samples.push_back({"round_ended_slot", lay_out_blank(reed)});
    return samples;
}

}  // namespace reedwright
