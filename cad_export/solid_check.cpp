#include "cad_export/solid_check.hpp"

#include "cad_export/cad_interface.hpp"

#include <fmt/format.h>
#include <BRepCheck_Analyzer.hxx>
#include <BRepGProp.hxx>
#include <BRep_Tool.hxx>
#include <GProp_GProps.hxx>
#include <TopExp_Explorer.hxx>
#include <cmath>

namespace reedwright {

void check_solid(const TopoDS_Solid& solid, const std::string& part, Volume analytic) {
    for (TopExp_Explorer shell(solid, TopAbs_SHELL); shell.More(); shell.Next())
        if (!BRep_Tool::IsClosed(shell.Current())) throw KernelFailure(part, "its faces leave a gap");
    if (!BRepCheck_Analyzer(solid).IsValid()) throw KernelFailure(part, "its faces cross, touch or do not close");

    GProp_GProps properties;
    BRepGProp::VolumeProperties(solid, properties);
    const double analytic_mm3 = analytic.value() * 1e9;
    // Exact planes and cylinders: whatever differs by more than rounding is a wrong solid.
    if (!(std::abs(properties.Mass() - analytic_mm3) <= 1e-6 * analytic_mm3))
        throw KernelFailure(
            part, fmt::format("its solid has {:.9g} mm^3 instead of {:.9g} mm^3", properties.Mass(), analytic_mm3));
}

}  // namespace reedwright
