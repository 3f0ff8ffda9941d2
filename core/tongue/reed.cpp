#include "core/tongue/reed.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

std::vector<std::string> Reed::cautions() const {
    std::vector<std::string> all = tongue.material.cautions;
    for (const std::string& caution : slot.plate_material.cautions)
        if (std::find(all.begin(), all.end(), caution) == all.end()) all.push_back(caution);
    return all;
}

double bonded_give(Pressure tongue_modulus, Pressure plate_modulus) {
    return 0.64 * std::pow((tongue_modulus / plate_modulus).value(), 0.28);
}

}  // namespace reedwright
