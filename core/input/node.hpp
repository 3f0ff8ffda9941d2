// A parsed input in which every value still knows where it stands.
#pragma once

#include "core/input/diagnostic.hpp"

#include <string>
#include <utility>
#include <vector>

namespace reedwright {

/// A value of a file: a scalar kept as the text that was written (so that nothing has been taken
/// for a number or lost), a list, or a mapping in the order of the file. Keys are distinct.
struct Node {
    enum class Kind { scalar, list, mapping };
    struct Entry;

    Kind kind = Kind::scalar;
    Place place;
    std::string scalar;
    std::vector<Node> list;
    std::vector<Entry> mapping;
};

struct Node::Entry {
    std::string key;
    Place key_place;
    Node value;
};

/// An input with its text, for error messages that show the line.
struct Document {
    std::string source;
    std::vector<std::string> lines;
    Node root;
    /// Repeated keys, found while parsing; the first value is the one kept in the nodes.
    std::vector<Diagnostic> faults;

    /// The text of a line, counted from 1; empty when there is none, or it is too long to show.
    std::string line(int number) const;
};

}  // namespace reedwright
