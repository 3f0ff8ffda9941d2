// Files and folders that are written whole or not at all.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace reedwright {

/// Whether a file or folder that stands already may be replaced.
enum class Existing { keep, replace };

/// Writes a file through a temporary one beside it that is moved into place when complete, so that a
/// reader sees the old content, or the new, never half. A link is followed to the regular file it leads to,
/// and stays a link. A file that takes another's place has its permissions. Throws InputError when the file stands
/// already and is to be kept, is no regular file (a folder, a device, a pipe, a socket, a link to nowhere), or cannot
/// be written; nothing is then left behind. What a killed run left half written beside the file is cleared away.
void write_whole_file(const std::filesystem::path& given, std::string_view content, Existing existing);

struct FileContent {
    std::string name;
    std::string content;
};

/// Writes a folder of files likewise. A folder that stands already is replaced only if it holds the
/// file named by marker, so that nobody's own folder is ever taken away.
void write_whole_folder(const std::filesystem::path& given, const std::vector<FileContent>& files, Existing existing,
                        const std::string& marker);

/// Throws what writing there would throw before its first byte, for those who have long work to do first.
void foresee_whole_file(const std::filesystem::path& given, Existing existing);
void foresee_whole_folder(const std::filesystem::path& given, Existing existing, const std::string& marker);

}  // namespace reedwright
