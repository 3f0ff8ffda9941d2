// What reading may see while a command runs for somebody else: texts in memory that stand for files, and the folders
// in which all other files must lie.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace reedwright {

/// While one lives, reading on the thread that made it sees nothing else: read_text_file() and what stands on it, and
/// input_stands(). Without one, reading sees every file. Scopes end in the reverse order of their making; the thread's
/// former scope then holds again. Threads that a command starts do not read.
class ReadingScope {
public:
    struct Content {
        /// As the command names the file; messages show it too.
        std::string name;
        std::string bytes;
    };

    /// Folders that do not stand are passed over.
    ReadingScope(const std::vector<std::filesystem::path>& folders, std::vector<Content> in_memory);
    ~ReadingScope();
    ReadingScope(const ReadingScope&) = delete;
    ReadingScope& operator=(const ReadingScope&) = delete;

    /// The scope of this thread; null when there is none.
    static const ReadingScope* here();

    /// What stands in memory for a file; null when nothing does.
    const std::string* in_memory(const std::filesystem::path& file) const;
    /// Whether a file, all links followed, lies in one of the folders; it need not stand.
    bool holds(const std::filesystem::path& file) const;

private:
    std::vector<std::filesystem::path> folders_;
    std::vector<Content> in_memory_;
    const ReadingScope* former_;
};

/// Whether a file lies in a folder or deeper, all links of both followed; it need not stand.
bool lies_in(const std::filesystem::path& file, const std::filesystem::path& folder);

/// What this thread's scope holds in memory for a file; null when it holds nothing, or there is no scope.
/// Throws InputError when the scope keeps the file from being read.
const std::string* content_in_scope(const std::filesystem::path& file);

/// Whether a file stands, on the disk or in this thread's scope. A file that the scope keeps from being read counts as
/// standing, so that reading it tells why it cannot be read, and nothing is told about the disk.
bool input_stands(const std::filesystem::path& file);

}  // namespace reedwright
