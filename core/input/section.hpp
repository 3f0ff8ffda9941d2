// Reading a mapping key by key: what is asked for is checked, what was never asked for is an error.
#pragma once

#include "core/input/node.hpp"
#include "core/quantity/quantity_text.hpp"

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace reedwright {

/// The values that a key may take, ends included.
template <class Quantity>
struct Range {
    Quantity low;
    Quantity high;
};

/// Collects the faults of one document, so that all can be told at once.
class Faults {
public:
    /// Starts with the faults that parsing found.
    explicit Faults(const Document& document);

    void add(const Place& place, std::string message, std::string hint = {});
    /// Faults of another document (a material file), told where this one names it.
    void add_all(const Place& named_at, const InputError& error);
    bool any() const { return !found_.empty(); }
    /// Throws InputError with all faults in the order of the file, if there are any.
    void throw_if_any();

private:
    struct Found {
        Place sorted_as;
        Diagnostic diagnostic;
    };

    const Document& document_;
    std::vector<Found> found_;
};

/// One mapping of a document while it is being read. Every reading function marks its key as
/// known; a value that is missing, of the wrong kind, unit or range is recorded as a fault and
/// comes back empty. close() records the keys that nobody asked for.
class Section {
public:
    /// The path ("tongue.width") starts the messages about this section; empty for the root.
    Section(Faults& faults, const Node& node, std::string path);

    template <class Quantity>
    std::optional<Quantity> required(std::string_view key, Range<Quantity> range) {
        return typed<Quantity>(find(key, true), key, range);
    }
    template <class Quantity>
    std::optional<Quantity> optional(std::string_view key, Range<Quantity> range) {
        return typed<Quantity>(find(key, false), key, range);
    }
    std::optional<std::string> required_text(std::string_view key);
    std::optional<std::string> optional_text(std::string_view key);
    /// One of a few words.
    std::optional<std::string> optional_word(std::string_view key, std::initializer_list<std::string_view> words);
    /// The node under a key, whatever it is; null when absent (a fault if required).
    const Node* find(std::string_view key, bool required);
    /// The mapping under a key; empty when absent or not a mapping (then a fault).
    std::optional<Section> section(std::string_view key, bool required);

    /// Reads a scalar node as a quantity within a range.
    template <class Quantity>
    std::optional<Quantity> value_of(const Node& node, std::string_view name, Range<Quantity> range) {
        const auto value = number(node, name, DimensionOf<Quantity>::value, range.low.value(), range.high.value());
        return value ? std::optional(Quantity::from_value(*value)) : std::nullopt;
    }

    void fault(const Node& at, std::string_view name, const std::string& message, std::string hint = {});
    /// The name of a key with the path of its section before it.
    std::string full_name(std::string_view key) const;
    const Node& node() const { return node_; }
    const Place& place() const { return node_.place; }
    Faults& faults() { return faults_; }

    /// To be called once everything has been asked for.
    void close();

private:
    template <class Quantity>
    std::optional<Quantity> typed(const Node* node, std::string_view key, Range<Quantity> range) {
        return node == nullptr ? std::nullopt : value_of<Quantity>(*node, key, range);
    }
    std::optional<double> number(const Node& node, std::string_view name, Dimension due, double low, double high);

    Faults& faults_;
    const Node& node_;
    std::string path_;
    std::vector<std::string> known_;
};

/// What stands in the place of something else, "not a list", or that nothing does.
std::string not_a(const Node& node);

/// What to say of a mapping that stands where a text is due: a bare ': ' makes one out of it. Empty otherwise.
std::string quote_hint(const Node& node);

/// The candidate nearest to a misspelt word, or empty when none is near.
std::string nearest_word(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace reedwright
