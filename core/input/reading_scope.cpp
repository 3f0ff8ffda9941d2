#include "core/input/reading_scope.hpp"

#include "core/input/diagnostic.hpp"

#include <algorithm>
#include <system_error>

namespace reedwright {

namespace {

thread_local const ReadingScope* scope_here = nullptr;

}  // namespace

bool lies_in(const std::filesystem::path& file, const std::filesystem::path& folder) {
    std::error_code error;
    const auto real_folder = std::filesystem::canonical(folder, error);
    if (error) return false;
    // A path whose first part does not stand would stay relative.
    const auto from_root = std::filesystem::absolute(file, error);
    if (error) return false;
    const auto real_file = std::filesystem::weakly_canonical(from_root, error);
    if (error) return false;
    const auto [end_of_folder, rest] =
        std::mismatch(real_folder.begin(), real_folder.end(), real_file.begin(), real_file.end());
    return end_of_folder == real_folder.end() && rest != real_file.end();
}

ReadingScope::ReadingScope(const std::vector<std::filesystem::path>& folders, std::vector<Content> in_memory)
    : in_memory_(std::move(in_memory)), former_(scope_here) {
    for (const auto& folder : folders) {
        std::error_code error;
        auto real = std::filesystem::canonical(folder, error);
        if (!error) folders_.push_back(std::move(real));
    }
    scope_here = this;
}

ReadingScope::~ReadingScope() {
    scope_here = former_;
}

const ReadingScope* ReadingScope::here() {
    return scope_here;
}

const std::string* ReadingScope::in_memory(const std::filesystem::path& file) const {
    const auto found = std::find_if(in_memory_.begin(), in_memory_.end(),
                                    [&](const Content& content) { return content.name == file.string(); });
    return found == in_memory_.end() ? nullptr : &found->bytes;
}

bool ReadingScope::holds(const std::filesystem::path& file) const {
    return std::any_of(folders_.begin(), folders_.end(),
                       [&](const std::filesystem::path& folder) { return lies_in(file, folder); });
}

const std::string* content_in_scope(const std::filesystem::path& file) {
    const ReadingScope* scope = ReadingScope::here();
    if (scope == nullptr) return nullptr;
    if (const std::string* content = scope->in_memory(file); content != nullptr) return content;
    if (!scope->holds(file))
        throw InputError({Diagnostic{
            Place{file.string(), 0, 0}, "lies outside the folder at work", {}, "put the file into that folder"}});
    return nullptr;
}

bool input_stands(const std::filesystem::path& file) {
    const ReadingScope* scope = ReadingScope::here();
    if (scope != nullptr && (scope->in_memory(file) != nullptr || !scope->holds(file))) return true;
    std::error_code error;
    return std::filesystem::exists(file, error);
}

}  // namespace reedwright
