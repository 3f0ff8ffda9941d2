#include "cad_export/sheet_writer.hpp"

#include <cairo-pdf.h>
#include <cairo-svg.h>
#include <fmt/format.h>
#include <array>
#include <cmath>
#include <memory>
#include <numbers>
#include <regex>
#include <stdexcept>

namespace reedwright::drawing {

namespace {

constexpr double points_per_mm = 72.0 / 25.4;

struct DestroySurface {
    void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
struct DestroyContext {
    void operator()(cairo_t* context) const { cairo_destroy(context); }
};
struct DestroyOptions {
    void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
};
using Surface = std::unique_ptr<cairo_surface_t, DestroySurface>;
using Context = std::unique_ptr<cairo_t, DestroyContext>;
using Options = std::unique_ptr<cairo_font_options_t, DestroyOptions>;

cairo_status_t append(void* text, const unsigned char* bytes, unsigned length) {
    // Cairo hands text through as it was given: the string of the caller below.
    static_cast<std::string*>(text)->append(bytes, bytes + length);
    return CAIRO_STATUS_SUCCESS;
}

void check(cairo_status_t status) {
    if (status != CAIRO_STATUS_SUCCESS)
        throw std::runtime_error(fmt::format("the drawing failed: {}", cairo_status_to_string(status)));
}

void set_pen(cairo_t* cairo, Pen pen) {
    cairo_set_line_width(cairo, pen == Pen::visible ? 0.5 : pen == Pen::small ? 0.35 : 0.25);
    constexpr std::array<double, 4> dash_dotted{4.0, 0.9, 0.5, 0.9};
    constexpr std::array<double, 2> dashed{1.6, 0.8};
    if (pen == Pen::centre)
        cairo_set_dash(cairo, dash_dotted.data(), static_cast<int>(dash_dotted.size()), 0.0);
    else if (pen == Pen::hidden)
        cairo_set_dash(cairo, dashed.data(), static_cast<int>(dashed.size()), 0.0);
    else
        cairo_set_dash(cairo, nullptr, 0, 0.0);
}

void draw(cairo_t* cairo, const Shape& shape) {
    if (shape.pieces.empty()) return;
    cairo_new_path(cairo);
    const Piece& first = shape.pieces.front();
    cairo_move_to(cairo, first.from.x_mm, first.from.y_mm);
    for (const Piece& piece : shape.pieces) {
        if (piece.sweep == 0.0) {
            cairo_line_to(cairo, piece.to.x_mm, piece.to.y_mm);
            continue;
        }
        const double start = std::atan2(piece.from.y_mm - piece.centre.y_mm, piece.from.x_mm - piece.centre.x_mm);
        (piece.sweep > 0.0 ? cairo_arc : cairo_arc_negative)(cairo, piece.centre.x_mm, piece.centre.y_mm,
                                                             piece.radius_mm, start, start + piece.sweep);
    }
    if (shape.closed) cairo_close_path(cairo);
    if (shape.fill != Fill::none) {
        const double grey = shape.fill == Fill::white ? 1.0 : 0.0;
        cairo_set_source_rgb(cairo, grey, grey, grey);
        cairo_fill_preserve(cairo);
        cairo_set_source_rgb(cairo, 0.0, 0.0, 0.0);
    }
    if (shape.pen) {
        set_pen(cairo, *shape.pen);
        cairo_stroke(cairo);
    }
    cairo_new_path(cairo);
}

void draw(cairo_t* cairo, const Label& label) {
    cairo_select_font_face(cairo, font_family, CAIRO_FONT_SLANT_NORMAL,
                           label.style.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(cairo, label.style.size_mm);
    cairo_save(cairo);
    cairo_translate(cairo, label.start.x_mm, label.start.y_mm);
    if (label.style.upward) cairo_rotate(cairo, -0.5 * std::numbers::pi);
    cairo_move_to(cairo, 0.0, 0.0);
    cairo_show_text(cairo, label.text.c_str());
    cairo_restore(cairo);
}

// The one drawing routine; PDF and SVG differ in the surface only.
void draw(cairo_t* cairo, const Sheet& sheet) {
    const Options options(cairo_font_options_create());
    cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
    cairo_set_font_options(cairo, options.get());
    cairo_set_source_rgb(cairo, 1.0, 1.0, 1.0);
    cairo_rectangle(cairo, 0.0, 0.0, sheet.width_mm, sheet.height_mm);
    cairo_fill(cairo);
    cairo_set_source_rgb(cairo, 0.0, 0.0, 0.0);
    cairo_set_line_cap(cairo, CAIRO_LINE_CAP_BUTT);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    for (const Shape& shape : sheet.figure.shapes()) draw(cairo, shape);
    for (const Label& label : sheet.figure.labels()) draw(cairo, label);
}

std::string escaped(const std::string& text) {
    std::string result;
    for (const char c : text) {
        if (c == '&')
            result += "&amp;";
        else if (c == '<')
            result += "&lt;";
        else if (c == '>')
            result += "&gt;";
        else
            result += c;
    }
    return result;
}

std::string unseen_words(const Sheet& sheet) {
    std::string words =
        fmt::format("<g id=\"words\" fill-opacity=\"0\" font-family=\"{}, sans-serif\">\n", font_family);
    for (const Label& label : sheet.figure.labels()) {
        const std::string turned = label.style.upward ? fmt::format(" transform=\"rotate(-90 {:.2f} {:.2f})\"",
                                                                    label.start.x_mm, label.start.y_mm)
                                                      : std::string();
        words += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:.2f}\"{}>{}</text>\n", label.start.x_mm,
                             label.start.y_mm, label.style.size_mm, turned, escaped(label.text));
    }
    return words + "</g>\n";
}

}  // namespace

std::string pdf_of(const std::vector<Sheet>& sheets, const std::string& title) {
    if (sheets.empty()) throw std::invalid_argument("a PDF file needs a sheet");
    std::string text;
    {
        const Surface surface(cairo_pdf_surface_create_for_stream(
            append, &text, sheets.front().width_mm * points_per_mm, sheets.front().height_mm * points_per_mm));
        cairo_pdf_surface_restrict_to_version(surface.get(), CAIRO_PDF_VERSION_1_4);
        cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
        cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "reedwright");
        // A date that cannot be read is left out of the file.
        cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, "-");
        const Context cairo(cairo_create(surface.get()));
        for (const Sheet& sheet : sheets) {
            cairo_pdf_surface_set_size(surface.get(), sheet.width_mm * points_per_mm, sheet.height_mm * points_per_mm);
            cairo_identity_matrix(cairo.get());
            cairo_scale(cairo.get(), points_per_mm, points_per_mm);
            draw(cairo.get(), sheet);
            cairo_show_page(cairo.get());
        }
        check(cairo_status(cairo.get()));
        cairo_surface_finish(surface.get());
        check(cairo_surface_status(surface.get()));
    }
    return text;
}

std::string svg_of(const Sheet& sheet) {
    std::string text;
    {
        const Surface surface(cairo_svg_surface_create_for_stream(append, &text, sheet.width_mm, sheet.height_mm));
        cairo_svg_surface_set_document_unit(surface.get(), CAIRO_SVG_UNIT_MM);
        const Context cairo(cairo_create(surface.get()));
        draw(cairo.get(), sheet);
        check(cairo_status(cairo.get()));
        cairo_surface_finish(surface.get());
        check(cairo_surface_status(surface.get()));
    }
    // The group's name counts the surfaces of the process.
    text = std::regex_replace(text, std::regex("id=\"surface[0-9]+\""), "id=\"sheet\"",
                              std::regex_constants::format_first_only);
    const std::size_t begin = text.find('>', text.find("<svg"));
    if (begin == std::string::npos) throw std::runtime_error("the drawing failed: no SVG was written");
    text.insert(begin + 1, fmt::format("\n<title>{}</title>", escaped(sheet.title)));
    text.insert(text.rfind("</svg>"), unseen_words(sheet));
    return text;
}

}  // namespace reedwright::drawing
