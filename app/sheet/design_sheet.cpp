#include "app/sheet/design_sheet.hpp"

#include "app/bending_cells.hpp"
#include "app/finding_words.hpp"
#include "app/leak_words.hpp"
#include "app/picture/scatter_picture.hpp"
#include "app/report.hpp"
#include "app/sheet/common_sections.hpp"
#include "app/shop_words.hpp"
#include "cad_export/drawing.hpp"
#include "core/plan/design_check.hpp"
#include "core/plan/note_leaks.hpp"
#include "core/plan/process_scatter.hpp"
#include "core/plate/set_parts.hpp"
#include "core/tuning/layout.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>
#include <optional>

namespace reedwright::app {

namespace {

// What fits between the margins of A4 and of letter, landscape.
constexpr double widest_picture_mm = 255.0;
constexpr Pressure bend_pressure = 500.0 * si::pascal;
constexpr std::uint64_t spread_samples = 100000;

SheetSection plate_section(const Design& design, const std::vector<PlannedTongue>& tongues, const PlateSet& set,
                           const SheetInput& input) {
    SheetSection section;
    section.title = "Plates";
    const ShopSheet shop = shop_sheet(design, tongues, set, revision_of(input.text));
    for (const SheetSvg& picture : plate_pictures(shop, widest_picture_mm)) section.pictures.push_back(picture.svg);
    section.paragraphs.push_back(
        "Millimetres from the lower left corner. To show, not to measure: the drawings of 'shop' print at scale.");
    return section;
}

SheetSection tongue_section(const Design& design, const std::vector<PlannedTongue>& tongues) {
    SheetSection section;
    section.title = "Tongues";
    SheetTable table{{{"place"},
                      {"note"},
                      {"bench\nHz", true},
                      {"length\nmm", true},
                      {"width\nmm", true},
                      {"thickness, mm, at distances from the root"},
                      {"strip\nmm", true},
                      {"rest gap\nmm", true},
                      {"stiffness\nN/m", true},
                      {"swing\n+-mm", true},
                      {"stress\nMPa", true}},
                     {},
                     {}};
    for (const PlannedTongue& one : tongues) {
        const InstrumentReed& reed = design.instrument.reeds[one.reed];
        const Tongue& strip = reed.reed.tongue;
        table.rows.push_back(
            {reed.place(), reed.note.name(), fmt::format("{:.2f}", one.target.value()),
             fmt::format("{:.2f}", in(strip.length(), millimetre)), width_text(strip.width),
             stations_text(strip.thickness), one.gauge ? fmt::format("{:.2f}", in(*one.gauge, millimetre)) : "",
             fmt::format("{:.2f}", in(reed.reed.slot.rest_gap, millimetre)),
             fmt::format("{:.0f}", one.stiffness.value()), fmt::format("{:.2f}", in(one.life.swing, millimetre)),
             fmt::format("{:.0f}", in(one.life.stress, megapascal))});
    }
    section.tables.push_back(std::move(table));
    return section;
}

SheetSection tuning_section(const Design& design, const std::vector<PlannedTongue>& tongues) {
    SheetSection section;
    section.title = "Tuning";
    section.paragraphs.push_back(fmt::format(
        "Targets as the tuner should read them on the bench, tongue and air at {}, {:.3g} cents of allowance included.",
        to_text(design.instrument.bench.temperature), design.instrument.bench.allowance.value()));
    SheetTable table{{{"place"}, {"note"}, {"bench\nHz", true}}, {}, {}};
    for (const char* head :
         {"as built", "first pass", "second pass", "next day", "final\ncents", "rest gap", "date", "initials"})
        table.columns.push_back({head, false, true});
    for (const PlannedTongue& one : tongues) {
        const InstrumentReed& reed = design.instrument.reeds[one.reed];
        table.rows.push_back({reed.place(), reed.note.name(), fmt::format("{:.2f}", one.target.value())});
    }
    section.tables.push_back(std::move(table));
    return section;
}

SheetSection check_section(const DesignCheck& check) {
    SheetSection section;
    section.title = "What was checked";
    SheetTable table{{{""}, {"what"}, {"value", true}, {"limit", true}, {"where"}, {"what mends it"}}, {}, {}};
    for (const Finding& one : check.findings)
        if (!one.ok())
            table.rows.push_back(
                {"FAILS", one.kind, number_text(one.value, one.unit), limit_text(one), one.where, one.fix});
    for (const Finding* one : tightest_findings(check))
        if (one->ok())
            table.rows.push_back(
                {"ok", one->kind, number_text(one->value, one->unit), limit_text(*one), one->where, ""});
    table.note = fmt::format("Every failure, and of each other kind the place nearest to its limit, of {} findings.",
                             check.findings.size());
    section.tables.push_back(std::move(table));
    section.list = check.notes;
    return section;
}

SheetSection spread_section(const Design& design, const std::vector<PlannedTongue>& tongues) {
    SheetSection section;
    section.title = "Spread before tuning";
    for (const InstrumentReed& one : design.instrument.reeds)
        if (const std::string reason = impossible_spread(as_made(design, one)); !reason.empty()) {
            section.paragraphs.push_back(fmt::format("Not reckoned: {}: {}.", one.place(), reason));
            return section;
        }
    const auto scatter = process_scatter(design, tongues, {spread_samples, 1, 0, {}});
    section.pictures.push_back(scatter_picture(design, scatter));
    section.paragraphs.push_back(fmt::format(
        "{} tongues of each drawn; {} is the one to hold closer first. {:.0f} % of the variance is common to a lot of "
        "strip and its seats (Young's modulus, density, seat): a calibration takes that away.",
        spread_samples, input_name(tighten_first(scatter)), 100.0 * lot_share(scatter)));
    return section;
}

std::string cents_or(const std::optional<double>& cents, const char* otherwise) {
    return cents ? fmt::format("{:+.0f}", *cents) : std::string(otherwise);
}

// None when no cell bends.
std::optional<SheetSection> bend_section(const Design& design) {
    const auto cells = bending_cells(design, bend_pressure);
    if (cells.empty()) return std::nullopt;
    SheetSection section;
    section.title = "Bends";
    section.whole = true;
    SheetTable table{{{"cell"},
                      {"bends"},
                      {"toward"},
                      {"by the trade's rule\ncents", true},
                      {"in the model down to\ncents", true},
                      {"overblown, from the\nhigher reed, cents", true},
                      {"as played", false, true}},
                     {},
                     {}};
    const auto named = [&](std::size_t reed) {
        const InstrumentReed& one = design.instrument.reeds[reed];
        return fmt::format("{} {}", one.row, one.note.name());
    };
    for (const BendingCell& cell : cells)
        table.rows.push_back({fmt::format("{}", design.instrument.reeds[cell.higher].cell), named(cell.higher),
                              named(cell.lower), fmt::format("{:.0f}", -cell.rule.value()),
                              cents_or(from_higher(design, cell, cell.range.floor), "nothing sounds"),
                              cents_or(from_higher(design, cell, cell.range.overblown), "none found")});
    table.note = fmt::format(
        "At {}. The rule: to about a semitone above the lower reed (common practice, no source). The model's floor is "
        "a bound; where the two disagree, trust a player. Of two reeds a semitone apart half their interval is taken; "
        "more than four semitones is beyond what players do.",
        to_text(bend_pressure));
    section.tables.push_back(std::move(table));
    return section;
}

SheetSection air_section(const Design& design) {
    SheetSection section;
    section.title = "Air";
    const DesignLeaks leaks = design_leaks(design, design.instrument.playing_pressure);
    const auto flow = [](VolumeFlow one) { return fmt::format("{:.1f}", in(one, millilitre_per_second)); };
    SheetTable table{{{"place"},
                      {"note"},
                      {"its own\nmL/s", true},
                      {"past idle reeds\nmL/s", true},
                      {"through joints\nmL/s", true},
                      {"lost\n%", true},
                      {"what mends most"}},
                     {},
                     {}};
    for (const NoteLeak& leak : leaks.notes) {
        table.rows.push_back({playing_place(design.instrument, leak.note), notes_of(design, leak.note),
                              leak.speaks ? flow(leak.own) : "silent", flow(leak.past_reeds),
                              fmt::format("{:.2f}", in(leak.through_joints, millilitre_per_second)),
                              leak.speaks ? fmt::format("{:.1f}", 100.0 * leak.lost_share()) : "",
                              first_mend_text(design, leak)});
    }
    table.sum = leaks.silent() < leaks.notes.size();
    if (table.sum)
        table.rows.push_back({leaks.silent() > 0 ? "all that speak" : "all", "", flow(leaks.own), "", "",
                              fmt::format("{:.1f}", 100.0 * (leaks.loss_while_speaking / leaks.own).value()),
                              fmt::format("{} mL/s lost", flow(leaks.loss_while_speaking))});
    table.note =
        fmt::format("At {}, metal and air at {}. The note's own air is the model's, and no bound.{}",
                    to_text(leaks.pressure), to_text(design.instrument.playing),
                    leaks.silent() > 0
                        ? " Silent: it does not speak at this pressure in the model, which asks more breath of stiff "
                          "high reeds than players do."
                        : "");
    section.tables.push_back(std::move(table));
    section.list = leaks.remarks;
    return section;
}

SheetSection assembly_section(const Design& design, const PlateSet& set) {
    SheetSection section;
    section.title = "Rivets, screws and assembly";
    section.whole = true;
    struct Lot {
        std::size_t many = 0;
        Length shortest;
        Length longest;
    };
    // By diameter and material.
    std::map<std::pair<std::string, std::string>, Lot> rivets;
    for (const SetPart& part : parts_of(set))
        if (const auto* rivet = std::get_if<RivetPart>(&part.shape)) {
            Lot& lot = rivets[{fmt::format("{:.2f}", in(rivet->diameter, millimetre)), rivet->material}];
            lot.shortest = lot.many == 0 ? rivet->length : std::min(lot.shortest, rivet->length);
            lot.longest = lot.many == 0 ? rivet->length : std::max(lot.longest, rivet->length);
            lot.many += part.stands.size();
        }
    // By diameter.
    std::map<std::string, std::size_t> fixings;
    for (const Plate& plate : set.plates)
        for (const Hole& hole : plate.fixings) ++fixings[fmt::format("{:.2f}", in(hole.diameter, millimetre))];
    SheetTable table{
        {{"part"}, {"how many", true}, {"diameter\nmm", true}, {"length\nmm", true}, {"material"}}, {}, {}};
    for (const auto& [kind, lot] : rivets) {
        const auto length = [](Length one) { return fmt::format("{:.2f}", in(one, millimetre)); };
        table.rows.push_back(
            {"rivets", fmt::format("{}", lot.many), kind.first,
             lot.shortest == lot.longest ? length(lot.shortest) : length(lot.shortest) + " to " + length(lot.longest),
             kind.second});
    }
    for (const auto& [diameter, many] : fixings)
        table.rows.push_back({design.plates->fixing == Fixing::pins ? "pins" : "screws", fmt::format("{}", many),
                              diameter, "as the comb takes", ""});
    table.note = "A rivet as it is left: as long as plate and pad are thick together; add what closing it takes.";
    if (!table.rows.empty()) section.tables.push_back(std::move(table));
    section.in_order = true;
    section.list = {"Mill or file each tongue to its thickness; leave metal for tuning.",
                    "Free slots and holes of burrs; check each slot against its tongue.",
                    "Rivet each tongue over its slot, centred; look through the slot against light.",
                    "Set the rest gap, then read each reed and write it down as built.",
                    "Tune in passes on the bench, each plate as a whole; read again next day."};
    if (set.comb)
        section.list.push_back(
            fmt::format("Seal the comb, lay the plates on and fix them with {}, from the middle out.",
                        design.plates->fixing == Fixing::pins ? "pins" : "screws"));
    section.list.emplace_back(
        "Blow each reed where it will be played, read it once more and write down the final cents.");
    section.paragraphs.emplace_back("The order is common practice, no source.");
    return section;
}

std::string tuned_text(const Instrument& instrument) {
    return fmt::format("{}, A4 {}, set {:.3g} cents sharp on the bench at {}",
                       sentence(instrument.tuning.temperament.name()), to_text(instrument.tuning.a4),
                       instrument.bench.allowance.value(), to_text(instrument.bench.temperature));
}

}  // namespace

SheetPage design_sheet(const Design& design, const std::vector<PlannedTongue>& tongues, const SheetInput& input) {
    const Instrument& instrument = design.instrument;
    const DesignCheck check = check_design(design, tongues);
    const auto failing =
        std::count_if(check.findings.begin(), check.findings.end(), [](const Finding& one) { return !one.ok(); });
    SheetPage page;
    page.title = instrument.name.empty() ? "A design" : instrument.name;
    page.lines = {tuned_text(instrument),
                  fmt::format("{} reeds, {} findings, {}", instrument.reeds.size(), check.findings.size(),
                              failing == 0 ? "all within their limits" : fmt::format("{} FAIL", failing))};
    page.input = input;
    page.landscape = true;
    std::optional<PlateSet> set;
    if (design.plates) set = lay_out_plates(plate_reeds(instrument), *design.plates, design.comb);
    if (set) {
        page.sections.push_back(plate_section(design, tongues, *set, input));
        page.sections.push_back(assembly_section(design, *set));
    }
    const auto on_new_page = [&](SheetSection section) {
        section.new_page = !page.sections.empty();
        page.sections.push_back(std::move(section));
    };
    on_new_page(tongue_section(design, tongues));
    on_new_page(tuning_section(design, tongues));
    on_new_page(check_section(check));
    on_new_page(spread_section(design, tongues));
    on_new_page(air_section(design));
    if (auto bends = bend_section(design)) page.sections.push_back(std::move(*bends));
    std::vector<std::string> cautions = instrument.cautions();
    cautions.push_back(filing_caution());
    page.sections.push_back(caution_section(std::move(cautions)));
    std::vector<const Material*> materials;
    for (const InstrumentReed& one : instrument.reeds) {
        materials.push_back(&one.reed.tongue.material);
        materials.push_back(&one.reed.slot.plate_material);
    }
    page.sections.push_back(material_section(materials));
    std::vector<std::string> assumed = instrument.assumed;
    assumed.insert(assumed.end(), check.assumed.begin(), check.assumed.end());
    page.sections.push_back(input_section(input, assumed));
    return page;
}

}  // namespace reedwright::app
