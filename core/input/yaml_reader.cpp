#include "core/input/yaml_reader.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fstream>
#include <sstream>
#include <system_error>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>

namespace reedwright {

namespace {

constexpr std::size_t largest_file_bytes = std::size_t{4} << 20U;
constexpr std::size_t most_values = 200'000;
constexpr std::size_t deepest_nesting = 12;

[[noreturn]] void refuse_file(const std::filesystem::path& file, const std::string& what, std::string hint = {}) {
    throw InputError({Diagnostic{Place{file.string(), 0, 0}, what, {}, std::move(hint)}});
}

// Offset of the first byte that is not UTF-8, or npos. Overlong forms and surrogates count as faults.
std::size_t first_invalid_utf8(std::string_view text) {
    for (std::size_t i = 0; i < text.size();) {
        const auto lead = static_cast<unsigned char>(text[i]);
        const std::size_t length = lead < 0x80 ? 1 : lead >= 0xC2 && lead < 0xE0 ? 2 : (lead & 0xF0U) == 0xE0 ? 3 : lead >= 0xF0 && lead < 0xF5 ? 4 : 0;
        if (length == 0 || i + length > text.size()) return i;
        for (std::size_t k = 1; k < length; ++k)
            if ((static_cast<unsigned char>(text[i + k]) & 0xC0U) != 0x80U) return i;
        if (length > 2) {
            const auto second = static_cast<unsigned char>(text[i + 1]);
            if ((lead == 0xE0 && second < 0xA0) || (lead == 0xED && second >= 0xA0) || (lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second >= 0x90)) return i;
        }
        i += length;
    }
    return std::string_view::npos;
}

std::vector<std::string> split_lines(std::string_view text) {
    std::vector<std::string> lines;
    while (true) {
        const auto end = text.find('\n');
        std::string_view line = text.substr(0, end);
        if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
        lines.emplace_back(line);
        if (end == std::string_view::npos) return lines;
        text.remove_prefix(end + 1);
    }
}

// Builds the nodes from the parser's events, so that limits apply before anything has grown.
class NodeBuilder : public YAML::EventHandler {
public:
    explicit NodeBuilder(Document& document) : document_(document) {}

    void OnDocumentStart(const YAML::Mark&) override {}
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override { scalar(mark, "", anchor, {}); }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
        refuse(mark, "anchors and aliases are not taken", "write the value out");
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        scalar(mark, tag, anchor, value);
    }
    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                         YAML::EmitterStyle::value) override {
        open(mark, tag, anchor, Node::Kind::list);
    }
    void OnSequenceEnd() override { close(); }
    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                    YAML::EmitterStyle::value) override {
        open(mark, tag, anchor, Node::Kind::mapping);
    }
    void OnMapEnd() override { close(); }

private:
    struct Level {
        Node node;
        bool key_due = true;
        std::string key;
        Place key_place;
    };

    [[noreturn]] void refuse(const YAML::Mark& mark, std::string message, std::string hint = {}) const {
        const Place at = place(mark);
        throw InputError({Diagnostic{at, std::move(message), document_.line(at.line), std::move(hint)}});
    }

    Place place(const YAML::Mark& mark) const { return {document_.source, mark.line + 1, mark.column + 1}; }

    void admit(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
        if (++values_ > most_values) refuse(mark, fmt::format("more than {} values in one file", most_values));
        if (anchor != 0) refuse(mark, "anchors and aliases are not taken", "write the value out");
        // "?" and "!" are yaml-cpp's own marks for plain and quoted scalars.
        if (!tag.empty() && tag != "?" && tag != "!") refuse(mark, "tags are not taken", "leave '" + tag + "' out");
    }

    void scalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, const std::string& value) {
        admit(mark, tag, anchor);
        if (!levels_.empty() && levels_.back().node.kind == Node::Kind::mapping && levels_.back().key_due) {
            levels_.back().key = value;
            levels_.back().key_place = place(mark);
            levels_.back().key_due = false;
            return;
        }
        Node node;
        node.place = place(mark);
        node.scalar = value;
        put(std::move(node));
    }

    void open(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, Node::Kind kind) {
        admit(mark, tag, anchor);
        if (levels_.size() >= deepest_nesting)
            refuse(mark, fmt::format("nested deeper than {} levels", deepest_nesting));
        if (!levels_.empty() && levels_.back().node.kind == Node::Kind::mapping && levels_.back().key_due)
            refuse(mark, "a key must be plain text");
        Level level;
        level.node.kind = kind;
        level.node.place = place(mark);
        levels_.push_back(std::move(level));
    }

    void close() {
        Node node = std::move(levels_.back().node);
        levels_.pop_back();
        put(std::move(node));
    }

    void put(Node node) {
        if (levels_.empty()) {
            document_.root = std::move(node);
            return;
        }
        Level& level = levels_.back();
        if (level.node.kind == Node::Kind::list) {
            level.node.list.push_back(std::move(node));
            return;
        }
        level.key_due = true;
        for (const Node::Entry& entry : level.node.mapping) {
            if (entry.key != level.key) continue;
            document_.faults.push_back({level.key_place,
                                fmt::format("'{}' stands twice (first in line {})", level.key, entry.key_place.line),
                                document_.line(level.key_place.line),
                                "keep one of them"});
            return;
        }
        level.node.mapping.push_back({level.key, level.key_place, std::move(node)});
    }

    Document& document_;
    std::vector<Level> levels_;
    std::size_t values_ = 0;
};

}  // namespace

std::string Document::line(int number) const {
    const auto index = static_cast<std::size_t>(number) - 1;
    return number >= 1 && index < lines.size() ? lines[index] : std::string{};
}

std::string read_text_file(const std::filesystem::path& file, std::size_t limit_bytes) {
    std::error_code error;
    const auto status = std::filesystem::status(file, error);
    if (error && status.type() != std::filesystem::file_type::not_found)
        refuse_file(file, "cannot be read: " + error.message());
    if (!std::filesystem::exists(status)) refuse_file(file, "there is no such file");
    if (std::filesystem::is_directory(status)) refuse_file(file, "is a folder, not a file");
    if (!std::filesystem::is_regular_file(status)) refuse_file(file, "is a device or a pipe, not a regular file");
    std::ifstream stream(file, std::ios::binary);
    if (!stream) refuse_file(file, "cannot be opened for reading");
    // Read one byte more than allowed instead of trusting a size that may change meanwhile.
    std::string text(limit_bytes + 1, '\0');
    stream.read(text.data(), static_cast<std::streamsize>(text.size()));
    text.resize(static_cast<std::size_t>(stream.gcount()));
    if (stream.bad()) refuse_file(file, "cannot be read to its end");
    if (text.size() > limit_bytes) refuse_file(file, fmt::format("is larger than the {} MiB allowed", limit_bytes >> 20U));
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
    if (const auto at = first_invalid_utf8(text); at != std::string_view::npos) {
        const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
        refuse_file(file, fmt::format("line {} is not UTF-8 text (byte 0x{:02x})", line, static_cast<unsigned char>(text[at])), "save the file as UTF-8");
    }
    return text;
}

Document read_yaml_text(std::string source_name, std::string_view text) {
    Document document;
    document.source = std::move(source_name);
    document.lines = split_lines(text);
    NodeBuilder builder(document);
    try {
        std::istringstream stream{std::string(text)};
        YAML::Parser parser(stream);
        if (!parser.HandleNextDocument(builder) || (document.root.kind == Node::Kind::scalar && document.root.scalar.empty()))
            throw InputError({Diagnostic{Place{document.source, 0, 0}, "the file holds nothing", {}, {}}});
        // Only the start of a second document matters: it is refused, not read.
        Document ignored;
        NodeBuilder second(ignored);
        if (parser.HandleNextDocument(second))
            throw InputError({Diagnostic{Place{document.source, ignored.root.place.line, ignored.root.place.column},
                                         "a second document starts here", document.line(ignored.root.place.line),
                                         "one file holds one document"}});
    } catch (const YAML::Exception& error) {
        const int line = error.mark.is_null() ? 0 : error.mark.line + 1;
        throw InputError({Diagnostic{Place{document.source, line, error.mark.column + 1},
                                     "not valid YAML: " + error.msg, document.line(line), {}}});
    }
    return document;
}

Document read_yaml_file(const std::filesystem::path& file) {
    return read_yaml_text(file.string(), read_text_file(file, largest_file_bytes));
}

}  // namespace reedwright
