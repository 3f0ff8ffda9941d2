// A small writer of DXF files, AC1015 (the edition of the year 2000), in millimetres.
#pragma once

#include "cad_export/cut_path.hpp"

#include <string>
#include <string_view>
#include <vector>

namespace reedwright {

/// The layers of every file, in this order.
enum class DxfLayer { outline, slots, holes, notes };

/// Collects the entities of a drawing in the plane z = 0 and writes them with all the tables, blocks and objects that
/// readers of this edition ask for. The same calls give the same bytes; nothing in the file tells time or place.
class DxfDocument {
public:
    /// A closed polyline; arcs become bulges, tan(sweep / 4).
    void path(DxfLayer layer, const std::vector<OutlinePiece>& pieces);
    void circle(DxfLayer layer, const PlanePoint& centre, Length diameter);
    /// A line of text on the notes layer from its lower left corner; turned about that corner, counter-clockwise.
    /// A character outside ASCII is written as '?'.
    void text(const PlanePoint& at, Length height, std::string_view words, double turned_degrees = 0.0);

    /// The file.
    std::string finish() const;

private:
    void grow(double x_mm, double y_mm);
    std::string next_handle();
    void begin(std::string_view type, DxfLayer layer, std::string_view subclass);

    std::string entities_;
    unsigned next_handle_ = 0x100;
    bool empty_ = true;
    double left_mm_ = 0.0;
    double right_mm_ = 0.0;
    double bottom_mm_ = 0.0;
    double top_mm_ = 0.0;
};

}  // namespace reedwright
