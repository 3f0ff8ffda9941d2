// What a command that blows needs from a reed's file and the command line, its faults told with their place.
#pragma once

#include "app/reed_source.hpp"
#include "core/input/diagnostic.hpp"
#include "core/input/node.hpp"
#include "core/wind/blown_reed.hpp"

#include <string>
#include <utility>
#include <vector>

namespace reedwright::app {

/// blown_reed() of a source; what it had to assume is added to the reed's own assumptions, and a fault of a key of the
/// file is told with line and column. A chamber other than the reed's usual supply may be given as text; empty: none.
BlownReed blown_from(const ReedSource& source, Reed& reed, const Vibration& vibration, const std::string& chamber = {});

/// A pressure given as an option. Throws InputError naming the option.
Pressure option_pressure(const std::string& option, const std::string& text);

/// What a function returns; faults that it finds in a design are told with the line of the file.
template <class Function>
auto in_the_lines_of(const Document& document, Function function) {
    try {
        return function();
    } catch (const InputError& error) {
        std::vector<Diagnostic> faults = error.diagnostics();
        for (Diagnostic& fault : faults)
            if (fault.source_line.empty()) fault.source_line = document.line(fault.place.line);
        throw InputError(std::move(faults));
    }
}

/// Two pressures, "100Pa..1kPa", the lower first.
struct PressureSpan {
    Pressure low;
    Pressure high;
};
PressureSpan option_pressure_span(const std::string& option, const std::string& text);

}  // namespace reedwright::app
