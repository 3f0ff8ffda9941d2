#include "cad_export/text_ruler.hpp"

#include <cairo.h>
#include <algorithm>
#include <stdexcept>

namespace reedwright::drawing {

namespace {

// Measured large and scaled down: text is drawn without hinting, so widths are proportional to the size.
constexpr double measured_size = 100.0;

cairo_scaled_font_t* measured_font(cairo_font_weight_t weight) {
    cairo_font_face_t* face = cairo_toy_font_face_create(font_family, CAIRO_FONT_SLANT_NORMAL, weight);
    cairo_matrix_t size;
    cairo_matrix_t device;
    cairo_matrix_init_scale(&size, measured_size, measured_size);
    cairo_matrix_init_identity(&device);
    cairo_font_options_t* options = cairo_font_options_create();
    cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
    cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
    cairo_scaled_font_t* font = cairo_scaled_font_create(face, &size, &device, options);
    cairo_font_options_destroy(options);
    cairo_font_face_destroy(face);
    return font;
}

// Bytes that go on a character of several.
bool continues(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
}

}  // namespace

struct TextRuler::Fonts {
    cairo_scaled_font_t* plain = measured_font(CAIRO_FONT_WEIGHT_NORMAL);
    cairo_scaled_font_t* bold = measured_font(CAIRO_FONT_WEIGHT_BOLD);

    Fonts() = default;
    Fonts(const Fonts&) = delete;
    Fonts& operator=(const Fonts&) = delete;
    ~Fonts() {
        cairo_scaled_font_destroy(plain);
        cairo_scaled_font_destroy(bold);
    }
};

TextRuler::TextRuler() : fonts_(std::make_unique<Fonts>()) {
    for (cairo_scaled_font_t* font : {fonts_->plain, fonts_->bold})
        if (cairo_scaled_font_status(font) != CAIRO_STATUS_SUCCESS)
            throw std::runtime_error("there is no font to letter drawings in");
}

TextRuler::~TextRuler() = default;

double TextRuler::width_mm(const std::string& words, double size_mm, bool bold) const {
    cairo_text_extents_t extents;
    cairo_scaled_font_text_extents(bold ? fonts_->bold : fonts_->plain, words.c_str(), &extents);
    return extents.x_advance * size_mm / measured_size;
}

std::string TextRuler::fitted(const std::string& words, double size_mm, double widest_mm) const {
    if (width_mm(words, size_mm) <= widest_mm) return words;
    std::string shorter = words;
    while (!shorter.empty()) {
        while (continues(shorter.back())) shorter.pop_back();
        shorter.pop_back();
        while (!shorter.empty() && shorter.back() == ' ') shorter.pop_back();
        if (width_mm(shorter + "...", size_mm) <= widest_mm) return shorter + "...";
    }
    return shorter;
}

std::vector<std::string> TextRuler::wrapped(const std::string& words, double size_mm, double widest_mm) const {
    std::vector<std::string> lines;
    std::string line;
    for (std::size_t begin = 0; begin < words.size();) {
        const std::size_t end = std::min(words.find(' ', begin), words.size());
        const std::string word = words.substr(begin, end - begin);
        begin = end + 1;
        if (word.empty()) continue;
        std::string longer = line;
        if (!line.empty()) longer += ' ';
        longer += word;
        if (!line.empty() && width_mm(longer, size_mm) > widest_mm) {
            lines.push_back(line);
            line = fitted(word, size_mm, widest_mm);
        } else {
            line = line.empty() ? fitted(word, size_mm, widest_mm) : longer;
        }
    }
    if (!line.empty()) lines.push_back(line);
    return lines;
}

}  // namespace reedwright::drawing
