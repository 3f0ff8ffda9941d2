#include "cad_export/dxf_paths.hpp"

#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace reedwright {

DxfPaths::DxfPaths(const DxfOptions& options) : options_(options) {
    if (!(options.half_cut.value() >= 0.0) || !std::isfinite(options.half_cut.value()))
        throw std::invalid_argument("half the width of a cut is neither negative nor infinite");
}

void DxfPaths::outline(const Outline& outline, const std::string& what) {
    path(DxfLayer::outline, outline, options_.half_cut, what);
}

void DxfPaths::slot(const Outline& slot, const std::string& what) {
    path(DxfLayer::slots, slot, -options_.half_cut, what);
}

void DxfPaths::hole(const Hole& hole, const std::string& what) {
    const Length aside = options_.drilled ? 0.0 * metre : options_.half_cut;
    const Length diameter = hole.diameter - 2.0 * aside;
    if (diameter.value() > 0.0) {
        document_.circle(DxfLayer::holes, hole.centre, diameter);
        return;
    }
    fault(
        fmt::format("{}: a cut {} wide does not fit a hole of {}", what, to_text(2.0 * aside), to_text(hole.diameter)),
        fmt::format("a cut of less than {}, or the holes drilled", to_text(hole.diameter)));
}

void DxfPaths::path(DxfLayer layer, const Outline& outline, Length outward, const std::string& what) {
    try {
        const CutPath path = moved_aside(outline, outward);
        document_.path(layer, path.pieces);
        if (path.left_in_corners.value() <= 0.0) return;
        const std::string note = fmt::format("{}: corners drawn with a radius of {} come out with that of the cut, {}",
                                             what, to_text(outline.corner_radius), to_text(path.left_in_corners));
        if (std::find(notes_.begin(), notes_.end(), note) == notes_.end()) notes_.push_back(note);
    } catch (const std::domain_error& error) {
        const Length fits = largest_aside(outline, outward);
        const Length fits_wide = 2.0 * (fits.value() < 0.0 ? -fits : fits);
        fault(fmt::format("{}: a cut {} wide does not fit: {}", what, to_text(2.0 * options_.half_cut), error.what()),
              fits_wide.value() > 0.0 ? fmt::format("a cut at most {} wide", to_text(fits_wide)) : std::string());
    }
}

void DxfPaths::notes(PlanePoint at, const std::vector<std::string>& lines) {
    constexpr double pitch = 1.6;
    for (const std::string& line : lines) {
        document_.text(at, note_height_mm * millimetre, line);
        at.y -= pitch * note_height_mm * millimetre;
    }
}

std::string DxfPaths::state() const {
    if (options_.half_cut.value() == 0.0) return "paths are the edges of the part, no tool radius or kerf";
    return fmt::format("paths moved aside by {} for a cut {} wide{}", to_text(options_.half_cut),
                       to_text(2.0 * options_.half_cut), options_.drilled ? ", holes of full size" : "");
}

void DxfPaths::fault(const std::string& message, const std::string& hint) {
    Diagnostic fault;
    fault.message = message;
    fault.hint = hint;
    faults_.push_back(fault);
}

DxfFile DxfPaths::finish() {
    if (!faults_.empty()) throw InputError(std::move(faults_));
    return {document_.finish(), std::move(notes_)};
}

}  // namespace reedwright
