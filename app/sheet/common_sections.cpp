#include "app/sheet/common_sections.hpp"

#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <cctype>

namespace reedwright::app {

namespace {

template <class Quantity>
void add_value(SheetTable& table, const std::string& name, const Property<Quantity>& value) {
    std::string range;
    if (value.low && value.high)
        range = fmt::format("{} to {}", to_text(*value.low), to_text(*value.high));
    else if (value.low)
        range = "at least " + to_text(*value.low);
    table.rows.push_back({name, to_text(value.value), range, value.source.empty() ? "as stated" : value.source});
}

template <class Quantity>
void add_value(SheetTable& table, const std::string& name, const std::optional<Property<Quantity>>& value) {
    if (value) add_value(table, name, *value);
}

}  // namespace

SheetSection material_section(const std::vector<const Material*>& materials) {
    SheetSection section;
    section.title = "Values of the materials and where they come from";
    std::vector<std::string> told;
    for (const Material* one : materials) {
        const std::string head = fmt::format("{} {}", one->name, one->condition);
        if (std::find(told.begin(), told.end(), head) != told.end()) continue;
        told.push_back(head);
        SheetTable table{{{sentence(head)}, {"value", true}, {"published range"}, {"source"}}, {}, {}};
        add_value(table, "modulus of elasticity", one->youngs_modulus);
        add_value(table, "density", one->density);
        add_value(table, "Poisson's ratio", one->poisson_ratio);
        add_value(table, "change of modulus", one->modulus_change);
        add_value(table, "expansion", one->expansion);
        add_value(table, "tensile strength", one->tensile_strength);
        add_value(table, "proof strength", one->proof_strength);
        add_value(table, "fatigue strength", one->fatigue_strength);
        section.tables.push_back(std::move(table));
    }
    return section;
}

SheetSection input_section(const SheetInput& input, const std::vector<std::string>& assumed) {
    SheetSection section;
    section.title = "What was stated: " + input.file;
    if (!assumed.empty())
        section.paragraphs.push_back(fmt::format("Taken because nothing was said: {}.", fmt::join(assumed, "; ")));
    section.as_it_stands = input.text;
    return section;
}

SheetSection caution_section(std::vector<std::string> cautions) {
    SheetSection section;
    section.title = "Take care";
    section.whole = true;
    section.list = std::move(cautions);
    return section;
}

std::string stations_text(const Profile& profile) {
    std::string text;
    for (const Station& station : profile.stations())
        text += fmt::format("{}{:.3f} at {:.4g}", text.empty() ? "" : ",  ", in(station.value, millimetre),
                            in(station.at, millimetre));
    return text;
}

std::string width_text(const Profile& profile) {
    const std::string root = fmt::format("{:.2f}", in(profile.at_root(), millimetre));
    const std::string tip = fmt::format("{:.2f}", in(profile.at_tip(), millimetre));
    return root == tip ? root : root + " / " + tip;
}

std::string sentence(std::string text) {
    if (!text.empty()) text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    return text;
}

}  // namespace reedwright::app
