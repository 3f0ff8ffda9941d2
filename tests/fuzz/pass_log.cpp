// Any text as the log of a reed; what is read can be written and read again.
#include "core/retune/pass_log.hpp"
#include "core/input/yaml_reader.hpp"
#include "tests/fuzz/targets.hpp"

namespace reedwright::fuzz {

void pass_log(std::string_view text) {
    const auto log = read_or_refused(text, [&] {
        return read_pass_log_text(source_name(), checked_text(source_name(), std::string(text), largest_text_bytes));
    });
    if (!log) return;
    std::string written;
    for (const PassRecord& record : log->records) {
        demand_positive(record.reading.value(), "a reading");
        demand_positive(record.target.value(), "a target");
        written += pass_line(record);
    }
    const PassLog again = read_pass_log_text("written", written);
    demand(!again.cut_short && again.records.size() == log->records.size(), "a record lost in writing");
    for (std::size_t i = 0; i < again.records.size(); ++i)
        demand(same_entry(log->records[i], again.records[i]), "a record changed in writing:\n" + written);
}

}  // namespace reedwright::fuzz
