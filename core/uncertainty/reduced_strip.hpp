// A reduced strip in the plain numbers that lanes read: six by six matrices whose entries are sums of
// coefficients times few functions of the inputs.
//
// A function is a factor of stretch and Poisson's ratio times powers of thickness and width
// (projected_strip.hpp); of the 1890 products a third is nothing or next to it and is left out.
// Plain arrays alone: what reads them is compiled for several instruction sets and must not call
// functions that are compiled for all (lanes/pack.hpp).
#pragma once

#include "core/uncertainty/input_order.hpp"

#include <cstddef>
#include <cstdint>

namespace reedwright::kernel {

constexpr std::size_t basis_size = 6;
constexpr std::size_t entry_count = basis_size * (basis_size + 1) / 2;
constexpr std::size_t thickness_terms = 5;
constexpr std::size_t width_terms = 3;
constexpr std::size_t term_count = thickness_terms * width_terms;
constexpr std::size_t part_count = 6;

/// Where the entry (i, j), i <= j, of a symmetric matrix stands in its upper half, kept row by row.
constexpr std::size_t entry_place(std::size_t i, std::size_t j) {
    return i * basis_size - i * (i + 1) / 2 + j;
}

/// What multiplies a power of thickness and width: a factor of each of the six parts, the root's
/// spring, and the masses and inertias of loads.
enum StripFactor : std::size_t { first_part = 0, spring = part_count, load_mass, load_inertia, factor_count };

struct StripFunction {
    std::uint32_t factor;
    /// 3 i + j for (t / reach)^i (w / reach)^j.
    std::uint32_t power;
};
constexpr std::size_t most_functions = part_count * term_count + 3;

struct StripTerm {
    double coefficient;
    std::size_t function;
};

/// A matrix: entry e is the sum of its terms from first[e] until first[e + 1].
template <std::size_t Functions>
struct TermSums {
    StripTerm terms[entry_count * Functions];
    std::uint32_t first[entry_count + 1];
};

/// The air's mass is a sum of 1, w, w^2, and the same times the logarithm of the frequency.
constexpr std::size_t air_functions = 2 * width_terms;

struct ReducedStrip {
    /// Of each input in its own unit, by index_of(Input).
    double deviation[input_count];
    /// Powers are of deviations over this.
    double reach;

    StripFunction functions[most_functions];
    std::size_t function_count;
    /// Over Young's modulus and over density.
    TermSums<most_functions> stiffness;
    TermSums<most_functions> mass;
    /// Twice the entries beside the diagonal.
    TermSums<air_functions> air;

    double youngs_pa;
    double poisson;
    double greatest_poisson;
    double length_m;
    double root_thickness_m;
    /// Of the seat: the root as made.
    double seat_thickness_m;
    double seat_width_m;
    double seat_give;
    double least_give;
    /// The clamp's layer is this times the square of Poisson's ratio, in root thicknesses.
    double layer;
    double layer_by_ln_width;
    /// Transverse shear, cents by (root thickness / length)^2; zero without it.
    double shear_cents;
    double cents_per_ln;

    bool plate;
    bool root_turns;
    bool in_air;

    /// Nominal: the squared circular frequency in vacuo, and what its logarithm in cents is with the
    /// air's share.
    double omega2;
    double nominal_cents;
};

}  // namespace reedwright::kernel
