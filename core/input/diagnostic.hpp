// What is wrong with an input, where, and what to write instead.
#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <vector>

namespace reedwright {

/// A place in an input: a file with line and column (counted from 1, columns in characters), or an
/// option of the command line, whose line is 0.
struct Place {
    std::string source;
    int line = 0;
    int column = 0;
};

struct Diagnostic {
    Place place;
    /// "tongue.thickness: 12 mm is outside 0.01 mm to 1.5 mm"
    std::string message;
    /// The line as it stands in the file; empty for an option.
    std::string source_line;
    /// "did you mean 0.12 mm?"; may be empty.
    std::string hint;
};

/// Of many faults only the first are shown, and the rest counted.
inline constexpr std::size_t most_shown_diagnostics = 50;

/// The diagnostic as a person reads it: place and message, the source line, a caret under the
/// column, the hint. Control characters and bytes that are not UTF-8 are shown as '?'. Ends without a newline.
std::string to_text(const Diagnostic& diagnostic);

/// All the faults of an input at once. Nothing has been written when it is thrown.
class InputError : public std::runtime_error {
public:
    explicit InputError(std::vector<Diagnostic> diagnostics);
    /// One fault without a place in a file.
    explicit InputError(const std::string& message, std::string hint = {});
    const std::vector<Diagnostic>& diagnostics() const { return diagnostics_; }

private:
    std::vector<Diagnostic> diagnostics_;
};

}  // namespace reedwright
