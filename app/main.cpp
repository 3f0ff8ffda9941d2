#include "app/command_line.hpp"

#include <iostream>

int main(int count, char** arguments) {
    std::ios::sync_with_stdio(false);
    const int code = reedwright::app::run(count, arguments, {std::cout, std::cerr});
    std::cout.flush();
    // A full disk or a closed pipe must not pass for success.
    return code == 0 && !std::cout ? 3 : code;
}
