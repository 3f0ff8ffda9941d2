#include "app/commands/commands.hpp"
#include "app/design_lot.hpp"
#include "app/finding_words.hpp"
#include "core/plan/design_check.hpp"
#include "core/plan/instrument_file.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

void print_check(std::ostream& out, const Design& design, const DesignCheck& check) {
    if (!design.instrument.name.empty()) out << design.instrument.name << '\n';
    const auto failing = static_cast<std::size_t>(
        std::count_if(check.findings.begin(), check.findings.end(), [](const Finding& one) { return !one.ok(); }));
    out << fmt::format("{} findings on {} reeds, {}\n", check.findings.size(), design.instrument.reeds.size(),
                       failing == 0 ? "all within their limits" : fmt::format("{} fail", failing));
    for (const Finding& one : check.findings)
        if (!one.ok())
            out << fmt::format("\nFAILS  {}: {}, {}, {} is allowed\n       {}\n", one.where, one.kind,
                               number_text(one.value, one.unit), limit_text(one), one.fix);
    out << "\nnearest to its limit, of each kind\n";
    for (const Finding* one : tightest_findings(check))
        out << fmt::format("  {:<6}{:<60}{:>14}  {:<20}{}\n", one->ok() ? "ok" : "FAILS", one->kind,
                           number_text(one->value, one->unit), limit_text(*one), one->where);
    if (!check.notes.empty()) out << '\n';
    for (const std::string& note : check.notes) out << "note   " << note << '\n';
}

}  // namespace

int run_check(const CheckRequest& request, const Console& console) {
    Design design = read_design_file(request.design, material_library());
    apply_lot(request.lot, design);
    const auto tongues = plan_tongues(design);
    const DesignCheck check = check_design(design, tongues);
    Reed told = design.instrument.reeds.front().reed;
    told.assumed = design.instrument.assumed;
    told.assumed.insert(told.assumed.end(), check.assumed.begin(), check.assumed.end());
    told.tongue.material.cautions = design.instrument.cautions();
    told.slot.plate_material.cautions.clear();
    if (request.json) {
        nlohmann::ordered_json json;
        json["name"] = design.instrument.name;
        json["passes"] = check.passes();
        json["findings"] = nlohmann::ordered_json::array();
        for (const Finding& one : check.findings)
            json["findings"].push_back({{"kind", one.kind},
                                        {"where", one.where},
                                        {"value", or_null(one.value)},
                                        {"limit", or_null(one.limit)},
                                        {"unit", one.unit},
                                        {"at_least", one.at_least},
                                        {"ok", one.ok()},
                                        {"fix", one.fix}});
        json["notes"] = check.notes;
        add_closing(json, told, false);
        print_json(console.out, json);
    } else {
        print_check(console.out, design, check);
        print_closing(console.out, told, false);
    }
    return check.passes() ? done : check_failed;
}

}  // namespace reedwright::app
