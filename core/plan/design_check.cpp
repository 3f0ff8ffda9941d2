#include "core/plan/design_check.hpp"

#include "core/plan/note_leaks.hpp"
#include "core/quantity/quantity_text.hpp"
#include "core/tasks/in_parallel.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

constexpr double most_solved_error_cents = 0.1;
constexpr double least_gap_share = 0.5;
constexpr double most_gap_share = 2.5;
constexpr double seconds_per_hour = 3600.0;
// A note asked to bend just as far as the rule goes passes.
constexpr double rule_rounding_cents = 1e-6;

std::string remedy_of(const PlannedTongue& tongue, const std::string& name, const std::string& otherwise) {
    for (const PlanLimit& limit : tongue.limits)
        if (limit.name == name) return limit.remedy;
    return otherwise;
}

std::vector<Finding> tongue_findings(const Design& design, const PlannedTongue& tongue) {
    const InstrumentReed& one = design.instrument.reeds[tongue.reed];
    const Reed& reed = one.reed;
    const std::string where = one.place();
    const TongueRules& rules = design.rules;
    std::vector<Finding> found;
    const auto add = [&](std::string kind, double value, double limit, bool at_least, std::string unit,
                         const std::string& limit_name, const std::string& fix) {
        found.push_back(
            {std::move(kind), where, value, limit, at_least, std::move(unit), remedy_of(tongue, limit_name, fix)});
    };
    if (tongue.family)
        add("pitch as solved, off its target", std::abs(tongue.error.value()), most_solved_error_cents, false, "cents",
            tongue.limits.empty() ? "" : tongue.limits.front().name, "another length or profile");
    const Interval left = tongue.rounded_error;
    const Interval room = left.value() < 0.0 ? tongue.room_up : -tongue.room_down;
    add("pitch as made, off its target, against what tuning can take", std::abs(left.value()), room.value(), false,
        "cents", "", "finer shop steps, or dimensions nearer to the note");
    if (tongue.family) {
        add("thinnest place", in(reed.tongue.thickness.smallest(), millimetre), in(rules.thinnest, millimetre), true,
            "mm", "thinnest", "a longer tongue");
        add("room to tune up", tongue.room_up.value(), rules.room_up.value(), true, "cents", "room up",
            "a thicker tip");
        add("room to tune down", -tongue.room_down.value(), rules.room_down.value(), true, "cents", "room down",
            "a thicker root");
    }
    if (!rules.gauges.empty())
        add("thickest place, against the thickest strip", in(reed.tongue.thickness.largest(), millimetre),
            in(rules.gauges.back(), millimetre), false, "mm", "gauge", "a thicker strip");
    if (tongue.life.proof_share)
        add("stress at the swing, share of proof strength", *tongue.life.proof_share, rules.most_proof_share, false, "",
            "stress", "a smaller swing, a shorter tongue, or a stronger alloy");
    if (tongue.life.hours)
        add("hours of playing, an estimate", *tongue.life.hours,
            design.instrument.least_life.value() / seconds_per_hour, true, "h", "life",
            "a smaller swing, a shorter tongue, or a stronger alloy");
    if (rules.least_stiffness)
        add("tip stiffness, least", tongue.stiffness.value(), rules.least_stiffness->value(), true, "N/m",
            "least stiffness", "a longer or wider tongue");
    if (rules.most_stiffness)
        add("tip stiffness, most", tongue.stiffness.value(), rules.most_stiffness->value(), false, "N/m",
            "most stiffness", "a shorter or narrower tongue");
    const double gap_share = (reed.slot.rest_gap / reed.tongue.thickness.at_tip()).value();
    add("rest gap over tip thickness, least", gap_share, least_gap_share, true, "", "", "a wider rest gap");
    add("rest gap over tip thickness, most", gap_share, most_gap_share, false, "", "", "a narrower rest gap");
    const auto clearances = clearance_findings(
        where, slot_clearance(reed, vibration_of(reed), tongue.life.swing, design.tolerances), design.limits);
    found.insert(found.end(), clearances.begin(), clearances.end());
    return found;
}

// Notes that must bend farther than the trade's rule lets them.
void add_bends(const Design& design, DesignCheck& check) {
    const auto& reeds = design.instrument.reeds;
    for (std::size_t i = 0; i < reeds.size(); ++i) {
        if (!reeds[i].bend) continue;
        const Interval reach = bend_reach(design, i);
        check.findings.push_back({"bend asked for, by the trade's rule", reeds[i].place(), reeds[i].bend->value(),
                                  reach.value() + rule_rounding_cents, false, "cents",
                                  "a lower note beside it, no valve over that, or a smaller bend"});
    }
}

void add_air(const Design& design, DesignCheck& check) {
    const AirRules& rules = design.air;
    const bool has_joints = design.plates && design.comb && design.plates->fixing != Fixing::wax;
    if (!has_joints && !rules.most_lost_share) return;
    DesignLeaks leaks;
    try {
        leaks = design_leaks(design, design.instrument.playing_pressure);
    } catch (const InputError& error) {
        check.notes.push_back(fmt::format("air was not looked at: {}", error.diagnostics().front().message));
        return;
    }
    constexpr double percent = 100.0;
    check.assumed = leaks.assumed;
    for (const NoteLeak& one : leaks.notes) {
        const std::string where = playing_place(design.instrument, one.note);
        if (!one.speaks) continue;
        if (leaks.joints_known)
            check.findings.push_back({"air through the joints, of the note's own", where, percent * one.joint_share(),
                                      percent * rules.most_joint_share, false, "%",
                                      "screws in place of pins, another one between, or flatter plates"});
        if (rules.most_lost_share)
            check.findings.push_back({"air lost in all, of the note's own", where, percent * one.lost_share(),
                                      percent * *rules.most_lost_share, false, "%",
                                      "a valve over the idle reed, or less clearance; 'leak' tells what saves most"});
    }
    if (const std::size_t silent = leaks.silent(); silent > 0)
        check.notes.push_back(
            fmt::format("{} of {} notes do not speak or barely do at {} in the model, which asks more breath of stiff "
                        "high reeds than players do: what they lose was not held against air of their own",
                        silent, leaks.notes.size(), to_text(leaks.pressure)));
    for (const std::string& remark : leaks.remarks) check.notes.push_back(remark);
}

}  // namespace

bool DesignCheck::passes() const {
    return std::all_of(findings.begin(), findings.end(), [](const Finding& one) { return one.ok(); });
}

DesignCheck check_design(const Design& design, const std::vector<PlannedTongue>& tongues) {
    DesignCheck check;
    std::vector<std::vector<Finding>> by_tongue(tongues.size());
    in_parallel(tongues.size(), [&](std::size_t i) { by_tongue[i] = tongue_findings(design, tongues[i]); });
    for (auto& found : by_tongue)
        check.findings.insert(check.findings.end(), std::make_move_iterator(found.begin()),
                              std::make_move_iterator(found.end()));
    if (design.plates) {
        const auto reeds = plate_reeds(design.instrument);
        const PlateSet set = lay_out_plates(reeds, *design.plates, design.comb);
        const auto fits = fit_findings(set, reeds, design.limits);
        check.findings.insert(check.findings.end(), fits.begin(), fits.end());
        for (const PlateReed& one : reeds)
            for (const std::string& warning : blank_warnings(one.reed))
                check.notes.push_back(fmt::format("{} {}: {}", one.cell, one.row, warning));
        if (!design.comb && design.plates->carries == PlateCarries::row)
            check.notes.emplace_back("no comb is stated: cells were not looked at");
    } else {
        check.notes.emplace_back("no plates are stated: how the parts fit was not looked at");
    }
    add_bends(design, check);
    add_air(design, check);
    if (std::any_of(tongues.begin(), tongues.end(), [](const PlannedTongue& one) { return !one.life.hours; }))
        check.notes.emplace_back(
            "the strength of an alloy is not known: stress and life of its tongues were not judged");
    return check;
}

}  // namespace reedwright
