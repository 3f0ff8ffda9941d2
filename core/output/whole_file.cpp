#include "core/output/whole_file.hpp"

#include "core/input/diagnostic.hpp"
#include "core/output/descriptor.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <system_error>
#include <utility>

namespace reedwright {

namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(const fs::path& path, const std::string& what, std::string hint = {}) {
    throw InputError({Diagnostic{Place{path.string(), 0, 0}, what, {}, std::move(hint)}});
}

std::string reason() {
    return std::error_code(errno, std::generic_category()).message();
}

// Removes what was begun unless it was finished.
class Scrap {
public:
    explicit Scrap(fs::path path) : path_(std::move(path)) {}
    ~Scrap() {
        std::error_code ignored;
        if (!path_.empty()) fs::remove_all(path_, ignored);
    }
    Scrap(const Scrap&) = delete;
    Scrap& operator=(const Scrap&) = delete;
    void keep() { path_.clear(); }

private:
    fs::path path_;
};

fs::path beside(const fs::path& target) {
    const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
    return folder / fmt::format(".{}.{}.part", target.filename().string(), ::getpid());
}

// The name by which errors speak of a file is the one the user gave, not the temporary one.
void write_synced(const fs::path& file, const fs::path& spoken_of, std::string_view content) {
    Descriptor descriptor(::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666));
    if (descriptor.number() < 0) refuse(spoken_of, "cannot be written: " + reason());
    while (!content.empty()) {
        const ssize_t written = ::write(descriptor.number(), content.data(), content.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) refuse(spoken_of, "cannot be written: " + reason());
        content.remove_prefix(static_cast<std::size_t>(written));
    }
    if (::fsync(descriptor.number()) != 0 || !descriptor.close_now())
        refuse(spoken_of, "cannot be written: " + reason());
}

void require_folder_for(const fs::path& target) {
    std::error_code error;
    const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
    if (!fs::is_directory(folder, error))
        refuse(target, fmt::format("there is no folder {} to write into", folder.string()));
}

}  // namespace

void write_whole_file(const fs::path& file, std::string_view content, Existing existing) {
    require_folder_for(file);
    std::error_code error;
    if (fs::is_directory(file, error)) refuse(file, "is a folder, not a file");
    const fs::path part = beside(file);
    fs::remove(part, error);
    Scrap scrap(part);
    write_synced(part, file, content);
    if (existing == Existing::replace) {
        if (std::rename(part.c_str(), file.c_str()) != 0) refuse(file, "cannot be written: " + reason());
        scrap.keep();
        return;
    }
    // A hard link fails where the name is taken, so nothing can slip in between a look and the move.
    if (::link(part.c_str(), file.c_str()) != 0) {
        if (errno == EEXIST) refuse(file, "stands already", "say --replace to write over it, or choose another name");
        refuse(file, "cannot be written: " + reason());
    }
}

void write_whole_folder(const fs::path& given, const std::vector<FileContent>& files, Existing existing,
                        const std::string& marker) {
    // "out/" and "out" are the same folder.
    const fs::path folder = given.has_filename() ? given : given.parent_path();
    require_folder_for(folder);
    std::error_code error;
    const bool stands = fs::exists(fs::symlink_status(folder, error));
    if (stands && existing == Existing::keep)
        refuse(folder, "stands already", "say --replace to write it anew, or choose another name");
    if (stands && (!fs::is_directory(folder, error) || !fs::exists(folder / marker, error)))
        refuse(folder, fmt::format("was not written by this program (it holds no {})", marker), "choose another name");
    const fs::path part = beside(folder);
    fs::remove_all(part, error);
    Scrap scrap(part);
    if (!fs::create_directory(part, error)) refuse(folder, "cannot be written: " + error.message());
    for (const FileContent& file : files) write_synced(part / file.name, folder / file.name, file.content);
    const unsigned how = stands ? RENAME_EXCHANGE : RENAME_NOREPLACE;
    if (::renameat2(AT_FDCWD, part.c_str(), AT_FDCWD, folder.c_str(), how) != 0)
        refuse(folder, "cannot be written: " + reason());
    // After an exchange the old folder stands under the temporary name, and goes.
    if (!stands) scrap.keep();
}

}  // namespace reedwright
