#include "core/tuning/temperament.hpp"

#include <fmt/format.h>
#include <cmath>
#include <utility>

namespace reedwright {

namespace {

constexpr int degrees = 12;
constexpr int semitone_of_a = 69;

struct FrequencyRatio {
    double upper;
    double lower;
};

constexpr std::array<FrequencyRatio, degrees> five_limit{
    {{1, 1}, {16, 15}, {9, 8}, {6, 5}, {5, 4}, {4, 3}, {45, 32}, {3, 2}, {8, 5}, {5, 3}, {9, 5}, {15, 8}}};
constexpr std::array<FrequencyRatio, degrees> seven_limit{
    {{1, 1}, {16, 15}, {9, 8}, {7, 6}, {5, 4}, {4, 3}, {7, 5}, {3, 2}, {8, 5}, {5, 3}, {7, 4}, {15, 8}}};

std::size_t degree_index(int semitones) {
    return static_cast<std::size_t>(((semitones % degrees) + degrees) % degrees);
}

std::array<Interval, degrees> from_ratios(const std::array<FrequencyRatio, degrees>& ratios) {
    std::array<Interval, degrees> result{};
    for (std::size_t i = 0; i < ratios.size(); ++i)
        result[i] =
            interval_between(ratios[i].lower * hertz, ratios[i].upper * hertz) - 100.0 * static_cast<double>(i) * cent;
    return result;
}

std::string key_name(const Note& key) {
    std::string name = key.name();
    name.erase(name.find_last_not_of("-0123456789") + 1);
    return name;
}

}  // namespace

Temperament::Temperament(std::string name, const Note& key, const std::array<Interval, degrees>& from_equal)
    : name_(std::move(name)), key_semitone_(key.semitone()), from_equal_(from_equal) {}

Temperament Temperament::equal() {
    return {"equal", Note{}, std::array<Interval, degrees>{}};
}

Temperament Temperament::just(const Note& key) {
    return {"just in " + key_name(key), key, from_ratios(five_limit)};
}

Temperament Temperament::septimal(const Note& key) {
    return {"septimal in " + key_name(key), key, from_ratios(seven_limit)};
}

Temperament Temperament::quarter_comma(const Note& key) {
    constexpr int lowest_fifth = -3;
    constexpr int highest_fifth = 8;
    constexpr int semitones_of_fifth = 7;
    const double fifth_cents = 1200.0 * std::log2(5.0) / 4.0;
    std::array<Interval, degrees> result{};
    for (int fifths = lowest_fifth; fifths <= highest_fifth; ++fifths)
        result[degree_index(semitones_of_fifth * fifths)] = fifths * (fifth_cents - 100.0 * semitones_of_fifth) * cent;
    return {"quarter-comma in " + key_name(key), key, result};
}

Temperament Temperament::custom(const Note& key, const std::array<Interval, degrees>& from_equal) {
    return {"custom in " + key_name(key), key, from_equal};
}

std::optional<Temperament> Temperament::named(std::string_view name, const Note& key) {
    if (name == "equal") return equal();
    if (name == "just") return just(key);
    if (name == "septimal") return septimal(key);
    if (name == "quarter-comma") return quarter_comma(key);
    return std::nullopt;
}

Interval Temperament::degree(int semitones_above_key) const {
    return from_equal_.at(degree_index(semitones_above_key));
}

Interval Temperament::offset(const Note& note) const {
    return degree(note.semitone() - key_semitone_) - degree(semitone_of_a - key_semitone_);
}

std::string Temperament::name() const {
    return name_;
}

tl::expected<Note, QuantityFault> parse_key(std::string_view text) {
    auto note = parse_note(fmt::format("{}4", text));
    if (!note) return tl::unexpected(QuantityFault{fmt::format("'{}' is not a key", text), "write it as C, F# or Bb"});
    return note;
}

}  // namespace reedwright
