// The tuner's readings of an instrument, as a table.
#pragma once

#include "core/input/csv_reader.hpp"
#include "core/plan/instrument.hpp"

#include <filesystem>
#include <optional>
#include <vector>

namespace reedwright {

/// How a reed was made to sound.
enum class Sounded { plucked, blown };

struct ReedReading {
    /// Index of the reed in the design.
    std::size_t reed;
    Frequency pitch;
    /// Of metal and air when it was read; empty: the bench's.
    std::optional<Temperature> temperature;
    Sounded sounded = Sounded::plucked;
    /// How much sharper than plucked breath makes it sound; of a blown reading whose pressure is known.
    Interval breath = 0.0 * cent;
};

struct Readings {
    std::vector<ReedReading> readings;
    /// Reeds of the design that the table has no line for, or a line without a reading.
    std::vector<std::size_t> unread;
    /// Whether any reading is in cents or a note's name, which a tuner shows against its own A4.
    bool in_cents = false;
};

/// Farther than this from its own note a reading is refused as being of another reed.
inline const Interval farthest_reading = 300.0 * cent;

/// Reads a table with the header `cell,row,reading` and optionally `temperature,how` (plucked or blown; plucked when
/// nothing is said), in any order. A reading is 437.2Hz, a note with cents (A4-12c), or cents alone (-12c), which then
/// stand against the reed's own note in equal temperament on the design's A4, as a tuner shows them. Throws InputError
/// with every fault: besides those of read_csv_text(), an unknown column, cell, row or word, a reed that stands twice,
/// a reading that is no pitch, or is more than three semitones from its note (told with the reed it comes nearest to).
Readings read_readings_file(const std::filesystem::path& file, const Instrument& instrument);
Readings read_readings(const CsvTable& table, const Instrument& instrument);

}  // namespace reedwright
