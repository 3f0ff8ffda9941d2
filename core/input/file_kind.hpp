// Which of the program's files a YAML file is meant to be.
#pragma once

#include "core/input/node.hpp"

namespace reedwright {

enum class FileKind { tongue, design, other };

/// By its keys: a tongue file has 'tongue', a design 'reeds' or 'layout'. A file with both is neither.
FileKind kind_of(const Document& document);

/// Throws InputError, one fault at the key that tells, if a file is plainly the other kind than the wanted one;
/// anything else is left to whoever reads it.
void refuse_other_kind(const Document& document, FileKind wanted);

}  // namespace reedwright
