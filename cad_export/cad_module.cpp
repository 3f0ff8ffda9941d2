#include "cad_export/cad_interface.hpp"
#include "cad_export/glb_writer.hpp"
#include "cad_export/kernel_session.hpp"
#include "cad_export/product_tree.hpp"
#include "cad_export/step_writer.hpp"

namespace reedwright {

namespace {

std::string step_of_blank(const ReedBlank& blank, StepSchema schema) {
    const KernelSession session;
    return step_of_tree(tree_of_blank(blank), schema);
}

std::string step_of_set(const PlateSet& set, const std::string& name, StepSchema schema) {
    const KernelSession session;
    return step_of_tree(tree_of_set(set, name), schema);
}

std::string step_of_part(const SetPart& part, StepSchema schema) {
    const KernelSession session;
    return step_of_tree(tree_of_part(part), schema);
}

std::string glb_of_set(const PlateSet& set, const std::string& name) {
    const KernelSession session;
    return glb_of_tree(tree_of_set(set, name));
}

constexpr CadInterface functions{cad_interface_version, &step_of_blank, &step_of_set, &step_of_part, &glb_of_set};

}  // namespace

}  // namespace reedwright

extern "C" const reedwright::CadInterface* reedwright_cad_interface() {
    return &reedwright::functions;
}
