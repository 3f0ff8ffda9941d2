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

class KernelDrawnSet final : public DrawnSet {
public:
    KernelDrawnSet(const PlateSet& set, const std::string& name)
        : parts_(parts_of(set)), tree_(tree_of_set(set, parts_, name)) {}

    const std::vector<SetPart>& parts() const override { return parts_; }

    std::string step(StepSchema schema) const override {
        const KernelSession session;
        return step_of_tree(tree_, schema);
    }

    std::string step_of_part(std::size_t part, StepSchema schema) const override {
        if (part >= parts_.size()) throw std::out_of_range("no part " + std::to_string(part));
        const KernelSession session;
        return step_of_tree({tree_[part]}, schema);
    }

    std::string glb() const override {
        const KernelSession session;
        return glb_of_tree(tree_);
    }

private:
    std::vector<SetPart> parts_;
    ProductTree tree_;
};

std::unique_ptr<const DrawnSet> draw_set(const PlateSet& set, const std::string& name) {
    const KernelSession session;
    return std::make_unique<KernelDrawnSet>(set, name);
}

constexpr CadInterface functions{cad_interface_version, &step_of_blank, &draw_set};

}  // namespace

}  // namespace reedwright

extern "C" const reedwright::CadInterface* reedwright_cad_interface() {
    return &reedwright::functions;
}
