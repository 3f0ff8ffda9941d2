#include "core/plan/comb_cells.hpp"

#include "core/wind/cell_inlet.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <limits>

namespace reedwright {

namespace {

const char* const of_comb = "the comb's cells";
const char* const usual = "our choice, no source: no comb is stated";

// "7.1 to 12.8": of every reed that does not state it; empty when all do.
template <class Value, class Stated>
std::string span_of(const Design& design, Value value, Stated stated) {
    double least = std::numeric_limits<double>::infinity(), most = -least;
    for (const InstrumentReed& one : design.instrument.reeds) {
        if (stated(one.reed.cell)) continue;
        // Cells alike differ in their last binary digits.
        const double rounded = std::round(value(one.reed.cell) * 1e6) / 1e6;
        least = std::min(least, rounded);
        most = std::max(most, rounded);
    }
    if (least > most) return {};
    const std::string low = fmt::format("{:.3g}", least), high = fmt::format("{:.3g}", most);
    return low == high ? low : low + " to " + high;
}

}  // namespace

void take_cells_from_comb(Design& design) {
    if (!design.plates || !design.comb) return;
    const PlateSet set = lay_out_plates(plate_reeds(design.instrument), *design.plates, design.comb);
    for (const Plate& plate : set.plates)
        for (const PlacedTongue& tongue : plate.tongues) {
            const auto own = std::find_if(set.comb->cells.begin(), set.comb->cells.end(),
                                          [&](const CombCell& cell) { return cell.cell == tongue.cell; });
            Reed& reed = design.instrument.reeds[tongue.reed].reed;
            const ChannelCell channel{own->right - own->left, set.comb->blank.thickness, plate.width - own->back,
                                      plate.width - tongue.root.y - reed.tongue.length()};
            const Cell taken = cell_of_channel(channel, reed.tongue);
            if (!reed.cell.volume_stated) reed.cell.volume = taken.volume;
            if (!reed.cell.inlet_length_stated) reed.cell.inlet_length = taken.inlet_length;
            if (!reed.cell.inlet_area_stated) reed.cell.inlet_area = taken.inlet_area;
            std::erase_if(reed.assumed, [](const std::string& told) { return told.starts_with("cell."); });
        }
}

std::vector<std::string> inlets_taken(const Design& design) {
    const char* const from = design.comb ? of_comb : usual;
    std::vector<std::string> told;
    if (const auto span = span_of(
            design, [](const Cell& cell) { return in(cell.inlet_length, millimetre); },
            [](const Cell& cell) { return cell.inlet_length_stated; });
        !span.empty())
        told.push_back(fmt::format("cell.inlet_length {} mm ({})", span,
                                   design.comb ? "from the comb: up to where the air goes past the tongue, and what "
                                                 "moves before the cell's mouth; the player's mouth is not in it"
                                               : from));
    if (const auto span = span_of(
            design, [](const Cell& cell) { return in(cell.inlet_area, millimetre * millimetre); },
            [](const Cell& cell) { return cell.inlet_area_stated; });
        !span.empty())
        told.push_back(fmt::format("cell.inlet_area {} mm^2 ({})", span, from));
    return told;
}

std::vector<std::string> volumes_taken(const Design& design) {
    constexpr double cubic_centimetres = 1e6;
    const auto span = span_of(
        design, [](const Cell& cell) { return cubic_centimetres * cell.volume.value(); },
        [](const Cell& cell) { return cell.volume_stated; });
    if (span.empty()) return {};
    return {fmt::format("cell.volume {} cm^3 ({})", span, design.comb ? of_comb : usual)};
}

Design with_inlets(const Design& design, double times) {
    Design result = design;
    for (InstrumentReed& one : result.instrument.reeds) one.reed.cell.inlet_length *= times;
    return result;
}

}  // namespace reedwright
