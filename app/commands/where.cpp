#include "app/commands/commands.hpp"
#include "app/picture/tongue_picture.hpp"
#include "core/output/whole_file.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {
constexpr std::size_t json_intervals = 100;
constexpr std::size_t text_intervals = 10;
const IntervalPerArea cent_per_um_mm = cent / (micrometre * millimetre);
}  // namespace

int run_where(const WhereRequest& request, const Console& console) {
    const Reed reed = read_source(request.source);
    const Vibration vibration = vibration_of(reed, model_of(request.tier));
    const auto neutral = vibration.neutral_places();
    if (!request.picture.empty())
        write_whole_file(request.picture, tongue_picture(reed, vibration),
                         request.replace ? Existing::replace : Existing::keep);

    if (request.json) {
        nlohmann::ordered_json json;
        json["stations"] = nlohmann::ordered_json::array();
        for (const WherePoint& point : vibration.where_map(json_intervals))
            json["stations"].push_back(
                {{"at_mm", in(point.at, millimetre)}, {"cents_per_um_mm", in(point.effect, cent_per_um_mm)}});
        json["neutral_mm"] = nlohmann::ordered_json::array();
        for (const Length& place : neutral) json["neutral_mm"].push_back(in(place, millimetre));
        json["pitch_hz"] = pitch_of(reed, vibration).pitch.value();
        add_closing(json, reed, true);
        print_json(console.out, json);
        return done;
    }

    std::ostream& out = console.out;
    out << tongue_line(reed) << "\n\n";
    out << "metal taken from the top, full width: cents for one micrometre over one millimetre\n";
    out << "  from the root   there       effect\n";
    for (const WherePoint& point : vibration.where_map(text_intervals))
        out << fmt::format("  {:8.2f} mm  {:.3f} mm  {:+9.4f}\n", in(point.at, millimetre),
                           in(reed.tongue.thickness.beyond(point.at), millimetre), in(point.effect, cent_per_um_mm));
    for (const Length& place : neutral)
        out << fmt::format(
            "nothing happens at {:.2f} mm, {:.0f} % of the length; toward the tip the pitch rises, toward the root it "
            "falls\n",
            in(place, millimetre), 100.0 * (place / reed.tongue.length()).value());
    print_closing(out, reed, true);
    if (!request.picture.empty()) console.err << "wrote " << request.picture << '\n';
    return done;
}

}  // namespace reedwright::app
