#include "tests/outside/brick_tongue.hpp"

#include <fmt/format.h>
#include <fmt/os.h>
#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <stdexcept>

namespace reedwright::test {

namespace {

namespace fs = std::filesystem;

class FreshFolder {
public:
    FreshFolder() {
        std::string pattern = (fs::temp_directory_path() / "reedwright-solid-XXXXXX").string();
        if (mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no folder " + pattern);
        path_ = pattern;
    }
    FreshFolder(const FreshFolder&) = delete;
    FreshFolder& operator=(const FreshFolder&) = delete;
    ~FreshFolder() {
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

// Corners of the elements along the tongue, millimetres: an element ends at every station.
std::vector<double> along(const Tongue& tongue, const BrickMesh& mesh) {
    std::vector<double> stops;
    for (const Profile* profile : {&tongue.thickness, &tongue.width})
        for (const Station& station : profile->stations()) stops.push_back(in(station.at, millimetre));
    std::sort(stops.begin(), stops.end());
    stops.erase(std::unique(stops.begin(), stops.end()), stops.end());
    const double first = mesh.first * in(tongue.thickness.at_root(), millimetre);
    const double longest = in(mesh.longest, millimetre);
    std::vector<double> corners{0.0};
    for (std::size_t i = 1; i < stops.size(); ++i) {
        // March in the wanted sizes, then stretch them evenly so that the last ends at the station.
        std::vector<double> sizes;
        double reached = stops[i - 1];
        while (reached < stops[i]) {
            sizes.push_back(std::min(longest, first + mesh.growth * reached));
            reached += sizes.back();
        }
        const double stretch = (stops[i] - stops[i - 1]) / (reached - stops[i - 1]);
        for (const double size : sizes) corners.push_back(corners.back() + stretch * size);
        corners.back() = stops[i];
    }
    return corners;
}

// Shares of the half width, 0 in the middle plane, 1 at the free edge.
std::vector<double> across(const BrickMesh& mesh) {
    std::vector<double> corners{0.0};
    double size = 1.0;
    for (int j = 0; j < mesh.across; ++j, size *= mesh.narrowing) corners.push_back(corners.back() + size);
    for (double& corner : corners) corner /= corners.back();
    return corners;
}

// Shares of the thickness, closer to the faces than to the middle.
std::vector<double> through(const BrickMesh& mesh) {
    std::vector<double> corners;
    for (int k = 0; k <= mesh.through; ++k) corners.push_back(0.5 - 0.5 * std::cos(std::acos(-1.0) * k / mesh.through));
    return corners;
}

// Corners and the middles between them.
std::vector<double> with_middles(const std::vector<double>& corners) {
    std::vector<double> all;
    for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
        all.push_back(corners[i]);
        all.push_back(0.5 * (corners[i] + corners[i + 1]));
    }
    all.push_back(corners.back());
    return all;
}

using Place = std::array<std::size_t, 3>;

// The nodes of a 20-node brick in the order of CalculiX, in half element sizes.
constexpr std::array<Place, 20> brick_nodes{
    {{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {0, 2, 0}, {0, 0, 2}, {2, 0, 2}, {2, 2, 2}, {0, 2, 2}, {1, 0, 0}, {2, 1, 0},
     {1, 2, 0}, {0, 1, 0}, {1, 0, 2}, {2, 1, 2}, {1, 2, 2}, {0, 1, 2}, {0, 0, 1}, {2, 0, 1}, {2, 2, 1}, {0, 2, 1}}};

// Writes the input in millimetre, newton, tonne and second; returns the number of nodes.
std::size_t write_input(const fs::path& path, const Tongue& tongue, Half half, const BrickMesh& mesh, int count) {
    const auto x = with_middles(along(tongue, mesh));
    const auto y = with_middles(across(mesh));
    const auto z = with_middles(through(mesh));
    std::map<Place, std::size_t> numbers;
    std::vector<std::array<std::size_t, 20>> bricks;
    for (std::size_t i = 0; i + 2 < x.size(); i += 2)
        for (std::size_t j = 0; j + 2 < y.size(); j += 2)
            for (std::size_t k = 0; k + 2 < z.size(); k += 2) {
                std::array<std::size_t, 20> brick{};
                for (std::size_t n = 0; n < brick.size(); ++n)
                    brick[n] = numbers
                                   .try_emplace({i + brick_nodes[n][0], j + brick_nodes[n][1], k + brick_nodes[n][2]},
                                                numbers.size() + 1)
                                   .first->second;
                bricks.push_back(brick);
            }

    auto file = fmt::output_file(path.string());
    file.print("*NODE, NSET=ALL\n");
    for (const auto& [place, number] : numbers) {
        const Length at = x[place[0]] * millimetre;
        file.print("{}, {:.12g}, {:.12g}, {:.12g}\n", number, x[place[0]],
                   0.5 * y[place[1]] * in(tongue.width.before(at), millimetre),
                   z[place[2]] * in(tongue.thickness.before(at), millimetre));
    }
    file.print("*ELEMENT, TYPE=C3D20, ELSET=TONGUE\n");
    for (std::size_t e = 0; e < bricks.size(); ++e) {
        file.print("{}", e + 1);
        for (std::size_t n = 0; n < bricks[e].size(); ++n) file.print("{}{}", n == 10 ? ",\n" : ", ", bricks[e][n]);
        file.print("\n");
    }
    const auto node_set = [&](const char* name, std::size_t axis) {
        file.print("*NSET, NSET={}\n", name);
        for (const auto& [place, number] : numbers)
            if (place[axis] == 0) file.print("{},\n", number);
    };
    node_set("ROOT", 0);
    node_set("MIDDLE", 1);
    const Material& metal = tongue.material;
    file.print(
        "*MATERIAL, NAME=METAL\n*ELASTIC\n{:.12g}, {:.12g}\n*DENSITY\n{:.12g}\n*SOLID SECTION, ELSET=TONGUE, "
        "MATERIAL=METAL\n",
        in(metal.youngs_modulus.value, gigapascal) * 1e3, metal.poisson_ratio.value.value(),
        in(metal.density.value, kilogram_per_cubic_metre) * 1e-12);
    file.print("*BOUNDARY\nROOT, 1, 3\n{}", half == Half::flapping ? "MIDDLE, 2, 2\n" : "MIDDLE, 1, 1\nMIDDLE, 3, 3\n");
    file.print("*STEP\n*FREQUENCY\n{}\n*END STEP\n", count);
    return numbers.size();
}

// Numbers of the table that follows a heading spelt with blanks between its letters, one row per mode.
std::vector<std::vector<double>> table(const fs::path& path, const std::string& heading) {
    std::ifstream file(path);
    std::vector<std::vector<double>> rows;
    bool here = false;
    for (std::string line; std::getline(file, line);) {
        std::string letters = line;
        std::erase(letters, ' ');
        if (letters == heading) {
            here = true;
            continue;
        }
        if (!here) continue;
        std::istringstream words(line);
        std::vector<double> row;
        for (double value = 0.0; words >> value;) row.push_back(value);
        if (row.size() > 4) rows.push_back(row);
        if (row.empty() && !rows.empty()) break;
    }
    return rows;
}

}  // namespace

SolidAnswer solid_modes(const Tongue& tongue, Half half, const BrickMesh& mesh, int count) {
    const FreshFolder folder;
    SolidAnswer answer{{}, write_input(folder.path() / "tongue.inp", tongue, half, mesh, count), 0.0};
    // One thread: the answer then does not depend on the machine's load, and tests may run side by side.
    const std::string command =
        fmt::format("cd '{}' && OMP_NUM_THREADS=1 '{}' tongue > log.txt 2>&1", folder.path().string(), REEDWRIGHT_CCX);
    const auto start = std::chrono::steady_clock::now();
    if (std::system(command.c_str()) != 0) throw std::runtime_error("failed: " + command);
    answer.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();

    const auto frequencies = table(folder.path() / "tongue.dat", "EIGENVALUEOUTPUT");
    const auto masses = table(folder.path() / "tongue.dat", "EFFECTIVEMODALMASS");
    const double whole = in(tongue.mass(), milligram) * 1e-9 / 2.0;  // half the tongue, tonnes
    if (frequencies.size() != static_cast<std::size_t>(count) || masses.size() != frequencies.size())
        throw std::runtime_error("ccx gave no answer to be read");
    for (std::size_t m = 0; m < frequencies.size(); ++m)
        answer.modes.push_back(
            {frequencies[m][3] * hertz, masses[m][1] / whole, masses[m][2] / whole, masses[m][3] / whole});
    return answer;
}

Frequency lowest_upward(const SolidAnswer& answer) {
    for (const SolidMode& mode : answer.modes)
        if (mode.upward > mode.along && mode.upward > mode.across) return mode.frequency;
    throw std::runtime_error("no mode of the solid moves up and down");
}

}  // namespace reedwright::test
