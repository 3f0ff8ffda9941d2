// Strict YAML: the one door through which files come in.
#pragma once

#include "core/input/node.hpp"

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

namespace reedwright {

/// The text of a regular file of at most limit_bytes.
/// Throws InputError, naming the file, when it is missing, a folder, a device or pipe, unreadable,
/// too large, or not UTF-8; a byte order mark is dropped.
std::string read_text_file(const std::filesystem::path& file, std::size_t limit_bytes);

/// A text that did not come from a file, held to the same: at most limit_bytes, UTF-8, a byte order mark dropped.
/// Throws InputError, naming the source.
std::string checked_text(const std::string& source_name, std::string text, std::size_t limit_bytes);

/// The largest table or YAML text that is read.
inline constexpr std::size_t largest_text_bytes = std::size_t{4} << 20U;

/// Parses one YAML document into nodes. What a hostile or mistaken file could hide is refused:
/// repeated keys, anchors and aliases, tags, several documents, nesting beyond 12 levels, more than
/// 200 000 values or lines, files over 4 MiB, keys that are not plain text, control characters.
/// Throws InputError. The text must be UTF-8.
Document read_yaml_file(const std::filesystem::path& file);
Document read_yaml_text(std::string source_name, std::string_view text);

}  // namespace reedwright
