#include "cad_export/cad_interface.hpp"
#include "cad_export/kernel_reason.hpp"
#include "cad_export/solid_check.hpp"
#include "cad_export/solids.hpp"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <TopoDS.hxx>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>

namespace reedwright {

TopoDS_Solid rivet_solid(const RivetPart& rivet) {
    try {
        const gp_Circ circle(gp_Ax2(gp::Origin(), gp::DZ(), gp::DX()), 0.5 * in(rivet.diameter, millimetre));
        const TopoDS_Wire rim = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire();
        const TopoDS_Face face = BRepBuilderAPI_MakeFace(gp_Pln(gp::XOY()), rim, true).Face();
        TopoDS_Solid solid =
            TopoDS::Solid(BRepPrimAPI_MakePrism(face, gp_Vec(0.0, 0.0, in(rivet.length, millimetre))).Shape());
        check_solid(solid, rivet.name, rivet.volume());
        return solid;
    } catch (const Standard_Failure& failure) {
        throw KernelFailure(rivet.name, kernel_reason(failure));
    }
}

}  // namespace reedwright
