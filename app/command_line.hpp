// From the arguments of the program to a command.
#pragma once

#include "app/report.hpp"

namespace reedwright::app {

/// Parses the arguments, runs the command and turns every error into its exit code and message:
/// 0 done, 1 bad input or impossible request, 2 wrong usage, 3 our fault, 4 a check that fails.
int run(int count, const char* const* arguments, const Console& console);

/// As run(), but what is wrong with the input leaves as InputError, and what is our fault as it was thrown.
int run_or_throw(int count, const char* const* arguments, const Console& console);

}  // namespace reedwright::app
