// The strict reader of tables. Its messages are held exactly in tests/bad_readings.
#include "core/input/csv_reader.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <string>

namespace reedwright {
namespace {

std::string refusal(const std::string& text) {
    try {
        (void)read_csv_text("table.csv", text);
    } catch (const InputError& error) {
        return error.what();
    }
    return "read without a word";
}

TEST(CsvReader, Fields_lose_their_blanks_and_quotes_and_keep_their_place) {
    const CsvTable table = read_csv_text("table.csv", "cell,row\n\n  # a comment\n 1 , \"a, \"\"b\"\"\" \n2,F#4\n");
    ASSERT_EQ(table.rows.size(), 2U);
    EXPECT_EQ(table.rows[0].fields[0].text, "1");
    EXPECT_EQ(table.rows[0].fields[1].text, "a, \"b\"");
    EXPECT_EQ(table.rows[0].fields[1].place.line, 4);
    EXPECT_EQ(table.rows[0].fields[1].place.column, 6);
    EXPECT_EQ(table.rows[1].fields[1].text, "F#4");
}

TEST(CsvReader, A_byte_order_mark_and_both_line_ends_change_nothing) {
    for (const char* text : {"a,b\n1,2\n", "a,b\r\n1,2\r\n",
                             "\xEF\xBB\xBF"
                             "a,b\r\n1,2",
                             "a,b\n1,2"}) {
        const CsvTable table = read_csv_text("table.csv", text);
        EXPECT_EQ(table.header.fields[0].text, "a") << text;
        ASSERT_EQ(table.rows.size(), 1U) << text;
        EXPECT_EQ(table.rows[0].fields[1].text, "2") << text;
    }
}

TEST(CsvReader, An_empty_field_is_a_field) {
    const CsvTable table = read_csv_text("table.csv", "a,b,c\n,,\n1,,\"\"\n");
    ASSERT_EQ(table.rows.size(), 2U);
    for (const CsvRow& row : table.rows) EXPECT_EQ(row.fields.size(), 3U);
}

TEST(CsvReader, Columns_count_characters_and_not_bytes) {
    const CsvTable table = read_csv_text("table.csv", "a,b\n\u00e4\u00f6\u00fc,x\n");
    EXPECT_EQ(table.rows[0].fields[1].place.column, 5);
}

TEST(CsvReader, Size_is_limited) {
    EXPECT_THAT(refusal(std::string(100'001, '\n')), testing::HasSubstr("more than the 100000 lines allowed"));
    EXPECT_THAT(refusal("a" + std::string(100, ',') + "\n"), testing::HasSubstr("more than the 64 fields allowed"));
}

TEST(CsvReader, All_faulty_rows_are_told_at_once) {
    const std::string told = refusal("a,b\n1\n1,2\n1,2,3\n\"1,2\n");
    EXPECT_THAT(told, testing::HasSubstr("table.csv:2:1: has 1 field, but the header has 2"));
    EXPECT_THAT(told, testing::HasSubstr("table.csv:4:1: has 3 fields"));
    EXPECT_THAT(told, testing::HasSubstr("table.csv:5:1: this quote is not closed"));
    EXPECT_THAT(told, testing::Not(testing::HasSubstr("table.csv:3:")));
}

}  // namespace
}  // namespace reedwright
