// The door of the local page: HTTP on this machine's own address, for well and badly behaved clients.
#pragma once

#include "app/page/gate.hpp"
#include "app/page/question.hpp"

#include <functional>
#include <memory>

namespace reedwright::app {

/// What the door needs to know of the house behind it.
struct House {
    /// Answers a question that came through the gate; on many threads at once. What it throws is answered with 500.
    std::function<Answer(const Question&)> answer;
    /// The longest body in bytes that a path takes by POST; empty: none.
    std::function<std::optional<std::size_t>(const std::string& path)> body_limit;
    std::function<bool(const std::string& path)> takes_sound;
};

/// Serves on 127.0.0.1, to nobody else. A client has 10 s for the head of its question, 30 s for the body and 30 s to
/// take the answer; after a fault its connection is closed. At most 64 clients are served at once, the others wait;
/// idle ones then lose their connection, slow ones have 3 s.
class LocalServer {
public:
    /// Listens at once, at any free port when it is 0. Throws InputError naming --port when it cannot.
    LocalServer(int port, House house);
    ~LocalServer();
    LocalServer(const LocalServer&) = delete;
    LocalServer& operator=(const LocalServer&) = delete;

    int port() const;
    /// Serves until stop() is called from another thread; the answers that are under way are given first.
    void serve();
    void stop();

private:
    class Door;
    std::unique_ptr<Door> door_;
};

}  // namespace reedwright::app
