// Writes the files of a set of plates, a process of its own for the tests to compare:
//   write_set organ FOLDER [cells|rows FOLDER NUMBER] ...
// and says how long each kind took and how much memory the process needed.
#include "cad_export/cad_loader.hpp"
#include "tests/plate/sample_sets.hpp"

#include <sys/resource.h>
#include <chrono>
#include <fstream>
#include <iostream>
#include <string>
#include <vector>

namespace {

using namespace reedwright;

void write(const std::filesystem::path& file, const std::string& content) {
    std::ofstream(file, std::ios::binary) << content;
}

double seconds() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

PlateSet set_named(const std::string& name, int number) {
    if (name == "organ") return mouth_organ(REEDWRIGHT_SOURCE_DIR);
    return name == "rows" ? long_plates(number) : cell_plates(number);
}

void write_files(const std::string& name, const std::filesystem::path& folder, const std::string& number) {
    std::filesystem::create_directories(folder);
    const double start = seconds();
    const PlateSet set = set_named(name, std::stoi(number));
    const CadInterface& cad = load_cad({REEDWRIGHT_CAD_FOLDER});
    const double loaded = seconds();
    const auto drawn = cad.draw_set(set, name);
    const double solids = seconds();
    write(folder / "set.step", drawn->step(StepSchema::ap242));
    const double assembly = seconds();
    const std::size_t parts = drawn->parts().size();
    for (std::size_t i = 0; i < parts; ++i)
        write(folder / (drawn->parts()[i].name() + ".step"), drawn->step_of_part(i, StepSchema::ap242));
    const double single = seconds();
    write(folder / "set.glb", drawn->glb());
    const double end = seconds();
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    std::cerr << "layout and loading " << loaded - start << " s, solids " << solids - loaded << " s, assembly "
              << assembly - solids << " s, " << parts << " parts " << single - assembly << " s, glTF " << end - single
              << " s, together " << end - start << " s, memory " << static_cast<double>(usage.ru_maxrss) / 1024.0
              << " MB\n";
}

}  // namespace

int main(int count, char** given) {
    const std::vector<std::string> arguments(given + 1, given + count);
    std::size_t at = 0;
    while (at + 1 < arguments.size()) {
        const bool numbered = arguments[at] != "organ" && at + 2 < arguments.size();
        write_files(arguments[at], arguments[at + 1], numbered ? arguments[at + 2] : "2");
        at += numbered ? 3 : 2;
    }
    return at == 0 ? 2 : 0;
}
