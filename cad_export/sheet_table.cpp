#include "cad_export/sheet_table.hpp"

#include <algorithm>
#include <stdexcept>

namespace reedwright::drawing {

namespace {

constexpr double title_mm = 5.0;
constexpr double head_line_mm = 4.0;
constexpr double cell_gap_mm = 1.2;
constexpr double between_mm = 6.0;
constexpr double below_mm = 3.0;
// Longer words are cut, so that every table fits the width of a sheet.
constexpr double widest_cell_mm = 45.0;
// Fewer rows than this do not begin a piece of a table unless they are all.
constexpr std::size_t fewest_rows = 3;

std::vector<std::string> lines_of(const std::string& head) {
    const std::size_t end = head.find('\n');
    if (end == std::string::npos) return {head};
    return {head.substr(0, end), head.substr(end + 1)};
}

double head_mm(const Table& table) {
    if (table.columns.empty()) return table.title.empty() ? 0.0 : title_mm;
    std::size_t lines = 1;
    for (const Column& column : table.columns) lines = std::max(lines, lines_of(column.head).size());
    return (table.title.empty() ? 0.0 : title_mm) + head_line_mm * static_cast<double>(lines) + 1.4;
}

std::vector<double> widths_of(const Table& table, const TextRuler& ruler) {
    std::vector<double> widths;
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
        double width = 0.0;
        for (const std::string& line : lines_of(table.columns[c].head))
            width = std::max(width, ruler.width_mm(line, body_mm));
        for (const auto& row : table.rows) width = std::max(width, ruler.width_mm(row.at(c), body_mm));
        widths.push_back(std::max(std::min(width, widest_cell_mm) + 2.0 * cell_gap_mm, table.columns[c].least_mm));
    }
    return widths;
}

void set_cell(Figure& figure, double left_mm, double right_mm, double base_mm, Align align, const std::string& words) {
    const double x_mm = align == Align::left    ? left_mm + cell_gap_mm
                        : align == Align::right ? right_mm - cell_gap_mm
                                                : 0.5 * (left_mm + right_mm);
    figure.text({x_mm, base_mm}, figure.ruler()->fitted(words, body_mm, widest_cell_mm),
                {body_mm, align, false, false});
}

Figure piece_of(const Table& table, std::size_t rows, const std::vector<double>& widths,
                const std::shared_ptr<const TextRuler>& ruler) {
    Figure figure(ruler);
    double y_mm = 0.0;
    if (!table.title.empty()) {
        figure.text({0.0, 3.6}, table.title, {3.6, Align::left, false, true});
        y_mm = title_mm;
    }
    const auto base_of = [](double top_mm, double high_mm) {
        return top_mm + 0.5 * (high_mm + capital_share * body_mm);
    };
    if (table.columns.empty()) {
        for (std::size_t r = 0; r < rows; ++r)
            figure.text({0.0, base_of(y_mm + static_cast<double>(r) * table.row_mm, table.row_mm)},
                        table.rows[r].front());
        return figure;
    }
    const double head_top_mm = y_mm;
    y_mm = head_mm(table);
    const double bottom_mm = y_mm + static_cast<double>(rows) * table.row_mm;
    double x_mm = 0.0;
    for (std::size_t c = 0; c < widths.size(); ++c) {
        const Column& column = table.columns[c];
        const double right_mm = x_mm + widths[c];
        double base_mm = head_top_mm + head_line_mm - 0.5;
        for (const std::string& line : lines_of(column.head)) {
            set_cell(figure, x_mm, right_mm, base_mm, column.align, line);
            base_mm += head_line_mm;
        }
        for (std::size_t r = 0; r < rows; ++r)
            set_cell(figure, x_mm, right_mm, base_of(y_mm + static_cast<double>(r) * table.row_mm, table.row_mm),
                     column.align, table.rows[r][c]);
        if (c > 0) figure.line({x_mm, head_top_mm}, {x_mm, bottom_mm}, Pen::thin);
        x_mm = right_mm;
    }
    for (std::size_t r = 1; r < rows; ++r) {
        const double line_mm = y_mm + static_cast<double>(r) * table.row_mm;
        figure.line({0.0, line_mm}, {x_mm, line_mm}, Pen::thin);
    }
    figure.line({0.0, y_mm}, {x_mm, y_mm}, Pen::small);
    figure.rectangle({0.0, head_top_mm, x_mm, bottom_mm}, Pen::small);
    return figure;
}

std::size_t rows_that_fit(const Table& table, double room_mm) {
    const double rows = (room_mm - head_mm(table)) / table.row_mm + 1e-9;
    return rows < 1.0 ? 0 : std::min(table.rows.size(), static_cast<std::size_t>(rows));
}

struct FlowColumn {
    double left_mm;
    double right_mm;
    /// Where the next table begins.
    double next_mm;
};

// Where tables have been set in a room, in columns side by side.
class FlowColumns {
public:
    explicit FlowColumns(const FlowRoom& room) : room_(room), height_mm_(room.area.height_mm()) {}

    // Below others where the whole table has room, otherwise a new column; one that is longer than any column may
    // begin below the last. None where it must wait for the next sheet.
    FlowColumn* column_for(const Table& table, double width_mm) {
        begin_below_wide_one(width_mm);
        for (FlowColumn& column : columns_) {
            const double right_mm = &column == &columns_.back() ? room_.area.right_mm : column.right_mm;
            if (column.left_mm + width_mm <= right_mm + 1e-9 && rows_in(column, table) == table.rows.size())
                return &column;
        }
        const FlowColumn next = next_column(width_mm);
        const bool fits = next.right_mm <= room_.area.right_mm + 1e-9;
        if (fits && rows_in(next, table) == table.rows.size()) {
            columns_.push_back(next);
            return &columns_.back();
        }
        if (rows_that_fit(table, height_mm_) == table.rows.size()) return nullptr;
        if (!columns_.empty() && rows_in(columns_.back(), table) >= fewest_rows &&
            columns_.back().left_mm + width_mm <= room_.area.right_mm + 1e-9)
            return &columns_.back();
        if (!fits || rows_in(next, table) == 0) return nullptr;
        columns_.push_back(next);
        return &columns_.back();
    }

    std::size_t rows_in(const FlowColumn& column, const Table& table) const {
        return rows_that_fit(table, room_.area.bottom_mm - column.next_mm);
    }

private:
    FlowColumn next_column(double width_mm) const {
        const double left_mm = columns_.empty() ? room_.area.left_mm : columns_.back().right_mm + between_mm;
        const bool higher = room_.higher && left_mm >= room_.higher->x_mm;
        return {left_mm, left_mm + width_mm, higher ? room_.higher->y_mm : room_.area.top_mm};
    }

    // Below a table as wide as the sheet, narrow ones stand side by side.
    void begin_below_wide_one(double width_mm) {
        if (columns_.size() != 1 || next_column(width_mm).right_mm <= room_.area.right_mm + 1e-9) return;
        if (columns_.front().right_mm - columns_.front().left_mm < 2.0 * width_mm + between_mm) return;
        room_.area.top_mm = columns_.front().next_mm;
        room_.higher.reset();
        columns_.clear();
    }

    FlowRoom room_;
    /// Before anything was set.
    double height_mm_;
    std::vector<FlowColumn> columns_;
};

}  // namespace

Table text_table(const std::string& title, const std::vector<std::string>& paragraphs, double width_mm,
                 const TextRuler& ruler) {
    Table table{title, {}, {}, 4.2, width_mm};
    for (const std::string& paragraph : paragraphs)
        for (const std::string& line : ruler.wrapped(paragraph, body_mm, width_mm)) table.rows.push_back({line});
    return table;
}

double width_of(const Table& table, const TextRuler& ruler) {
    if (table.columns.empty()) return std::max(table.text_width_mm, ruler.width_mm(table.title, 3.6, true));
    double sum_mm = 0.0;
    for (const double width : widths_of(table, ruler)) sum_mm += width;
    return std::max(sum_mm, ruler.width_mm(table.title, 3.6, true));
}

double height_of(const Table& table, std::size_t rows) {
    return head_mm(table) + static_cast<double>(rows) * table.row_mm;
}

Flowed flow(const std::vector<Table>& tables, const FlowRoom& room, const std::shared_ptr<const TextRuler>& ruler) {
    const Rectangle& area = room.area;
    Flowed result{Figure(ruler), {}};
    FlowColumns columns(room);
    for (std::size_t t = 0; t < tables.size(); ++t) {
        Table table = tables[t];
        while (!table.rows.empty()) {
            const double width_mm = width_of(table, *ruler);
            if (width_mm > area.width_mm() + 1e-9) throw std::logic_error("a table is wider than its sheet");
            FlowColumn* column = columns.column_for(table, width_mm);
            if (column == nullptr) {
                result.left.push_back(table);
                result.left.insert(result.left.end(), tables.begin() + static_cast<std::ptrdiff_t>(t) + 1,
                                   tables.end());
                return result;
            }
            const std::size_t rows = columns.rows_in(*column, table);
            result.figure.add(piece_of(table, rows, widths_of(table, *ruler), ruler),
                              {column->left_mm, column->next_mm});
            column->next_mm += height_of(table, rows) + below_mm;
            column->right_mm = std::max(column->right_mm, column->left_mm + width_mm);
            table.rows.erase(table.rows.begin(), table.rows.begin() + static_cast<std::ptrdiff_t>(rows));
            constexpr const char* goes_on = ", continued";
            if (!table.title.empty() && !table.title.ends_with(goes_on)) table.title += goes_on;
        }
    }
    return result;
}

}  // namespace reedwright::drawing
