#include "app/page/tongue_view.hpp"

#include "app/report.hpp"
#include "core/strength/life.hpp"

#include <nlohmann/json.hpp>

namespace reedwright::app {

namespace {

nlohmann::ordered_json stations_json(const Profile& profile) {
    auto stations = nlohmann::ordered_json::array();
    for (const Station& station : profile.stations())
        stations.push_back({in(station.at, millimetre), in(station.value, millimetre)});
    return stations;
}

}  // namespace

nlohmann::ordered_json shape_json(const Tongue& tongue) {
    nlohmann::ordered_json json;
    json["length_mm"] = in(tongue.length(), millimetre);
    json["thickness_mm"] = stations_json(tongue.thickness);
    json["width_mm"] = stations_json(tongue.width);
    return json;
}

nlohmann::ordered_json stress_json(const Reed& reed, const Vibration& vibration) {
    const Life life = life_of(reed, vibration, default_swing(reed.tongue));
    nlohmann::ordered_json json;
    json["peak_mpa"] = in(life.stress, megapascal);
    json["at_mm"] = in(life.worst_at, millimetre);
    json["swing_mm"] = in(life.swing, millimetre);
    json["share_of_proof"] = or_null(life.proof_share);
    json["hours"] = nullptr;
    if (life.hours)
        json["hours"] = {
            {"low", or_null(life.hours_low)}, {"best", or_null(life.hours)}, {"high", or_null(life.hours_high)}};
    return json;
}

}  // namespace reedwright::app
