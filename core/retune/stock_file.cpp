#include "core/retune/stock_file.hpp"

#include "core/input/yaml_reader.hpp"
#include "core/retune/spoken_reading.hpp"
#include "core/tongue/tongue_shape_file.hpp"
#include "core/tuning/note.hpp"

#include <fmt/format.h>
#include <set>

namespace reedwright {

namespace {

const Range<Temperature> temperature_range{celsius(-20.0), celsius(60.0)};
constexpr std::size_t most_tongues = 10000;

class StockReader {
public:
    StockReader(const Document& document, const MaterialLibrary& library)
        : library_(library), faults_(document), root_(faults_, document.root, "") {}

    std::vector<StockTongue> read() {
        material_ = read_material(root_, "material", false, library_);
        plate_ = read_material(root_, "plate_material", false, library_);
        if (!plate_ && root_.find("plate_material", false) == nullptr)
            plate_ = read_material_file(library_.file_of("cuzn37-plate", ""));
        temperature_ = root_.optional<Temperature>("temperature", temperature_range).value_or(celsius(20.0));
        a4_ = root_.optional<Frequency>("a4", {300.0 * hertz, 600.0 * hertz}).value_or(440.0 * hertz);
        spread_ = read_spread(root_, "uncertainty");
        const Node* list = root_.find("tongues", true);
        if (list != nullptr && (list->kind != Node::Kind::list || list->list.empty()))
            root_.fault(*list, "tongues",
                        fmt::format("must be a list of loose tongues{}",
                                    list->kind == Node::Kind::list ? ", and it is empty" : ", " + not_a(*list)),
                        "start each with a dash: - {name: drawer 3, length: 14 mm, width: 2 mm, thickness: 0.1 mm}");
        else if (list != nullptr && list->list.size() > most_tongues)
            root_.fault(*list, "tongues", fmt::format("has more than the {} tongues allowed", most_tongues));
        else if (list != nullptr)
            for (std::size_t i = 0; i < list->list.size(); ++i) read_one(list->list[i], i);
        root_.close();
        faults_.throw_if_any();
        return std::move(stock_);
    }

private:
    void read_one(const Node& node, std::size_t index) {
        Section one(faults_, node, fmt::format("tongues[{}]", index + 1));
        if (node.kind != Node::Kind::mapping) return;
        const std::string name = one.optional_text("name").value_or(fmt::format("{}", index + 1));
        if (!names_.insert(name).second)
            one.fault(node, "name", fmt::format("'{}' stands twice", name), "give each tongue its own name");
        const bool own_material = one.find("material", false) != nullptr;
        const auto material = own_material ? read_material(one, "material", true, library_) : material_;
        if (!own_material && root_.find("material", false) == nullptr)
            one.fault(node, "material", "is missing, and none holds for the whole list",
                      "write material: cuzn37-r630 here or before the list");
        const auto shape = read_tongue_shape(one);
        const auto reading = read_spoken_pitch(one, "reading", false, a4_);
        const Temperature temperature =
            one.optional<Temperature>("temperature", temperature_range).value_or(temperature_);
        const auto give = one.optional<Ratio>("give", {0.0, 20.0});
        one.close();
        if (!material || !plate_ || !shape) return;
        stock_.push_back({name, Tongue{*material, shape->thickness, shape->width, {}}, spread_, reading, temperature,
                          give ? std::optional(give->value()) : std::nullopt, *plate_});
    }

    const MaterialLibrary& library_;
    Faults faults_;
    Section root_;
    std::optional<Material> material_;
    std::optional<Material> plate_;
    Temperature temperature_ = celsius(20.0);
    Frequency a4_ = 440.0 * hertz;
    Spread spread_;
    std::set<std::string> names_;
    std::vector<StockTongue> stock_;
};

}  // namespace

std::vector<StockTongue> read_stock_file(const std::filesystem::path& file, const MaterialLibrary& library) {
    return read_stock(read_yaml_file(file), library);
}

std::vector<StockTongue> read_stock(const Document& document, const MaterialLibrary& library) {
    return StockReader(document, library).read();
}

}  // namespace reedwright
