#include "app/commands/commands.hpp"
#include "core/retune/spoken_reading.hpp"

#include <fmt/format.h>

namespace reedwright::app {

Model model_of(const std::string& tier) {
    return Model{tier == "beam" ? Tier::beam : Tier::strip, true, 1.0, false};
}

Frequency option_pitch(const std::string& option, const std::string& text, const Reed& reed) {
    const auto refuse = [&](const std::string& message, const std::string& hint) {
        throw InputError({Diagnostic{Place{option, 0, 0}, message, {}, hint}});
    };
    const auto spoken = parse_spoken_pitch(text);
    if (!spoken) refuse(spoken.error().message, spoken.error().hint);
    const auto pitch = spoken->resolve(reed.note, reed.a4);
    if (!pitch)
        refuse(fmt::format("'{}' stands against the file's note, and the file has none", text),
               "add note: A4 to the file, or write A4-12c");
    if (*pitch < lowest_reading || *pitch > highest_reading)
        refuse(
            fmt::format("{} is outside {} to {}", to_text(*pitch), to_text(lowest_reading), to_text(highest_reading)),
            "");
    return *pitch;
}

}  // namespace reedwright::app
