#include "cad_export/cad_interface.hpp"
#include "cad_export/kernel_reason.hpp"
#include "cad_export/solid_check.hpp"
#include "cad_export/solids.hpp"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakeVertex.hxx>
#include <BRepBuilderAPI_MakeWire.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Wire.hxx>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>

namespace reedwright {

namespace {

gp_Pnt point_of(const PlanePoint& point) {
    return {in(point.x, millimetre), in(point.y, millimetre), 0.0};
}

TopoDS_Edge edge_of(const OutlinePiece& piece, const TopoDS_Vertex& from, const TopoDS_Vertex& to) {
    if (piece.radius.value() <= 0.0) return BRepBuilderAPI_MakeEdge(from, to).Edge();
    const gp_Dir axis = piece.sweep > 0.0 ? gp::DZ() : gp::DZ().Reversed();
    const gp_Circ circle(gp_Ax2(point_of(piece.centre), axis, gp::DX()), in(piece.radius, millimetre));
    return BRepBuilderAPI_MakeEdge(circle, from, to).Edge();
}

TopoDS_Wire wire_of(const Outline& outline) {
    const std::vector<OutlinePiece> pieces = outline.pieces();
    std::vector<TopoDS_Vertex> starts;
    for (const OutlinePiece& piece : pieces) starts.push_back(BRepBuilderAPI_MakeVertex(point_of(piece.from)).Vertex());
    BRepBuilderAPI_MakeWire wire;
    for (std::size_t i = 0; i < pieces.size(); ++i)
        wire.Add(edge_of(pieces[i], starts[i], starts[(i + 1) % starts.size()]));
    return wire.Wire();
}

TopoDS_Wire wire_of(const Hole& hole) {
    const gp_Circ circle(gp_Ax2(point_of(hole.centre), gp::DZ(), gp::DX()), 0.5 * in(hole.diameter, millimetre));
    return BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire();
}

// A prism of the pierced face: boolean cuts give the same solid far slower. The prism itself checks
// nothing, so openings that cross or leave the plate are found by check_solid().
TopoDS_Solid prism_of(const PlateBlank& plate) {
    BRepBuilderAPI_MakeFace face(gp_Pln(gp::XOY()), wire_of(plate.outline), true);
    for (const Outline& slot : plate.slots) face.Add(TopoDS::Wire(wire_of(slot).Reversed()));
    for (const Hole& hole : plate.holes) face.Add(TopoDS::Wire(wire_of(hole).Reversed()));
    BRepPrimAPI_MakePrism prism(face.Face(), gp_Vec(0.0, 0.0, in(plate.thickness, millimetre)));
    return TopoDS::Solid(prism.Shape());
}

}  // namespace

TopoDS_Solid plate_solid(const PlateBlank& plate) {
    try {
        TopoDS_Solid solid = prism_of(plate);
        check_solid(solid, plate.name, plate.volume());
        return solid;
    } catch (const Standard_Failure& failure) {
        throw KernelFailure(plate.name, kernel_reason(failure));
    }
}

}  // namespace reedwright
