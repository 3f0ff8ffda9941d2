// What the DXF files of plates, tongues and nests share: paths moved aside, faults and notes collected.
#pragma once

#include "cad_export/dxf.hpp"
#include "cad_export/dxf_document.hpp"
#include "core/input/diagnostic.hpp"

namespace reedwright {

/// Draws paths into a document, and collects what does not fit and what comes out otherwise than drawn.
class DxfPaths {
public:
    /// Throws std::invalid_argument for a half_cut that is negative or not finite.
    explicit DxfPaths(const DxfOptions& options);

    void outline(const Outline& outline, const std::string& what);
    void slot(const Outline& slot, const std::string& what);
    void hole(const Hole& hole, const std::string& what);
    /// Lines of notes, downward from a place.
    void notes(PlanePoint at, const std::vector<std::string>& lines);
    DxfDocument& document() { return document_; }

    /// "edges as drawn, no tool radius" or what the paths were moved by.
    std::string state() const;

    /// Throws InputError with what did not fit.
    DxfFile finish();

private:
    void path(DxfLayer layer, const Outline& outline, Length outward, const std::string& what);
    void fault(const std::string& message, const std::string& hint);

    DxfOptions options_;
    DxfDocument document_;
    std::vector<Diagnostic> faults_;
    std::vector<std::string> notes_;
};

/// Of text in the notes.
inline constexpr double note_height_mm = 2.5;

}  // namespace reedwright
