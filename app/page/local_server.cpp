#include "app/page/local_server.hpp"

#include "core/input/diagnostic.hpp"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <httplib.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>
#include <array>
#include <atomic>
#include <cerrno>
#include <chrono>
#include <condition_variable>
#include <cstring>
#include <deque>
#include <mutex>
#include <system_error>
#include <thread>

namespace reedwright::app {

namespace {

using Clock = std::chrono::steady_clock;
using std::chrono::milliseconds;
using std::chrono::seconds;

constexpr std::size_t most_threads = 64;
constexpr std::size_t most_head_bytes = std::size_t{32} << 10U;
// Of all bodies that are being read or worked on.
constexpr std::size_t most_body_bytes = std::size_t{128} << 20U;
constexpr std::size_t most_per_connection = 10'000;
constexpr auto head_time = seconds(10);
constexpr auto head_time_in_a_crowd = seconds(3);
constexpr auto body_time = seconds(30);
constexpr auto answer_time = seconds(30);
constexpr auto idle_time = seconds(60);
constexpr auto goodbye_time = seconds(2);
constexpr auto glance_time = milliseconds(50);

// What the page may load and do: its own files, and sounds and sheets that it made itself. Sheets carry their style.
const char* const content_policy =
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; "
    "media-src 'self' blob:; font-src 'self'; connect-src 'self'; worker-src 'self'; frame-src 'self' blob:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

// Threads as they are needed, up to a number.
class GrowingCrew : public httplib::TaskQueue {
public:
    explicit GrowingCrew(std::atomic<bool>& crowded) : crowded_(crowded) {}

    void enqueue(std::function<void()> task) override {
        const std::lock_guard lock(mutex_);
        waiting_.push_back(std::move(task));
        if (idle_ < waiting_.size() && threads_.size() < most_threads) {
            try {
                threads_.emplace_back([this] { work(); });
            } catch (const std::system_error&) {
                // No more threads to be had: those at work take it when they can.
            }
        }
        crowded_ = idle_ < waiting_.size() && threads_.size() >= most_threads;
        wake_.notify_one();
    }

    void shutdown() override {
        {
            const std::lock_guard lock(mutex_);
            ending_ = true;
        }
        wake_.notify_all();
        for (std::thread& thread : threads_) thread.join();
        threads_.clear();
    }

private:
    void work() {
        std::unique_lock lock(mutex_);
        while (true) {
            ++idle_;
            wake_.wait(lock, [this] { return ending_ || !waiting_.empty(); });
            --idle_;
            if (waiting_.empty()) return;
            const auto task = std::move(waiting_.front());
            waiting_.pop_front();
            crowded_ = !waiting_.empty() && threads_.size() >= most_threads;
            lock.unlock();
            task();
            lock.lock();
        }
    }

    std::atomic<bool>& crowded_;
    std::mutex mutex_;
    std::condition_variable wake_;
    std::deque<std::function<void()>> waiting_;
    std::vector<std::thread> threads_;
    std::size_t idle_ = 0;
    bool ending_ = false;
};

// One connection, whose client has so many bytes and so long for each part of a question.
class PatientStream : public httplib::Stream {
public:
    PatientStream(int socket, const std::atomic<bool>& crowded) : socket_(socket), crowded_(crowded) {}

    // Waits for the first byte of the next question. False when none comes, or when others need the place.
    bool next_question(const std::atomic<bool>& stopping) {
        const auto give_up = Clock::now() + idle_time;
        while (at_ == end_) {
            if (stopping || Clock::now() > give_up) return false;
            const int ready = wait_for(POLLIN, Clock::now() + glance_time);
            if (ready < 0) return false;
            if (ready > 0 && !fill()) return false;
            if (ready == 0 && crowded_) return false;
        }
        const auto now = Clock::now();
        until_ = now + head_time;
        until_in_a_crowd_ = now + head_time_in_a_crowd;
        budget_ = most_head_bytes;
        in_body_ = false;
        status_ = 0;
        return true;
    }
    // The head is read: the body may be so long.
    void expect_body(std::size_t bytes) {
        in_body_ = true;
        budget_ = bytes;
        until_ = Clock::now() + body_time;
    }
    bool timed_out() const { return timed_out_; }
    bool head_too_large() const { return head_too_large_; }
    // Of the answer; 0 before there is one.
    int status() const { return status_; }

    // Takes leave such that the client can still read the answer: closing with bytes unread would take it away.
    void take_leave() {
        ::shutdown(socket_, SHUT_WR);
        const auto give_up = Clock::now() + goodbye_time;
        std::array<char, 65536> unread;
        while (wait_for(POLLIN, give_up) > 0 && ::recv(socket_, unread.data(), unread.size(), 0) > 0) {
        }
        ::close(socket_);
    }

    bool is_readable() const override { return at_ < end_ || wait_for(POLLIN, until_) > 0; }
    bool is_writable() const override { return wait_for(POLLOUT, Clock::now() + answer_time) > 0; }
    ssize_t read(char* to, std::size_t size) override {
        if (at_ == end_) {
            while (true) {
                const auto now = Clock::now();
                if (now >= until_ || (!in_body_ && crowded_ && now >= until_in_a_crowd_)) {
                    timed_out_ = true;
                    return -1;
                }
                const int ready = wait_for(POLLIN, std::min(until_, now + glance_time));
                if (ready < 0) return -1;
                if (ready > 0) break;
            }
            if (!fill()) return -1;
        }
        if (budget_ == 0) {
            head_too_large_ = !in_body_;
            return -1;
        }
        const std::size_t taken = std::min({size, end_ - at_, budget_});
        std::memcpy(to, buffer_.data() + at_, taken);
        at_ += taken;
        budget_ -= taken;
        return static_cast<ssize_t>(taken);
    }
    ssize_t write(const char* from, std::size_t size) override {
        note_status(std::string_view(from, size));
        const auto give_up = Clock::now() + answer_time;
        std::size_t sent = 0;
        while (sent < size) {
            if (wait_for(POLLOUT, give_up) <= 0) return -1;
            const ssize_t count = ::send(socket_, from + sent, size - sent, MSG_NOSIGNAL | MSG_DONTWAIT);
            if (count < 0 && errno != EAGAIN && errno != EINTR) return -1;
            if (count > 0) sent += static_cast<std::size_t>(count);
        }
        return static_cast<ssize_t>(size);
    }
    void get_remote_ip_and_port(std::string& ip, int& port) const override { ip.clear(), port = 0; }
    void get_local_ip_and_port(std::string& ip, int& port) const override { ip.clear(), port = 0; }
    socket_t socket() const override { return socket_; }

private:
    // Positive when ready, 0 when the time is over, negative when the connection is lost.
    int wait_for(short what, Clock::time_point until) const {
        while (true) {
            const auto left = std::chrono::ceil<milliseconds>(until - Clock::now()).count();
            pollfd polled{socket_, what, 0};
            const int ready = ::poll(&polled, 1, static_cast<int>(std::max<long>(0, left)));
            if (ready >= 0 || errno != EINTR) return ready;
        }
    }
    bool fill() {
        const ssize_t count = ::recv(socket_, buffer_.data(), buffer_.size(), 0);
        at_ = 0;
        end_ = count > 0 ? static_cast<std::size_t>(count) : 0;
        return count > 0;
    }
    // An answer begins with "HTTP/1.1 403 ".
    void note_status(std::string_view written) {
        if (!written.starts_with("HTTP/1.") || written.size() < 12) return;
        status_ = (written[9] - '0') * 100 + (written[10] - '0') * 10 + (written[11] - '0');
    }

    int socket_;
    const std::atomic<bool>& crowded_;
    std::array<char, 16384> buffer_{};
    std::size_t at_ = 0;
    std::size_t end_ = 0;
    Clock::time_point until_{};
    Clock::time_point until_in_a_crowd_{};
    std::size_t budget_ = 0;
    bool in_body_ = false;
    bool timed_out_ = false;
    bool head_too_large_ = false;
    int status_ = 0;
};

// Bytes of bodies under way, given back at the end.
class Share {
public:
    explicit Share(std::atomic<std::size_t>& whole) : whole_(whole) {}
    ~Share() { whole_ -= taken_; }
    Share(const Share&) = delete;
    Share& operator=(const Share&) = delete;
    bool take(std::size_t bytes) {
        taken_ += bytes;
        return (whole_ += bytes) <= most_body_bytes;
    }

private:
    std::atomic<std::size_t>& whole_;
    std::size_t taken_ = 0;
};

// What the callbacks of the library need of the connection that this thread serves.
struct Serving {
    PatientStream& stream;
    Share& share;
};
thread_local Serving* serving = nullptr;

Knock knock_of(const httplib::Request& request) {
    Knock knock{request.method, request.path, {}};
    for (const auto& [name, value] : request.headers) {
        std::string lower = name;
        for (char& c : lower)
            if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + ('a' - 'A'));
        knock.headers.emplace(std::move(lower), value);
    }
    return knock;
}

void put(httplib::Response& response, const Answer& answer) {
    response.status = answer.status;
    response.headers.erase("Content-Type");
    response.set_content(answer.body, answer.content_type);
    if (answer.status == 405) response.set_header("Allow", "GET, HEAD, POST");
}

void put_safety(httplib::Response& response) {
    const auto set = [&](const char* name, const char* value) {
        response.headers.erase(name);
        response.set_header(name, value);
    };
    set("Content-Security-Policy", content_policy);
    set("X-Content-Type-Options", "nosniff");
    set("X-Frame-Options", "DENY");
    set("Referrer-Policy", "no-referrer");
    set("Cross-Origin-Resource-Policy", "same-origin");
    set("Cross-Origin-Opener-Policy", "same-origin");
    set("Permissions-Policy", "microphone=(self), camera=(), geolocation=()");
    set("Cache-Control", "no-store");
    if (response.status >= 400) set("Connection", "close");
}

std::string message_for(int status) {
    switch (status) {
        case 404:
            return "there is nothing here";
        case 408:
            return "the question took too long to arrive";
        case 413:
            return "the body is too large";
        case 414:
            return "the address is too long";
        case 431:
            return "the head of the question is too large";
        default:
            return status >= 500 ? "the server failed" : "this is no question that can be read";
    }
}

int listening_socket(int port) {
    const auto refuse = [&](const std::string& why, const std::string& hint) {
        throw InputError({Diagnostic{Place{"--port", 0, 0}, why, {}, hint}});
    };
    const int fd = ::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
    if (fd < 0) throw std::system_error(errno, std::generic_category(), "socket");
    const int yes = 1;
    ::setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(static_cast<std::uint16_t>(port));
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    sockaddr generic{};
    std::memcpy(&generic, &address, sizeof generic);
    if (::bind(fd, &generic, sizeof address) != 0 || ::listen(fd, 128) != 0) {
        const int error = errno;
        ::close(fd);
        if (error == EADDRINUSE)
            refuse(fmt::format("port {} is in use", port), "leave it out, and a free one is taken");
        refuse(fmt::format("port {} cannot be used: {}", port, std::generic_category().message(error)),
               "leave it out, and a free one is taken");
    }
    return fd;
}

int port_of(int fd) {
    sockaddr_in address{};
    sockaddr generic{};
    socklen_t length = sizeof generic;
    if (::getsockname(fd, &generic, &length) != 0) throw std::system_error(errno, std::generic_category(), "port");
    std::memcpy(&address, &generic, sizeof address);
    return ntohs(address.sin_port);
}

}  // namespace

class LocalServer::Door : public httplib::Server {
public:
    Door(int wished_port, House house) : house_(std::move(house)) {
        svr_sock_ = listening_socket(wished_port);
        port_ = port_of(svr_sock_);
        new_task_queue = [this] { return new GrowingCrew(crowded_); };
        set_pre_routing_handler([this](const httplib::Request& request, httplib::Response& response) {
            return at_the_gate(request, response);
        });
        // What passes the gate is of a known path.
        Post(R"(/[a-z/]*)", [this](const httplib::Request& request, httplib::Response& response) {
            put(response, answer(request));
            put_safety(response);
        });
        set_error_handler([](const httplib::Request&, httplib::Response& response) {
            if (serving != nullptr && serving->stream.timed_out()) response.status = 408;
            if (serving != nullptr && serving->stream.head_too_large()) response.status = 431;
            if (response.body.empty()) put(response, error_answer(response.status, 2, message_for(response.status)));
            put_safety(response);
        });
    }
    ~Door() override {
        if (const socket_t left = svr_sock_.exchange(INVALID_SOCKET); left != INVALID_SOCKET) ::close(left);
    }

    int port() const { return port_; }

    void serve() {
        while (!stopping_) {
            listen_after_bind();
            // The library stops listening at errors that pass, such as a client that is gone before it is greeted.
            if (!stopping_ && svr_sock_ == INVALID_SOCKET) svr_sock_ = listening_socket(port_);
        }
        ended_ = true;
    }
    void stop_serving() {
        stopping_ = true;
        while (!ended_) {
            stop();
            std::this_thread::sleep_for(milliseconds(5));
        }
    }

private:
    // Overrides how the library serves a connection, so that a client's slowness and size have bounds as a whole.
    bool process_and_close_socket(socket_t socket) override {
        const int yes = 1;
        ::setsockopt(socket, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
        PatientStream stream(socket, crowded_);
        bool well = true;
        for (std::size_t count = 1; well && stream.next_question(stopping_); ++count) {
            Share share(bodies_);
            Serving now{stream, share};
            serving = &now;
            bool closed = false;
            try {
                well = process_request(stream, count >= most_per_connection, closed, [](httplib::Request& request) {
                    // Parts of an answer, and answers pressed small, are work without use on one machine.
                    request.ranges.clear();
                    request.headers.erase("Accept-Encoding");
                });
            } catch (const std::exception&) {
                well = false;
            }
            serving = nullptr;
            if (stream.status() == 0 && (stream.timed_out() || stream.head_too_large()))
                answer_plainly(stream, stream.timed_out() ? 408 : 431);
            well = well && !closed && stream.status() < 400;
        }
        stream.take_leave();
        return well;
    }

    // Where the library itself closes without a word.
    static void answer_plainly(PatientStream& stream, int status) {
        const Answer answer = error_answer(status, 2, message_for(status));
        stream.Stream::write(
            fmt::format("HTTP/1.1 {} {}\r\nContent-Type: {}\r\nContent-Length: {}\r\nConnection: close\r\n"
                        "X-Content-Type-Options: nosniff\r\nCache-Control: no-store\r\n\r\n{}",
                        status, status == 408 ? "Request Timeout" : "Request Header Fields Too Large",
                        answer.content_type, answer.body.size(), answer.body));
    }

    HandlerResponse at_the_gate(const httplib::Request& request, httplib::Response& response) {
        const Knock knock = knock_of(request);
        const auto limit = house_.body_limit(request.path);
        auto refused = refusal(knock, port_, limit, house_.takes_sound(request.path));
        if (!refused && request.method == "POST") {
            const std::size_t length = stated_length(knock).value_or(0);
            serving->stream.expect_body(length);
            if (!serving->share.take(length)) refused = Refusal{503, "too much is being sent at once; try again"};
        }
        if (refused)
            put(response, error_answer(refused->status, 2, refused->message));
        else if (request.method == "POST")
            return HandlerResponse::Unhandled;
        else
            put(response, answer(request));
        put_safety(response);
        return HandlerResponse::Handled;
    }

    Answer answer(const httplib::Request& request) const {
        Question question{request.method, request.path, {}, content_type_of(knock_of(request)), request.body};
        for (const auto& [name, value] : request.params) question.query.emplace(name, value);
        try {
            return house_.answer(question);
        } catch (const std::exception& error) {
            return error_answer(500, 3, fmt::format("reedwright failed, and the fault is ours: {}", error.what()));
        }
    }

    House house_;
    int port_ = 0;
    std::atomic<bool> crowded_{false};
    std::atomic<bool> stopping_{false};
    std::atomic<bool> ended_{false};
    std::atomic<std::size_t> bodies_{0};
};

LocalServer::LocalServer(int port, House house) : door_(std::make_unique<Door>(port, std::move(house))) {}
LocalServer::~LocalServer() = default;

int LocalServer::port() const {
    return door_->port();
}

void LocalServer::serve() {
    door_->serve();
}

void LocalServer::stop() {
    door_->stop_serving();
}

}  // namespace reedwright::app
