// How wide text comes out.
#pragma once

#include <memory>
#include <string>
#include <vector>

namespace reedwright::drawing {

/// The family that sheets are lettered in; where it is missing the system's sans serif takes its place.
inline constexpr const char* font_family = "DejaVu Sans";

/// Measures text in the font of the sheets, without hinting, so that it measures what is drawn at any size.
class TextRuler {
public:
    /// Throws std::runtime_error when there is no font at all.
    TextRuler();
    ~TextRuler();
    TextRuler(const TextRuler&) = delete;
    TextRuler& operator=(const TextRuler&) = delete;

    /// Of text of a body 1 mm high times the size.
    double width_mm(const std::string& words, double size_mm, bool bold = false) const;

    /// The text in lines no wider than a width, broken at spaces; a word that is wider alone is cut with "...".
    std::vector<std::string> wrapped(const std::string& words, double size_mm, double widest_mm) const;
    /// The text, or its beginning and "...", no wider than a width.
    std::string fitted(const std::string& words, double size_mm, double widest_mm) const;

private:
    struct Fonts;
    std::unique_ptr<Fonts> fonts_;
};

}  // namespace reedwright::drawing
