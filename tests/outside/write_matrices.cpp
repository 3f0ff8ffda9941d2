// Writes the matrices of some strips with the lowest eigenvalues that the program finds itself, for
// eigenvalues.py: write_matrices FOLDER. One file NAME.bin per case: the number n of unknowns (64-bit integer), four
// eigenvalues omega^2 (rad^2/s^2), n x n of stiffness, n x n of mass, all doubles in the machine's order.
#include "tests/outside/heavy_tip.hpp"

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>

namespace {

using namespace reedwright::kernel;
using reedwright::test::heavy_tip;

constexpr std::size_t mode_count = 4;

template <std::size_t Orders>
bool write(const std::filesystem::path& path, StripInput input, Parity parity) {
    const Strip strip = meshed(std::move(input), {});
    const StripSolver<Orders> solver(strip, parity);
    const std::int64_t unknowns = solver.unknowns();
    std::vector<double> omega2, stiffness, mass;
    for (const StripMode& mode : solver.lowest(mode_count)) omega2.push_back(mode.omega2);
    solver.export_matrices(stiffness, mass);
    std::ofstream file(path, std::ios::binary);
    const auto put = [&](const void* data, std::size_t bytes) {
        file.write(static_cast<const char*>(data), static_cast<std::streamsize>(bytes));
    };
    put(&unknowns, sizeof unknowns);
    for (const auto* values : {&omega2, &stiffness, &mass}) put(values->data(), values->size() * sizeof(double));
    return file.flush().good();
}

}  // namespace

int main(int argument_count, char** arguments) {
    if (argument_count != 2) {
        std::fputs("usage: write_matrices FOLDER\n", stderr);
        return 2;
    }
    const std::filesystem::path folder = arguments[1];
    StripInput seated = heavy_tip(0.34, true);
    seated.root_spring_nm = 0.08;
    seated.masses.push_back({15e-3, 1e-6, 1e-12});
    const bool written = write<1>(folder / "beam.bin", heavy_tip(0.0, false), Parity::even) &&
                         write<4>(folder / "flapping.bin", heavy_tip(0.34, true), Parity::even) &&
                         write<4>(folder / "twisting.bin", heavy_tip(0.34, true), Parity::odd) &&
                         write<4>(folder / "on_a_seat_with_a_load.bin", seated, Parity::even) &&
                         write<6>(folder / "bare_plate.bin", heavy_tip(0.34, false), Parity::even);
    return written ? 0 : 1;
}
