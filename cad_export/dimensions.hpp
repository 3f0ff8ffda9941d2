// Dimensions as a draughtsman sets them: distances between two arrows, and ordinates from a datum.
#pragma once

#include "cad_export/figure.hpp"

#include <string>
#include <vector>

namespace reedwright::drawing {

/// A distance along x between two places, on a line at a height, its extension lines from the places to the line.
/// Arrows and number stand outside where they do not fit between.
void dimension_along(Figure& figure, Point from, Point to, double line_y_mm, const std::string& words);
/// Likewise along y, the number beside the line.
void dimension_across(Figure& figure, Point from, Point to, double line_x_mm, const std::string& words);
/// A number led from a place: a slanted line with an arrow, then the words. Slants to the right and up, or down.
void led_note(Figure& figure, Point at, Point elbow, const std::string& words);

/// On which side of a view the labels stand. Above and below they read from the right side of the sheet.
enum class Side { below, above, left, right };

/// A label for a place along a view's side, its leader beginning within the view.
struct Ordinate {
    /// x for a label below or above, y for one at the left or right.
    double along_mm;
    /// Where its line begins, across the side.
    double from_mm;
    std::string words;
};

/// The room along the side that labels may take, and where the view ends across it.
struct OrdinateRoom {
    double low_mm;
    double high_mm;
    double edge_mm;
};

/// Labels spread apart and in tiers where there are many, with bent leaders; in any order, never one over another.
/// Throws std::invalid_argument where the room does not even hold the leaders.
void ordinates(Figure& figure, Side side, std::vector<Ordinate> labels, const OrdinateRoom& room);

/// The room along a side that one tier of labels takes.
double ordinate_room_mm(std::size_t labels);

/// Numbers set beside what they name where there is room.
class NumberPlacer {
public:
    void keep_clear(const Rectangle& box) { taken_.push_back(box); }
    /// Every line and label of a figure, lines with half of their width.
    void keep_clear(const Figure& figure);
    /// Sets a number near a round thing, touching nothing that is kept clear; farther away with a leader where it is
    /// crowded. False, and nothing set, where there is no room within a few millimetres.
    bool place(Figure& figure, Point at, double radius_mm, const std::string& words);

private:
    bool is_free(const Rectangle& box) const;

    std::vector<Rectangle> taken_;
    std::vector<Piece> lines_;
};

}  // namespace reedwright::drawing
