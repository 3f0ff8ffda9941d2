#include "app/sheet/tongue_sheet.hpp"

#include "app/commands/cut_words.hpp"
#include "app/explain.hpp"
#include "app/picture/mode_picture.hpp"
#include "app/picture/tongue_picture.hpp"
#include "app/report.hpp"
#include "app/sheet/common_sections.hpp"
#include "core/retune/choose_cut.hpp"
#include "core/retune/cut_consequences.hpp"
#include "core/retune/zone_names.hpp"
#include "core/uncertainty/budget.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/blow_study.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright::app {

namespace {

// A ranked zone needs a shift to be ranked for; a usual one (our choice, no source).
constexpr double ranked_shift_cents = 10.0;
// Common practice, no source: a mouth organ played at ease.
constexpr Pressure usual_pressure = 500.0 * si::pascal;

std::string title_of(const Reed& reed) {
    return reed.note ? fmt::format("{} in {}", reed.note->name(), reed.tongue.material.name)
                     : "A tongue in " + reed.tongue.material.name;
}

SheetSection pitch_section(const Reed& reed, const Vibration& vibration, const Budget& budget) {
    SheetSection section;
    section.title = "Pitch";
    const ReedPitch pitch = pitch_of(reed, vibration);
    SheetTable table{{{"pitch\nHz", true},
                      {"its note"},
                      {"+- at 95 %\ncents", true},
                      {"in vacuo\nHz", true},
                      {"metal\ndegC", true},
                      {"stiffness of the first mode\nN/m", true},
                      {"moving mass\nmg", true},
                      {"rest gap\nmm", true}},
                     {},
                     {}};
    table.rows.push_back({fmt::format("{:.2f}", pitch.pitch.value()), note_place_text(note_place(reed, pitch.pitch)),
                          budget.expanded ? fmt::format("{:.0f}", budget.expanded->value()) : "not known",
                          fmt::format("{:.2f}", pitch.in_vacuo.value()),
                          fmt::format("{:.1f}", in_celsius(reed.temperature)),
                          fmt::format("{:.4g}", vibration.stiffness().value()),
                          fmt::format("{:.3g}", in(vibration.modal_mass(), milligram)),
                          fmt::format("{:.2f}", in(reed.slot.rest_gap, millimetre))});
    section.tables.push_back(std::move(table));
    section.paragraphs.push_back(fmt::format("Thickness, mm: {}. Width, mm: {}.", stations_text(reed.tongue.thickness),
                                             stations_text(reed.tongue.width)));
    section.pictures.push_back(tongue_picture(reed, vibration));
    return section;
}

SheetSection chain_section(const Reed& reed) {
    SheetSection section;
    section.title = "From dimensions to hertz";
    SheetTable table{{{"step"}, {"Hz", true}, {"cents", true}, {"what is reckoned"}, {"source"}}, {}, {}};
    const auto chain = explain_chain(reed, {});
    for (const ChainStep& step : chain)
        table.rows.push_back({step.name, fmt::format("{:.2f}", step.pitch.value()),
                              &step == chain.data() ? std::string() : fmt::format("{:+.2f}", step.change.value()),
                              step.reckoning, step.source});
    section.tables.push_back(std::move(table));
    return section;
}

SheetSection budget_section(const Budget& budget) {
    SheetSection section;
    section.title = "How well the pitch is known";
    section.whole = true;
    SheetTable table{{{"uncertain"}, {"one standard deviation"}, {"cents", true}}, {}, {}};
    for (const Contribution& part : budget.contributions)
        table.rows.push_back({std::string(input_name(part.input)), part.standard_deviation,
                              part.pitch ? fmt::format("{:.1f}", part.pitch->value()) : "?"});
    if (budget.correlation != 0.0)
        table.rows.push_back(
            {correlation_name, correlation_text(budget), fmt::format("{:+.1f}", budget.correlated.value())});
    table.rows.push_back({"model", "against a solid", fmt::format("{:.1f}", budget.model_error.value())});
    if (budget.standard) {
        table.rows.push_back({"together", fmt::format("+-{:.0f} cents at 95 %", budget.expanded->value()),
                              fmt::format("{:.1f}", budget.standard->value())});
        table.sum = true;
    }
    table.note = budget.standard ? "First order, JCGM 100:2008. A reading on the tuner narrows it."
                                 : "The sum is not known, since the spread of an input is not.";
    section.tables.push_back(std::move(table));
    return section;
}

// More is a change of note, for which nobody cuts (our choice, no source).
constexpr double most_told_cents = 100.0;

// A column of the table of cuts.
struct CutColumn {
    std::string name;
    Cut cut;
    Length deepest;
};

std::vector<CutColumn> cut_columns(const Reed& reed, std::vector<std::string>& told) {
    const SafeDepth safe;
    std::vector<CutColumn> columns;
    const auto add = [&](const std::string& name) {
        if (std::any_of(columns.begin(), columns.end(), [&](const CutColumn& one) { return one.name == name; })) return;
        Cut cut;
        cut.zone = zone_on(reed, name);
        columns.push_back({name, cut, deepest_cut(reed.tongue, cut, safe.least_thickness, safe.least_share)});
    };
    add("tip");
    for (const double cents : {ranked_shift_cents, -ranked_shift_cents}) {
        const auto ranked = rank_cuts(reed, cents * cent, default_swing(reed.tongue));
        if (cents < 0.0) add("root");
        if (ranked.empty()) {
            told.push_back(fmt::format("No zone reaches {:+.0f} cents by a safe depth.", cents));
            continue;
        }
        add(ranked.front().zone);
        told.push_back(fmt::format("For {:+.0f} cents the zone that costs least is {}: {}.", cents, ranked.front().zone,
                                   ranked.front().why));
    }
    return columns;
}

// What a correction costs in each zone, whichever way it goes there.
SheetTable cost_table(const Reed& reed, const std::vector<CutColumn>& columns) {
    const Length swing = default_swing(reed.tongue);
    SheetTable table{{{"zone"},
                      {"for\ncents", true},
                      {"depth\n\u00b5m", true},
                      {"stress after\nMPa", true},
                      {"hours kept\n%", true},
                      {"thinnest\nmm", true}},
                     {},
                     {}};
    for (const CutColumn& column : columns) {
        if (column.deepest.value() <= 0.0) continue;
        Cut deepest = column.cut;
        deepest.depth = column.deepest;
        const double way = effect_of_cut(reed, deepest).shift.value() > 0.0 ? 1.0 : -1.0;
        const DepthSearch search = find_depth(reed, column.cut, way * ranked_shift_cents * cent);
        if (!search.reachable) continue;
        const CutConsequences after = consequences_of(reed, search.best, swing);
        table.rows.push_back({column.name, fmt::format("{:+.0f}", search.best.shift.value()),
                              fmt::format("{:.1f}", in(search.best.cut.depth, micrometre)),
                              fmt::format("{:.0f}", in(after.after.stress, megapascal)),
                              after.life_kept ? fmt::format("{:.0f}", 100.0 * *after.life_kept) : "not known",
                              fmt::format("{:.3f}", in(search.best.thinnest, millimetre))});
    }
    table.note = fmt::format("At a swing of +-{:.2f} mm at the tip; before any cut {:.0f} MPa.", in(swing, millimetre),
                             in(life_of(reed, vibration_of(reed), swing).stress, megapascal));
    return table;
}

SheetSection cut_section(const Reed& reed) {
    SheetSection section;
    section.title = "What a cut does";
    const auto columns = cut_columns(reed, section.paragraphs);
    SheetTable table{{{"depth\n\u00b5m", true}}, {}, {}};
    for (const CutColumn& column : columns)
        table.columns.push_back({fmt::format("{}, {:.2f} to {:.2f} mm\ncents", column.name,
                                             in(column.cut.zone.from, millimetre), in(column.cut.zone.to, millimetre)),
                                 true});
    const auto shift = [&](const CutColumn& column, Length depth) {
        Cut cut = column.cut;
        cut.depth = depth;
        return effect_of_cut(reed, cut).shift.value();
    };
    for (const double depth_um : {0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 15.0, 20.0, 30.0, 50.0, 70.0, 100.0}) {
        const Length depth = depth_um * micrometre;
        std::vector<std::string> row{fmt::format("{:g}", depth_um)};
        bool any = false;
        for (const CutColumn& column : columns) {
            const auto cents = depth > column.deepest ? std::nullopt : std::optional(shift(column, depth));
            const bool told = cents && std::abs(*cents) <= most_told_cents;
            any = any || told;
            row.push_back(!cents ? "too deep" : told ? fmt::format("{:+.2f}", *cents) : "too far");
        }
        if (!any) break;
        table.rows.push_back(std::move(row));
    }
    std::vector<std::string> last{"deepest"};
    for (const CutColumn& column : columns)
        last.push_back(column.deepest.value() > 0.0 ? fmt::format("{:.1f} \u00b5m", in(column.deepest, micrometre))
                                                    : "nothing");
    table.rows.push_back(std::move(last));
    table.sum = true;
    table.note = fmt::format(
        "Distances from the root line; flat cuts over the full width with ramps of 0.1 mm. Deepest: half of the "
        "thickness and 20 \u00b5m stay (common practice, no source). Too far: more than {:.0f} cents, another note. "
        "Cut "
        "less than you think, then read again.",
        most_told_cents);
    section.tables.push_back(std::move(table));
    section.tables.push_back(cost_table(reed, columns));
    section.paragraphs.insert(section.paragraphs.begin(),
                              "Metal taken from the top near the tip raises the pitch, near the root it lowers it.");
    return section;
}

SheetSection life_section(const Reed& reed, const Vibration& vibration) {
    SheetSection section;
    section.title = "Stress and life";
    section.whole = true;
    const Life life = life_of(reed, vibration, default_swing(reed.tongue));
    SheetTable table{{{"swing\n+-mm", true},
                      {"stress\nMPa", true},
                      {"worst at\nmm", true},
                      {"of the proof\nstrength", true},
                      {"hours,\nan estimate", true},
                      {"low", true},
                      {"high", true}},
                     {},
                     {}};
    const auto hours = [](const std::optional<double>& value) {
        if (!value) return std::string("not known");
        if (*value > 1e6) return std::string("> 1000000");
        // Two digits are more than an estimate holds.
        const double digit = std::pow(10.0, std::floor(std::log10(std::max(*value, 0.01))) - 1.0);
        return fmt::format("{:.6g}", std::round(*value / digit) * digit);
    };
    table.rows.push_back({fmt::format("{:.2f}", in(life.swing, millimetre)),
                          fmt::format("{:.0f}", in(life.stress, megapascal)),
                          fmt::format("{:.1f}", in(life.worst_at, millimetre)),
                          life.proof_share ? fmt::format("{:.0f} %", 100.0 * *life.proof_share) : "not known",
                          hours(life.hours), hours(life.hours_low), hours(life.hours_high)});
    table.note = std::string("A swing of 6 % of the length (our choice, no source); a tenth more halves the hours.") +
                 (life.beyond_data ? " Drawn on beyond the data of the alloy." : "");
    section.tables.push_back(std::move(table));
    return section;
}

SheetSection wind_section(const Reed& reed, const Vibration& vibration, const BlownReed& blown) {
    SheetSection section;
    section.title = "In the wind";
    section.whole = true;
    const PressureLimits limits = pressure_limits(blown);
    const BlowPoint point = blow_point(blown, strip_drag(reed, vibration), usual_pressure);
    const bool sounds = point.sounding.outcome == Outcome::sounds;
    const auto pascals = [](const std::optional<Pressure>& pressure, const char* otherwise) {
        return pressure ? fmt::format("{:.0f}", pressure->value()) : std::string(otherwise);
    };
    SheetTable table{{{"speaks from\nPa", true},
                      {"chokes from rest\nPa", true},
                      {fmt::format("sounds at {:.0f} Pa\nHz", usual_pressure.value()), true},
                      {"from plucked\ncents", true},
                      {"plucked Q", true},
                      {"reading when blown\nHz", false, true}},
                     {},
                     {}};
    table.rows.push_back(
        {pascals(limits.from_rest.threshold, "never"),
         limits.from_rest.threshold ? pascals(limits.from_rest.chokes_at, "not") : "",
         sounds ? fmt::format("{:.2f}", point.sounding.pitch.value()) : "silent",
         sounds ? fmt::format("{:+.1f}", interval_between(blown.natural(), point.sounding.pitch).value()) : "",
         fmt::format("{:.0f}", blown.quality), ""});
    table.note =
        "One mode, a jet through the true opening, no cover, hands or room; up to 5 kPa. How far it falls under breath "
        "is right in sign and size; trust a reading more.";
    section.tables.push_back(std::move(table));
    return section;
}

SheetSection checklist_section() {
    SheetSection section;
    section.title = "After every cut";
    section.whole = true;
    section.in_order = true;
    for (const std::string& step : after_cut_checklist()) section.list.push_back(sentence(step));
    SheetTable table{{{"pass"},
                      {"where and how deep", false, true},
                      {"read\nHz or cents", false, true},
                      {"temperature", false, true},
                      {"date", false, true},
                      {"initials", false, true}},
                     {},
                     {}};
    for (const char* pass : {"as built", "first", "second", "third", "next day"})
        table.rows.push_back({std::string(pass)});
    section.tables.push_back(std::move(table));
    return section;
}

}  // namespace

SheetPage tongue_sheet(const Reed& reed, const Vibration& vibration, const BlownReed& blown, const SheetInput& input) {
    const Budget budget = pitch_budget(reed, vibration, {});
    SheetPage page;
    page.title = title_of(reed);
    page.lines = {tongue_line(reed)};
    page.input = input;
    page.sections.push_back(pitch_section(reed, vibration, budget));
    page.sections.push_back(life_section(reed, vibration));
    page.sections.push_back(wind_section(reed, vibration, blown));
    page.sections.back().new_page = true;
    page.sections.push_back(cut_section(reed));
    page.sections.push_back(checklist_section());
    page.sections.push_back(chain_section(reed));
    page.sections.back().new_page = true;
    SheetSection shapes;
    shapes.title = "Mode shapes";
    shapes.whole = true;
    shapes.pictures.push_back(mode_picture(reed, vibration));
    page.sections.push_back(budget_section(budget));
    page.sections.push_back(std::move(shapes));
    std::vector<std::string> cautions = reed.cautions();
    cautions.push_back(filing_caution());
    page.sections.push_back(caution_section(std::move(cautions)));
    page.sections.push_back(material_section({&reed.tongue.material, &reed.slot.plate_material}));
    page.sections.push_back(input_section(input, reed.assumed));
    return page;
}

}  // namespace reedwright::app
