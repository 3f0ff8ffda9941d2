// The reader's limits, and what it must take as it comes: a byte order mark, other line endings.
#include "core/input/yaml_reader.hpp"

#include "core/input/section.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <string>
#include <system_error>
#include <vector>

namespace reedwright {
namespace {

namespace fs = std::filesystem;
using testing::EndsWith;
using testing::HasSubstr;

class YamlReader : public testing::Test {
protected:
    void SetUp() override {
        std::string pattern = (fs::temp_directory_path() / "reedwright-yaml-XXXXXX").string();
        ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
        folder_ = pattern;
    }
    void TearDown() override {
        std::error_code ignored;
        fs::remove_all(folder_, ignored);
    }

    fs::path written(const std::string& content) const {
        const fs::path file = folder_ / "input.yaml";
        std::ofstream(file, std::ios::binary) << content;
        return file;
    }
    static std::string refusal_of(const fs::path& file) {
        try {
            (void)read_yaml_file(file);
        } catch (const InputError& error) {
            return error.what();
        }
        return "read without a word";
    }
    static std::string refusal_of_text(const std::string& text) {
        try {
            (void)read_yaml_text("x.yaml", text);
        } catch (const InputError& error) {
            return error.what();
        }
        return "read without a word";
    }
    const fs::path& folder() const { return folder_; }

private:
    fs::path folder_;
};

// The largest this process has ever been.
double most_memory_mib() {
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024.0;
}

std::string repeated(const std::string& piece, std::size_t times) {
    std::string text;
    text.reserve(piece.size() * times);
    for (std::size_t i = 0; i < times; ++i) text += piece;
    return text;
}

TEST_F(YamlReader, AByteOrderMarkIsDropped) {
    const Document document = read_yaml_file(written("\xEF\xBB\xBFnote: A4\n"));
    ASSERT_EQ(document.root.mapping.size(), 1U);
    EXPECT_EQ(document.root.mapping[0].key, "note");
    EXPECT_EQ(document.root.mapping[0].key_place.column, 1);
    EXPECT_EQ(document.root.mapping[0].value.place.column, 7);
    EXPECT_EQ(document.line(1), "note: A4");
}

TEST_F(YamlReader, LinesMayEndWithCarriageReturns) {
    const Document document = read_yaml_file(written("note: A4\r\ntongue:\r\n  length: 15 mm\r\n"));
    ASSERT_EQ(document.root.mapping.size(), 2U);
    EXPECT_EQ(document.root.mapping[0].value.scalar, "A4");
    const Node& tongue = document.root.mapping[1].value;
    ASSERT_EQ(tongue.mapping.size(), 1U);
    EXPECT_EQ(tongue.mapping[0].value.scalar, "15 mm");
    EXPECT_EQ(tongue.mapping[0].value.place.line, 3);
    EXPECT_EQ(tongue.mapping[0].value.place.column, 11);
    EXPECT_EQ(document.line(3), "  length: 15 mm");
}

TEST_F(YamlReader, AFileWithoutALastLineEndIsWhole) {
    EXPECT_EQ(read_yaml_file(written("note: A4")).root.mapping.at(0).value.scalar, "A4");
}

TEST_F(YamlReader, ScalarsStayAsWritten) {
    const Document document =
        read_yaml_text("x.yaml", "a: 1E4\nb: yes\nc: 0x10\nd: 012\ne: \"quoted # text\"\nf: 1_000\n");
    std::vector<std::string> values;
    for (const Node::Entry& entry : document.root.mapping) values.push_back(entry.value.scalar);
    EXPECT_EQ(values, (std::vector<std::string>{"1E4", "yes", "0x10", "012", "quoted # text", "1_000"}));
}

TEST_F(YamlReader, ColumnsCountCharactersNotBytes) {
    const Document document = read_yaml_text("x.yaml", "{\u00e4\u00f6: \u20ac\u00b5, \U0001d11e: x}\n");
    const auto& entries = document.root.mapping;
    ASSERT_EQ(entries.size(), 2U);
    EXPECT_EQ(entries[0].key_place.column, 2);
    EXPECT_EQ(entries[0].value.place.column, 6);
    EXPECT_EQ(entries[1].key_place.column, 10);
    EXPECT_EQ(entries[1].value.place.column, 13);
}

TEST_F(YamlReader, AValueLeftOutIsPlacedAtItsKeyOrDash) {
    const Document document =
        read_yaml_text("x.yaml", "a:\n\n# nothing\nb: ~\nc:\n  -   # left out\n\n  - 2\nnullable: 1\nlast:\n");
    const auto& entries = document.root.mapping;
    ASSERT_EQ(entries.size(), 5U);
    EXPECT_EQ(entries[0].value.place.line, 1);
    EXPECT_EQ(entries[0].value.place.column, 1);
    EXPECT_EQ(entries[1].value.place.line, 4);
    EXPECT_EQ(entries[1].value.place.column, 4);
    ASSERT_EQ(entries[2].value.list.size(), 2U);
    EXPECT_EQ(entries[2].value.list[0].place.line, 6);
    EXPECT_EQ(entries[2].value.list[0].place.column, 3);
    EXPECT_EQ(entries[4].value.place.line, 10);
}

TEST_F(YamlReader, WhatIsNoRegularFileIsRefusedByName) {
    const fs::path missing = folder() / "missing.yaml";
    EXPECT_EQ(refusal_of(missing), missing.string() + ": there is no such file");
    EXPECT_EQ(refusal_of(folder()), folder().string() + ": is a folder, not a file");
    EXPECT_EQ(refusal_of("/dev/zero"), "/dev/zero: is a device or a pipe, not a regular file");
    const fs::path below = written("note: A4\n") / "below.yaml";
    EXPECT_EQ(refusal_of(below), below.string() + ": there is no such file");
    const std::string endless(5000, 'x');
    EXPECT_THAT(refusal_of(endless), HasSubstr("cannot be read: "));
    const fs::path pipe = folder() / "pipe";
    ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
    EXPECT_EQ(refusal_of(pipe), pipe.string() + ": is a device or a pipe, not a regular file");
    fs::create_symlink("loop", folder() / "loop");
    EXPECT_THAT(refusal_of(folder() / "loop"), HasSubstr("loop: cannot be read: "));
}

TEST_F(YamlReader, AFileAboveFourMebibytesIsRefusedAndOneJustBelowIsRead) {
    const std::string line = "# " + std::string(1021, 'x') + "\n";
    const std::string sound = "note: A4\n";
    EXPECT_THAT(refusal_of(written(sound + repeated(line, 5 * 1024))), EndsWith("is larger than the 4 MiB allowed"));
    EXPECT_EQ(read_yaml_file(written(sound + repeated(line, 4 * 1024 - 1))).root.mapping.size(), 1U);
}

TEST_F(YamlReader, MoreThan200000ValuesAreRefusedWhereTheyAreTooMany) {
    const fs::path file = written("a: [" + repeated("1, ", 300'000) + "1]\n");
    // The mapping, its key and the list are values too; 199 997 numbers of three characters go before the one too many.
    EXPECT_THAT(refusal_of(file),
                testing::StartsWith(file.string() + ":1:599996: more than 200000 values in one file"));
    EXPECT_EQ(read_yaml_text("x.yaml", "a: [" + repeated("1, ", 199'000) + "1]\n").root.mapping.at(0).value.list.size(),
              199'001U);
}

TEST_F(YamlReader, MoreThan200000LinesAreRefused) {
    EXPECT_EQ(refusal_of_text(repeated("\n", 300'000)), "x.yaml: has more than the 200000 lines allowed");
}

TEST_F(YamlReader, TwelveLevelsAreReadAndThirteenRefused) {
    EXPECT_EQ(read_yaml_text("x.yaml", std::string(12, '[') + std::string(12, ']')).root.list.size(), 1U);
    EXPECT_THAT(refusal_of_text(std::string(13, '[') + std::string(13, ']')),
                testing::StartsWith("x.yaml:1:13: nested deeper than 12 levels"));
    EXPECT_THAT(refusal_of_text(repeated("- ", 100'000) + "x"), HasSubstr("nested deeper than 12 levels"));
    EXPECT_THAT(refusal_of_text(repeated("? ", 100'000) + "x"), HasSubstr("a key must be plain text"));
}

TEST_F(YamlReader, AMillionOpenBracketsEndSoonAndNotInACrash) {
    const std::string open(1'000'000, '[');
    const std::string closed(1'000'000, ']');
    // Work that grew as the square of the text would run into the time limit of the test program.
    EXPECT_THAT(refusal_of_text("a: " + open + "\n"), HasSubstr("this [ is not closed"));
    EXPECT_THAT(refusal_of_text("a: " + open + closed), HasSubstr("nested deeper than 12 levels"));
}

TEST_F(YamlReader, AnAliasBombIsRefusedAtOnceAndGrowsNothing) {
    std::string bomb = "a: &a [" + repeated("x, ", 9) + "x]\n";
    for (char name = 'b'; name <= 'z'; ++name)
        bomb += std::string(1, name) + ": &" + name + " [" +
                repeated(std::string("*") + static_cast<char>(name - 1) + ", ", 9) + "x]\n";
    const double before = most_memory_mib();
    // Ten to the power of 26 values if it went off.
    EXPECT_THAT(refusal_of_text(bomb), HasSubstr("anchors and aliases are not taken"));
    EXPECT_LT(most_memory_mib() - before, 16.0);
}

TEST_F(YamlReader, AnchorsAreRefusedWhereverTheyStand) {
    for (const std::string text : {"&a x: 1\n", "x: &a 1\n", "x: &a [1]\n", "x: &a {y: 1}\n", "x: &a\n", "- &a x\n",
                                   "x: *a\n", "&a\nx: 1\n", "x: [*a]\n", "<<: *a\n"})
        EXPECT_THAT(refusal_of_text(text), HasSubstr("anchors and aliases are not taken")) << text;
}

TEST_F(YamlReader, TagsAreRefusedWhereverTheyStand) {
    for (const std::string text : {"!!str x: 1\n", "x: !!float 1\n", "x: !own {y: 1}\n",
                                   "x: !<tag:example.org,2000:y> [1]\n", "--- !!map\nx: 1\n"})
        EXPECT_THAT(refusal_of_text(text), HasSubstr("tags are not taken")) << text;
}

TEST_F(YamlReader, OneLineOfVeryManyFaultsIsToldInLittleTimeAndMemory) {
    std::string text = "{";
    for (int i = 0; i < 90'000; ++i) text += "unknown" + std::to_string(i) + ": 1, ";
    text += "last: 1}";
    const double before = most_memory_mib();
    std::string told;
    const Document document = read_yaml_text("x.yaml", text);
    Faults faults(document);
    Section root(faults, document.root, "");
    root.close();
    try {
        faults.throw_if_any();
    } catch (const InputError& error) {
        told = error.what();
    }
    EXPECT_THAT(told, EndsWith("\nand 89951 more"));
    EXPECT_LT(told.size(), 20'000U);
    // Quadratic work would take minutes, the time limit of the test program, and a copy of the line for each fault
    // 150 GiB.
    EXPECT_LT(most_memory_mib() - before, 300.0);
}

TEST_F(YamlReader, AsManyRepeatedKeysAsAFileMayHaveAreTold) {
    // Nearly as many values as a file may have.
    const std::string text = repeated("a: 1\n", 90'000);
    EXPECT_EQ(read_yaml_text("x.yaml", text).faults.size(), 89'999U);
}

TEST_F(YamlReader, BytesThatAreNoTextAreRefusedWithTheirLine) {
    EXPECT_THAT(refusal_of(written("a: 1\nb: \xFF\n")),
                EndsWith("line 2 is not UTF-8 text (byte 0xff); save the file as UTF-8"));
    // Overlong, a surrogate, beyond the last code point, cut short.
    for (const std::string bytes : {"\xC0\xAF", "\xE0\x80\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\x80"})
        EXPECT_THAT(refusal_of(written("a: 1\n" + bytes)), HasSubstr("line 2 is not UTF-8 text"));
    EXPECT_THAT(refusal_of(written("\xFF\xFEn\0o\0")), HasSubstr("line 1 is not UTF-8 text"));
}

TEST_F(YamlReader, ControlCharactersAreRefusedWithTheirLine) {
    EXPECT_THAT(refusal_of_text(std::string("a: 1\nb: \0\n", 10)),
                EndsWith("line 2 holds a control character (byte 0x00); save the file as plain text in UTF-8"));
    // The parser would take this one for the end of the file, and lose what follows.
    EXPECT_THAT(refusal_of_text("a: 1\n\x04\nb: 2\n"), HasSubstr("line 2 holds a control character (byte 0x04)"));
    EXPECT_THAT(refusal_of_text("a: \x1b[31m\n"), HasSubstr("control character (byte 0x1b)"));
}

TEST_F(YamlReader, WhatSteersATerminalIsNotPassedOnFromAQuotedText) {
    const Document document = read_yaml_text("x.yaml", "\"a\\e[31m\\nb\\u009b1m\": 1\n");
    Faults faults(document);
    Section root(faults, document.root, "");
    root.close();
    try {
        faults.throw_if_any();
        FAIL() << "an unknown key was taken";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), testing::StartsWith("x.yaml:1:1: unknown key 'a?[31m?b?1m'\n"));
    }
}

TEST_F(YamlReader, AValueOfAMegabyteIsNotToldWhole) {
    const std::string value(1'000'000, 'x');
    const Document document = read_yaml_text("x.yaml", "length: " + value + "\n");
    Faults faults(document);
    Section root(faults, document.root, "");
    EXPECT_FALSE(root.required<Length>("length", {1.0 * millimetre, 2.0 * millimetre}));
    try {
        faults.throw_if_any();
        FAIL() << "a megabyte of letters was taken for a length";
    } catch (const InputError& error) {
        EXPECT_LT(std::string(error.what()).size(), 2000U);
    }
}

TEST_F(YamlReader, KeysThatAreNoPlainTextAreRefused) {
    for (const std::string text : {"[a, b]: 1\n", "{a: b}: 1\n", "? [a]\n: 1\n", "~: 1\n", ": 1\n"})
        EXPECT_THAT(refusal_of_text(text), HasSubstr("a key must be plain text")) << text;
}

TEST_F(YamlReader, ABracketThatIsNotClosedIsToldWhereItOpens) {
    for (const std::string text : {"a: [\n", "a: {b\n", "a: [1, 2\n", "a: [']'\n", "a: [ # ]\n"})
        EXPECT_THAT(refusal_of_text(text), testing::MatchesRegex("x\\.yaml:1:4: this [[{] is not closed\n(.|\n)*"))
            << text;
    EXPECT_THAT(refusal_of_text("[1, 2\n"), testing::StartsWith("x.yaml:1:1: this [ is not closed"));
    EXPECT_THAT(refusal_of_text("{a: 1\n"), testing::StartsWith("x.yaml:1:1: this { is not closed"));
    EXPECT_THAT(refusal_of_text("a: [\"x\", [y\n"), HasSubstr(" is not closed"));
}

TEST_F(YamlReader, QuotesThatAreNotClosedAreToldWhereTheyOpen) {
    for (const std::string text : {"a: \"b\n", "a: 'b\n", "a: \"b\nc: d\n", "a: 'it''s\n", "a: \"b\\\"\n"})
        EXPECT_THAT(refusal_of_text(text), testing::StartsWith("x.yaml:1:4: a quoted text is not closed before"))
            << text;
    EXPECT_EQ(read_yaml_text("x.yaml", "a: 'it''s'\nb: \"two\n  lines\"\n").root.mapping.at(1).value.scalar,
              "two lines");
}

TEST_F(YamlReader, OneFileHoldsOneDocument) {
    EXPECT_EQ(read_yaml_text("x.yaml", "---\na: 1\n...\n").root.mapping.size(), 1U);
    EXPECT_EQ(read_yaml_text("x.yaml", "%YAML 1.2\n---\na: 1\n").root.mapping.size(), 1U);
    EXPECT_THAT(refusal_of_text("a: 1\n---\nb: 2\n"), testing::StartsWith("x.yaml:2:1: a second document starts here"));
    EXPECT_THAT(refusal_of_text("a: 1\n---\nb: &c 2\n"),
                testing::StartsWith("x.yaml:2:1: a second document starts here"));
    EXPECT_THAT(refusal_of_text("{a: 1}\nb: 2\n"),
                testing::StartsWith("x.yaml:2:1: this does not belong to what stands above it"));
    for (const std::string text : {"", "\n\n", "# nothing\n", "---\n", "~\n"})
        EXPECT_EQ(refusal_of_text(text), "x.yaml: the file holds nothing") << text;
}

}  // namespace
}  // namespace reedwright
