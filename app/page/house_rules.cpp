#include "app/page/house_rules.hpp"

#include "app/commands/commands.hpp"
#include "app/embedded_file.hpp"
#include "app/page/asked_command.hpp"
#include "app/page/tongue_view.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/output/temporary_folder.hpp"
#include "core/output/whole_file.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/tongue/reed_text.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <atomic>
#include <bit>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <cstring>
#include <mutex>
#include <nlohmann/json.hpp>
#include <span>
#include <sstream>

namespace reedwright::app {

std::span<const EmbeddedFile> page_files();

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t most_json_bytes = 8'000'000;
constexpr std::size_t most_sound_bytes = 32'000'000;
constexpr std::size_t largest_table_bytes = std::size_t{4} << 20U;
// Of a recording sent to be heard.
const Time longest_heard = 60.0 * second;
constexpr auto longest_wait = std::chrono::seconds(60);
constexpr auto glance_time = std::chrono::milliseconds(50);

enum class Needs { subject, subject_and_second };
struct Known {
    const char* name;
    Needs needs;
    /// Takes long: one at a time, so that the quick ones keep a processor.
    bool long_work;
};
constexpr std::array commands{Known{"pitch", Needs::subject, false},
                              Known{"where", Needs::subject, false},
                              Known{"cut", Needs::subject, false},
                              Known{"load", Needs::subject, false},
                              Known{"blow", Needs::subject, true},
                              Known{"plan", Needs::subject, true},
                              Known{"check", Needs::subject, true},
                              Known{"bends", Needs::subject, true},
                              Known{"leak", Needs::subject, true},
                              Known{"scatter", Needs::subject, true},
                              Known{"retune", Needs::subject_and_second, true},
                              Known{"donors", Needs::subject_and_second, true}};
constexpr std::array others{"tongue", "reed", "sheet", "sound", "step", "listen", "save"};

std::string type_of(std::string_view name) {
    constexpr std::array<std::pair<std::string_view, std::string_view>, 6> types{
        {{".html", "text/html; charset=utf-8"},
         {".css", "text/css; charset=utf-8"},
         {".js", "text/javascript; charset=utf-8"},
         {".svg", "image/svg+xml"},
         {".png", "image/png"},
         {".json", "application/json"}}};
    for (const auto& [ending, type] : types)
        if (name.ends_with(ending)) return std::string(type);
    return "application/octet-stream";
}

// "api/pitch" of "/api/pitch".
std::string api_name(const std::string& path) {
    return path.starts_with("/api/") ? path.substr(5) : std::string();
}

// Samples as a browser has them, made a sound file.
std::string wave_of_samples(const std::string& samples, std::uint32_t rate_hz) {
    static_assert(std::endian::native == std::endian::little, "WAV is written as the machine has its numbers");
    std::string bytes;
    const auto put = [&](auto number) {
        bytes.append(std::bit_cast<std::array<char, sizeof number>>(number).data(), sizeof number);
    };
    const auto size = static_cast<std::uint32_t>(samples.size());
    bytes += "RIFF";
    put(std::uint32_t{36} + size);
    bytes += "WAVEfmt ";
    put(std::uint32_t{16});
    put(std::uint16_t{3});  // IEEE floating point
    put(std::uint16_t{1});
    put(rate_hz);
    put(rate_hz * 4U);
    put(std::uint16_t{4});
    put(std::uint16_t{32});
    bytes += "data";
    put(size);
    return bytes + samples;
}

class Rooms {
public:
    Rooms(const PageFolder& folder, const std::atomic<bool>& ending)
        : folder_(folder), ending_(ending), library_(material_library()), readable_{folder.path(), library_.folder()} {}

    Answer answer(const Question& question) {
        try {
            return question.path.starts_with("/api/") ? api(question) : file_of_page(question.path);
        } catch (const MalformedQuestion& malformed) {
            const auto& [status, message] = malformed.refusal;
            PageFault fault;
            fault.option = malformed.option;
            fault.message = message;
            return error_answer(status, wrong_usage, message, {fault});
        } catch (const InputError& error) {
            return error_answer(422, bad_input, error.what());
        }
    }

private:
    static Answer file_of_page(const std::string& path) {
        const std::string_view name = path == "/" ? "index.html" : std::string_view(path).substr(1);
        for (const EmbeddedFile& file : page_files())
            if (file.name == name) return {200, type_of(name), std::string(file.content)};
        return error_answer(404, wrong_usage, "there is nothing here");
    }

    Answer api(const Question& question) {
        const std::string name = api_name(question.path);
        if (name == "start") return start();
        if (name == "file") return file(question);
        if (name == "listen") return listen(question);
        if (name == "save") return save(parsed_body(question.body));
        if (question.method != "POST") return error_answer(404, wrong_usage, "there is nothing here");
        const AskedCommand asked = asked_command(parsed_body(question.body), folder_);
        if (name == "tongue") return tongue(asked);
        if (name == "reed") return reed(asked);
        if (name == "sheet") return sheet(asked);
        if (name == "cut" && !asked.passes.empty()) return passes(asked);
        if (name == "sound") return sound(asked);
        if (name == "step") return step(asked);
        const auto known =
            std::find_if(commands.begin(), commands.end(), [&](const Known& one) { return name == one.name; });
        if (known == commands.end()) return error_answer(404, wrong_usage, "there is nothing here");
        if ((known->needs == Needs::subject_and_second) == asked.second.empty())
            return error_answer(
                400, wrong_usage,
                fmt::format("{} {}", name, asked.second.empty() ? "needs a second" : "takes no second"));
        return in_turn(known->long_work, [&] { return answer_of(run(name, asked, {"--json"})); });
    }

    Ran run(const std::string& command, const AskedCommand& asked, const std::vector<std::string>& extra) const {
        return run(command, asked, extra, readable_);
    }

    static Ran run(const std::string& command, const AskedCommand& asked, const std::vector<std::string>& extra,
                   const std::vector<std::filesystem::path>& readable) {
        std::vector<std::string> arguments{command};
        arguments.insert(arguments.end(), extra.begin(), extra.end());
        arguments.insert(arguments.end(), asked.options.begin(), asked.options.end());
        arguments.emplace_back("--");
        arguments.push_back(asked.subject);
        if (!asked.second.empty()) arguments.push_back(asked.second);
        return run_within(arguments, readable, asked.in_memory);
    }

    template <class Task>
    Answer in_turn(bool long_work, Task task) {
        if (!long_work) return task();
        const auto give_up = std::chrono::steady_clock::now() + longest_wait;
        std::unique_lock lock(guard_);
        while (!ending_ && long_work_goes_on_) {
            long_work_ended_.wait_for(lock, glance_time);
            if (long_work_goes_on_ && std::chrono::steady_clock::now() > give_up)
                return error_answer(503, our_fault, "the work before this one takes long; try again");
        }
        if (ending_) return error_answer(503, our_fault, "the page is being ended");
        long_work_goes_on_ = true;
        lock.unlock();
        const EndOfWork end{*this};
        return task();
    }

    struct EndOfWork {
        Rooms& rooms;
        explicit EndOfWork(Rooms& of) : rooms(of) {}
        EndOfWork(const EndOfWork&) = delete;
        EndOfWork& operator=(const EndOfWork&) = delete;
        ~EndOfWork() {
            {
                const std::lock_guard lock(rooms.guard_);
                rooms.long_work_goes_on_ = false;
            }
            rooms.long_work_ended_.notify_one();
        }
    };

    Answer start() const {
        Json json;
        json["version"] = REEDWRIGHT_VERSION;
        json["folder"] = folder_.path().string();
        json["files"] = Json::array();
        const ReadingScope scope(readable_, {});
        for (const PageFolder::Table& table : folder_.tables()) {
            Json one{{"path", table.path}, {"kind", table.kind}};
            if (!table.note.empty()) one["note"] = table.note;
            if (!table.name.empty()) one["name"] = table.name;
            json["files"].push_back(std::move(one));
        }
        json["materials"] = library_.names();
        return {200, "application/json", json_text(json)};
    }

    Answer file(const Question& question) const {
        const auto path = question.query.find("path");
        if (path == question.query.end()) throw MalformedQuestion{{400, "say which: ?path=brass_a4.yaml"}, {}};
        if (const auto refused = folder_.refusal(path->second)) throw MalformedQuestion{*refused, {}};
        std::error_code ignored;
        if (!std::filesystem::exists(folder_.path() / path->second, ignored))
            return error_answer(404, wrong_usage, fmt::format("there is no file {}", path->second));
        const auto task = [&](std::string& out, std::string&) {
            out = json_text({{"path", path->second}, {"text", read_text_file(path->second, largest_table_bytes)}});
            return static_cast<int>(done);
        };
        return answer_of(caught(task, readable_, {}));
    }

    Answer save(const Json& body) const {
        const auto text_at = [&](const char* key) {
            if (!body.is_object() || !body.contains(key) || !body.at(key).is_string())
                throw MalformedQuestion{{400, fmt::format("{} must be a text", key)}, {}};
            return body.at(key).get<std::string>();
        };
        const std::string path = text_at("path");
        const std::string text = text_at("text");
        const bool replace = body.contains("replace") && body.at("replace") == true;
        if (const auto refused = folder_.refusal(path)) throw MalformedQuestion{*refused, {}};
        if (text.size() > largest_table_bytes)
            return error_answer(413, wrong_usage, "the text is larger than the 4 MiB that a file may have");
        const auto task = [&](std::string& out, std::string&) {
            write_whole_file(path, text, replace ? Existing::replace : Existing::keep);
            out = json_text({{"path", path}});
            return static_cast<int>(done);
        };
        return answer_of(caught(task, readable_, {}));
    }

    Answer tongue(const AskedCommand& asked) const {
        Json json;
        for (const char* command : {"pitch", "where"}) {
            const Ran ran = run(command, asked, {"--json"});
            if (ran.exit_code != done) return answer_of(ran);
            json[command] = Json::parse(ran.out);
        }
        const auto task = [&](std::string& out, std::string&) {
            const Reed reed = read_source({asked.subject, {}, {}});
            json["shape"] = shape_json(reed.tongue);
            json["stress"] = stress_json(reed, vibration_of(reed));
            out = json_text(json);
            return static_cast<int>(done);
        };
        return answer_of(caught(task, readable_, asked.in_memory));
    }

    // One reed of a design as a tongue file of its own, planned where the design leaves its thickness open.
    Answer reed(const AskedCommand& asked) {
        const auto option = [&](const std::string& name) {
            for (const std::string& one : asked.options)
                if (one.starts_with(name + "=")) return one.substr(name.size() + 1);
            throw MalformedQuestion{{400, name + " is left out"}, name};
        };
        const std::string cell = option("--cell");
        const std::string row = option("--row");
        const auto task = [&](std::string& out, std::string&) {
            Design design = read_design_file(asked.subject, library_);
            plan_tongues(design);
            for (const InstrumentReed& one : design.instrument.reeds) {
                if (std::to_string(one.cell) != cell || one.row != row) continue;
                out = json_text({{"name", fmt::format("{}_{}.yaml", row, cell)}, {"text", reed_text(one.reed)}});
                return static_cast<int>(done);
            }
            throw InputError({Diagnostic{
                Place{asked.subject, 0, 0}, fmt::format("has no reed in cell {} of row {}", cell, row), {}, {}}});
        };
        return in_turn(true, [&] { return answer_of(caught(task, readable_, asked.in_memory)); });
    }

    // A cut in passes: the command with its log, once for each reading, on a log that does not outlast the question.
    Answer passes(const AskedCommand& asked) const {
        const TemporaryFolder passing("page");
        auto readable = readable_;
        readable.push_back(passing.path());
        Ran ran{};
        for (std::size_t i = 0; i < asked.passes.size(); ++i) {
            std::vector<std::string> extra{"--json", "--log=" + (passing.path() / "readings.log").string()};
            if (i > 0) extra.emplace_back("--again");
            extra.insert(extra.end(), asked.passes[i].begin(), asked.passes[i].end());
            ran = run("cut", asked, extra, readable);
            if (ran.exit_code != done) break;
        }
        return answer_of(ran);
    }

    // A command that writes a file, of which the page gets the bytes.
    Answer written(const std::string& command, const AskedCommand& asked, const std::string& option,
                   const std::string& file, const std::string& type) {
        return in_turn(true, [&] {
            const TemporaryFolder passing("page");
            const auto path = passing.path() / file;
            const Ran ran = run(command, asked, {option + "=" + path.string()});
            if (ran.exit_code != done) return answer_of(ran);
            return Answer{200, type, bytes_of_file(path)};
        });
    }

    Answer sheet(const AskedCommand& asked) {
        const bool readings = !asked.second.empty();
        return written(readings ? "retune" : "sheet", asked, readings ? "--html" : "--out", "sheet.html",
                       "text/html; charset=utf-8");
    }

    Answer sound(const AskedCommand& asked) { return written("blow", asked, "--wav", "sound.wav", "audio/wav"); }

    Answer step(const AskedCommand& asked) {
        return in_turn(true, [&] {
            const TemporaryFolder passing("page");
            const auto out = passing.path() / "out";
            const Ran ran = run("shop", asked, {"--out=" + out.string()});
            if (ran.exit_code != done) return answer_of(ran);
            std::error_code ignored;
            const bool design = std::filesystem::exists(out / "assembly.step", ignored);
            return Answer{200, "application/step", bytes_of_file(out / (design ? "assembly.step" : "reed.step"))};
        });
    }

    Answer listen(const Question& question) {
        const auto asked = [&](const char* key) {
            const auto found = question.query.find(key);
            return found == question.query.end() ? std::string() : found->second;
        };
        ListenRequest request;
        request.file = "recording";
        request.longest = longest_heard;
        request.json = true;
        if (const std::string a4 = asked("a4"); !a4.empty()) request.a4 = a4;
        std::string sound = question.body;
        if (question.content_type == "application/octet-stream") {
            const std::string rate = asked("rate");
            const bool digits = !rate.empty() && rate.size() <= 6 &&
                                std::all_of(rate.begin(), rate.end(), [](char c) { return c >= '0' && c <= '9'; });
            if (!digits || std::stoul(rate) < 4000 || std::stoul(rate) > 192'000)
                throw MalformedQuestion{{400, "say the samples a second, 4000 to 192000: ?rate=48000"}, {}};
            if (sound.empty() || sound.size() % 4 != 0)
                throw MalformedQuestion{{400, "samples are numbers of four bytes (float32, little-endian)"}, {}};
            sound = wave_of_samples(sound, static_cast<std::uint32_t>(std::stoul(rate)));
        }
        const auto task = [&](std::string& out, std::string& err) {
            std::ostringstream out_stream;
            std::ostringstream err_stream;
            const int code = run_listen(request, Console{out_stream, err_stream});
            out = out_stream.str();
            err = err_stream.str();
            return code;
        };
        return in_turn(true, [&] { return answer_of(caught(task, readable_, {{request.file, std::move(sound)}})); });
    }

    PageFolder folder_;
    const std::atomic<bool>& ending_;
    MaterialLibrary library_;
    std::vector<std::filesystem::path> readable_;
    std::mutex guard_;
    std::condition_variable long_work_ended_;
    bool long_work_goes_on_ = false;
};

bool takes_post(const std::string& name) {
    return std::any_of(commands.begin(), commands.end(), [&](const Known& one) { return name == one.name; }) ||
           std::find(others.begin(), others.end(), name) != others.end();
}

}  // namespace

House page_house(const PageFolder& folder, const std::atomic<bool>& ending) {
    const auto rooms = std::make_shared<Rooms>(folder, ending);
    return {[rooms](const Question& question) { return rooms->answer(question); },
            [](const std::string& path) -> std::optional<std::size_t> {
                const std::string name = api_name(path);
                if (!takes_post(name)) return std::nullopt;
                return name == "listen" ? most_sound_bytes : most_json_bytes;
            },
            [](const std::string& path) { return api_name(path) == "listen"; }};
}

}  // namespace reedwright::app
