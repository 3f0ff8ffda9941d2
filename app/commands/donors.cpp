#include "core/retune/donors.hpp"
#include "app/commands/commands.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/retune/stock_file.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

InputError option_fault(const std::string& option, const std::string& message, const std::string& hint) {
    return InputError({Diagnostic{Place{option, 0, 0}, message, {}, hint}});
}

const InstrumentReed& place_of(const Instrument& instrument, const DonorsRequest& request) {
    int cell = 0;
    const char* const end = request.cell.data() + request.cell.size();
    const auto [read_to, error] = std::from_chars(request.cell.data(), end, cell);
    if (error != std::errc{} || read_to != end)
        throw option_fault("--cell", fmt::format("'{}' is not the number of a cell", request.cell), "write --cell 4");
    std::string places;
    for (const InstrumentReed& one : instrument.reeds) {
        if (one.cell == cell && one.row == request.row) return one;
        if (one.cell == cell) places += (places.empty() ? "" : ", ") + one.row;
    }
    if (places.empty()) {
        int last = 0;
        for (const InstrumentReed& one : instrument.reeds) last = std::max(last, one.cell);
        throw option_fault("--cell", fmt::format("the design has no cell {}", cell),
                           fmt::format("cells are 1 to {}", last));
    }
    throw option_fault("--row", fmt::format("the design has no reed in cell {} {}", cell, request.row),
                       fmt::format("the rows of that cell: {}", places));
}

std::string before_it_goes_in(const Donor& donor) {
    std::string text;
    if (donor.trimmed.value() > 0.0) text += fmt::format("snip {:.2f} mm off the tip", in(donor.trimmed, millimetre));
    if (donor.narrowed.value() > 0.0)
        text += fmt::format("{}narrow it by {:.2f} mm", text.empty() ? "" : ", ", in(donor.narrowed, millimetre));
    return text.empty() ? "goes in as it is" : text;
}

std::string zone_text(const Zone& zone) {
    return fmt::format("{:.3g} to {:.3g} mm", in(zone.from, millimetre), in(zone.to, millimetre));
}

std::string tuning_text(const Donor& donor) {
    switch (donor.work) {
        case DonorWork::cut:
            return fmt::format("cut {:.1f} um from {}", in(donor.cut->effect.cut.depth, micrometre),
                               zone_text(donor.cut->effect.cut.zone));
        case DonorWork::load:
            return fmt::format("load of {:.2f} mg at the tip", in(donor.load->load.mass, milligram));
        case DonorWork::none:
            break;
    }
    return "in tune as it is";
}

std::string_view work_name(DonorWork work) {
    switch (work) {
        case DonorWork::cut:
            return "cut";
        case DonorWork::load:
            return "load";
        case DonorWork::none:
            break;
    }
    return "leave";
}

nlohmann::ordered_json donor_json(const Donor& donor, const StockTongue& stock) {
    nlohmann::ordered_json json;
    json["name"] = stock.name;
    json["fits"] = donor.unfit.empty();
    if (!donor.unfit.empty()) {
        json["why_not"] = donor.unfit;
        return json;
    }
    json["trimmed_mm"] = in(donor.trimmed, millimetre);
    json["narrowed_mm"] = in(donor.narrowed, millimetre);
    json["side_gap_mm"] = in(donor.side_gap, millimetre);
    json["tip_gap_mm"] = in(donor.tip_gap, millimetre);
    json["pitch_hz"] = donor.pitch.value();
    json["expanded_uncertainty_cents"] =
        or_null(donor.expanded ? std::optional(donor.expanded->value()) : std::nullopt);
    json["wanted_cents"] = donor.wanted.value();
    json["do"] = work_name(donor.work);
    if (donor.cut) {
        const CutEffect& effect = donor.cut->effect;
        json["zone"] = donor.cut->zone;
        json["zone_mm"] = {in(effect.cut.zone.from, millimetre), in(effect.cut.zone.to, millimetre)};
        json["depth_um"] = in(effect.cut.depth, micrometre);
        json["shift_cents"] = effect.shift.value();
        json["thinnest_mm"] = in(effect.thinnest, millimetre);
    }
    if (donor.load) {
        json["load_mg"] = in(donor.load->load.mass, milligram);
        json["shift_cents"] = donor.load->shift.value();
    }
    json["filed_mg"] = in(donor.filed, milligram);
    json["swing_mm"] = in(donor.life->swing, millimetre);
    json["stress_mpa"] = in(donor.life->stress, megapascal);
    json["hours"] = or_null(donor.life->hours);
    json["remarks"] = donor.remarks;
    return json;
}

void print_donors(std::ostream& out, const std::vector<Donor>& donors, const std::vector<StockTongue>& stock) {
    std::size_t longest_name = 6;
    for (const StockTongue& one : stock) longest_name = std::max(longest_name, one.name.size());
    const auto serving = static_cast<std::size_t>(
        std::count_if(donors.begin(), donors.end(), [](const Donor& one) { return one.unfit.empty(); }));
    if (serving > 0)
        out << fmt::format("\n{:<{}}  {:>9}  {:>6}  {:>8}  {:>8}  {}\n", "donor", longest_name, "sounds Hz", "+-",
                           "to go", "to file", "work");
    for (std::size_t i = 0; i < serving; ++i) {
        const Donor& donor = donors[i];
        out << fmt::format(
            "{:<{}}  {:>9.1f}  {:>6}  {:>+6.0f} c  {:>5.2f} mg  {}, {}\n", stock[donor.stock].name, longest_name,
            donor.pitch.value(), donor.expanded ? fmt::format("{:.0f} c", donor.expanded->value()) : "?",
            donor.wanted.value(), in(donor.filed, milligram), before_it_goes_in(donor), tuning_text(donor));
        for (const std::string& remark : donor.remarks) out << std::string(longest_name + 2, ' ') << remark << '\n';
    }
    if (serving < donors.size()) out << "\ndo not serve\n";
    for (std::size_t i = serving; i < donors.size(); ++i)
        out << fmt::format("  {:<{}}  {}\n", stock[donors[i].stock].name, longest_name, donors[i].unfit);
}

}  // namespace

int run_donors(const DonorsRequest& request, const Console& console) {
    DonorRules rules;
    if (!request.gap.empty()) {
        rules.widest_gap = option_quantity<Length>("--gap", request.gap);
        if (rules.widest_gap <= 0.0 * metre || rules.widest_gap > 1.0 * millimetre)
            throw option_fault("--gap", fmt::format("{} is outside 0.001 mm to 1 mm", to_text(rules.widest_gap)), {});
    }
    const Instrument instrument = read_instrument_file(request.design, material_library());
    const InstrumentReed& place = place_of(instrument, request);
    const auto stock = read_stock_file(request.stock, material_library());
    const auto donors = rank_donors(instrument, place, stock, rules);

    Reed told = place.reed;
    told.assumed = instrument.assumed;
    for (const Donor& donor : donors)
        if (donor.mounted)
            for (const std::string& caution : donor.mounted->tongue.material.cautions)
                if (const auto known = told.cautions(); std::find(known.begin(), known.end(), caution) == known.end())
                    told.tongue.material.cautions.push_back(caution);
    const Frequency target = bench_target(instrument, place, instrument.tuning);
    if (request.json) {
        nlohmann::ordered_json json;
        json["cell"] = place.cell;
        json["row"] = place.row;
        json["note"] = place.note.name();
        json["target_hz"] = target.value();
        json["widest_gap_mm"] = in(rules.widest_gap, millimetre);
        json["donors"] = nlohmann::ordered_json::array();
        for (const Donor& donor : donors) json["donors"].push_back(donor_json(donor, stock[donor.stock]));
        add_closing(json, told, true);
        print_json(console.out, json);
    } else {
        console.out << fmt::format("{} of cell {}, {:.2f} Hz on the bench; its slot takes {:.2f} by {:.2f} mm\n",
                                   place.note.name(), place.place(), target.value(),
                                   in(place.reed.tongue.length(), millimetre),
                                   in(place.reed.tongue.width.at_root(), millimetre));
        print_donors(console.out, donors, stock);
        console.out
            << "\n'sounds' is in this place before tuning; +- at 95 %, for a riveted seat is never the same "
               "twice:\nrivet it, read it, and take the cut from 'cut --read'. Before that: the rivet hole must "
               "match,\nand no crack may show at the root under a glass\n";
        print_closing(console.out, told, true);
    }
    return done;
}

}  // namespace reedwright::app
