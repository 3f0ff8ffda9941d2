#include "app/page/page_folder.hpp"

#include "core/input/csv_reader.hpp"
#include "core/input/reading_scope.hpp"
#include "core/input/yaml_reader.hpp"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <set>
#include <stdexcept>
#include <system_error>

namespace reedwright::app {

namespace {

constexpr std::size_t longest_name = 500;
constexpr std::size_t most_tables = 1000;
constexpr std::size_t most_entries = 20000;
constexpr int deepest = 3;
// Larger ones are listed without being read.
constexpr std::uintmax_t largest_read_bytes = std::uintmax_t{1} << 20U;

bool is_table(const std::filesystem::path& file) {
    const auto ending = file.extension();
    return ending == ".yaml" || ending == ".yml" || ending == ".csv";
}

std::string value_of(const Document& document, const char* key) {
    for (const Node::Entry& entry : document.root.mapping)
        if (entry.key == key && entry.value.kind == Node::Kind::scalar) return entry.value.scalar;
    return {};
}

// The keys at the beginning of lines say what a file is to be, even while it has faults.
std::string kind_of_yaml(const std::string& text) {
    std::set<std::string> keys;
    std::size_t at = 0;
    while (at < text.size()) {
        const auto end = std::min(text.find('\n', at), text.size());
        const auto colon = text.find(':', at);
        if (colon < end) keys.insert(text.substr(at, colon - at));
        at = end + 1;
    }
    if (keys.contains("tongue")) return "tongue";
    if (keys.contains("reeds") || keys.contains("layout")) return "design";
    return keys.contains("tongues") ? "stock" : "other";
}

void look_into(PageFolder::Table& table) {
    try {
        if (table.path.ends_with(".csv")) {
            const CsvTable read = read_csv_file(table.path);
            const auto& fields = read.header.fields;
            const bool readings = std::any_of(fields.begin(), fields.end(),
                                              [](const CsvField& field) { return field.text == "reading"; });
            table.kind = readings ? "readings" : "other";
            return;
        }
        const std::string text = read_text_file(table.path, largest_read_bytes);
        table.kind = kind_of_yaml(text);
        const Document document = read_yaml_text(table.path, text);
        table.note = value_of(document, "note");
        table.name = value_of(document, "name");
    } catch (const InputError&) {
        // Whoever opens it is told what is wrong with it.
    }
}

}  // namespace

PageFolder::PageFolder(const std::filesystem::path& folder) : folder_(std::filesystem::canonical(folder)) {}

std::optional<Refusal> PageFolder::refusal(const std::string& name) const {
    if (name.empty()) return Refusal{400, "the name of the file is empty"};
    if (name.size() > longest_name) return Refusal{400, "the name of the file is too long"};
    if (name.front() == '-') return Refusal{400, "the name of the file begins with a dash: write ./ before it"};
    if (std::any_of(name.begin(), name.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; }))
        return Refusal{400, "the name of the file holds a control character"};
    const std::filesystem::path file(name);
    if (file.is_absolute() || !lies_in(folder_ / file, folder_))
        return Refusal{403, "'" + name + "' lies outside the folder of the page"};
    if (!is_table(file)) return Refusal{403, "only .yaml, .yml and .csv files are read and written here"};
    std::error_code error;
    const auto real = std::filesystem::weakly_canonical(folder_ / file, error);
    if (error || !is_table(real)) return Refusal{403, "'" + name + "' is a link to a file of another kind"};
    return std::nullopt;
}

std::vector<PageFolder::Table> PageFolder::tables() const {
    std::vector<Table> found;
    std::error_code error;
    std::filesystem::recursive_directory_iterator entry(
        folder_, std::filesystem::directory_options::skip_permission_denied, error);
    const std::filesystem::recursive_directory_iterator end;
    for (std::size_t seen = 0; !error && entry != end && seen < most_entries && found.size() < most_tables; ++seen) {
        std::error_code ignored;
        const bool hidden = entry->path().filename().string().starts_with('.');
        if (entry->is_directory(ignored) && (hidden || entry.depth() >= deepest)) entry.disable_recursion_pending();
        const std::string name = entry->path().lexically_relative(folder_).string();
        if (!hidden && is_table(entry->path()) && entry->is_regular_file(ignored) && !refusal(name))
            found.push_back({name, "other", {}, {}});
        entry.increment(error);
    }
    std::sort(found.begin(), found.end(), [](const Table& a, const Table& b) { return a.path < b.path; });
    for (Table& table : found) {
        std::error_code ignored;
        if (std::filesystem::file_size(folder_ / table.path, ignored) <= largest_read_bytes) look_into(table);
    }
    return found;
}

std::string bytes_of_file(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    if (!stream) throw std::runtime_error("a file just written cannot be read: " + file.filename().string());
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

}  // namespace reedwright::app
