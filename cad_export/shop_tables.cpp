#include "cad_export/shop_tables.hpp"

#include "cad_export/drawing_text.hpp"
#include "cad_export/plan_view.hpp"
#include "cad_export/slot_detail.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright::drawing {

namespace {

constexpr double handwriting_mm = 7.0;
constexpr double handwriting_column_mm = 18.5;

// The same on both ends: one number; otherwise root / tip, and the largest where it is elsewhere.
std::string widths_text(Length root, Length tip, Length largest) {
    const std::string at_root = mm_text(root);
    const std::string at_tip = mm_text(tip);
    const std::string most = mm_text(largest);
    std::string text = at_root == at_tip ? at_root : at_root + " / " + at_tip;
    if (most != at_root && most != at_tip) text += ", largest " + most;
    return text;
}

std::vector<std::string> cells_of(const NumberedHole& one) {
    return {one.number, mm_text(one.hole.centre.x), mm_text(one.hole.centre.y), mm_text(one.hole.diameter),
            one.purpose};
}

const std::vector<Column>& hole_columns() {
    static const std::vector<Column> columns{{"no."}, {"x"}, {"y"}, {"diameter"}, {"for", Align::left}};
    return columns;
}

std::string celsius_text(Temperature temperature) {
    return fmt::format("{:.1f}", in_celsius(temperature));
}

bool one_bench(const ShopSheet& shop) {
    return std::all_of(shop.reeds.begin(), shop.reeds.end(), [&](const ShopReed& reed) {
        return celsius_text(reed.bench) == celsius_text(shop.reeds.front().bench);
    });
}

}  // namespace

Table slot_table(const PlateGroup& plates, const ShopSheet& shop) {
    Table table{"Slots",
                {{"place", Align::left},
                 {"note", Align::left},
                 {"x of\nmiddle"},
                 {"y of\nroot line"},
                 {"length"},
                 {"width"},
                 {"corner\nradius"}},
                {}};
    for (const Plate* plate : plates)
        for (const PlacedTongue& tongue : plate->tongues) {
            const ShopReed& reed = shop.reeds.at(tongue.reed);
            const SlotWidths widths = widths_of(tongue);
            const std::string width = widths_text(widths.root, widths.tip, widths.largest);
            if (width.find('/') != std::string::npos) table.columns[5].head = "width\nroot / tip";
            table.rows.push_back({reed.place, reed.note, mm_text(tongue.root.x), mm_text(tongue.root.y),
                                  mm_text(box_of(tongue.slot).front - tongue.root.y), width,
                                  mm_text(tongue.slot.corner_radius)});
        }
    return table;
}

Table hole_table(const PlateGroup& plates, const ShopSheet& shop) {
    Table table{"Holes", hole_columns(), {}};
    std::size_t number = 1;
    for (const Plate* plate : plates) {
        const PlanSubject subject = subject_of(*plate, shop, number);
        for (NumberedHole one : subject.holes) {
            if (plates.size() > 1 && !one.rivet) one.purpose += ", " + plate->blank.name;
            table.rows.push_back(cells_of(one));
        }
        number += subject.holes.size();
    }
    return table;
}

Table cell_table(const Comb& comb) {
    Table table{
        "Cells",
        {{"cell"}, {"x of\nmiddle"}, {"x of\nleft side"}, {"x of\nright side"}, {"width"}, {"y of\nclosed end"}},
        {}};
    for (const CombCell& cell : comb.cells)
        table.rows.push_back({fmt::format("{}", cell.cell), mm_text(0.5 * (cell.left + cell.right)), mm_text(cell.left),
                              mm_text(cell.right), mm_text(cell.right - cell.left), mm_text(cell.back)});
    return table;
}

Table comb_hole_table(const Comb& comb, const ShopSheet& shop) {
    Table table{"Holes", hole_columns(), {}};
    for (const NumberedHole& one : subject_of(comb, shop).holes) table.rows.push_back(cells_of(one));
    return table;
}

Table tongue_table(const ShopSheet& shop, double widest_mm, const TextRuler& ruler) {
    Table table{"Tongues: what to cut and mill",
                {{"place", Align::left},
                 {"note", Align::left},
                 {"target\nHz"},
                 {"length"},
                 {"width\nroot / tip"},
                 {"strip\ngauge"},
                 {"rest\ngap"}},
                {}};
    std::size_t most_stations = 0;
    for (const ShopReed& reed : shop.reeds) {
        most_stations = std::max(most_stations, reed.thickness.stations().size());
        table.rows.push_back(
            {reed.place, reed.note, hertz_text(reed.target), mm_text(reed.length()),
             widths_text(reed.width.at_root(), reed.width.at_tip(), reed.width.largest()),
             (reed.gauge ? "" : "min. ") + micrometre_text(reed.gauge.value_or(reed.thickness.largest())),
             mm_text(reed.rest_gap)});
    }
    // As many stations in a line as there is room for, at least one.
    const double station_mm = ruler.width_mm("88.88  0.888", body_mm) + 2.5;
    const double room_mm = widest_mm - width_of(table, ruler);
    const auto in_line = std::clamp(static_cast<std::size_t>(std::max(room_mm / station_mm, 1.0)), std::size_t{1},
                                    std::max(most_stations, std::size_t{1}));
    const std::size_t fixed = table.columns.size();
    for (std::size_t k = 0; k < in_line; ++k)
        table.columns.push_back({"from root\nthickness", Align::right, station_mm});
    std::vector<std::vector<std::string>> lines;
    for (std::size_t r = 0; r < shop.reeds.size(); ++r) {
        std::vector<std::string> line = table.rows[r];
        const auto& stations = shop.reeds[r].thickness.stations();
        for (std::size_t k = 0; k < stations.size(); ++k) {
            if (k > 0 && k % in_line == 0) {
                lines.push_back(line);
                line.assign(fixed, "");
            }
            line.push_back(mm_text(stations[k].at) + "  " + micrometre_text(stations[k].value));
        }
        line.resize(fixed + in_line);
        lines.push_back(line);
    }
    table.rows = std::move(lines);
    return table;
}

Table tuning_table(const ShopSheet& shop) {
    const bool common = one_bench(shop);
    Table table{common && !shop.reeds.empty()
                    ? fmt::format("Tuning, tongue and air at {} degC", celsius_text(shop.reeds.front().bench))
                    : "Tuning",
                {{"place", Align::left}, {"note", Align::left}, {"target\nHz"}},
                {},
                handwriting_mm};
    if (!common) table.columns.push_back({"bench\ndegC"});
    for (const char* head : {"as built", "after\nfirst pass", "next day", "final\ncents"})
        table.columns.push_back({head, Align::left, handwriting_column_mm});
    for (const ShopReed& reed : shop.reeds) {
        std::vector<std::string> row{reed.place, reed.note, hertz_text(reed.target)};
        if (!common) row.push_back(celsius_text(reed.bench));
        row.resize(table.columns.size());
        table.rows.push_back(std::move(row));
    }
    return table;
}

std::vector<Table> notes(const ShopSheet& shop, const std::vector<std::string>& first, double width_mm,
                         const TextRuler& ruler) {
    std::vector<Table> result;
    const auto add = [&](const char* title, const std::vector<std::string>& lines) {
        if (!lines.empty()) result.push_back(text_table(title, lines, width_mm, ruler));
    };
    add("Notes", first);
    add("Tolerances", shop.tolerances);
    add("Materials", shop.materials);
    add("Finish", shop.finish);
    add("Cautions", shop.cautions);
    return result;
}

}  // namespace reedwright::drawing
