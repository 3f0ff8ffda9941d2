#include "cad_export/product_tree.hpp"

#include "cad_export/solids.hpp"
#include "core/plate/unique_names.hpp"

#include <stdexcept>

namespace reedwright {

namespace {

double mm(Length length) {
    return in(length, millimetre);
}

// Rotations by quarter turns are written out, since their sines and cosines would not be whole numbers. A part that
// stays where it is gets a translation by nothing all the same: the kernel forgets the name of one that is not placed.
gp_Trsf transformation(Turned turned, Length x, Length y, Length z) {
    gp_Trsf result;
    switch (turned) {
        case Turned::none:
            result.SetTranslation(gp_Vec(mm(x), mm(y), mm(z)));
            break;
        case Turned::tip_forward:
            result.SetValues(0, -1, 0, mm(x), 1, 0, 0, mm(y), 0, 0, 1, mm(z));
            break;
        case Turned::tip_forward_and_over:
            result.SetValues(0, 1, 0, mm(x), 1, 0, 0, mm(y), 0, 0, -1, mm(z));
            break;
    }
    return result;
}

gp_Trsf transformation(const Placement& placement) {
    if (!placement.flipped) return transformation(Turned::none, placement.x, placement.y, placement.z);
    gp_Trsf result;
    result.SetValues(1, 0, 0, mm(placement.x), 0, -1, 0, mm(placement.y), 0, 0, -1, mm(placement.z));
    return result;
}

struct SolidOf {
    TopoDS_Solid operator()(const PlateBlank& plate) const { return plate_solid(plate); }
    TopoDS_Solid operator()(const TonguePart& tongue) const { return tongue_solid(tongue); }
    TopoDS_Solid operator()(const RivetPart& rivet) const { return rivet_solid(rivet); }
};

Product product_of(const SetPart& part) {
    return {part.name(), part.material(), std::visit(SolidOf(), part.shape), {}};
}

}  // namespace

ProductTree tree_of_blank(const ReedBlank& blank) {
    const Length zero = 0.0 * metre;
    ProductTree tree;
    tree.push_back({blank.plate.name, blank.plate.material, plate_solid(blank.plate), {}});
    tree.push_back({blank.tongue.name, blank.tongue.material, tongue_solid(blank.tongue), {}});
    tree.push_back({blank.name,
                    {},
                    {},
                    {{"plate", transformation(Turned::none, zero, zero, zero), 0},
                     {"tongue", transformation(Turned::none, zero, zero, blank.plate.thickness), 1}}});
    return tree;
}

ProductTree tree_of_set(const PlateSet& set, const std::vector<SetPart>& parts, const std::string& name) {
    if (set.plates.empty()) throw std::invalid_argument("a set without plates");
    ProductTree tree;
    UniqueNames names;
    // What belongs to each plate, and last the comb.
    std::vector<std::vector<Component>> components(set.plates.size() + 1);
    for (const SetPart& part : parts) {
        for (const Stand& stand : part.stands)
            components[part.plate].push_back(
                {stand.name, transformation(stand.turned, stand.x, stand.y, stand.z), tree.size()});
        tree.push_back(product_of(part));
        names.claim(part.name());
    }
    std::vector<std::size_t> assemblies;
    for (std::size_t i = 0; i < set.plates.size(); ++i) {
        assemblies.push_back(tree.size());
        tree.push_back({names.claim(set.plates[i].blank.name + " assembly"), {}, {}, components[i]});
    }
    Product root{names.claim(name), {}, {}, {}};
    for (const Placement& placement : assembled(set)) {
        const gp_Trsf place = transformation(placement);
        if (placement.part < set.plates.size())
            root.components.push_back({tree[assemblies[placement.part]].name, place, assemblies[placement.part]});
        else
            for (const Component& comb : components.back())
                root.components.push_back({comb.name, place * comb.placement, comb.product});
    }
    tree.push_back(std::move(root));
    return tree;
}

}  // namespace reedwright
