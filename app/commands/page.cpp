#include "app/commands/commands.hpp"
#include "app/page/house_rules.hpp"

#include <fmt/format.h>
#include <pthread.h>
#include <unistd.h>
#include <atomic>
#include <csignal>
#include <cstdlib>
#include <exception>
#include <nlohmann/json.hpp>
#include <ostream>
#include <thread>

namespace reedwright::app {

namespace {

sigset_t ending_signals() {
    sigset_t signals;
    ::sigemptyset(&signals);
    ::sigaddset(&signals, SIGINT);
    ::sigaddset(&signals, SIGTERM);
    return signals;
}

void enter(const std::string& folder) {
    std::error_code error;
    if (!std::filesystem::is_directory(folder, error))
        throw InputError({Diagnostic{Place{folder, 0, 0}, "is no folder", {}, "name the folder of your files"}});
    // What is relative would mean something else inside the folder.
    if (const char* given = std::getenv("REEDWRIGHT_MATERIALS"); given != nullptr && *given != '\0')
        ::setenv("REEDWRIGHT_MATERIALS", std::filesystem::absolute(given).c_str(), 1);
    std::filesystem::current_path(folder, error);
    if (error) throw InputError({Diagnostic{Place{folder, 0, 0}, "cannot be entered: " + error.message(), {}, {}}});
}

}  // namespace

int run_page(const PageRequest& request, const Console& console) {
    enter(request.folder);
    const PageFolder folder(".");
    std::atomic<bool> ending{false};
    LocalServer server(request.port, page_house(folder, ending));
    const sigset_t signals = ending_signals();
    // Blocked before the first thread, so that they wait for this one in every thread.
    ::pthread_sigmask(SIG_BLOCK, &signals, nullptr);

    const std::string address = fmt::format("http://127.0.0.1:{}/", server.port());
    if (request.json)
        print_json(console.out, {{"address", address}, {"port", server.port()}, {"folder", folder.path().string()}});
    else
        console.out << address << '\n';
    console.out.flush();
    console.err << "serves " << folder.path().string() << " to this machine alone; Ctrl-C ends it\n";
    console.err.flush();

    std::exception_ptr failure;
    std::thread serving([&] {
        try {
            server.serve();
        } catch (...) {
            failure = std::current_exception();
            ::kill(::getpid(), SIGTERM);
        }
    });
    int signal = 0;
    ::sigwait(&signals, &signal);
    ending = true;
    // Who does not want to wait for the work under way gives the signal again, which ends the program as it is.
    ::pthread_sigmask(SIG_UNBLOCK, &signals, nullptr);
    server.stop();
    serving.join();
    if (failure) std::rethrow_exception(failure);
    return done;
}

}  // namespace reedwright::app
