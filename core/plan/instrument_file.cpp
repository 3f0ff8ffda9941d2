#include "core/plan/instrument_file.hpp"

#include "core/input/file_kind.hpp"
#include "core/input/section.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/plan/comb_cells.hpp"
#include "core/plan/layout_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/plan/plate_file.hpp"
#include "core/tongue/reed_file.hpp"
#include "core/wind/blown_reed.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

namespace reedwright {

namespace {

// Our choice, no source.
constexpr double default_swing_share = 0.06;
constexpr int most_cells = 400;
constexpr std::size_t most_reeds = 2000;
const Range<Temperature> temperature_range{celsius(-10.0), celsius(60.0)};
const Range<Interval> offset_range{-200.0 * cent, 200.0 * cent};
const Range<Ratio> swing_range{0.001, 0.5};
const Range<Frequency> beats_range{-30.0 * hertz, 30.0 * hertz};

const Node* child_of(const Node* mapping, std::string_view key) {
    if (mapping == nullptr) return nullptr;
    for (const Node::Entry& entry : mapping->mapping)
        if (entry.key == key) return &entry.value;
    return nullptr;
}

bool stands_before(const Place& a, const Place& b) {
    return std::tie(a.line, a.column) < std::tie(b.line, b.column);
}

std::optional<std::array<Interval, 12>> read_degrees(Section& tuning, const Node& list) {
    std::array<Interval, 12> degrees{};
    if (list.list.size() != degrees.size()) {
        tuning.fault(list, "temperament",
                     fmt::format("has {} degrees, but there are twelve above a key", list.list.size()),
                     "write the distance of each from equal temperament, the key's first: [0 cents, -4 cents, ...]");
        return std::nullopt;
    }
    bool sound = true;
    for (std::size_t i = 0; i < degrees.size(); ++i) {
        const auto value = tuning.value_of<Interval>(list.list[i], fmt::format("temperament[{}]", i + 1), offset_range);
        if (value)
            degrees[i] = *value;
        else
            sound = false;
    }
    return sound ? std::optional(degrees) : std::nullopt;
}

Note read_key(Section& tuning) {
    const Note c{'C', 0, 4};
    const auto text = tuning.optional_text("key");
    if (!text) return c;
    const auto key = parse_key(*text);
    if (!key) tuning.fault(*tuning.find("key", false), "key", key.error().message, key.error().hint);
    return key.value_or(c);
}

Temperament read_temperament(Section& tuning, const Note& key) {
    const Node* node = tuning.find("temperament", false);
    if (node == nullptr) return Temperament::equal();
    if (node->kind == Node::Kind::list) {
        const auto degrees = read_degrees(tuning, *node);
        return degrees ? Temperament::custom(key, *degrees) : Temperament::equal();
    }
    const auto word = tuning.optional_word("temperament", {"equal", "just", "septimal", "quarter-comma"});
    return word ? *Temperament::named(*word, key) : Temperament::equal();
}

// An offset, and where it stands, so that one that no reed sounds can be told.
struct PlacedOffset {
    NoteOffset offset;
    const Node* node;
    std::string key;
};

std::vector<PlacedOffset> read_offsets(Section& tuning) {
    std::vector<PlacedOffset> result;
    auto section = tuning.section("offsets", false);
    if (!section) return result;
    for (const Node::Entry& entry : section->node().mapping) {
        const auto note = parse_note(entry.key);
        const auto value = section->value_of<Interval>(entry.value, entry.key, offset_range);
        if (!note) {
            section->faults().add(entry.key_place,
                                  fmt::format("{}: {}", section->full_name(entry.key), note.error().message),
                                  note.error().hint);
            continue;
        }
        const auto same = std::find_if(result.begin(), result.end(), [&](const PlacedOffset& other) {
            return other.offset.note.semitone() == note->semitone();
        });
        if (same != result.end())
            section->fault(entry.value, entry.key, fmt::format("is the same key of the keyboard as {}", same->key));
        if (value) result.push_back({{*note, *value}, &entry.value, entry.key});
    }
    return result;
}

// Where the values of one reed stand in the file, so that the tongue reader's faults can be told in the design's words.
struct ReedNodes {
    const Node* reed;
    const Node* common;
    std::string path;
};

// A key that the reed or, failing that, the common section states; sections are merged key by key.
void add_merged(Node& to, std::string_view key, const ReedNodes& nodes) {
    const Node* own = child_of(nodes.reed, key);
    const Node* common = child_of(nodes.common, key);
    if (own == nullptr && common == nullptr) return;
    Node value = own != nullptr ? *own : *common;
    if (own != nullptr && common != nullptr && own->kind == Node::Kind::mapping)
        for (const Node::Entry& entry : common->mapping)
            if (child_of(own, entry.key) == nullptr) value.mapping.push_back(entry);
    to.mapping.push_back({std::string(key), value.place, value});
}

Node empty_mapping(const Place& place) {
    Node node;
    node.kind = Node::Kind::mapping;
    node.place = place;
    return node;
}

// What a reed states of its cell beside the number.
Node own_cell(const Node& reed) {
    const Node* cell = child_of(&reed, "cell");
    if (cell == nullptr || cell->kind != Node::Kind::mapping) return empty_mapping(reed.place);
    Node sizes = *cell;
    std::erase_if(sizes.mapping, [](const Node::Entry& entry) { return entry.key == "number"; });
    return sizes;
}

// The reed as a tongue file would hold it, every value still at its place in the design.
Document as_tongue_file(const Document& design, const ReedNodes& nodes) {
    Document document;
    document.source = design.source;
    document.root = empty_mapping(nodes.reed->place);
    Node tongue = empty_mapping(nodes.reed->place);
    for (const std::string_view key : {"length", "width", "thickness"})
        if (const Node* value = child_of(nodes.reed, key))
            tongue.mapping.push_back({std::string(key), value->place, *value});
    // A material stands for itself: parts of two alloys make no third.
    const Node* own_material = child_of(nodes.reed, "material");
    if (const Node* material = own_material != nullptr ? own_material : child_of(nodes.common, "material"))
        tongue.mapping.push_back({"material", material->place, *material});
    document.root.mapping.push_back({"tongue", tongue.place, tongue});
    for (const std::string_view key : {"seat", "slot", "pad", "quality", "uncertainty", "loads"})
        add_merged(document.root, key, nodes);
    Node with_cell = empty_mapping(nodes.reed->place);
    with_cell.mapping.push_back({"cell", nodes.reed->place, own_cell(*nodes.reed)});
    add_merged(document.root, "cell", {&with_cell, nodes.common, nodes.path});

    const Node* own_plate = child_of(nodes.reed, "plate_material");
    const Node* plate = own_plate != nullptr ? own_plate : child_of(nodes.common, "plate_material");
    if (plate == nullptr) return document;
    if (child_of(&document.root, "slot") == nullptr)
        document.root.mapping.push_back({"slot", nodes.reed->place, empty_mapping(nodes.reed->place)});
    for (Node::Entry& entry : document.root.mapping)
        if (entry.key == "slot" && child_of(&entry.value, "plate_material") == nullptr)
            entry.value.mapping.push_back({"plate_material", plate->place, *plate});
    return document;
}

// "tongue.length: ..." as the design says it: "reeds[3].length: ...", "common.slot.clearance: ...".
std::string in_the_words_of_the_design(std::string message, const Place& place, const ReedNodes& nodes) {
    const bool in_common =
        nodes.common != nullptr && !stands_before(place, nodes.common->place) &&
        (stands_before(nodes.reed->place, nodes.common->place) || stands_before(place, nodes.reed->place));
    const std::string owner = in_common ? "common" : nodes.path;
    // The name stands in front, or in the quotes of an unknown key.
    std::size_t at = 0;
    for (const std::string_view words : {"unknown key '", "a blank is missing after the colon of '"})
        if (message.starts_with(words)) at = words.size();
    const auto name_is = [&](std::string_view start) {
        return std::string_view(message).substr(at).starts_with(start);
    };
    constexpr std::string_view tongue = "tongue";
    constexpr std::string_view plate_of_slot = "slot.plate_material";
    const bool own_key =
        child_of(nodes.reed, "plate_material") != nullptr || child_of(nodes.common, "plate_material") != nullptr;
    if (name_is(tongue))
        message.replace(at, tongue.size(), owner);
    else if (name_is(plate_of_slot) && own_key)
        message.replace(at, plate_of_slot.size(), owner + ".plate_material");
    else
        message.insert(at, owner + ".");
    return message;
}

class ReedListReader {
public:
    ReedListReader(const Document& document, const MaterialLibrary& library, Faults& faults, const Node* common,
                   double swing_share)
        : document_(document), library_(library), faults_(faults), common_(common), swing_share_(swing_share) {}

    void read(const std::vector<WrittenReed>& reeds, const Place& listed_at, Design& design) {
        for (const WrittenReed& one : reeds) {
            const std::size_t before = design.instrument.reeds.size();
            read_one({&one.node, common_, one.name}, design.instrument);
            if (design.instrument.reeds.size() > before) design.reeds.push_back(one.origin);
        }
        tell_missing(listed_at);
        check_cells(listed_at);
    }

    /// Whether any reed leaves its swing to the design.
    bool common_swing_used() const { return common_swing_used_; }

private:
    void read_one(const ReedNodes& nodes, Instrument& instrument) {
        Section one(faults_, *nodes.reed, nodes.path);
        if (nodes.reed->kind != Node::Kind::mapping) return;
        const auto cell = read_cell(one);
        const auto row = one.required_text("row");
        const auto note = read_note(one);
        const auto beats = one.optional<Frequency>("beats", beats_range);
        const auto own_swing = one.optional<Ratio>("swing", swing_range);
        const double swing = own_swing.value_or(Ratio(swing_share_)).value();
        common_swing_used_ = common_swing_used_ || !own_swing;
        const auto valve = one.optional_word("valve", {"yes", "no"});
        const auto bend = one.optional<Interval>("bend", {0.0 * cent, 1200.0 * cent});
        for (const std::string_view key : {"length", "width", "thickness", "material", "loads", "plate_material",
                                           "seat", "slot", "pad", "quality", "uncertainty"})
            (void)one.find(key, false);
        one.close();
        if (cell && row) take_place(*nodes.reed, nodes.path, *cell, *row);
        auto reed = read_tongue(nodes);
        if (!cell || !row || !note || !reed) return;
        reed->note = *note;
        for (const std::string& told : reed->assumed)
            if ((told.starts_with("slot.") || told.starts_with("seat.") || told.starts_with("pad.")) &&
                std::find(instrument.assumed.begin(), instrument.assumed.end(), told) == instrument.assumed.end())
                instrument.assumed.push_back(told);
        instrument.reeds.push_back({*cell, *row, *note, beats.value_or(0.0 * hertz), swing, std::move(*reed),
                                    valve ? std::optional(*valve == "yes") : std::nullopt, bend});
    }

    // `cell: 3`, or `cell: {number: 3, ...}` with what the tongue reader reads of it.
    std::optional<int> read_cell(Section& one) {
        const Node* node = one.find("cell", false);
        if (node == nullptr || node->kind != Node::Kind::mapping) return read_number(one, "cell");
        auto cell = one.section("cell", true);
        return cell ? read_number(*cell, "number") : std::nullopt;
    }

    static std::optional<int> read_number(Section& section, std::string_view key) {
        const auto number = section.required<Ratio>(key, {1.0, most_cells});
        if (!number) return std::nullopt;
        if (number->value() != std::floor(number->value())) {
            section.fault(*section.find(key, false), key, fmt::format("{} is not a whole number", to_text(*number)));
            return std::nullopt;
        }
        return static_cast<int>(number->value());
    }

    std::optional<Note> read_note(Section& one) {
        const auto text = one.required_text("note");
        if (!text) return std::nullopt;
        const auto note = parse_note(*text);
        if (!note) {
            one.fault(*one.find("note", false), "note", note.error().message, note.error().hint);
            return std::nullopt;
        }
        return *note;
    }

    void take_place(const Node& reed, const std::string& path, int cell, const std::string& row) {
        const auto [place, added] = places_.emplace(std::pair(cell, row), path);
        if (!added)
            faults_.add(reed.place,
                        fmt::format("{}: cell {} {} is already the place of {}", path, cell, row, place->second),
                        "the second reed of a pair needs a row of its own");
    }

    std::optional<Reed> read_tongue(const ReedNodes& nodes) {
        try {
            return read_reed(as_tongue_file(document_, nodes), library_);
        } catch (const InputError& error) {
            for (const Diagnostic& diagnostic : error.diagnostics()) tell(diagnostic, nodes);
            return std::nullopt;
        }
    }

    void tell(const Diagnostic& diagnostic, const ReedNodes& nodes) {
        const Place& place = diagnostic.place;
        const bool here = place.source == document_.source;
        const std::string message =
            here ? in_the_words_of_the_design(diagnostic.message, place, nodes) : diagnostic.message;
        for (const auto& [key, words] : common_causes)
            if (here && diagnostic.message == fmt::format("tongue.{} is missing", key)) {
                missing_[key].push_back({place, nodes.path});
                return;
            }
        // What is wrong in the common section is wrong for every reed, and told once.
        if (!told_.emplace(place.source, place.line, place.column, message).second) return;
        if (here)
            faults_.add(place, message, diagnostic.hint);
        else
            faults_.add_all(nodes.reed->place, InputError(std::vector<Diagnostic>{diagnostic}));
    }

    static std::string cause_of(std::string_view key) {
        if (key == "material") return "common.material";
        return key == "thickness" ? "tongues.profiles" : fmt::format("tongues.{}", key);
    }

    // What many reeds lack has one cause, and is told once.
    void tell_missing(const Place& listed_at) {
        for (const auto& [key, words] : common_causes) {
            const auto& lacking = missing_[key];
            if (lacking.size() == 1)
                faults_.add(lacking.front().place, fmt::format("{}.{} is missing", lacking.front().path, key));
            else if (!lacking.empty())
                faults_.add(key == "material" && common_ != nullptr ? common_->place : listed_at,
                            fmt::format("{} is missing, and {} reeds state no {} of their own, from {} to {}",
                                        cause_of(key), lacking.size(), key, lacking.front().path, lacking.back().path),
                            words);
        }
    }

    void check_cells(const Place& listed_at) {
        int due = 1;
        for (const auto& [place, path] : places_) {
            if (place.first > due) {
                faults_.add(listed_at,
                            fmt::format("reeds: there is a reed in cell {}, but none in cell {}", place.first, due),
                            "cells are counted from 1 without a gap");
                return;
            }
            due = place.first + 1;
        }
    }

    // What a reed may leave to the design, and where that says it.
    static constexpr std::array<std::pair<std::string_view, const char*>, 4> common_causes{
        {{"material", "common: {material: cuzn37-r630} gives it to all reeds"},
         {"length", "tongues: {length: {lowest: 16 mm, highest: 9.5 mm}} gives it to all reeds"},
         {"width", "tongues: {width: {lowest: 2.2 mm, highest: 1.7 mm}} gives it to all reeds"},
         {"thickness", "with tongues.profiles, a list of shapes, it is solved for each note"}}};
    struct Lacking {
        Place place;
        std::string path;
    };

    const Document& document_;
    const MaterialLibrary& library_;
    Faults& faults_;
    const Node* common_;
    std::map<std::string_view, std::vector<Lacking>> missing_;
    double swing_share_;
    bool common_swing_used_ = false;
    std::map<std::pair<int, std::string>, std::string> places_;
    std::set<std::tuple<std::string, int, int, std::string>> told_;
};

const Node* read_common(Section& root) {
    auto common = root.section("common", false);
    if (!common) return nullptr;
    for (const std::string_view key :
         {"material", "plate_material", "seat", "slot", "cell", "pad", "quality", "uncertainty"})
        (void)common->find(key, false);
    if (common->find("plate_material", false) != nullptr &&
        child_of(common->find("slot", false), "plate_material") != nullptr)
        common->fault(*common->find("plate_material", false), "plate_material", "also stands in common.slot",
                      "state it once");
    common->close();
    return &common->node();
}

}  // namespace

Design read_design(const Document& document, const MaterialLibrary& library, std::optional<double> bow) {
    refuse_other_kind(document, FileKind::design);
    Faults faults(document);
    Section root(faults, document.root, "");
    Design design;
    Instrument& instrument = design.instrument;
    const auto take = [&](const auto& given, auto& value, const std::string& name, const std::string& text) {
        if (given)
            value = *given;
        else
            instrument.assumed.push_back(fmt::format("{} {}", name, text));
    };
    instrument.name = root.optional_text("name").value_or("");

    std::vector<PlacedOffset> offsets;
    const Node nothing = empty_mapping({});
    const auto section_or_nothing = [&](std::string_view key) {
        auto section = root.section(key, false);
        return section ? *section : Section(faults, nothing, std::string(key));
    };
    Section tuning = section_or_nothing("tuning");
    take(tuning.optional<Frequency>("a4", {300.0 * hertz, 600.0 * hertz}), instrument.tuning.a4, "tuning.a4", "440 Hz");
    const Note key = read_key(tuning);
    instrument.tuning.temperament = read_temperament(tuning, key);
    instrument.tuning.key = key;
    if (tuning.find("temperament", false) == nullptr) instrument.assumed.emplace_back("tuning.temperament equal");
    offsets = read_offsets(tuning);
    tuning.close();

    Section bench = section_or_nothing("bench");
    take(bench.optional<Temperature>("temperature", temperature_range), instrument.bench.temperature,
         "bench.temperature", "20 degC");
    if (const auto humidity = bench.optional<Ratio>("humidity", {0.0, 1.0}))
        instrument.bench.humidity = humidity->value();
    else
        instrument.assumed.emplace_back("bench.humidity 50 %");
    take(bench.optional<Interval>("allowance", {-50.0 * cent, 50.0 * cent}), instrument.bench.allowance,
         "bench.allowance", "0 cents");
    bench.close();
    Section playing = section_or_nothing("playing");
    take(playing.optional<Temperature>("temperature", temperature_range), instrument.playing, "playing.temperature",
         "30 degC");
    if (const auto pressure = playing.optional<Pressure>("pressure", {1.0 * pascal, highest_pressure}))
        instrument.playing_pressure = *pressure;
    playing.close();
    take(root.optional<Interval>("tolerance", {0.1 * cent, 50.0 * cent}), instrument.tolerance, "tolerance", "2 cents");
    const auto swing = root.optional<Ratio>("swing", swing_range);
    const double swing_share = swing.value_or(Ratio(default_swing_share)).value();
    take(root.optional<Time>("least_life", {0.0 * second, 1e6 * 3600.0 * second}), instrument.least_life, "least_life",
         "100 h");

    const Node* common = read_common(root);
    const bool has_layout = root.find("layout", false) != nullptr;
    const Node* list = root.find("reeds", !has_layout);
    if (list != nullptr && (list->kind != Node::Kind::list || list->list.empty())) {
        root.fault(*list, "reeds",
                   fmt::format("must be a list of reeds{}",
                               list->kind == Node::Kind::list ? ", and it is empty" : ", " + not_a(*list)),
                   "start each with a dash: - {cell: 1, row: blow, note: C4, length: 16 mm, ...}");
        list = nullptr;
    }
    if (list != nullptr && list->list.size() > most_reeds) {
        root.fault(*list, "reeds", fmt::format("has more than the {} reeds allowed", most_reeds));
        list = nullptr;
    }
    const std::vector<WrittenReed> written = write_out_reeds(root, list, design, bow);
    if (!written.empty()) {
        ReedListReader reader(document, library, faults, common, swing_share);
        reader.read(written, list != nullptr ? list->place : root.find("layout", false)->place, design);
        if (!swing && reader.common_swing_used()) instrument.assumed.emplace_back("swing 6 %");
    }
    read_plates(root, design);
    if (!faults.any()) check_layout(root, design);
    if (!faults.any()) take_cells_from_comb(design);
    for (const PlacedOffset& placed : offsets) {
        const bool sounds = std::any_of(instrument.reeds.begin(), instrument.reeds.end(), [&](const auto& one) {
            return one.note.semitone() == placed.offset.note.semitone();
        });
        // With other faults about, the reed may merely not have been understood.
        if (!sounds && !faults.any())
            tuning.fault(*placed.node, fmt::format("offsets.{}", placed.key), "no reed of the design sounds this note");
        instrument.tuning.offsets.push_back(placed.offset);
    }
    root.close();
    faults.throw_if_any();

    for (InstrumentReed& one : instrument.reeds) {
        one.reed.a4 = instrument.tuning.a4;
        one.reed.temperature = instrument.bench.temperature;
        one.reed.air = Air{instrument.bench.temperature, instrument.bench.humidity};
    }
    return design;
}

Design read_design_file(const std::filesystem::path& file, const MaterialLibrary& library) {
    return read_design(read_yaml_file(file), library);
}

Instrument read_instrument(const Document& document, const MaterialLibrary& library) {
    Design design = read_design(document, library);
    (void)plan_tongues(design);
    return std::move(design.instrument);
}

Instrument read_instrument_file(const std::filesystem::path& file, const MaterialLibrary& library) {
    return read_instrument(read_yaml_file(file), library);
}

}  // namespace reedwright
