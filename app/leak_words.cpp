#include "app/leak_words.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <vector>

namespace reedwright::app {

std::string mend_text(const Design& design, MendKind kind, const std::string& name) {
    const bool pins = design.plates && design.plates->fixing == Fixing::pins;
    switch (kind) {
        case MendKind::closer_clearance:
            return fmt::format("{} set in its slot with {:.2g} mm at each side", name,
                               in(closer_clearance, millimetre));
        case MendKind::valve:
            return fmt::format("a valve over {}", name);
        case MendKind::another_fastener:
            return fmt::format("a {} more between any two of the {}", pins ? "pin" : "screw", name);
        case MendKind::screws:
            return fmt::format("screws in place of pins on the {}", name);
        case MendKind::flat_plate:
            break;
    }
    return fmt::format("the {} ground flat", name);
}

bool shows_as_saved(VolumeFlow saved) {
    // Flows are told to a tenth.
    return saved >= 0.05 * millilitre_per_second;
}

std::string first_mend_text(const Design& design, const NoteLeak& leak) {
    if (leak.ranking.mends.empty() || !shows_as_saved(leak.ranking.mends.front().saved)) return {};
    const Mend& first = leak.ranking.mends.front();
    return fmt::format("{}: {:.1f} less", mend_text(design, first.kind, first.name),
                       in(first.saved, millilitre_per_second));
}

std::string notes_of(const Design& design, const CellNote& note) {
    std::vector<std::string> names;
    for (const std::size_t i : note.playing) names.push_back(design.instrument.reeds[i].note.name());
    return fmt::format("{}", fmt::join(names, " "));
}

}  // namespace reedwright::app
