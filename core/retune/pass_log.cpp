#include "core/retune/pass_log.hpp"

#include "core/input/section.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/output/descriptor.hpp"
#include "core/retune/spoken_reading.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <cerrno>
#include <cmath>
#include <string_view>
#include <system_error>

namespace reedwright {

namespace {

constexpr std::size_t largest_log_bytes = std::size_t{1} << 20U;

[[noreturn]] void refuse(const std::filesystem::path& file) {
    throw InputError({Diagnostic{Place{file.string(), 0, 0},
                                 "cannot be written: " + std::error_code(errno, std::generic_category()).message(),
                                 {},
                                 {}}});
}

constexpr std::string_view header =
    "# Readings of one reed, each with what was taken before it; written by 'cut --log'.\n";
constexpr std::string_view entry_start = "- {";
constexpr std::string_view written_start = "- {reading: ";

// Whether a line that a killed process may have left unfinished is the start of what a log begins with.
bool could_start(std::string_view line, std::string_view start) {
    return line.starts_with(start) || start.starts_with(line);
}

// Where the last line stands that has no end; the text's size when every line has one.
std::size_t unfinished_line(std::string_view text) {
    const auto end = text.rfind('\n');
    return end == std::string_view::npos ? 0 : end + 1;
}

// An entry closes with its brace, so that one without a line's end (an editor's doing) holds a whole reading.
bool whole_entry(std::string_view line) {
    return line.starts_with(entry_start) && line.ends_with('}');
}

// A log is written to, and its unfinished line taken out, so nothing else may be taken for one.
void demand_log(const std::string& source_name, std::string_view text) {
    if (text.empty()) return;
    const std::string_view first = text.substr(0, text.find('\n'));
    const bool has_end = first.size() < text.size();
    const bool begins = has_end ? first == header.substr(0, header.size() - 1) || first.starts_with(entry_start)
                                : could_start(first, header) || could_start(first, written_start) || whole_entry(first);
    if (!begins)
        throw InputError({Diagnostic{Place{source_name, 1, 1},
                                     "is no log of readings, and is left as it is: it begins with neither the line "
                                     "that 'cut --log' writes first nor a reading, - {reading: ...}",
                                     {},
                                     "name another file, or one that is not there yet"}});
    const std::size_t start = unfinished_line(text);
    const std::string_view last = text.substr(start);
    if (start == 0 || last.empty() || whole_entry(last) || could_start(last, written_start)) return;
    const auto line = static_cast<int>(std::count(text.begin(), text.end(), '\n')) + 1;
    throw InputError({Diagnostic{Place{source_name, line, 1},
                                 "the last line has no end and is no reading, so it is not left out",
                                 {},
                                 "end the line, or take it out"}});
}

// A log that nobody has cut short ends with a line's end.
std::string whole_lines(std::string text, bool& cut_short) {
    const std::size_t start = unfinished_line(text);
    if (whole_entry(std::string_view(text).substr(start)))
        text += '\n';
    else {
        cut_short = start < text.size();
        text.erase(start);
    }
    return text;
}

bool holds_records(const std::string& text) {
    for (std::size_t at = 0; at < text.size(); at = text.find('\n', at) + 1)
        if (text[at] == '-') return true;
    return false;
}

}  // namespace

bool same_entry(const PassRecord& a, const PassRecord& b) {
    // Six digits are written.
    const auto same = [](double x, double y) { return std::abs(x - y) <= 1e-5 * std::max(std::abs(x), std::abs(y)); };
    const auto both = [&](const auto& x, const auto& y) {
        return x.has_value() == y.has_value() && (!x || same(*x, *y));
    };
    const auto metres = [](const std::optional<Length>& length) {
        return length ? std::optional(length->value()) : std::nullopt;
    };
    return same(a.reading.value(), b.reading.value()) && same(a.target.value(), b.target.value()) &&
           same(a.zone.from.value(), b.zone.from.value()) && same(a.zone.to.value(), b.zone.to.value()) &&
           both(metres(a.taken), metres(b.taken)) && both(a.strokes, b.strokes);
}

PassLog read_pass_log(const std::filesystem::path& file) {
    std::error_code error;
    if (!std::filesystem::exists(file, error)) return {};
    return read_pass_log_text(file.string(), read_text_file(file, largest_log_bytes));
}

PassLog read_pass_log_text(const std::string& source_name, std::string text) {
    PassLog log;
    demand_log(source_name, text);
    text = whole_lines(std::move(text), log.cut_short);
    if (!holds_records(text)) return log;
    const Document document = read_yaml_text(source_name, text);
    Faults faults(document);
    if (document.root.kind != Node::Kind::list)
        faults.add(document.root.place, "a log is a list of readings, one a line");
    const Range<Frequency> pitch_range{lowest_reading, highest_reading};
    const Range<Length> place_range{0.0 * metre, 200.0 * millimetre};
    const Range<Length> depth_range{0.0 * metre, 1.5 * millimetre};
    for (std::size_t i = 0; i < document.root.list.size(); ++i) {
        Section one(faults, document.root.list[i], fmt::format("[{}]", i + 1));
        const auto reading = one.required<Frequency>("reading", pitch_range);
        const auto target = one.required<Frequency>("want", pitch_range);
        const auto from = one.required<Length>("from", place_range);
        const auto to = one.required<Length>("to", place_range);
        const auto ramp = one.optional<Length>("ramp", place_range);
        const auto taken = one.optional<Length>("took", depth_range);
        const auto strokes = one.optional<Ratio>("strokes", {0.0, 1e4});
        const auto proposed = one.required<Length>("proposed", depth_range);
        one.close();
        if (reading && target && from && to && proposed)
            log.records.push_back({*reading,
                                   *target,
                                   {*from, *to},
                                   taken,
                                   strokes ? std::optional(strokes->value()) : std::nullopt,
                                   *proposed,
                                   ramp});
    }
    faults.throw_if_any();
    return log;
}

std::string pass_line(const PassRecord& record) {
    std::string line =
        fmt::format("- {{reading: {:.6g} Hz, want: {:.6g} Hz, from: {:.6g} mm, to: {:.6g} mm", record.reading.value(),
                    record.target.value(), in(record.zone.from, millimetre), in(record.zone.to, millimetre));
    if (record.ramp) line += fmt::format(", ramp: {:.6g} mm", in(*record.ramp, millimetre));
    if (record.taken) line += fmt::format(", took: {:.6g} um", in(*record.taken, micrometre));
    if (record.strokes) line += fmt::format(", strokes: {:g}", *record.strokes);
    return line + fmt::format(", proposed: {:.6g} um}}\n", in(record.proposed, micrometre));
}

void append_pass(const std::filesystem::path& file, const PassRecord& record) {
    std::string line = pass_line(record);
    const Descriptor log(::open(file.c_str(), O_RDWR | O_CREAT | O_APPEND | O_NONBLOCK | O_CLOEXEC, 0666));
    if (log.number() < 0) refuse(file);
    struct stat status {};
    if (::fstat(log.number(), &status) != 0) refuse(file);
    if (!S_ISREG(status.st_mode))
        throw InputError({Diagnostic{Place{file.string(), 0, 0}, "is a device or a pipe, not a regular file", {}, {}}});
    const off_t size = ::lseek(log.number(), 0, SEEK_END);
    if (size < 0) refuse(file);
    if (static_cast<std::size_t>(size) > largest_log_bytes)
        throw InputError({Diagnostic{Place{file.string(), 0, 0}, "is larger than 1 MiB", {}, "start another log"}});
    std::string text(static_cast<std::size_t>(size), '\0');
    if (::pread(log.number(), text.data(), text.size(), 0) != size) refuse(file);
    demand_log(file.string(), text);
    const std::size_t start = unfinished_line(text);
    if (whole_entry(std::string_view(text).substr(start))) line.insert(line.begin(), '\n');
    // A line that a killed process left half written holds no reading; it makes room.
    else if (start < text.size() && ::ftruncate(log.number(), static_cast<off_t>(start)) != 0)
        refuse(file);
    if (start == 0 && !whole_entry(text)) line.insert(0, header);
    const off_t before = ::lseek(log.number(), 0, SEEK_END);
    std::string_view left = line;
    ssize_t written = 0;
    while (!left.empty() && (written = ::write(log.number(), left.data(), left.size())) > 0)
        left.remove_prefix(static_cast<std::size_t>(written));
    if (left.empty() && ::fsync(log.number()) == 0) return;
    // A disk that is full may have taken the start of the line; without it the log is as it was.
    const int reason = errno;
    if (::ftruncate(log.number(), before) == 0) ::fsync(log.number());
    errno = reason;
    refuse(file);
}

}  // namespace reedwright
