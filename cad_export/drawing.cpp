#include "cad_export/drawing.hpp"

#include "cad_export/drawing_text.hpp"
#include "cad_export/plan_view.hpp"
#include "cad_export/sheet_frame.hpp"
#include "cad_export/sheet_table.hpp"
#include "cad_export/sheet_writer.hpp"
#include "cad_export/shop_tables.hpp"
#include "cad_export/slot_detail.hpp"
#include "cad_export/tongue_view.hpp"
#include "core/input/diagnostic.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <set>

namespace reedwright {

namespace drawing {

namespace {

constexpr double between_views_mm = 10.0;
constexpr double below_views_mm = 5.0;
constexpr double notes_width_mm = 76.0;
// The least that is worth setting a detail or tables into.
constexpr double least_detail_mm = 110.0;
constexpr double least_tables_mm = 30.0;
constexpr double least_tables_width_mm = 75.0;
// Plates shorter than the first stand several on a sheet; those smaller than the second at 2:1.
const Length short_plate = 60.0 * millimetre;
const Length small_plate = 25.0 * millimetre;

struct Draft {
    TitleBlock title;
    Figure body;
};

// Views side by side, in rows where one is not enough.
Figure in_rows(const std::vector<Figure>& views, double widest_mm, const std::shared_ptr<const TextRuler>& ruler) {
    Figure all(ruler);
    double x_mm = 0.0;
    double y_mm = 0.0;
    double row_mm = 0.0;
    for (const Figure& view : views) {
        const Rectangle& box = view.bounds();
        if (x_mm > 0.0 && x_mm + box.width_mm() > widest_mm) {
            x_mm = 0.0;
            y_mm += row_mm + between_views_mm;
            row_mm = 0.0;
        }
        all.add(view, {x_mm - box.left_mm, y_mm - box.top_mm});
        x_mm += box.width_mm() + between_views_mm;
        row_mm = std::max(row_mm, box.height_mm());
    }
    return all;
}

std::string distinct(const std::vector<std::string>& texts) {
    std::set<std::string> seen;
    std::string all;
    for (const std::string& text : texts)
        if (seen.insert(text).second) all += (all.empty() ? "" : "; ") + text;
    return all;
}

std::string thickness_text(Length thickness) {
    return mm_text(thickness) + " mm";
}

bool is_small(const Plate& plate) {
    return plate.length < small_plate && plate.width < small_plate;
}

// A view at the largest scale that fits a rectangle of the paper.
Figure fitting_view(const PlanSubject& subject, bool small, const Rectangle& paper, double room_mm,
                    const std::shared_ptr<const TextRuler>& ruler, double& scale) {
    constexpr std::array<double, 5> scales{2.0, 1.0, 0.5, 0.2, 0.1};
    for (const double one : scales) {
        if (one > 1.0 && !small) continue;
        try {
            Figure view = plan_view(subject, one, room_mm, ruler);
            if (view.bounds().width_mm() > paper.width_mm() || view.bounds().height_mm() > paper.height_mm()) continue;
            scale = one;
            return view;
        } catch (const std::invalid_argument&) {
            // Its labels find no room at this scale.
            continue;
        }
    }
    throw InputError(fmt::format("\"{}\" does not fit the paper at 1:10", subject.caption));
}

class DrawingSet {
public:
    explicit DrawingSet(const ShopSheet& shop) : shop_(shop), ruler_(std::make_shared<const TextRuler>()) {
        for (const Plate& plate : shop.plates.plates)
            for (const PlacedTongue& tongue : plate.tongues)
                if (tongue.reed >= shop.reeds.size())
                    throw InputError(
                        fmt::format("cell {} {}: its reed is not among those of the sheet", tongue.cell, tongue.row));
        paper_ = size_of(chosen_paper());
        body_ = body_of(paper_);
    }

    std::vector<Sheet> draw() {
        draw_plates();
        if (shop_.plates.comb) draw_comb(*shop_.plates.comb);
        draw_notes();
        draw_tongues();
        std::vector<Sheet> sheets;
        for (std::size_t i = 0; i < drafts_.size(); ++i)
            sheets.push_back(framed(drafts_[i].body, drafts_[i].title, paper_, i + 1, drafts_.size()));
        return sheets;
    }

private:
    Paper chosen_paper() const {
        if (shop_.paper) return *shop_.paper;
        const Rectangle a4 = body_of(size_of(Paper::a4));
        // Tables stand below, long ones of long plates in half of the height.
        const auto fits = [&](const Plate& plate) {
            try {
                const Rectangle box = plan_view(subject_of(plate, shop_), 1.0, room_mm(a4), ruler_).bounds();
                return box.width_mm() <= a4.width_mm() &&
                       box.height_mm() <= (is_short(plate) ? 0.7 : 0.5) * a4.height_mm();
            } catch (const std::invalid_argument&) {
                return false;
            }
        };
        const auto& plates = shop_.plates.plates;
        return std::all_of(plates.begin(), plates.end(), fits) ? Paper::a4 : Paper::a3;
    }

    static bool is_short(const Plate& plate) { return plate.length < short_plate; }

    // Labels along a part leave room for those beside it.
    static double room_mm(const Rectangle& body) {
        constexpr double beside_mm = 45.0;
        return body.width_mm() - beside_mm;
    }

    Figure fitting_view(const PlanSubject& subject, bool small, double& scale) const {
        return drawing::fitting_view(subject, small, body_, room_mm(body_), ruler_, scale);
    }

    TitleBlock title(const std::string& part, const std::string& material, const std::string& thickness,
                     const std::string& scale) const {
        return {shop_.name, part, material, thickness, scale, shop_.revision};
    }

    // Tables into what is left of a sheet, and onto further ones.
    void finish(Figure body, const FlowRoom& room, const TitleBlock& heads, std::vector<Table> tables) {
        if (room.area.height_mm() >= least_tables_mm && room.area.width_mm() >= least_tables_width_mm)
            tables = set(body, room, tables);
        if (!tables.empty() && tables.front().columns.empty()) {
            // Notes alone are no reason for a further sheet of each plate: one for all holds them.
            further_notes_ = true;
            tables.clear();
            body.text({body_.left_mm, body_.bottom_mm + 3.0}, "Further notes: see the sheet of notes.");
        }
        drafts_.push_back({heads, std::move(body)});
        TitleBlock next = heads;
        next.scale = "none";
        while (!tables.empty()) {
            Figure further(ruler_);
            tables = set_whole(further, tables);
            drafts_.push_back({next, std::move(further)});
        }
    }

    void draw_notes() {
        if (!further_notes_) return;
        std::vector<Table> tables = plate_notes();
        while (!tables.empty()) {
            Figure body(ruler_);
            tables = set_whole(body, tables);
            drafts_.push_back({title("notes for all plates", "see plates", "see plates", "none"), body});
        }
    }

    // Tables wider than a room wait for the next sheet.
    std::vector<Table> set(Figure& body, const FlowRoom& room, const std::vector<Table>& tables) const {
        if (!fit_width(tables, room.area)) return tables;
        Flowed flowed = flow(tables, room, ruler_);
        body.add(flowed.figure, {0.0, 0.0});
        return std::move(flowed.left);
    }

    // Every table fits the width of a whole sheet.
    std::vector<Table> set_whole(Figure& body, const std::vector<Table>& tables) const {
        Flowed flowed = flow(tables, {body_, {}}, ruler_);
        body.add(flowed.figure, {0.0, 0.0});
        return std::move(flowed.left);
    }

    bool fit_width(const std::vector<Table>& tables, const Rectangle& room) const {
        return std::all_of(tables.begin(), tables.end(),
                           [&](const Table& table) { return width_of(table, *ruler_) <= room.width_mm(); });
    }

    std::vector<Table> tables_of(const PlateGroup& group) const {
        std::vector<Table> tables{slot_table(group, shop_), hole_table(group, shop_)};
        for (Table& table : plate_notes()) tables.push_back(std::move(table));
        return tables;
    }

    std::vector<Table> plate_notes() const {
        const std::vector<std::string> first{
            "All lengths in millimetres, x and y from the datum at the lower left corner.",
            "Slots are dimensioned from the root line to their end at the tip; the files for "
            "cutting give their edges exactly."};
        return notes(shop_, first, notes_width_mm, *ruler_);
    }

    void draw_plates() {
        const auto& plates = shop_.plates.plates;
        for (std::size_t i = 0; i < plates.size();) {
            if (is_short(plates[i]))
                i = draw_short_plates(i);
            else
                draw_plate(plates[i++]);
        }
    }

    void draw_plate(const Plate& plate) {
        double scale = 1.0;
        const Figure view = fitting_view(subject_of(plate, shop_), false, scale);
        const Rectangle box = view.bounds();
        Figure body(ruler_);
        body.add(view, {body_.left_mm - box.left_mm, body_.top_mm - box.top_mm});
        Rectangle room = body_;
        room.top_mm += box.height_mm() + below_views_mm;
        std::optional<Point> higher;
        const double beside_mm = body_.width_mm() - box.width_mm() - between_views_mm;
        if (!plate.tongues.empty()) {
            const PlacedTongue& tongue = plate.tongues.front();
            const bool beside = beside_mm >= least_detail_mm;
            const Figure detail = slot_detail(tongue, plate.blank.thickness, shop_.reeds.at(tongue.reed),
                                              beside ? beside_mm : 0.45 * body_.width_mm(),
                                              beside ? std::max(box.height_mm(), 80.0) : room.height_mm(), ruler_);
            const Rectangle at = detail.bounds();
            if (beside) {
                body.add(detail, {body_.right_mm - at.right_mm, body_.top_mm - at.top_mm});
                const double below_mm = body_.top_mm + at.height_mm() + below_views_mm;
                if (below_mm < room.top_mm) higher = Point{body_.right_mm - at.width_mm(), below_mm};
                room.top_mm = std::max(room.top_mm, below_mm);
            } else if (at.height_mm() <= room.height_mm()) {
                body.add(detail, {body_.left_mm - at.left_mm, room.top_mm - at.top_mm});
                room.left_mm += at.width_mm() + between_views_mm;
            } else {
                details_.push_back(detail);
            }
        }
        finish(std::move(body), {room, higher},
               title(plate.blank.name, plate.blank.material, thickness_text(plate.blank.thickness), scale_text(scale)),
               tables_of({&plate}));
    }

    struct GroupBody {
        Figure views;
        Rectangle room;
        std::string scale;
    };

    GroupBody views_of(const PlateGroup& group, const std::optional<Figure>& detail) const {
        std::vector<Figure> views;
        std::vector<std::string> scales;
        std::size_t number = 1;
        for (const Plate* plate : group) {
            const PlanSubject subject = subject_of(*plate, shop_, number);
            double scale = 1.0;
            views.push_back(fitting_view(subject, is_small(*plate), scale));
            scales.push_back(scale_text(scale));
            number += subject.holes.size();
        }
        if (detail) views.push_back(*detail);
        GroupBody result{in_rows(views, left_of_notes().width_mm(), ruler_), left_of_notes(), distinct(scales)};
        result.room.top_mm += result.views.bounds().height_mm() + below_views_mm;
        return result;
    }

    Figure detail_of(const Plate& plate) const {
        constexpr double widest_mm = 130.0;
        constexpr double highest_mm = 70.0;
        const PlacedTongue& tongue = plate.tongues.front();
        return slot_detail(tongue, plate.blank.thickness, shop_.reeds.at(tongue.reed), widest_mm, highest_mm, ruler_);
    }

    // Short plates leave a column of the sheet to the notes.
    Rectangle left_of_notes() const {
        Rectangle left = body_;
        left.right_mm -= notes_width_mm + between_views_mm;
        return left;
    }

    // As many of the following plates as stand on one sheet with their tables. Returns the next.
    std::size_t draw_short_plates(std::size_t first) {
        const auto& plates = shop_.plates.plates;
        PlateGroup group{&plates[first]};
        // One enlarged slot is enough for plates of one kind.
        std::optional<Figure> detail;
        if (first == 0 && !plates[first].tongues.empty()) detail = detail_of(plates[first]);
        GroupBody body = views_of(group, detail);
        if (detail && body.room.height_mm() < least_tables_mm) {
            details_.push_back(*detail);
            detail.reset();
            body = views_of(group, detail);
        }
        for (std::size_t i = first + 1; i < plates.size() && is_short(plates[i]); ++i) {
            const PlateBlank& blank = plates[i].blank;
            if (blank.material != plates[first].blank.material ||
                mm_text(blank.thickness) != mm_text(plates[first].blank.thickness))
                break;
            PlateGroup more = group;
            more.push_back(&plates[i]);
            GroupBody larger = views_of(more, detail);
            const std::vector<Table> tables{slot_table(more, shop_), hole_table(more, shop_)};
            if (larger.room.height_mm() < least_tables_mm || !fit_width(tables, larger.room) ||
                !flow(tables, {larger.room, {}}, ruler_).left.empty())
                break;
            group = std::move(more);
            body = std::move(larger);
        }
        const Rectangle box = body.views.bounds();
        Figure placed(ruler_);
        placed.add(body.views, {body_.left_mm - box.left_mm, body_.top_mm - box.top_mm});
        Rectangle column = body_;
        column.left_mm = column.right_mm - notes_width_mm;
        Flowed beside = flow(plate_notes(), {column, {}}, ruler_);
        placed.add(beside.figure, {0.0, 0.0});
        std::vector<Table> tables{slot_table(group, shop_), hole_table(group, shop_)};
        tables.insert(tables.end(), beside.left.begin(), beside.left.end());
        const std::string part = group.size() == 1
                                     ? group.front()->blank.name
                                     : fmt::format("{} to {}", group.front()->blank.name, group.back()->blank.name);
        finish(std::move(placed), {body.room, {}},
               title(part, group.front()->blank.material, thickness_text(group.front()->blank.thickness), body.scale),
               std::move(tables));
        return first + group.size();
    }

    void draw_comb(const Comb& comb) {
        double scale = 1.0;
        const Figure view = fitting_view(subject_of(comb, shop_), false, scale);
        const Rectangle box = view.bounds();
        Figure body(ruler_);
        body.add(view, {body_.left_mm - box.left_mm, body_.top_mm - box.top_mm});
        Rectangle room = body_;
        room.top_mm += box.height_mm() + below_views_mm;
        std::vector<Table> tables{cell_table(comb), comb_hole_table(comb, shop_)};
        const std::vector<std::string> first{
            "All lengths in millimetres, x and y from the datum at the lower left corner."};
        for (Table& table : notes(shop_, first, notes_width_mm, *ruler_)) tables.push_back(std::move(table));
        finish(std::move(body), {room, {}},
               title(comb.blank.name, comb.blank.material, thickness_text(comb.blank.thickness), scale_text(scale)),
               std::move(tables));
    }

    void draw_tongues() {
        std::vector<Figure> kinds = std::move(details_);
        std::set<std::string> families;
        std::vector<std::string> materials;
        for (const Plate& plate : shop_.plates.plates)
            for (const PlacedTongue& tongue : plate.tongues) {
                materials.push_back(tongue.part.material);
                if (families.insert(profile_family(tongue.part.thickness)).second)
                    kinds.push_back(tongue_view(tongue.part, shop_.reeds.at(tongue.reed), body_.width_mm(), ruler_));
            }
        const std::string material = distinct(materials);
        // As many kinds on a sheet as its height takes.
        std::vector<Figure> here;
        const auto set_kinds = [&] {
            if (here.empty()) return;
            const Figure views = in_rows(here, body_.width_mm(), ruler_);
            Figure body(ruler_);
            body.add(views, {body_.left_mm - views.bounds().left_mm, body_.top_mm - views.bounds().top_mm});
            drafts_.push_back(
                {title("slots and tongues, enlarged", material, "see table", "as stated"), std::move(body)});
            here.clear();
        };
        for (const Figure& kind : kinds) {
            std::vector<Figure> more = here;
            more.push_back(kind);
            if (in_rows(more, body_.width_mm(), ruler_).bounds().height_mm() > body_.height_mm()) set_kinds();
            here.push_back(kind);
        }
        set_kinds();
        if (shop_.reeds.empty()) return;
        std::vector<Table> list{tongue_table(shop_, body_.width_mm(), *ruler_)};
        const std::vector<std::string> first{
            "Stations are distances from the root line; between them the thickness runs straight. The underside stays "
            "flat. Leave metal for tuning: file to the target on the bench."};
        for (Table& table : notes(shop_, first, notes_width_mm, *ruler_)) list.push_back(std::move(table));
        // One flow: notes that find no room below the list stand beside the tuning table.
        list.push_back(tuning_table(shop_));
        set_tables("tongues, list and tuning", material, std::move(list));
    }

    void set_tables(const std::string& part, const std::string& material, std::vector<Table> tables) {
        while (!tables.empty()) {
            Figure body(ruler_);
            tables = set_whole(body, tables);
            drafts_.push_back({title(part, material, "see table", "none"), std::move(body)});
        }
    }

    const ShopSheet& shop_;
    std::shared_ptr<const TextRuler> ruler_;
    PaperSize paper_{};
    Rectangle body_{};
    std::vector<Draft> drafts_;
    /// Some sheet had no room for all notes.
    bool further_notes_ = false;
    /// Enlarged slots that found no room beside their plates.
    std::vector<Figure> details_;
};

}  // namespace

}  // namespace drawing

std::vector<drawing::Sheet> shop_drawing(const ShopSheet& shop) {
    return drawing::DrawingSet(shop).draw();
}

std::string shop_pdf(const ShopSheet& shop) {
    return drawing::pdf_of(shop_drawing(shop), shop.name);
}

std::vector<SheetSvg> shop_svg(const ShopSheet& shop) {
    std::vector<SheetSvg> result;
    for (const drawing::Sheet& sheet : shop_drawing(shop)) result.push_back({sheet.title, drawing::svg_of(sheet)});
    return result;
}

std::vector<SheetSvg> plate_pictures(const ShopSheet& shop, double widest_mm) {
    constexpr double highest_mm = 165.0;
    constexpr double margin_mm = 1.0;
    const auto ruler = std::make_shared<const drawing::TextRuler>();
    std::vector<SheetSvg> result;
    for (const Plate& plate : shop.plates.plates) {
        double scale = 1.0;
        const drawing::Rectangle paper{0.0, 0.0, widest_mm, highest_mm};
        const drawing::Figure view = drawing::fitting_view(drawing::subject_of(plate, shop), drawing::is_small(plate),
                                                           paper, widest_mm, ruler, scale);
        const drawing::Rectangle box = view.bounds().grown(margin_mm);
        drawing::Figure placed(ruler);
        placed.add(view, {-box.left_mm, -box.top_mm});
        const std::string title = fmt::format("{}, {}", plate.blank.name, drawing::scale_text(scale));
        result.push_back({title, drawing::svg_of({box.width_mm(), box.height_mm(), title, std::move(placed)})});
    }
    return result;
}

}  // namespace reedwright
