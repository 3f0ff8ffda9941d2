#include "app/commands/commands.hpp"
#include "app/design_lot.hpp"
#include "app/picture/scatter_picture.hpp"
#include "core/output/whole_file.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/process_scatter.hpp"

#include <fmt/format.h>
#include <chrono>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

nlohmann::ordered_json tongue_json(const Design& design, const TongueScatter& one) {
    const InstrumentReed& reed = design.instrument.reeds[one.reed];
    return {{"cell", reed.cell},
            {"row", reed.row},
            {"note", reed.note.name()},
            {"mean_cents", one.scatter.mean.value()},
            {"std_cents", one.scatter.standard.value()},
            {"low95_cents", one.scatter.low95.value()},
            {"high95_cents", one.scatter.high95.value()},
            {"room_up_cents", one.room_up.value()},
            {"room_down_cents", one.room_down.value()},
            {"beyond_recovery", one.beyond_recovery},
            {"work_cents", one.work.value()},
            {"work_mg", in(one.filed, milligram)},
            {"tighten", input_name(one.tighten_first)},
            {"tighten_share", one.tighten_share},
            {"lot_share", one.lot_share}};
}

}  // namespace

int run_scatter_design(const ScatterRun& run, const Console& console) {
    Design design = read_design_file(run.source.file, material_library());
    apply_lot(run.source.lot, design);
    const auto tongues = plan_tongues(design);
    for (const InstrumentReed& one : design.instrument.reeds)
        if (const std::string reason = impossible_spread(as_made(design, one)); !reason.empty())
            throw InputError({Diagnostic{Place{run.source.file, 0, 0},
                                         fmt::format("{}: {}", one.place(), reason),
                                         {},
                                         "state a smaller one under process:, or in the material"}});
    const auto start = std::chrono::steady_clock::now();
    const auto scatter = process_scatter(design, tongues, {run.samples, run.seed, run.threads, {}});
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    if (!run.picture.empty())
        write_whole_file(run.picture, scatter_picture(design, scatter),
                         run.replace ? Existing::replace : Existing::keep);
    const Input tighten = tighten_first(scatter);
    if (run.json) {
        nlohmann::ordered_json json;
        json["samples"] = run.samples;
        json["seed"] = run.seed;
        json["seconds"] = seconds;
        json["tighten"] = input_name(tighten);
        json["lot_share"] = lot_share(scatter);
        json["tongues"] = nlohmann::ordered_json::array();
        for (const TongueScatter& one : scatter) json["tongues"].push_back(tongue_json(design, one));
        json["assumed"] = design.instrument.assumed;
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    if (!design.instrument.name.empty()) out << design.instrument.name << '\n';
    out << fmt::format("\n{:<14}{:<5}{:>9}{:>20}{:>16}{:>10}{:>18}  {}\n", "place", "note", "std", "95 %", "room",
                       "lost", "file work", "hold closer first");
    for (const TongueScatter& one : scatter) {
        const InstrumentReed& reed = design.instrument.reeds[one.reed];
        out << fmt::format(
            "{:<14}{:<5}{:>7.1f} c{:>20}{:>16}{:>10}{:>18}  {}, {:.0f} %\n", reed.place(), reed.note.name(),
            one.scatter.standard.value(),
            fmt::format("{:+.0f} to {:+.0f} c", one.scatter.low95.value(), one.scatter.high95.value()),
            fmt::format("{:+.0f} to {:+.0f} c", one.room_down.value(), one.room_up.value()),
            one.beyond_recovery < 0.001 ? std::string("< 0.1 %") : fmt::format("{:.1f} %", 100.0 * one.beyond_recovery),
            fmt::format("{:.0f} c, {:.2f} mg", one.work.value(), in(one.filed, milligram)),
            input_name(one.tighten_first), 100.0 * one.tighten_share);
    }
    out << fmt::format(
        "\nbefore tuning, {} tongues of each drawn with seed {} in {:.2f} s; 'room' is what a safe cut can take in\n"
        "either way, 'lost' the share beyond it, 'file work' the mean correction and its metal\n"
        "over all, {} is the one to hold closer first; {:.0f} % of the variance is common to a lot of strip and its "
        "seats\n(Young's modulus, density, seat), which no shop holds closer and a calibration takes away\n",
        run.samples, run.seed, seconds, input_name(tighten), 100.0 * lot_share(scatter));
    if (!run.picture.empty()) console.err << "wrote " << run.picture << '\n';
    return done;
}

}  // namespace reedwright::app
