#include "core/output/whole_file.hpp"

#include "core/input/diagnostic.hpp"
#include "core/output/descriptor.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <optional>
#include <system_error>
#include <utility>

namespace reedwright {

namespace {

namespace fs = std::filesystem;

constexpr const char* stands_already = "stands already";

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

// The temporary name: hidden, and short enough where the target's own name is as long as names may be.
struct PartName {
    fs::path folder;
    std::string start;

    explicit PartName(const fs::path& target)
        : folder(target.has_parent_path() ? target.parent_path() : fs::path(".")),
          start(fmt::format(".{}.", target.filename().string().substr(0, 200))) {}
    fs::path mine() const { return folder / fmt::format("{}{}{}", start, ::getpid(), end); }
    bool fits(const std::string& name) const {
        return name.size() > start.size() + end.size() && name.starts_with(start) && name.ends_with(end) &&
               name.find_first_not_of("0123456789", start.size()) == name.size() - end.size();
    }

    static constexpr std::string_view end = ".part";
};

bool lock(const Descriptor& part) {
    // Where the file system knows no locks, nobody else takes one either.
    return ::flock(part.number(), LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK;
}

// Clears away what killed runs left: a part that a living run writes is locked.
void clear_litter(const PartName& part) {
    std::error_code error;
    std::vector<fs::path> found;
    for (fs::directory_iterator at(part.folder, error), none; !error && at != none; at.increment(error))
        if (part.fits(at->path().filename().string())) found.push_back(at->path());
    for (const fs::path& path : found) {
        const auto type = fs::symlink_status(path, error).type();
        if (type != fs::file_type::regular && type != fs::file_type::directory) continue;
        const Descriptor descriptor(::open(path.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC));
        if (descriptor.number() < 0 || ::flock(descriptor.number(), LOCK_EX | LOCK_NB) != 0) continue;
        fs::remove_all(path, error);
    }
}

void write_all(const Descriptor& descriptor, const fs::path& spoken_of, std::string_view content) {
    while (!content.empty()) {
        const ssize_t written = ::write(descriptor.number(), content.data(), content.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) refuse(spoken_of, "cannot be written: " + reason());
        content.remove_prefix(static_cast<std::size_t>(written));
    }
    if (::fsync(descriptor.number()) != 0) refuse(spoken_of, "cannot be written: " + reason());
}

// Who may read and write what stands there.
std::optional<mode_t> permissions_of(const fs::path& path) {
    struct stat found {};
    return ::stat(path.c_str(), &found) == 0 ? std::optional<mode_t>(found.st_mode & 07777U) : std::nullopt;
}

// What takes the place of another is for its owner alone at first, so that nobody reads it who could not before.
Descriptor created(const fs::path& file, const fs::path& spoken_of, std::optional<mode_t> permissions) {
    const int number = ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, permissions ? 0600 : 0666);
    if (number < 0) refuse(spoken_of, "cannot be written: " + reason());
    return Descriptor(number);
}

void take_over(std::optional<mode_t> permissions, const Descriptor& descriptor, const fs::path& spoken_of) {
    if (permissions && ::fchmod(descriptor.number(), *permissions) != 0)
        refuse(spoken_of, "cannot be written: " + reason());
}

// A name in a folder lasts through a power cut only when the folder is on the disk as well.
void sync_folder(const fs::path& folder) {
    const Descriptor descriptor(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (descriptor.number() >= 0) ::fsync(descriptor.number());
}

// Some file systems and old kernels know only the plain rename.
bool knows_plain_renames_only() {
    return errno == EINVAL || errno == ENOSYS;
}

// Gives a part a name that nothing has; where the system cannot look and rename in one step, in two.
int rename_to_free(const fs::path& part, const fs::path& target) {
    if (::renameat2(AT_FDCWD, part.c_str(), AT_FDCWD, target.c_str(), RENAME_NOREPLACE) == 0) return 0;
    if (!knows_plain_renames_only()) return -1;
    struct stat found {};
    if (::lstat(target.c_str(), &found) == 0) {
        errno = EEXIST;
        return -1;
    }
    return std::rename(part.c_str(), target.c_str());
}

// Changes a folder for the one that stands; where the system cannot in one step, in three by way of a free name.
// Killed between those, the old folder is left under that name, which nothing clears away.
int exchange(const fs::path& part, const fs::path& target) {
    if (::renameat2(AT_FDCWD, part.c_str(), AT_FDCWD, target.c_str(), RENAME_EXCHANGE) == 0) return 0;
    if (!knows_plain_renames_only()) return -1;
    fs::path aside = part;
    aside += ".old";
    if (std::rename(target.c_str(), aside.c_str()) != 0) return -1;
    if (std::rename(part.c_str(), target.c_str()) != 0) {
        const int failure = errno;
        (void)std::rename(aside.c_str(), target.c_str());
        errno = failure;
        return -1;
    }
    return std::rename(aside.c_str(), part.c_str());
}

std::string kind_of(fs::file_type type) {
    switch (type) {
        case fs::file_type::directory:
            return "a folder";
        case fs::file_type::regular:
            return "a file";
        case fs::file_type::block:
        case fs::file_type::character:
            return "a device";
        case fs::file_type::fifo:
            return "a pipe";
        case fs::file_type::socket:
            return "a socket";
        default:
            return "something else";
    }
}

struct Target {
    fs::path path;
    bool stands = false;
};

// Where the content goes: the place that was named, or, behind links, the one they lead to. What stands there and is
// not of the kind due is refused: moved into place, the new file would take its name away from a device or a pipe.
Target target_of(const fs::path& named, fs::file_type due) {
    std::error_code error;
    const fs::path folder = named.has_parent_path() ? named.parent_path() : fs::path(".");
    if (!fs::is_directory(folder, error))
        refuse(named, fmt::format("there is no folder {} to write into", folder.string()));
    Target target{named, true};
    const fs::file_status own = fs::symlink_status(named, error);
    if (own.type() == fs::file_type::not_found) return {named, false};
    if (own.type() == fs::file_type::none) refuse(named, "cannot be written: " + error.message());
    if (own.type() == fs::file_type::symlink) {
        target.path = fs::canonical(named, error);
        if (error)
            refuse(named, "is a link that leads nowhere: " + error.message(), "remove it, or choose another name");
    }
    const fs::file_type type = fs::status(target.path, error).type();
    if (type != due) refuse(named, fmt::format("is {}, not {}", kind_of(type), kind_of(due)));
    return target;
}

Target file_target(const fs::path& given, Existing existing) {
    Target target = target_of(given, fs::file_type::regular);
    if (target.stands && existing == Existing::keep)
        refuse(given, stands_already, "say --replace to write over it, or choose another name");
    return target;
}

// "out/" and "out" are the same folder.
fs::path without_slash(const fs::path& given) {
    return given.has_filename() ? given : given.parent_path();
}

Target folder_target(const fs::path& named, Existing existing, const std::string& marker) {
    Target target = target_of(named, fs::file_type::directory);
    if (target.stands && existing == Existing::keep)
        refuse(named, stands_already, "say --replace to write it anew, or choose another name");
    std::error_code error;
    if (target.stands && !fs::is_regular_file(target.path / marker, error))
        refuse(named, fmt::format("was not written by this program (it holds no {})", marker), "choose another name");
    return target;
}

}  // namespace

void foresee_whole_file(const fs::path& given, Existing existing) {
    (void)file_target(given, existing);
}

void foresee_whole_folder(const fs::path& given, Existing existing, const std::string& marker) {
    (void)folder_target(without_slash(given), existing, marker);
}

void write_whole_file(const fs::path& given, std::string_view content, Existing existing) {
    const Target target = file_target(given, existing);
    const PartName name(target.path);
    clear_litter(name);
    const fs::path part = name.mine();
    const std::optional<mode_t> permissions = target.stands ? permissions_of(target.path) : std::nullopt;
    const Descriptor descriptor = created(part, given, permissions);
    Scrap scrap(part);
    if (!lock(descriptor)) refuse(given, "cannot be written: another run clears away what stands beside it");
    take_over(permissions, descriptor, given);
    write_all(descriptor, given, content);
    if (existing == Existing::replace) {
        if (std::rename(part.c_str(), target.path.c_str()) != 0) refuse(given, "cannot be written: " + reason());
        scrap.keep();
    } else if (::link(part.c_str(), target.path.c_str()) != 0) {
        // A hard link fails where the name was taken after the look above; not every file system has them.
        if (errno == EPERM || errno == EOPNOTSUPP) errno = rename_to_free(part, target.path) == 0 ? 0 : errno;
        if (errno == EEXIST) refuse(given, stands_already, "say --replace to write over it, or choose another name");
        if (errno != 0) refuse(given, "cannot be written: " + reason());
        scrap.keep();
    }
    sync_folder(name.folder);
}

void write_whole_folder(const fs::path& given, const std::vector<FileContent>& files, Existing existing,
                        const std::string& marker) {
    const fs::path named = without_slash(given);
    const Target target = folder_target(named, existing, marker);
    const PartName name(target.path);
    clear_litter(name);
    const fs::path part = name.mine();
    const std::optional<mode_t> permissions = target.stands ? permissions_of(target.path) : std::nullopt;
    if (::mkdir(part.c_str(), permissions ? 0700 : 0777) != 0) refuse(named, "cannot be written: " + reason());
    Scrap scrap(part);
    const Descriptor held(::open(part.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
    if (held.number() < 0 || !lock(held)) refuse(named, "cannot be written: " + reason());
    for (const FileContent& file : files) {
        const fs::path spoken_of = named / file.name;
        const auto old_permissions = target.stands ? permissions_of(target.path / file.name) : std::nullopt;
        const Descriptor descriptor = created(part / file.name, spoken_of, old_permissions);
        take_over(old_permissions, descriptor, spoken_of);
        write_all(descriptor, spoken_of, file.content);
    }
    take_over(permissions, held, named);
    sync_folder(part);
    if ((target.stands ? exchange(part, target.path) : rename_to_free(part, target.path)) != 0)
        refuse(named, "cannot be written: " + reason());
    sync_folder(name.folder);
    // After an exchange the old folder stands under the temporary name, and goes.
    if (!target.stands) scrap.keep();
}

}  // namespace reedwright
