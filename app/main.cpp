#include "app/command_line.hpp"

#include <fcntl.h>
#include <unistd.h>
#include <cerrno>
#include <csignal>
#include <iostream>
#include <system_error>

namespace {

// A file opened where a standard stream is closed would get what is meant for the screen. Opened for reading only, the
// place is taken, and writing to it fails as it should.
void occupy_standard_streams() {
    int number = ::open("/dev/null", O_RDONLY);
    while (number >= 0 && number <= STDERR_FILENO) number = ::open("/dev/null", O_RDONLY);
    if (number >= 0) ::close(number);
}

}  // namespace

int main(int count, char** arguments) {
    occupy_standard_streams();
    // A limit on the size of files is then told like a full disk, and cleaned up after.
    std::signal(SIGXFSZ, SIG_IGN);
    std::ios::sync_with_stdio(false);
    const int code = reedwright::app::run(count, arguments, {std::cout, std::cerr});
    errno = 0;
    std::cout.flush();
    if (std::cout) return code;
    // A full disk or a closed pipe must not pass for success.
    std::cerr << "the results are lost, standard output cannot be written";
    if (errno != 0) std::cerr << ": " << std::error_code(errno, std::generic_category()).message();
    std::cerr << '\n';
    return code == 0 ? 1 : code;
}
