// A solid put together from planar faces and round through-holes, its edges shared as it grows.
// Built face by face because boolean operations cost a hundred times more, and split or fuzz what
// should stay one exact plane.
#pragma once

#include <TopoDS_Edge.hxx>
#include <TopoDS_Face.hxx>
#include <TopoDS_Solid.hxx>
#include <TopoDS_Vertex.hxx>
#include <gp_Pnt.hxx>
#include <map>
#include <utility>
#include <vector>

namespace reedwright {

/// Collects faces, then builds. Coordinates in millimetres.
class FacetedSolid {
public:
    /// Adds a planar polygon, counter-clockwise seen from outside; returns its number. A corner of
    /// another face may stand on one of its edges, which is then split there.
    std::size_t add_face(std::vector<gp_Pnt> corners);

    /// Adds a round hole through the solid, from a face at z = bottom_z facing down to a face at
    /// z = top_z facing up.
    void add_hole(std::size_t bottom_face, double bottom_z, std::size_t top_face, double top_z, double x, double y,
                  double radius);

    /// The solid. Faces that do not close give an open shell, which the kernel's checks find.
    TopoDS_Solid build();

private:
    struct Hole {
        std::size_t bottom_face;
        std::size_t top_face;
        gp_Pnt bottom;
        double height;
        double radius;
    };

    std::size_t vertex_at(const gp_Pnt& point);
    std::vector<std::size_t> boundary(const std::vector<std::size_t>& polygon) const;
    TopoDS_Edge edge_between(std::size_t from, std::size_t to);
    TopoDS_Face face_of(const std::vector<std::size_t>& polygon);

    std::vector<gp_Pnt> points_;
    std::vector<TopoDS_Vertex> vertices_;
    std::vector<std::vector<std::size_t>> polygons_;
    std::vector<Hole> holes_;
    std::map<std::pair<std::size_t, std::size_t>, TopoDS_Edge> edges_;
};

}  // namespace reedwright
