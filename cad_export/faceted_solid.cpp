#include "cad_export/faceted_solid.hpp"

#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRep_Builder.hxx>
#include <Geom_Plane.hxx>
#include <Precision.hxx>
#include <TopExp_Explorer.hxx>
#include <TopoDS.hxx>
#include <TopoDS_Shell.hxx>
#include <TopoDS_Wire.hxx>
#include <algorithm>
#include <gp_Circ.hxx>
#include <gp_Pln.hxx>

namespace reedwright {

std::size_t FacetedSolid::add_face(std::vector<gp_Pnt> corners) {
    std::vector<std::size_t> polygon;
    for (const gp_Pnt& corner : corners) polygon.push_back(vertex_at(corner));
    polygons_.push_back(std::move(polygon));
    return polygons_.size() - 1;
}

void FacetedSolid::add_hole(std::size_t bottom_face, double bottom_z, std::size_t top_face, double top_z, double x,
                            double y, double radius) {
    holes_.push_back({bottom_face, top_face, gp_Pnt(x, y, bottom_z), top_z - bottom_z, radius});
}

std::size_t FacetedSolid::vertex_at(const gp_Pnt& point) {
    const auto found = std::find_if(points_.begin(), points_.end(),
                                    [&](const gp_Pnt& known) { return known.IsEqual(point, Precision::Confusion()); });
    if (found != points_.end()) return static_cast<std::size_t>(found - points_.begin());
    points_.push_back(point);
    TopoDS_Vertex vertex;
    BRep_Builder().MakeVertex(vertex, point, Precision::Confusion());
    vertices_.push_back(vertex);
    return points_.size() - 1;
}

// The polygon with the corners of other faces that stand on its edges.
std::vector<std::size_t> FacetedSolid::boundary(const std::vector<std::size_t>& polygon) const {
    std::vector<std::size_t> split;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const gp_Pnt& from = points_[polygon[i]];
        const gp_Vec along(from, points_[polygon[(i + 1) % polygon.size()]]);
        std::vector<std::pair<double, std::size_t>> between;
        for (std::size_t other = 0; other < points_.size(); ++other) {
            const gp_Vec reach(from, points_[other]);
            const double share = reach.Dot(along) / along.SquareMagnitude();
            const bool inside = share * along.Magnitude() > Precision::Confusion() &&
                                (1.0 - share) * along.Magnitude() > Precision::Confusion();
            if (inside && (reach - share * along).Magnitude() < Precision::Confusion())
                between.emplace_back(share, other);
        }
        std::sort(between.begin(), between.end());
        split.push_back(polygon[i]);
        for (const auto& [share, other] : between) split.push_back(other);
    }
    return split;
}

TopoDS_Edge FacetedSolid::edge_between(std::size_t from, std::size_t to) {
    const auto key = std::minmax(from, to);
    TopoDS_Edge& edge = edges_[key];
    if (edge.IsNull()) edge = BRepBuilderAPI_MakeEdge(vertices_[key.first], vertices_[key.second]).Edge();
    return from < to ? edge : TopoDS::Edge(edge.Reversed());
}

TopoDS_Face FacetedSolid::face_of(const std::vector<std::size_t>& polygon) {
    // The area vector (Newell's sum) is normal to the polygon, whatever its corners' angles.
    const gp_Pnt& origin = points_[polygon.front()];
    gp_Vec area(0.0, 0.0, 0.0);
    for (std::size_t i = 1; i + 1 < polygon.size(); ++i)
        area += gp_Vec(origin, points_[polygon[i]]).Crossed(gp_Vec(origin, points_[polygon[i + 1]]));

    BRep_Builder builder;
    TopoDS_Face face;
    builder.MakeFace(face, new Geom_Plane(origin, gp_Dir(area)), Precision::Confusion());
    TopoDS_Wire wire;
    builder.MakeWire(wire);
    const std::vector<std::size_t> corners = boundary(polygon);
    for (std::size_t i = 0; i < corners.size(); ++i)
        builder.Add(wire, edge_between(corners[i], corners[(i + 1) % corners.size()]));
    wire.Closed(true);
    builder.Add(face, wire);
    return face;
}

TopoDS_Solid FacetedSolid::build() {
    BRep_Builder builder;
    std::vector<TopoDS_Face> faces;
    for (const auto& polygon : polygons_) faces.push_back(face_of(polygon));

    const auto pierce = [&](std::size_t face, const TopoDS_Shape& rim) {
        TopoDS_Wire wire;
        builder.MakeWire(wire);
        builder.Add(wire, rim);
        wire.Closed(true);
        builder.Add(faces[face], wire);
    };
    for (const Hole& hole : holes_) {
        // Seen from outside, both rims run clockwise on their faces, and the wall must run them the
        // other way; which way it was swept is the kernel's choice.
        const gp_Circ circle(gp_Ax2(hole.bottom, gp::DZ(), gp::DX()), hole.radius);
        const TopoDS_Edge rim = BRepBuilderAPI_MakeEdge(circle).Edge();
        BRepPrimAPI_MakePrism wall(rim, gp_Vec(0.0, 0.0, hole.height));
        pierce(hole.bottom_face, wall.FirstShape(rim).Oriented(TopAbs_FORWARD));
        pierce(hole.top_face, wall.LastShape(rim).Oriented(TopAbs_REVERSED));
        TopExp_Explorer edge(wall.Shape(), TopAbs_EDGE);
        while (edge.More() && !edge.Current().IsSame(rim)) edge.Next();
        const bool opposite = edge.Current().Orientation() == TopAbs_REVERSED;
        faces.push_back(TopoDS::Face(opposite ? wall.Shape() : wall.Shape().Reversed()));
    }

    TopoDS_Shell shell;
    builder.MakeShell(shell);
    for (const TopoDS_Face& face : faces) builder.Add(shell, face);
    shell.Closed(true);
    TopoDS_Solid solid;
    builder.MakeSolid(solid);
    builder.Add(solid, shell);
    return solid;
}

}  // namespace reedwright
