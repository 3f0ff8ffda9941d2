// From dimensions to hertz, one step at a time, as a student would follow it.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <iosfwd>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

namespace reedwright::app {

struct ChainStep {
    std::string name;
    /// What is reckoned, in words and symbols, with this reed's numbers.
    std::string reckoning;
    std::string source;
    Frequency pitch;
    /// Change from the step before; zero for the first.
    Interval change;
};

/// The chain: root section alone as a uniform beam, its true profile, loads, the curl that the clamp
/// blocks, the thickness of a real plate, the seat, temperature, air. The last step is the pitch.
std::vector<ChainStep> explain_chain(const Reed& reed, Model model);

void print_chain(std::ostream& out, const std::vector<ChainStep>& chain);
nlohmann::ordered_json chain_json(const std::vector<ChainStep>& chain);

}  // namespace reedwright::app
