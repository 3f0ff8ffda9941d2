// Tables that flow through columns and onto further sheets.
#pragma once

#include "cad_export/figure.hpp"

#include <string>
#include <vector>

namespace reedwright::drawing {

struct Column {
    /// May have two lines, parted by '\n'.
    std::string head;
    Align align = Align::right;
    /// Wider where its words are; to be written in by hand where it has none.
    double least_mm = 0.0;
};

struct Table {
    std::string title;
    /// None: lines of text without rules.
    std::vector<Column> columns;
    std::vector<std::vector<std::string>> rows;
    double row_mm = 4.5;
    /// Of lines of text.
    double text_width_mm = 0.0;
};

/// Lines of text under a title, wrapped to a width.
Table text_table(const std::string& title, const std::vector<std::string>& paragraphs, double width_mm,
                 const TextRuler& ruler);

double width_of(const Table& table, const TextRuler& ruler);
double height_of(const Table& table, std::size_t rows);

/// What was placed, and the tables that found no room, the first of them perhaps broken off before its end.
struct Flowed {
    Figure figure;
    std::vector<Table> left;
};

/// Room for tables below views: a rectangle, from some place on perhaps with a higher top.
struct FlowRoom {
    Rectangle area;
    /// Columns from here on begin at this height.
    std::optional<Point> higher;
};

/// Sets tables into a room from its top left corner, each below others where it has room or in a next column, broken
/// where the room ends. Throws std::logic_error for a table that is wider than the room.
Flowed flow(const std::vector<Table>& tables, const FlowRoom& room, const std::shared_ptr<const TextRuler>& ruler);

}  // namespace reedwright::drawing
