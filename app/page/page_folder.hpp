// The folder that the page works in: its files by name, never one outside.
#pragma once

#include "app/page/question.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace reedwright::app {

/// The page's folder is the current one, so that names, and what is said about them, are as on the command line there.
class PageFolder {
public:
    explicit PageFolder(const std::filesystem::path& folder);
    const std::filesystem::path& path() const { return folder_; }

    /// Why a name cannot stand for a table (.yaml, .yml or .csv) inside the folder (403, or 400 for a name that is
    /// empty, too long, or begins with a dash); empty when it can. Links are followed before it is judged.
    std::optional<Refusal> refusal(const std::string& name) const;

    struct Table {
        std::string path;
        /// "tongue", "design", "readings", "stock" (loose tongues) or "other".
        std::string kind;
        std::string note;
        std::string name;
    };
    /// The tables of the folder and three levels below it, sorted, at most 1000; hidden ones and links to folders are
    /// passed over.
    std::vector<Table> tables() const;

private:
    std::filesystem::path folder_;
};

/// The bytes of a file of ours.
std::string bytes_of_file(const std::filesystem::path& file);

}  // namespace reedwright::app
