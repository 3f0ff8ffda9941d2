#include "core/plate/set_parts.hpp"

#include "core/plate/unique_names.hpp"

#include <fmt/format.h>

namespace reedwright {

namespace {

const Length zero = 0.0 * metre;

class PartList {
public:
    void add_plate(const PlateBlank& blank, std::size_t plate) {
        PlateBlank named = blank;
        named.name = names_.claim(blank.name);
        parts_.push_back({named, plate, {stand(named.name, Turned::none, {zero, zero}, zero)}});
    }

    void add_tongue(const PlacedTongue& tongue, const PlateBlank& blank, std::size_t plate) {
        TonguePart named = tongue.part;
        named.name = names_.claim(tongue.part.name);
        const Length height = tongue.on_upper_face ? blank.thickness : zero;
        const Turned turned = tongue.on_upper_face ? Turned::tip_forward : Turned::tip_forward_and_over;
        parts_.push_back({named, plate, {stand(named.name, turned, tongue.root, height)}});
    }

    void add_rivets(const PlacedTongue& tongue, const Plate& on, std::size_t plate) {
        if (tongue.rivets.empty()) return;
        RivetPart named = rivet_of(tongue, on);
        named.name = names_.claim(named.name);
        const Length bottom = tongue.on_upper_face ? zero : -tongue.part.thickness.at_root();
        SetPart part{named, plate, {}};
        for (std::size_t i = 0; i < tongue.rivets.size(); ++i) {
            const std::string name = tongue.rivets.size() > 1 ? fmt::format("{} {}", named.name, i + 1) : named.name;
            part.stands.push_back(stand(name, Turned::none, tongue.rivets[i].centre, bottom));
        }
        parts_.push_back(std::move(part));
    }

    std::vector<SetPart> take() { return std::move(parts_); }

private:
    Stand stand(const std::string& name, Turned turned, const PlanePoint& at, Length z) {
        return {stand_names_.claim(name), turned, at.x, at.y, z};
    }

    UniqueNames names_;
    UniqueNames stand_names_;
    std::vector<SetPart> parts_;
};

}  // namespace

const std::string& SetPart::name() const {
    return std::visit([](const auto& part) -> const std::string& { return part.name; }, shape);
}

const std::string& SetPart::material() const {
    return std::visit([](const auto& part) -> const std::string& { return part.material; }, shape);
}

Volume SetPart::volume() const {
    return std::visit([](const auto& part) { return part.volume(); }, shape);
}

std::vector<SetPart> parts_of(const PlateSet& set) {
    PartList list;
    for (std::size_t i = 0; i < set.plates.size(); ++i) {
        const Plate& plate = set.plates[i];
        list.add_plate(plate.blank, i);
        for (const PlacedTongue& tongue : plate.tongues) list.add_tongue(tongue, plate.blank, i);
        for (const PlacedTongue& tongue : plate.tongues) list.add_rivets(tongue, plate, i);
    }
    if (set.comb) list.add_plate(set.comb->blank, set.plates.size());
    return list.take();
}

}  // namespace reedwright
