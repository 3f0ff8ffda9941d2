// What the command line understands, read off its parser.
#pragma once

#include "app/described/program.hpp"

namespace CLI {
class App;
}

namespace reedwright::app {

/// The commands of a program with their options, choices, defaults and examples, as its parser holds them. A command's
/// footer gives its examples, one an indented line.
DescribedProgram described(const CLI::App& program);

}  // namespace reedwright::app
