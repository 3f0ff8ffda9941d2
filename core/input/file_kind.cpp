#include "core/input/file_kind.hpp"

#include <initializer_list>
#include <string_view>

namespace reedwright {

namespace {

const Node::Entry* entry_of(const Node& node, std::initializer_list<std::string_view> keys) {
    for (const Node::Entry& entry : node.mapping)
        for (const std::string_view key : keys)
            if (entry.key == key) return &entry;
    return nullptr;
}

const Node::Entry* of_a_tongue(const Document& document) {
    return entry_of(document.root, {"tongue"});
}

const Node::Entry* of_a_design(const Document& document) {
    return entry_of(document.root, {"reeds", "layout"});
}

}  // namespace

FileKind kind_of(const Document& document) {
    const bool tongue = of_a_tongue(document) != nullptr;
    const bool design = of_a_design(document) != nullptr;
    if (tongue == design) return FileKind::other;
    return tongue ? FileKind::tongue : FileKind::design;
}

void refuse_other_kind(const Document& document, FileKind wanted) {
    const FileKind kind = kind_of(document);
    if (kind == wanted || kind == FileKind::other) return;
    const bool design = kind == FileKind::design;
    const Place& place = (design ? of_a_design(document) : of_a_tongue(document))->key_place;
    throw InputError({{place,
                       design ? "this file is a design, of many reeds, where the file of one tongue is wanted"
                              : "this file is of one tongue, where a design is wanted",
                       document.line(place.line),
                       design ? "a tongue file has 'tongue' with its material, length, width and thickness"
                              : "a design has 'layout' or 'reeds', with as many notes as you like"}});
}

}  // namespace reedwright
