// The STEP file of a reed blank: assembly, names, colours, and the same bytes every time.
#pragma once

#include "cad_export/cad_interface.hpp"

#include <string>

namespace reedwright {

/// See CadInterface::step_of_blank.
std::string step_of_blank(const ReedBlank& blank, StepSchema schema);

}  // namespace reedwright
