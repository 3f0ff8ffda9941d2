#include "core/input/yaml_reader.hpp"

#include "core/input/reading_scope.hpp"
#include "core/input/utf8.hpp"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>
#include <algorithm>
#include <array>
#include <fstream>
#include <sstream>
#include <system_error>
#include <unordered_map>

namespace reedwright {

namespace {

constexpr std::size_t most_values = 200'000;
constexpr std::size_t deepest_nesting = 12;
constexpr std::size_t most_lines = 200'000;
constexpr std::size_t longest_kept_line = std::size_t{64} << 10U;

[[noreturn]] void refuse_file(const std::filesystem::path& file, const std::string& what, std::string hint = {}) {
    throw InputError({Diagnostic{Place{file.string(), 0, 0}, what, {}, std::move(hint)}});
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

bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

// Whether the text at a place is one of YAML's words for nothing, rather than a place where nothing stands.
bool says_nothing(std::string_view text) {
    for (const std::string_view word : {"~", "null", "Null", "NULL"}) {
        if (!text.starts_with(word)) continue;
        const std::string_view rest = text.substr(word.size());
        return rest.empty() || is_blank(rest.front()) || rest.front() == ',' || rest.front() == ']' ||
               rest.front() == '}';
    }
    return false;
}

// What a fault of the YAML itself means to somebody who only wants to write a file.
Diagnostic syntax_fault(const std::string& message) {
    struct Words {
        std::string_view parser;
        std::string_view message;
        std::string_view hint;
    };
    static const std::array<Words, 13> all{{
        {YAML::ErrorMsg::TAB_IN_INDENTATION, "a tab stands in the indentation", "indent with blanks"},
        {YAML::ErrorMsg::END_OF_MAP, "this does not fit the keys above it",
         "keys of one section start in the same column, each followed by a colon and a blank"},
        {YAML::ErrorMsg::END_OF_SEQ, "this does not fit the list above it",
         "items of one list start in the same column, each with a dash and a blank"},
        {YAML::ErrorMsg::MAP_VALUE, "a colon is not allowed here",
         "put a text that holds ': ' in quotes; keys of one section start in the same column, each with a blank after "
         "its colon"},
        {YAML::ErrorMsg::MAP_KEY, "a key is not allowed here", "keys of one section start in the same column"},
        {YAML::ErrorMsg::BLOCK_ENTRY, "a list cannot start here", "start it in a line of its own, or write [a, b]"},
        {YAML::ErrorMsg::FLOW_END, "this bracket closes nothing", "take it out, or open it"},
        {YAML::ErrorMsg::END_OF_SEQ_FLOW, "this [ is not closed",
         "close it with ], and separate its items with commas"},
        {YAML::ErrorMsg::END_OF_MAP_FLOW, "this { is not closed", "close it with }, and separate its keys with commas"},
        {YAML::ErrorMsg::EOF_IN_SCALAR, "a quoted text is not closed before the file ends", "close the quotes"},
        {YAML::ErrorMsg::DOC_IN_SCALAR, "a quoted text is not closed before this", "close the quotes"},
        {YAML::ErrorMsg::UNKNOWN_ANCHOR, "anchors and aliases are not taken", "write the value out"},
        {YAML::ErrorMsg::UNKNOWN_TOKEN, "a text cannot start with this character", "put the text in quotes"},
    }};
    for (const Words& words : all)
        if (message == words.parser) return {{}, std::string(words.message), {}, std::string(words.hint)};
    return {{}, "not valid YAML: " + message, {}, {}};
}

// The column of the colon in "key:value", which YAML takes for a text; 0 when the line is none such.
int colon_without_blank(std::string_view line) {
    const auto start = line.find_first_not_of(' ');
    if (start == std::string_view::npos) return 0;
    const auto end = line.find_first_not_of("abcdefghijklmnopqrstuvwxyz_0123456789", start);
    const bool glued = end != std::string_view::npos && end > start && line[end] == ':' && end + 1 < line.size() &&
                       !is_blank(line[end + 1]);
    return glued ? static_cast<int>(end) + 1 : 0;
}

// A fault that comes out further on than where it was made is told there instead.
void move_to_its_cause(Diagnostic& fault, const Document& document) {
    const std::string line = document.line(fault.place.line);
    const auto indentation = line.substr(0, line.find_first_not_of(" \t"));
    if (const auto tab = indentation.find('\t'); tab != std::string::npos) {
        const int number = fault.place.line;
        fault = syntax_fault(YAML::ErrorMsg::TAB_IN_INDENTATION);
        fault.place = {document.source, number, static_cast<int>(tab) + 1};
        return;
    }
    for (const int number : {fault.place.line, fault.place.line - 1}) {
        const int column = colon_without_blank(document.line(number));
        if (column == 0) continue;
        fault = {{document.source, number, column}, "a blank is missing after the colon", {}, {}};
        return;
    }
}

// Builds the nodes from the parser's events, so that limits apply before anything has grown.
class NodeBuilder : public YAML::EventHandler {
public:
    explicit NodeBuilder(Document& document) : document_(document) {}

    void OnDocumentStart(const YAML::Mark&) override {}
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        admit(mark, "", anchor);
        if (key_due()) refuse(mark, "a key must be plain text");
        Node node;
        node.place = place_of_nothing(mark);
        put(std::move(node));
    }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
        refuse(mark, "anchors and aliases are not taken", "write the value out");
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        if (tag == "!" && !closes_quotes(mark))
            refuse(mark, "a quoted text is not closed before the file ends", "close the quotes");
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

    // Columns are told in characters, the parser counts bytes.
    Place place(const YAML::Mark& mark) const {
        const std::string_view text = text_of_line(mark.line);
        const auto column = std::min(static_cast<std::size_t>(std::max(mark.column, 0)), text.size());
        // Marks mostly move on, so counting goes on from the last one: a line may be a megabyte long.
        if (mark.line != counted_line_ || column < counted_bytes_) {
            counted_line_ = mark.line;
            counted_bytes_ = 0;
            counted_characters_ = 0;
        }
        for (; counted_bytes_ < column; ++counted_bytes_)
            if ((static_cast<unsigned char>(text[counted_bytes_]) & 0xC0U) != 0x80U) ++counted_characters_;
        return {document_.source, mark.line + 1, counted_characters_ + 1};
    }

    // Where the innermost list or mapping that is still open begins; line 0 when none is.
    Place innermost() const { return levels_.empty() ? Place{} : levels_.back().node.place; }

private:
    struct Level {
        Node node;
        bool key_due = true;
        std::string key;
        Place key_place;
        std::unordered_map<std::string, int> lines_of_keys;
    };

    [[noreturn]] void refuse(const YAML::Mark& mark, std::string message, std::string hint = {}) const {
        const Place at = place(mark);
        throw InputError({Diagnostic{at, std::move(message), document_.line(at.line), std::move(hint)}});
    }

    std::string_view text_of_line(int index) const {
        const auto at = static_cast<std::size_t>(index);
        return index >= 0 && at < document_.lines.size() ? std::string_view(document_.lines[at]) : std::string_view{};
    }

    bool key_due() const {
        return !levels_.empty() && levels_.back().node.kind == Node::Kind::mapping && levels_.back().key_due;
    }

    // The parser takes the end of the file for the end of a quoted text.
    bool closes_quotes(const YAML::Mark& mark) const {
        const auto column = static_cast<std::size_t>(std::max(mark.column, 0));
        std::string_view text = text_of_line(mark.line);
        if (column >= text.size() || (text[column] != '"' && text[column] != '\'')) return true;
        const char quote = text[column];
        text.remove_prefix(column + 1);
        for (auto line = static_cast<std::size_t>(mark.line);;) {
            for (std::size_t i = 0; i < text.size(); ++i) {
                const bool doubled = quote == '\'' && text[i] == quote && i + 1 < text.size() && text[i + 1] == quote;
                if (doubled || (quote == '"' && text[i] == '\\'))
                    ++i;
                else if (text[i] == quote)
                    return true;
            }
            if (++line >= document_.lines.size()) return false;
            text = document_.lines[line];
        }
    }

    // Whether the bracket at a place, if there is one, meets its like before the file ends.
    bool closes_bracket(const YAML::Mark& mark) const {
        auto column = static_cast<std::size_t>(std::max(mark.column, 0));
        const std::string_view first = text_of_line(mark.line);
        if (column >= first.size() || (first[column] != '[' && first[column] != '{')) return true;
        std::size_t open = 0;
        char quote = '\0';
        for (auto line = static_cast<std::size_t>(mark.line); line < document_.lines.size(); ++line, column = 0) {
            const std::string& text = document_.lines[line];
            for (std::size_t i = column; i < text.size(); ++i) {
                const char c = text[i];
                if (quote != '\0') {
                    if (quote == '"' && c == '\\') ++i;
                    if (c == quote) quote = '\0';
                    continue;
                }
                if (c == '#' && (i == 0 || is_blank(text[i - 1]))) break;
                if (c == '"' || c == '\'') quote = c;
                if (c == '[' || c == '{') ++open;
                if ((c == ']' || c == '}') && --open == 0) return true;
            }
        }
        return false;
    }

    // The parser marks a value that is not there at whatever follows it, lines later perhaps.
    Place place_of_nothing(YAML::Mark mark) const {
        const auto column = static_cast<std::size_t>(std::max(mark.column, 0));
        if (const std::string_view text = text_of_line(mark.line);
            column < text.size() && says_nothing(text.substr(column)))
            return place(mark);
        if (levels_.empty()) return place(mark);
        if (levels_.back().node.kind == Node::Kind::mapping) return levels_.back().key_place;
        std::string_view before = text_of_line(mark.line).substr(0, column);
        while (true) {
            std::size_t end = 0;
            for (std::size_t i = 0; i < before.size() && !(before[i] == '#' && (i == 0 || is_blank(before[i - 1])));
                 ++i)
                if (!is_blank(before[i])) end = i + 1;
            mark.column = static_cast<int>(end) - 1;
            if (end > 0) return place(mark);
            if (mark.line == 0) return levels_.back().node.place;
            before = text_of_line(--mark.line);
        }
    }

    void admit(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor) {
        if (++values_ > most_values) refuse(mark, fmt::format("more than {} values in one file", most_values));
        if (anchor != 0) refuse(mark, "anchors and aliases are not taken", "write the value out");
        // "?" and "!" are yaml-cpp's own marks for plain and quoted scalars.
        if (!tag.empty() && tag != "?" && tag != "!")
            refuse(mark, "tags are not taken", "leave out what starts with !");
    }

    void scalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, const std::string& value) {
        admit(mark, tag, anchor);
        if (key_due()) {
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
        if (key_due()) {
            // The parser also takes a bracket for a key when the file ends before it is closed.
            if (closes_bracket(mark)) refuse(mark, "a key must be plain text");
            Diagnostic unclosed = syntax_fault(kind == Node::Kind::list ? YAML::ErrorMsg::END_OF_SEQ_FLOW
                                                                        : YAML::ErrorMsg::END_OF_MAP_FLOW);
            refuse(mark, std::move(unclosed.message), std::move(unclosed.hint));
        }
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
        const auto [first, is_new] = level.lines_of_keys.emplace(level.key, level.key_place.line);
        if (!is_new) {
            document_.faults.push_back({level.key_place,
                                        fmt::format("'{}' stands twice (first in line {})", level.key, first->second),
                                        {},
                                        "keep one of them"});
            return;
        }
        level.node.mapping.push_back({level.key, level.key_place, std::move(node)});
    }

    Document& document_;
    std::vector<Level> levels_;
    std::size_t values_ = 0;
    mutable int counted_line_ = -1;
    mutable std::size_t counted_bytes_ = 0;
    mutable int counted_characters_ = 0;
};

// Meets what stands after the document, of which only the start matters: it is refused, not read.
class NothingMore : public YAML::EventHandler {
public:
    NothingMore(const Document& document, const NodeBuilder& builder) : document_(document), builder_(builder) {}

    void OnDocumentStart(const YAML::Mark& mark) override {
        const Place at = builder_.place(mark);
        const std::string line = document_.line(at.line);
        const bool announced = at.column == 1 && line.starts_with("---");
        throw InputError({announced
                              ? Diagnostic{at, "a second document starts here", line, "one file holds one document"}
                              : Diagnostic{at, "this does not belong to what stands above it", line,
                                           "keys of one section start in the same column"}});
    }
    void OnDocumentEnd() override {}
    void OnNull(const YAML::Mark&, YAML::anchor_t) override {}
    void OnAlias(const YAML::Mark&, YAML::anchor_t) override {}
    void OnScalar(const YAML::Mark&, const std::string&, YAML::anchor_t, const std::string&) override {}
    void OnSequenceStart(const YAML::Mark&, const std::string&, YAML::anchor_t, YAML::EmitterStyle::value) override {}
    void OnSequenceEnd() override {}
    void OnMapStart(const YAML::Mark&, const std::string&, YAML::anchor_t, YAML::EmitterStyle::value) override {}
    void OnMapEnd() override {}

private:
    const Document& document_;
    const NodeBuilder& builder_;
};

// Bytes that YAML does not allow; its parser would take some for the end of the file.
void refuse_control_characters(const std::string& source, std::string_view text) {
    const auto found = std::find_if(text.begin(), text.end(), [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return (byte < 0x20 && byte != '\t' && byte != '\n' && byte != '\r') || byte == 0x7F;
    });
    if (found == text.end()) return;
    const auto line = 1 + std::count(text.begin(), found, '\n');
    throw InputError({Diagnostic{
        Place{source, 0, 0},
        fmt::format("line {} holds a control character (byte 0x{:02x})", line, static_cast<unsigned char>(*found)),
        {},
        "save the file as plain text in UTF-8"}});
}

}  // namespace

std::string Document::line(int number) const {
    const auto index = static_cast<std::size_t>(number) - 1;
    return number >= 1 && index < lines.size() && lines[index].size() <= longest_kept_line ? lines[index]
                                                                                           : std::string{};
}

namespace {

// The bytes of a file, or of a text that stands in its place.
std::string bytes_of(const std::filesystem::path& file, std::size_t limit_bytes) {
    if (const std::string* content = content_in_scope(file); content != nullptr)
        return content->substr(0, limit_bytes + 1);
    if (file.empty()) throw InputError("the name of a file is empty");
    std::error_code error;
    const auto status = std::filesystem::status(file, error);
    if (error && status.type() != std::filesystem::file_type::not_found)
        refuse_file(file, "cannot be read: " + error.message());
    if (!std::filesystem::exists(status)) refuse_file(file, "there is no such file");
    if (std::filesystem::is_directory(status)) refuse_file(file, "is a folder, not a file");
    if (!std::filesystem::is_regular_file(status)) refuse_file(file, "is a device or a pipe, not a regular file");
    std::ifstream stream(file, std::ios::binary);
    if (!stream) refuse_file(file, "cannot be opened for reading");
    // Read piece by piece instead of trusting a size that may change meanwhile, and no more than what shows a file to
    // be too large.
    constexpr std::size_t piece_bytes = std::size_t{16} << 10U;
    std::string text;
    while (stream && text.size() <= limit_bytes) {
        const std::size_t read_so_far = text.size();
        text.resize(read_so_far + std::min(piece_bytes, limit_bytes + 1 - read_so_far));
        stream.read(text.data() + read_so_far, static_cast<std::streamsize>(text.size() - read_so_far));
        text.resize(read_so_far + static_cast<std::size_t>(stream.gcount()));
    }
    if (stream.bad()) refuse_file(file, "cannot be read to its end");
    return text;
}

}  // namespace

std::string read_text_file(const std::filesystem::path& file, std::size_t limit_bytes) {
    return checked_text(file.string(), bytes_of(file, limit_bytes), limit_bytes);
}

std::string checked_text(const std::string& source_name, std::string text, std::size_t limit_bytes) {
    if (text.size() > limit_bytes)
        refuse_file(source_name, fmt::format("is larger than the {} MiB allowed", limit_bytes >> 20U));
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
    if (const auto at = first_invalid_utf8(text); at != std::string_view::npos) {
        const auto line = 1 + std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n');
        refuse_file(
            source_name,
            fmt::format("line {} is not UTF-8 text (byte 0x{:02x})", line, static_cast<unsigned char>(text[at])),
            "save the file as UTF-8");
    }
    return text;
}

Document read_yaml_text(std::string source_name, std::string_view text) {
    Document document;
    document.source = std::move(source_name);
    refuse_control_characters(document.source, text);
    if (static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) >= most_lines)
        throw InputError({Diagnostic{
            Place{document.source, 0, 0}, fmt::format("has more than the {} lines allowed", most_lines), {}, {}}});
    document.lines = split_lines(text);
    NodeBuilder builder(document);
    try {
        std::istringstream stream{std::string(text)};
        YAML::Parser parser(stream);
        if (!parser.HandleNextDocument(builder) ||
            (document.root.kind == Node::Kind::scalar && document.root.scalar.empty()))
            throw InputError({Diagnostic{Place{document.source, 0, 0}, "the file holds nothing", {}, {}}});
        NothingMore nothing_more(document, builder);
        parser.HandleNextDocument(nothing_more);
    } catch (const YAML::Exception& error) {
        Diagnostic fault = syntax_fault(error.msg);
        fault.place = error.mark.is_null() ? Place{document.source, 0, 0} : builder.place(error.mark);
        // Where a bracket that is never closed was opened says more than where the file ends.
        const bool unclosed =
            error.msg == YAML::ErrorMsg::END_OF_SEQ_FLOW || error.msg == YAML::ErrorMsg::END_OF_MAP_FLOW;
        if (unclosed && builder.innermost().line > 0) fault.place = builder.innermost();
        move_to_its_cause(fault, document);
        fault.source_line = document.line(fault.place.line);
        throw InputError({std::move(fault)});
    }
    return document;
}

Document read_yaml_file(const std::filesystem::path& file) {
    return read_yaml_text(file.string(), read_text_file(file, largest_text_bytes));
}

}  // namespace reedwright
