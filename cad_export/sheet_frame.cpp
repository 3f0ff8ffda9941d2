#include "cad_export/sheet_frame.hpp"

#include <fmt/format.h>

namespace reedwright::drawing {

namespace {

constexpr double left_mm = 20.0;  // to be filed
constexpr double other_mm = 10.0;
constexpr double row_mm = 13.0;
constexpr double inside_mm = 4.0;
constexpr double caption_mm = 2.6;

struct Field {
    double share;
    std::string caption;
    std::string value;
};

void value_in(Figure& figure, const Rectangle& box, const std::string& value) {
    const double room_mm = box.width_mm() - 3.0;
    constexpr double large_mm = 4.2;
    if (figure.ruler()->width_mm(value, large_mm) <= room_mm) {
        figure.text({box.left_mm + 1.5, box.bottom_mm - 3.0}, value, {large_mm, Align::left, false, false});
        return;
    }
    std::vector<std::string> lines = figure.ruler()->wrapped(value, body_mm, room_mm);
    if (lines.size() > 2) {
        std::string rest;
        for (std::size_t i = 1; i < lines.size(); ++i) rest += (i > 1 ? " " : "") + lines[i];
        lines = {lines.front(), figure.ruler()->fitted(rest, body_mm, room_mm)};
    }
    double y_mm = box.bottom_mm - (lines.size() > 1 ? 5.4 : 3.0);
    for (const std::string& line : lines) {
        figure.text({box.left_mm + 1.5, y_mm}, line);
        y_mm += 4.0;
    }
}

void row_of_fields(Figure& figure, const Rectangle& row, const std::vector<Field>& fields) {
    double x_mm = row.left_mm;
    for (const Field& field : fields) {
        const Rectangle box{x_mm, row.top_mm, x_mm + field.share * row.width_mm(), row.bottom_mm};
        figure.rectangle(box, Pen::thin);
        figure.text({box.left_mm + 1.5, box.top_mm + 3.2}, field.caption, {caption_mm, Align::left, false, false});
        if (!field.value.empty()) value_in(figure, box, field.value);
        x_mm = box.right_mm;
    }
}

void scale_bar(Figure& figure, Point at) {
    constexpr double step_mm = 10.0;
    constexpr double high_mm = 1.6;
    for (int i = 0; i < 5; ++i)
        figure.rectangle({at.x_mm + i * step_mm, at.y_mm, at.x_mm + (i + 1) * step_mm, at.y_mm + high_mm}, Pen::thin,
                         i % 2 == 0 ? Fill::black : Fill::none);
    figure.text({at.x_mm + 52.0, at.y_mm + high_mm + 0.4}, "50 mm");
}

}  // namespace

PaperSize size_of(Paper paper) {
    return paper == Paper::a4 ? PaperSize{297.0, 210.0} : PaperSize{420.0, 297.0};
}

Rectangle body_of(const PaperSize& paper) {
    return {left_mm + inside_mm, other_mm + inside_mm, paper.width_mm - other_mm - inside_mm,
            paper.height_mm - other_mm - 2.0 * row_mm - inside_mm};
}

Sheet framed(const Figure& body, const TitleBlock& title, const PaperSize& paper, std::size_t number,
             std::size_t count) {
    Figure figure(body.ruler());
    figure.add(body, {0.0, 0.0});
    const Rectangle frame{left_mm, other_mm, paper.width_mm - other_mm, paper.height_mm - other_mm};
    const double top_mm = frame.bottom_mm - 2.0 * row_mm;
    row_of_fields(figure, {frame.left_mm, top_mm, frame.right_mm, top_mm + row_mm},
                  {{0.33, "Design", title.design},
                   {0.25, "Part", title.part},
                   {0.27, "Material", title.material},
                   {0.15, "Thickness", title.thickness}});
    row_of_fields(figure, {frame.left_mm, top_mm + row_mm, frame.right_mm, frame.bottom_mm},
                  {{0.33, "Print at full size: this bar is 50 mm long", ""},
                   {0.12, "Scale", title.scale},
                   {0.13, "Units", "millimetres"},
                   {0.14, "Revision", title.revision},
                   {0.16, "Date (by hand)", ""},
                   {0.12, "Sheet", fmt::format("{} of {}", number, count)}});
    scale_bar(figure, {frame.left_mm + 4.0, frame.bottom_mm - 5.0});
    figure.line({frame.left_mm, top_mm}, {frame.right_mm, top_mm}, Pen::visible);
    figure.rectangle(frame, Pen::visible);
    return {paper.width_mm, paper.height_mm,
            fmt::format("{}: {}, sheet {} of {}", title.design, title.part, number, count), std::move(figure)};
}

}  // namespace reedwright::drawing
