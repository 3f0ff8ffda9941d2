#include "app/sheet/cut_sheet.hpp"

#include "app/report.hpp"
#include "app/sheet/templates.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <cctype>
#include <kainjow/mustache.hpp>
#include <stdexcept>

namespace reedwright::app {

namespace {

using kainjow::mustache::data;

constexpr int columns_to_fill = 6;

const InstrumentReed& reed_of(const CutPlan& plan, const ReedWork& work) {
    return plan.instrument.reeds[work.reed];
}

std::string hertz_or_blank(const std::optional<Frequency>& pitch) {
    return pitch ? fmt::format("{:.2f}", pitch->value()) : std::string();
}

std::string micrometres(Length length) {
    return fmt::format("{:.1f} \u00b5m", in(length, micrometre));
}

std::string sentence(std::string text) {
    if (!text.empty()) text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    return text;
}

data texts(const std::vector<std::string>& all) {
    data list{data::type::list};
    for (const std::string& one : all) list << data{sentence(one)};
    return list;
}

data reed_data(const CutPlan& plan, const ReedWork& work) {
    const InstrumentReed& one = reed_of(plan, work);
    data result;
    result.set("place", one.place());
    result.set("note", one.note.name());
    result.set("target", fmt::format("{:.2f}", work.target.value()));
    result.set("warm", fmt::format("{:.2f}", work.warm.value()));
    result.set("read", hertz_or_blank(work.on_bench));
    result.set("to_go", fmt::format("{:+.1f}", work.wanted.value()));
    result.set("verdict", std::string(verdict_name(work.verdict)));
    result.set("where", where_text(plan, work));
    result.set("has_remarks", data{!work.remarks.empty()});
    result.set("remarks", texts(work.remarks));
    // The columns to fill in by hand span the line of remarks, if there is one.
    data blanks{data::type::list};
    for (int i = 0; i < columns_to_fill; ++i) {
        data blank;
        blank.set("rows", std::string(work.remarks.empty() ? "1" : "2"));
        blanks << blank;
    }
    result.set("blanks", blanks);
    result.set("is_cut", data{work.verdict == Verdict::cut});
    const double length_mm = in(one.reed.tongue.length(), millimetre);
    const auto along = [&](Length at) { return 2.0 + 100.0 * in(at, millimetre) / length_mm; };
    if (work.cut) {
        const Zone zone = stated_zone(plan, work);
        result.set("zone_x", fmt::format("{:.1f}", along(zone.from)));
        result.set("zone_width", fmt::format("{:.1f}", along(zone.to) - along(zone.from)));
        result.set("first_pass", micrometres(work.first->depth));
        result.set("in_all", micrometres(work.cut->effect.cut.depth));
    } else if (work.load) {
        result.set("zone_x", fmt::format("{:.1f}", 2.0 + 95.0));
        result.set("first_pass", std::string());
        result.set("in_all", fmt::format("{:.3f} mg", in(work.load->load.mass, milligram)));
    }
    return result;
}

// One line for reeds that nothing is done to.
std::string listed(const CutPlan& plan, Verdict verdict) {
    std::vector<std::string> all;
    for (const ReedWork& work : plan.works) {
        if (work.verdict != verdict) continue;
        const InstrumentReed& one = reed_of(plan, work);
        all.push_back(verdict == Verdict::leave ? fmt::format("{} {} ({:+.1f} cents to go)", one.place(),
                                                              one.note.name(), work.wanted.value())
                                                : fmt::format("{} {}", one.place(), one.note.name()));
    }
    return fmt::format("{}", fmt::join(all, ", "));
}

std::string csv_field(const std::string& text) {
    if (text.find_first_of(",\"\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
    return quoted + '"';
}

}  // namespace

Zone stated_zone(const CutPlan& plan, const ReedWork& work) {
    const Length length = reed_of(plan, work).reed.tongue.length();
    const Zone& zone = work.cut->effect.cut.zone;
    const bool to_the_tip = zone.to >= work.cut->effect.after.tongue.length();
    return {std::min(zone.from, length), to_the_tip ? length : std::min(zone.to, length)};
}

std::string where_text(const CutPlan& plan, const ReedWork& work) {
    if (work.cut) {
        const Zone zone = stated_zone(plan, work);
        return fmt::format("{:.1f} to {:.1f} mm", in(zone.from, millimetre), in(zone.to, millimetre));
    }
    if (work.load) return "load on the tip";
    return {};
}

std::string tuned_to_text(const CutPlan& plan) {
    return fmt::format("{}, A4 {}, set {} on the bench at {}", plan.tuning.temperament.name(), to_text(plan.tuning.a4),
                       plan.instrument.bench.allowance.value() < 0.0
                           ? fmt::format("{} cents flat", -plan.instrument.bench.allowance.value())
                           : fmt::format("{} cents sharp", plan.instrument.bench.allowance.value()),
                       to_text(plan.instrument.bench.temperature));
}

std::string counts_text(const CutPlan& plan) {
    std::vector<std::string> parts;
    const auto add = [&](Verdict verdict, std::string_view words) {
        const auto count = std::count_if(plan.works.begin(), plan.works.end(),
                                         [&](const ReedWork& work) { return work.verdict == verdict; });
        if (count > 0) parts.push_back(fmt::format("{} {}", count, words));
    };
    add(Verdict::replace, "to replace");
    add(Verdict::check, "to read again");
    add(Verdict::cut, "to cut");
    add(Verdict::load, "to load");
    add(Verdict::leave, "left alone");
    add(Verdict::unread, "not read");
    return fmt::format("{} reeds: {}", plan.works.size(), fmt::join(parts, ", "));
}

std::string cut_sheet_html(const CutPlan& plan) {
    data page;
    page.set("title", plan.instrument.name.empty() ? std::string("Instrument") : plan.instrument.name);
    page.set("tuned_to", sentence(tuned_to_text(plan)));
    page.set("counts", counts_text(plan));
    data first{data::type::list};
    for (const ReedWork& work : plan.works)
        if (work.verdict == Verdict::replace || work.verdict == Verdict::check) first << reed_data(plan, work);
    page.set("has_first", data{!first.list_value().empty()});
    page.set("first", first);
    data plates{data::type::list};
    for (const std::string& row : plan.instrument.rows()) {
        data works{data::type::list};
        for (const ReedWork& work : plan.works)
            if ((work.verdict == Verdict::cut || work.verdict == Verdict::load) && reed_of(plan, work).row == row)
                works << reed_data(plan, work);
        if (works.list_value().empty()) continue;
        data plate;
        plate.set("row", sentence(row));
        plate.set("work", works);
        plates << plate;
    }
    page.set("plates", plates);
    for (const auto& [key, verdict] : {std::pair("left", Verdict::leave), std::pair("unread", Verdict::unread)}) {
        const std::string text = listed(plan, verdict);
        page.set(std::string("has_") + key, data{!text.empty()});
        page.set(key, text);
    }
    page.set("checklist", texts(after_cut_checklist()));
    page.set("notes", texts(plan.notes));
    page.set("cautions", texts(plan.cautions));

    kainjow::mustache::mustache sheet{std::string(sheet_template("cut_sheet.html"))};
    if (!sheet.is_valid()) throw std::logic_error("the template of the cut sheet: " + sheet.error_message());
    return sheet.render(page);
}

std::string cut_table_csv(const CutPlan& plan) {
    std::string text =
        "cell,row,note,do,target_hz,warm_hz,read_hz,read_on_bench_hz,to_go_cents,from_mm,to_mm,first_um,in_all_um,"
        "load_mg,remarks\n";
    for (const ReedWork& work : plan.works) {
        const InstrumentReed& one = reed_of(plan, work);
        const auto number = [](double value, int decimals) { return fmt::format("{:.{}f}", value, decimals); };
        std::string from;
        std::string to;
        if (work.cut) {
            const Zone zone = stated_zone(plan, work);
            from = number(in(zone.from, millimetre), 2);
            to = number(in(zone.to, millimetre), 2);
        }
        const std::vector<std::string> fields{
            std::to_string(one.cell),
            one.row,
            one.note.name(),
            std::string(verdict_name(work.verdict)),
            number(work.target.value(), 3),
            number(work.warm.value(), 3),
            work.reading ? number(work.reading->value(), 3) : std::string(),
            work.on_bench ? number(work.on_bench->value(), 3) : std::string(),
            work.on_bench ? number(work.wanted.value(), 2) : std::string(),
            from,
            to,
            work.first ? number(in(work.first->depth, micrometre), 2) : std::string(),
            work.cut ? number(in(work.cut->effect.cut.depth, micrometre), 2) : std::string(),
            work.load ? number(in(work.load->load.mass, milligram), 4) : std::string(),
            fmt::format("{}", fmt::join(work.remarks, "; "))};
        std::vector<std::string> quoted;
        for (const std::string& field : fields) quoted.push_back(csv_field(field));
        text += fmt::format("{}\n", fmt::join(quoted, ","));
    }
    return text;
}

}  // namespace reedwright::app
