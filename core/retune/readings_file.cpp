#include "core/retune/readings_file.hpp"

#include "core/input/section.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <charconv>
#include <cmath>

namespace reedwright {

namespace {

const Temperature coldest = celsius(-10.0);
const Temperature warmest = celsius(60.0);

const char* const header_hint = "start the table with the header cell,row,reading";
const char* const pitch_hint = "write 437.2Hz, A4, A4-12c or -12c";

std::string did_you_mean(const std::string& word, const std::vector<std::string>& known) {
    const std::string near = nearest_word(word, known);
    return near.empty() ? fmt::format("known here: {}", fmt::join(known, ", ")) : fmt::format("did you mean {}?", near);
}

// Where each known column stands in the rows; npos for one that is left out.
struct Columns {
    static constexpr std::size_t none = std::string::npos;
    std::size_t cell = none;
    std::size_t row = none;
    std::size_t reading = none;
    std::size_t temperature = none;
    std::size_t how = none;
};

Columns read_header(const CsvTable& table, Faults& faults) {
    Columns columns;
    const std::vector<std::pair<std::string, std::size_t*>> known{{"cell", &columns.cell},
                                                                  {"row", &columns.row},
                                                                  {"reading", &columns.reading},
                                                                  {"temperature", &columns.temperature},
                                                                  {"how", &columns.how}};
    std::vector<std::string> names;
    for (const auto& [name, index] : known) names.push_back(name);
    const auto& fields = table.header.fields;
    if (std::none_of(fields.begin(), fields.end(), [&](const CsvField& field) {
            return std::find(names.begin(), names.end(), field.text) != names.end();
        })) {
        faults.add(table.header.place, "the table has no header, or none of its columns is known", header_hint);
        return columns;
    }
    for (std::size_t i = 0; i < table.header.fields.size(); ++i) {
        const CsvField& field = table.header.fields[i];
        const auto found =
            std::find_if(known.begin(), known.end(), [&](const auto& one) { return one.first == field.text; });
        if (found == known.end())
            faults.add(field.place, fmt::format("unknown column '{}'", field.text), did_you_mean(field.text, names));
        else if (*found->second != Columns::none)
            faults.add(field.place, fmt::format("the column {} stands twice", field.text));
        else
            *found->second = i;
    }
    for (std::size_t i = 0; i < 3; ++i)
        if (*known[i].second == Columns::none)
            faults.add(table.header.place, fmt::format("the column {} is missing", known[i].first), header_hint);
    return columns;
}

// The reed whose target a pitch comes nearest to.
const InstrumentReed& nearest_reed(const Instrument& instrument, Frequency pitch) {
    return *std::min_element(instrument.reeds.begin(), instrument.reeds.end(), [&](const auto& a, const auto& b) {
        const auto miss = [&](const InstrumentReed& one) {
            return std::abs(interval_between(bench_target(instrument, one, instrument.tuning), pitch).value());
        };
        return miss(a) < miss(b);
    });
}

class RowReader {
public:
    RowReader(const CsvTable& table, const Instrument& instrument, Faults& faults, const Columns& columns)
        : table_(table),
          instrument_(instrument),
          faults_(faults),
          columns_(columns),
          stands_at_(instrument.reeds.size(), 0) {}

    Readings read() {
        for (const CsvRow& row : table_.rows) read_row(row);
        std::vector<bool> has_reading(instrument_.reeds.size(), false);
        for (const ReedReading& one : result_.readings) has_reading[one.reed] = true;
        for (std::size_t i = 0; i < has_reading.size(); ++i)
            if (!has_reading[i]) result_.unread.push_back(i);
        return std::move(result_);
    }

private:
    void read_row(const CsvRow& row) {
        const auto reed = find_reed(row);
        const auto temperature = read_temperature(row);
        const auto sounded = read_how(row);
        if (!reed) return;
        const CsvField& field = row.fields[columns_.reading];
        if (stands_at_[*reed] != 0) {
            faults_.add(row.place, fmt::format("cell {} stands twice, first in line {}",
                                               instrument_.reeds[*reed].place(), stands_at_[*reed]));
            return;
        }
        stands_at_[*reed] = row.place.line;
        if (field.text.empty()) return;
        const auto pitch = read_pitch(field, instrument_.reeds[*reed]);
        if (pitch) result_.readings.push_back({*reed, *pitch, temperature, sounded});
    }

    std::optional<std::size_t> find_reed(const CsvRow& row) {
        const CsvField& cell = row.fields[columns_.cell];
        const CsvField& name = row.fields[columns_.row];
        const auto& reeds = instrument_.reeds;
        int number = 0;
        const auto [end, error] = std::from_chars(cell.text.data(), cell.text.data() + cell.text.size(), number);
        const int last = std::max_element(reeds.begin(), reeds.end(), [](const auto& a, const auto& b) {
                             return a.cell < b.cell;
                         })->cell;
        std::vector<std::string> rows = instrument_.rows();
        const bool row_known = std::find(rows.begin(), rows.end(), name.text) != rows.end();
        if (!row_known)
            faults_.add(name.place,
                        name.text.empty() ? std::string("the row is empty")
                                          : fmt::format("'{}' is no row of the design", name.text),
                        did_you_mean(name.text, rows));
        if (error != std::errc{} || end != cell.text.data() + cell.text.size() || number < 1 || number > last) {
            faults_.add(cell.place,
                        cell.text.empty() ? std::string("the cell is empty")
                                          : fmt::format("'{}' is no cell of the design", cell.text),
                        fmt::format("cells are 1 to {}", last));
            return std::nullopt;
        }
        if (!row_known) return std::nullopt;
        for (std::size_t i = 0; i < reeds.size(); ++i)
            if (reeds[i].cell == number && reeds[i].row == name.text) return i;
        faults_.add(cell.place, fmt::format("the design has no reed in cell {} {}", number, name.text));
        return std::nullopt;
    }

    std::optional<Frequency> read_pitch(const CsvField& field, const InstrumentReed& reed) {
        const auto spoken = parse_spoken_pitch(field.text);
        if (!spoken) {
            // A fault found in a part of the text would puzzle without the whole of it.
            const bool whole = spoken.error().message.starts_with(fmt::format("'{}'", field.text));
            faults_.add(
                field.place,
                whole ? fmt::format("reading: {}", spoken.error().message)
                      : fmt::format("reading: '{}' is no pitch: {}", field.text, spoken.error().message),
                spoken.error().hint.starts_with("did you mean") ? spoken.error().hint : std::string(pitch_hint));
            return std::nullopt;
        }
        const Frequency pitch = *spoken->resolve(reed.note, instrument_.tuning.a4);
        const Frequency target = bench_target(instrument_, reed, instrument_.tuning);
        const Interval off = interval_between(target, pitch);
        if (std::abs(off.value()) > farthest_reading.value()) {
            faults_.add(field.place,
                        fmt::format("reading: {:.1f} Hz is {:+.0f} cents from {} of cell {}, more than three semitones",
                                    pitch.value(), off.value(), reed.note.name(), reed.place()),
                        whose(pitch, reed, off));
            return std::nullopt;
        }
        result_.in_cents = result_.in_cents || !spoken->hertz;
        return pitch;
    }

    // Where a reading that is not this reed's may come from.
    std::string whose(Frequency pitch, const InstrumentReed& reed, Interval off) const {
        const double octaves = std::round(off.value() / 1200.0);
        const double beyond_cents = off.value() - 1200.0 * octaves;
        const InstrumentReed& nearest = nearest_reed(instrument_, pitch);
        const double miss_cents =
            interval_between(bench_target(instrument_, nearest, instrument_.tuning), pitch).value();
        if (octaves != 0.0 && std::abs(beyond_cents) < std::abs(miss_cents))
            return fmt::format("did you mean another octave, {:.1f}Hz?", pitch.value() * std::exp2(-octaves));
        if (&nearest == &reed) return "no reed of the design is nearer";
        return fmt::format("it is nearest to {} of cell {}, {:+.0f} cents from it", nearest.note.name(),
                           nearest.place(), miss_cents);
    }

    std::optional<Temperature> read_temperature(const CsvRow& row) {
        if (columns_.temperature == Columns::none) return std::nullopt;
        const CsvField& field = row.fields[columns_.temperature];
        if (field.text.empty()) return std::nullopt;
        const auto value = parse_quantity<Temperature>(field.text);
        if (!value) {
            faults_.add(field.place, fmt::format("temperature: {}", value.error().message), value.error().hint);
            return std::nullopt;
        }
        if (*value < coldest || *value > warmest) {
            faults_.add(field.place, fmt::format("temperature: {} is outside {} to {}", to_text(*value),
                                                 to_text(coldest), to_text(warmest)));
            return std::nullopt;
        }
        return *value;
    }

    Sounded read_how(const CsvRow& row) {
        if (columns_.how == Columns::none) return Sounded::plucked;
        const CsvField& field = row.fields[columns_.how];
        if (field.text == "blown") return Sounded::blown;
        if (!field.text.empty() && field.text != "plucked")
            faults_.add(field.place, fmt::format("how: '{}' is neither plucked nor blown", field.text));
        return Sounded::plucked;
    }

    const CsvTable& table_;
    const Instrument& instrument_;
    Faults& faults_;
    const Columns& columns_;
    /// The line in which each reed stood first; 0 for none.
    std::vector<int> stands_at_;
    Readings result_;
};

}  // namespace

Readings read_readings(const CsvTable& table, const Instrument& instrument) {
    Faults faults(table.document);
    const Columns columns = read_header(table, faults);
    faults.throw_if_any();
    Readings readings = RowReader(table, instrument, faults, columns).read();
    faults.throw_if_any();
    return readings;
}

Readings read_readings_file(const std::filesystem::path& file, const Instrument& instrument) {
    return read_readings(read_csv_file(file), instrument);
}

}  // namespace reedwright
