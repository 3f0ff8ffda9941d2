// Writes the files of a set of plates, a process of its own for the tests to compare:
//   write_set organ|cells FOLDER
// and says how long each kind took and how much memory the process needed.
#include "cad_export/cad_loader.hpp"
#include "tests/plate/sample_sets.hpp"

#include <sys/resource.h>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <iostream>

namespace {

using namespace reedwright;

void write(const std::filesystem::path& file, const std::string& content) {
    std::ofstream(file, std::ios::binary) << content;
}

double seconds() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

}  // namespace

int main(int count, char** arguments) {
    if (count < 3) return 2;
    const std::string which = arguments[1];
    const std::filesystem::path folder = arguments[2];
    std::filesystem::create_directories(folder);
    const double start = seconds();
    const PlateSet set =
        which == "organ" ? mouth_organ(REEDWRIGHT_SOURCE_DIR) : cell_plates(count > 3 ? std::atoi(arguments[3]) : 2);
    const CadInterface& cad = load_cad({REEDWRIGHT_CAD_FOLDER});
    const double loaded = seconds();
    const auto drawn = cad.draw_set(set, which);
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
    return 0;
}
