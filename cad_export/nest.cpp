#include "cad_export/nest.hpp"

#include "cad_export/blank_outline.hpp"
#include "cad_export/dxf_paths.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <numeric>

namespace reedwright {

namespace {

const Length zero = 0.0 * metre;
// Far below what a shop can set, far above rounding.
const Length same_length = 1e-9 * metre;

Length length_of(const TonguePart& tongue) {
    return tongue.pad_length + tongue.width.length();
}

void check(const std::vector<TonguePart>& tongues, const Strip& strip) {
    if (tongues.empty()) throw InputError("there is no tongue to nest");
    std::vector<Diagnostic> faults;
    const auto fault = [&](const std::string& message, const std::string& hint) {
        Diagnostic one;
        one.message = message;
        one.hint = hint;
        faults.push_back(one);
    };
    if (strip.gap < zero) fault(fmt::format("strip.gap: {} is negative", to_text(strip.gap)), "");
    for (const TonguePart& tongue : tongues) {
        if (tongue.material != tongues.front().material)
            fault(fmt::format("{}: of {}, but the strip of {} is of {}", tongue.name, tongue.material,
                              tongues.front().name, tongues.front().material),
                  "one strip for each material");
        if (strip.gauge && tongue.thickness.largest() > *strip.gauge + same_length)
            fault(fmt::format("{}: {} thick, the strip {}", tongue.name, to_text(tongue.thickness.largest()),
                              to_text(*strip.gauge)),
                  "a thicker strip");
        const Length needed = tongue.width.largest() + 2.0 * strip.gap;
        if (needed > strip.width + same_length)
            fault(fmt::format("{}: needs a strip {} wide with its gaps, not {}", tongue.name, to_text(needed),
                              to_text(strip.width)),
                  "a wider strip");
    }
    if (!faults.empty()) throw InputError(std::move(faults));
}

}  // namespace

Nest nest_on_strip(const std::vector<TonguePart>& tongues, const Strip& strip) {
    check(tongues, strip);
    std::vector<std::size_t> order(tongues.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return length_of(tongues[a]) > length_of(tongues[b]); });
    Nest nest;
    Length begin = strip.gap;
    Length next = strip.gap;
    Length across = strip.gap;
    Area cut = zero * zero;
    for (const std::size_t i : order) {
        const TonguePart& tongue = tongues[i];
        const Length width = tongue.width.largest();
        if (across + width + strip.gap > strip.width + same_length) {
            begin = next;
            across = strip.gap;
        }
        nest.blanks.push_back({i, {begin + tongue.pad_length, across + 0.5 * width}});
        across += width + strip.gap;
        next = std::max(next, begin + length_of(tongue) + strip.gap);
        cut += tongue_outline(tongue).area();
    }
    nest.used_length = next;
    nest.used_share = (cut / (next * strip.width)).value();
    return nest;
}

NestFile nest_dxf(const std::vector<TonguePart>& tongues, const Strip& strip, const DxfOptions& options) {
    Nest nest = nest_on_strip(tongues, strip);
    if (strip.gap < 2.0 * options.half_cut)
        throw InputError(fmt::format("strip.gap: {} is less than the width of the cut, {}", to_text(strip.gap),
                                     to_text(2.0 * options.half_cut)),
                         fmt::format("a gap of at least {}", to_text(2.0 * options.half_cut)));
    DxfPaths paths(options);
    for (const NestedBlank& blank : nest.blanks) {
        const TonguePart& tongue = tongues[blank.tongue];
        const auto moved = [&](const PlanePoint& point) {
            return PlanePoint{point.x + blank.root.x, point.y + blank.root.y};
        };
        Outline outline = tongue_outline(tongue);
        for (PlanePoint& corner : outline.corners) corner = moved(corner);
        paths.outline(outline, tongue.name);
        for (const Hole& hole : tongue.holes) paths.hole({moved(hole.centre), hole.diameter}, tongue.name + ", rivet");
        constexpr double name_height_mm = 0.8;
        paths.document().text({blank.root.x + 0.5 * millimetre, blank.root.y - 0.5 * name_height_mm * millimetre},
                              name_height_mm * millimetre, tongue.name);
    }
    const Outline edges{{{zero, zero}, {nest.used_length, zero}, {nest.used_length, strip.width}, {zero, strip.width}},
                        zero};
    paths.document().path(DxfLayer::notes, edges.pieces());
    paths.notes({zero, -5.0 * millimetre},
                {fmt::format("{} tongue blanks of {}", tongues.size(), tongues.front().material),
                 fmt::format("strip {} wide{}, {} used, gaps of {}", to_text(strip.width),
                             strip.gauge ? fmt::format(", gauge {}", to_text(*strip.gauge)) : std::string(),
                             to_text(nest.used_length), to_text(strip.gap)),
                 "millimetres, rolled along x", paths.state()});
    return {paths.finish(), std::move(nest)};
}

}  // namespace reedwright
