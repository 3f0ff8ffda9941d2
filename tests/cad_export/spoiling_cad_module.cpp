// The CAD module, given a plate and plates that no check of core has seen: a rivet hole in the middle of a slot.
#include "cad_export/cad_loader.hpp"

namespace reedwright {

namespace {

const CadInterface& real() {
    return load_cad({REEDWRIGHT_CAD_FOLDER});
}

std::string step_of_blank(const ReedBlank& blank, StepSchema schema) {
    ReedBlank spoiled = blank;
    spoiled.plate.holes.front().centre = spoiled.plate.slots.front().corners.front();
    return real().step_of_blank(spoiled, schema);
}

std::unique_ptr<const DrawnSet> draw_set(const PlateSet& set, const std::string& name) {
    PlateSet spoiled = set;
    spoiled.plates.back().blank.holes.back().centre = spoiled.plates.back().tongues.front().root;
    return real().draw_set(spoiled, name);
}

}  // namespace

}  // namespace reedwright

extern "C" const reedwright::CadInterface* reedwright_cad_interface() {
    static constexpr reedwright::CadInterface interface {
        reedwright::cad_interface_version, &reedwright::step_of_blank, &reedwright::draw_set
    };
    return &interface;
}
